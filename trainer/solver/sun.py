"""Where the sun stands over a wash, and the minutes of a year in which it looks into a receiver.

Azimuths run clockwise from north. Moments are seconds since 1970-01-01 00:00 UTC (POSIX time).
"""

from dataclasses import dataclass

import numpy as np

from trainer.solver.almanac import (
    MINUTE,
    declination,
    equation_of_time,
    julian_day,
    overhead,
    refraction,
    require_elevation,
    require_longitude,
    require_turn,
    require_year,
    year_length,
    year_start,
)
from trainer.solver.beam import Spans
from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_acute,
    require_finite,
    shape_of,
)
from trainer.solver.sun_caps import PARALLAX, Caps, Ints, closeness, common_spans, events

__all__ = [
    "Opening", "SunPosition", "angle_to_axis", "declination", "equation_of_time", "julian_day", "noon_elevation",
    "refraction", "sun_minutes", "sun_position", "sun_visits", "sunrise_and_sunset", "visit_minutes",
]  # fmt: skip

# The sun's upper edge on the horizon: half its width, 0.2667 degrees, and 0.5667 degrees that the air lifts it.
RISING = np.radians(0.26667 + 0.5667)
# An edge so near a whole minute is looked at itself; solving leaves far less than this [s].
DOUBTFUL = 0.01
AT_ONCE = 256  # receivers solved together


@dataclass(frozen=True)
class SunPosition:
    """Elevation above the horizon without refraction, and azimuth clockwise from north, 0 to 2 pi [rad]."""

    elevation: Numbers
    azimuth: Numbers


@dataclass(frozen=True)
class Opening:
    """A bay opening in the far wall as the receiver sees it, in an upright wall square to the receiver's azimuth.

    sill, head: heights of its lower and upper edge above the receiver's lens [m]
    left, right: its edges to the left (negative) and right of the emitter, as the receiver looks at it [m]
    distance: level distance from the receiver to that wall [m]
    """

    sill: float
    head: float
    left: float
    right: float
    distance: float

    def __post_init__(self) -> None:
        sill, left = require_finite("sill", self.sill), require_finite("left", self.left)
        head, right = as_floats("head", self.head), as_floats("right", self.right)
        require("head", head, np.isfinite(head) & (head > sill), "finite and above the sill")
        require("right", right, np.isfinite(right) & (right > left), "finite and right of left")
        require_above_zero("distance", self.distance, "m")


def sun_position(latitude: Numbers, longitude: Numbers, utc: Numbers) -> SunPosition:
    """Elevation and azimuth of the sun's center, without refraction.

    latitude: of the place, north positive [rad], -pi/2 to pi/2
    longitude: of the place, east positive [rad], -pi to pi
    utc: moments [s since 1970], in 1900 to 2100
    Good to 0.01 degree in those years. At a pole the azimuth counts from the meridian of the longitude given.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    Source: Meeus, Astronomical Algorithms, chapters 13, 25 and 40, with a mean parallax; see almanac.overhead.
    """
    place = require_elevation("latitude", latitude)
    east_of_zero = require_longitude("longitude", longitude)
    sun = overhead(utc)
    west = east_of_zero - sun.longitude
    east = -np.cos(sun.latitude) * np.sin(west)
    flat = np.cos(sun.latitude) * np.cos(west)
    north = np.sin(sun.latitude) * np.cos(place) - flat * np.sin(place)
    up = np.sin(sun.latitude) * np.sin(place) + flat * np.cos(place) - PARALLAX
    elevation, azimuth = np.arctan2(up, np.hypot(east, north)), np.mod(np.arctan2(east, north), 2 * np.pi)
    return SunPosition(elevation=elevation[()], azimuth=azimuth[()])


def angle_to_axis(
    elevation: Numbers, azimuth: Numbers, receiver_elevation: Numbers, receiver_azimuth: Numbers
) -> Numbers:
    """Angle between the sun and the axis of a receiver [rad], 0 to pi.

    elevation, receiver_elevation: of the sun, and of where the receiver looks [rad], -pi/2 to pi/2
    azimuth, receiver_azimuth: of both, clockwise from north [rad], -2 pi to 2 pi
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: cos psi = sin e sin r + cos e cos r cos(A - R), by haversines so that small angles keep their digits.
    """
    sun = require_elevation("elevation", elevation)
    turn = require_turn("azimuth", azimuth)
    axis = require_elevation("receiver_elevation", receiver_elevation)
    turn = turn - require_turn("receiver_azimuth", receiver_azimuth)
    apart = np.sin(turn / 2) ** 2 * np.cos(sun) * np.cos(axis)
    half: Floats = np.sqrt(np.clip(np.sin((sun - axis) / 2) ** 2 + apart, 0.0, 1.0))
    angle: Numbers = 2 * np.arcsin(half)
    return angle


def noon_elevation(latitude: Numbers, declination: Numbers) -> Numbers:
    """Elevation of the sun when it crosses the meridian [rad], pi/2 - |latitude - declination|; below 0 in polar night.

    latitude, declination: [rad], -pi/2 to pi/2. Inputs broadcast. Raises BadInput. Source: angles on the meridian.
    """
    apart = require_elevation("latitude", latitude) - require_elevation("declination", declination)
    noon: Numbers = np.pi / 2 - np.abs(apart)
    return noon


def sunrise_and_sunset(latitude: float, longitude: float, year: float) -> Spans:
    """From sunrise to sunset all through a year, (rise, set) [s since the year's start UTC].

    Sunrise is the sun's upper edge on a level horizon, its center 0.8333 degrees below. Inputs as sun_minutes.
    """
    place = require_elevation("latitude", latitude), require_longitude("longitude", longitude)
    up = _zenith(*(one.reshape(1) for one in place))
    caps = Caps(up, up, np.array([np.pi / 2 + RISING + PARALLAX]))
    start, length = np.atleast_1d(year_start(year)), np.atleast_1d(year_length(year))
    _, first, last = common_spans(events(caps, start, length), np.zeros(1, dtype=np.int64), 1)
    return tuple(zip(first.tolist(), last.tolist(), strict=True))


def sun_minutes(  # noqa: PLR0917 - questions call it by position
    latitude: Numbers,
    longitude: Numbers,
    year: Numbers,
    receiver_azimuth: Numbers,
    receiver_elevation: Numbers,
    half_angle: Numbers,
    opening: Opening | None = None,
) -> Numbers:
    """Minutes of a year in which the sun looks into a receiver: as many as one-minute steps would count.

    latitude, longitude: of the wash, north and east positive [rad], -pi/2 to pi/2 and -pi to pi
    year: whole, 1900 to 2100; the steps begin on 1 January 00:00 UTC
    receiver_azimuth, receiver_elevation: where the receiver looks [rad], clockwise from north and above the horizon
    half_angle: of the receiver's field of view [rad], above 0 and below pi/2
    opening: where given, only the sun that stands in it counts
    A minute counts when the sun's center is above the horizon and within the half-angle of the axis.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: sun_position, solved for the moments of entry and exit.
    """
    shape, asked = _asked(latitude, longitude, year, receiver_azimuth, receiver_elevation, half_angle)
    single, back = np.unique(asked, axis=0, return_inverse=True)
    counts = np.zeros(len(single))
    for at in range(0, len(single), AT_ONCE):
        receivers = _Receivers(single[at : at + AT_ONCE], opening)
        owner, first, after = receivers.minutes()
        np.add.at(counts, at + owner, (after - first).astype(np.float64))
    return counts[back.reshape(-1)].reshape(shape)[()]


def sun_visits(  # noqa: PLR0917 - in the order of sun_minutes
    latitude: float,
    longitude: float,
    year: float,
    receiver_azimuth: float,
    receiver_elevation: float,
    half_angle: float,
    opening: Opening | None = None,
) -> Spans:
    """The spans in which the sun looks into one receiver, (start, end) [s since the year's start UTC], in order.

    Inputs as sun_minutes, one number each. Good to a few milliseconds of sun_position. Raises BadInput.
    """
    _, first, last = _one(
        latitude, longitude, year, receiver_azimuth, receiver_elevation, half_angle, opening
    ).spans()
    return tuple(zip(first.tolist(), last.tolist(), strict=True))


def visit_minutes(  # noqa: PLR0917 - in the order of sun_minutes
    latitude: float,
    longitude: float,
    year: float,
    receiver_azimuth: float,
    receiver_elevation: float,
    half_angle: float,
    opening: Opening | None = None,
) -> Ints:
    """The minutes that sun_minutes counts for one receiver: whole minutes since the year's start UTC, in order."""
    _, first, after = _one(
        latitude, longitude, year, receiver_azimuth, receiver_elevation, half_angle, opening
    ).minutes()
    runs = [np.arange(a, b) for a, b in zip(first, after, strict=True)]
    return np.concatenate(runs) if runs else np.zeros(0, dtype=np.int64)


class _Receivers:
    """Receivers, one a row of (latitude, longitude, year, azimuth, elevation, half-angle), and their caps."""

    def __init__(self, rows: Floats, opening: Opening | None) -> None:
        place, turn, axis, half = rows[:, :2].T, rows[:, 3], rows[:, 4], rows[:, 5]
        up, east, north = _frame(*place)
        forward = np.cos(turn)[:, None] * north + np.sin(turn)[:, None] * east
        right = np.cos(turn)[:, None] * east - np.sin(turn)[:, None] * north
        looks = np.cos(axis)[:, None] * forward + np.sin(axis)[:, None] * up
        directions = [up, looks, *(_frame_sides(opening, forward, right, up) if opening is not None else [])]
        quarter = np.full(len(rows), np.pi / 2)
        angles = [quarter, half, *([quarter] * (len(directions) - 2))]
        self.each = len(directions)
        self.start, self.length = (
            np.asarray(year_start(rows[:, 2])),
            np.asarray(year_length(rows[:, 2])),
        )
        self.caps = Caps(np.concatenate(directions), np.tile(up, (self.each, 1)), np.concatenate(angles))

    def spans(self) -> tuple[Ints, Floats, Floats]:
        """Receiver, first and last moment of each visit [s since the year's start]."""
        owner = np.tile(np.arange(len(self.start)), self.each)
        found = events(self.caps, np.tile(self.start, self.each), np.tile(self.length, self.each))
        return common_spans(found, owner, self.each)

    def minutes(self) -> tuple[Ints, Ints, Ints]:
        """Receiver, first minute of each visit, and the minute after its last."""
        owner, begin, end = self.spans()
        first = self._ahead(owner, begin, entering=True)
        after = self._ahead(owner, end, entering=False)
        return owner, first, np.minimum(after, (self.length[owner] / MINUTE).astype(np.int64))

    def _ahead(self, owner: Ints, at: Floats, *, entering: bool) -> Ints:
        """The first whole minute inside after an entry, or outside after an exit; a close one is looked at itself."""
        minute = np.ceil(at / MINUTE - DOUBTFUL / MINUTE).astype(np.int64)
        close = np.nonzero(np.abs(at - minute * MINUTE) <= DOUBTFUL)[0]
        inside = self._inside(owner[close], minute[close])
        minute[close] += inside != entering
        return minute

    def _inside(self, owner: Ints, minute: Ints) -> Ints:
        utc = self.start[owner] + minute * MINUTE
        rows = owner + len(self.start) * np.arange(self.each)[:, None]
        near = [closeness(self.caps.of(one), utc) >= 0 for one in rows]
        inside: Ints = np.all(near, axis=0).astype(np.int64)
        return inside


def _one(*inputs: object) -> _Receivers:
    """One receiver; the last input is the opening."""
    *numbers, opening = inputs
    shape, rows = _asked(*numbers)
    if shape:
        raise BadInput("receiver", shape_of(np.empty(shape)), "one number for each input")
    if opening is not None and not isinstance(opening, Opening):
        raise BadInput("opening", opening, "an Opening")
    return _Receivers(rows, opening)


def _asked(*given: object) -> tuple[tuple[int, ...], Floats]:
    """The broadcast shape of the inputs, in the order of sun_minutes, and each combination as a row."""
    latitude, longitude, year, azimuth, elevation, half_angle = given
    arrays = np.broadcast_arrays(
        require_elevation("latitude", latitude),
        require_longitude("longitude", longitude),
        require_year("year", year),
        require_turn("receiver_azimuth", azimuth),
        require_elevation("receiver_elevation", elevation),
        require_acute("half_angle", half_angle),
    )
    return arrays[0].shape, np.stack([one.ravel() for one in arrays], axis=1)


def _zenith(latitude: Floats, longitude: Floats) -> Floats:
    flat = np.cos(latitude)
    return np.stack((flat * np.cos(longitude), flat * np.sin(longitude), np.sin(latitude)), axis=1)


def _frame(latitude: Floats, longitude: Floats) -> tuple[Floats, Floats, Floats]:
    """Up, east and north of each place, as unit vectors fixed to the Earth."""
    up, nothing = _zenith(latitude, longitude), np.zeros_like(latitude)
    east = np.stack((-np.sin(longitude), np.cos(longitude), nothing), axis=1)
    return up, east, np.cross(up, east)


def _frame_sides(opening: Opening, forward: Floats, right: Floats, up: Floats) -> list[Floats]:
    """Directions square to the planes through the lens and each edge of the opening, pointing inwards."""
    sides = (
        opening.right * forward - opening.distance * right,
        opening.distance * right - opening.left * forward,
        opening.distance * up - opening.sill * forward,
        opening.head * forward - opening.distance * up,
    )
    return [side / np.linalg.norm(side, axis=1)[:, None] for side in sides]
