"""When the sun stands within an angle of directions that are fixed to the Earth, found without stepping the year.

A cap is a direction and an angle around it: the sky above the horizon is one around the zenith, a receiver's field of
view one around its axis, one side of a window frame one of a quarter turn. While the Earth turns, the sun runs around
the sky on a circle that hardly changes within a day, so its distance from a direction rises and falls once a day, and
where it equals the angle has a formula. The drift of the circle is then put right by Newton's method on the true
position. Only days on which the circle almost touches the cap are stepped.

Axes of vectors: from the Earth's center to 0 N 0 E, to 0 N 90 E, to the north pole.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.almanac import DAY, MINUTE, overhead_at
from trainer.solver.numbers import Floats

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

TURN = 2 * np.pi / DAY
# Seen from the ground the sun is this much lower than from the Earth's center, at most: 8.794 seconds of arc.
PARALLAX = np.radians(8.794 / 3600)
# In the half day to either side of its highest point the sun's circle moves by 0.2 degrees at most, and parallax moves
# it by 0.0025; a cap that this circle passes by more than that is cut twice or not at all.
TOUCHING = np.radians(0.26)
CLOSE = 1e-3  # seconds; Newton's last step is shorter, and what it leaves is a hundredth of it
MOST_STEPS = 12
AT_ONCE = 64  # days that are stepped together


@dataclass(frozen=True)
class Caps:
    """One cap a row: its direction and the zenith from which it is seen, unit vectors (n, 3); its angle (n)."""

    direction: Floats
    zenith: Floats
    angle: Floats

    def of(self, rows: Ints) -> "Caps":
        """Some of the rows, any of them as often as wanted."""
        return Caps(self.direction[rows], self.zenith[rows], self.angle[rows])


@dataclass(frozen=True)
class Events:
    """Moments [s since the year's start] at which the sun enters (+1) or leaves (-1) the cap of a row, unordered."""

    row: Ints
    at: Floats
    sign: Ints


@dataclass(frozen=True)
class _Days:
    """Each row's days from lowest to lowest point: (rows, days + 1) edges, and the highest points between them."""

    edge: Floats
    high: Floats
    declination: Floats
    drift: Floats


def closeness(caps: Caps, utc: Floats) -> Floats:
    """Cosine of the angle between sun and direction less that of the cap's angle; 0 or more is inside.

    utc: moments [s since 1970], (n) or (n, k) for n caps.
    """
    sun = overhead_at(utc)
    flat = np.cos(sun.latitude)
    x, y, z = flat * np.cos(sun.longitude), flat * np.sin(sun.longitude), np.sin(sun.latitude)

    def along(vector: Floats) -> Floats:
        rows = vector.reshape(vector.shape[0], 3, *([1] * (utc.ndim - 1)))
        sum_: Floats = x * rows[:, 0] + y * rows[:, 1] + z * rows[:, 2]
        return sum_

    up = along(caps.zenith)
    tilt = np.sum(caps.direction * caps.zenith, axis=1).reshape(-1, *([1] * (utc.ndim - 1)))
    shrunk = np.sqrt(1 - (2 * up - PARALLAX) * PARALLAX)
    found: Floats = (along(caps.direction) - PARALLAX * tilt) / shrunk - np.cos(caps.angle).reshape(
        tilt.shape
    )
    return found


def events(caps: Caps, start: Floats, length: Floats) -> Events:
    """Every entry and exit in years that begin at `start` [s since 1970] and last `length` [s], a row each.

    A cap in which the sun stands at the beginning is entered there; one in which it stands at the end is left there.
    """
    days = _days(caps, start)
    nearest = np.abs(days.declination - np.arcsin(_height(caps))[:, None])
    farthest = np.pi - np.abs(days.declination + np.arcsin(_height(caps))[:, None])
    angle = caps.angle[:, None]
    whole = farthest + TOUCHING < angle
    cut = (nearest + TOUCHING < angle) & (farthest - TOUCHING > angle)
    touched = (nearest - TOUCHING <= angle) & ~whole & ~cut
    found = [_whole(days, whole)]
    crossed, failed = _crossings(caps, start, days, cut)
    found.append(crossed)
    touched[failed] = True
    rows, columns = np.nonzero(touched)
    for at in range(0, rows.size, AT_ONCE):
        part = slice(at, at + AT_ONCE)
        found.append(_stepped(caps, start, days, rows[part], columns[part]))
    together = Events(
        *(np.concatenate([getattr(one, key) for one in found]) for key in ("row", "at", "sign"))
    )
    return Events(together.row, np.clip(together.at, 0.0, length[together.row]), together.sign)


def common_spans(found: Events, owner: Ints, caps_each: int) -> tuple[Ints, Floats, Floats]:
    """When the sun is in all `caps_each` caps of an owner: owner, first and last moment, ordered by both.

    owner: of each row. Spans that touch are one: at one moment entries come before exits.
    """
    owners = owner[found.row]
    order = np.lexsort((-found.sign, found.at, owners))
    owners, at = owners[order], found.at[order]
    inside = np.cumsum(found.sign[order]) >= caps_each
    before = np.concatenate(([False], inside[:-1]))
    first, last = np.nonzero(inside & ~before)[0], np.nonzero(~inside & before)[0]
    kept = at[last] > at[first]
    return owners[first][kept], at[first][kept], at[last][kept]


def _height(caps: Caps) -> Floats:
    """Sine of the declination that each direction points to."""
    return np.clip(caps.direction[:, 2], -1.0, 1.0)


def _east(caps: Caps) -> Floats:
    """East longitude that each direction points to."""
    found: Floats = np.arctan2(caps.direction[:, 1], caps.direction[:, 0])
    return found


def _wrapped(angle: Floats) -> Floats:
    """The angle from -pi to below pi."""
    found: Floats = np.mod(angle + np.pi, 2 * np.pi) - np.pi
    return found


def _days(caps: Caps, start: Floats) -> _Days:
    """The days of each row, from the one before the year to the one after a leap year."""
    east = _east(caps)[:, None]
    at = (np.pi - east) / TURN + DAY * np.arange(-2, 368)
    for _ in range(2):
        sun = overhead_at(start[:, None] + at)
        at += _wrapped(sun.longitude - east) / TURN
    declination = sun.latitude
    return _Days(
        edge=(at[:, :-1] + at[:, 1:]) / 2,
        high=at[:, 1:-1],
        declination=declination[:, 1:-1],
        drift=(declination[:, 2:] - declination[:, :-2]) / (2 * DAY),
    )


def _whole(days: _Days, whole: Bools) -> Events:
    """Days that are spent inside from end to end."""
    rows, columns = np.nonzero(whole)
    return _paired(rows, days.edge[rows, columns], days.edge[rows, columns + 1])


def _paired(rows: Ints, entry: Floats, leaving: Floats) -> Events:
    one = np.ones(rows.size, dtype=np.int64)
    return Events(np.concatenate((rows, rows)), np.concatenate((entry, leaving)), np.concatenate((one, -one)))


def _crossings(caps: Caps, start: Floats, days: _Days, cut: Bools) -> tuple[Events, tuple[Ints, Ints]]:
    """Entry and exit of days that have one of each; and the days for which Newton's method found none in the day."""
    rows, columns = np.nonzero(cut)
    entry, leaving = (_crossing(caps, start, days, (rows, columns), side) for side in (-1.0, 1.0))
    high = days.high[rows, columns]
    good = (entry >= days.edge[rows, columns]) & (entry <= high)
    good &= (leaving >= high) & (leaving <= days.edge[rows, columns + 1])
    return _paired(rows[good], entry[good], leaving[good]), (rows[~good], columns[~good])


def _crossing(caps: Caps, start: Floats, days: _Days, day: tuple[Ints, Ints], side: float) -> Floats:
    """The moment before (side -1) or after (+1) the highest point at which the sun is on the rim; NaN if not found."""
    some, begin = caps.of(day[0]), start[day[0]]
    high, declination, drift = days.high[day], days.declination[day], days.drift[day]
    sine = _height(some)
    cosine = np.sqrt(1 - sine * sine)
    turned = (np.cos(some.angle) - np.sin(declination) * sine) / (np.cos(declination) * cosine)
    at: Floats = high + side * np.arccos(np.clip(turned, -1.0, 1.0)) / TURN
    step = np.full(at.shape, np.inf)
    for _ in range(MOST_STEPS):
        x = TURN * (at - high)
        slope = drift * (np.cos(declination) * sine - np.sin(declination) * cosine * np.cos(x))
        slope -= TURN * np.cos(declination) * cosine * np.sin(x)
        step = closeness(some, begin + at) / slope
        at = at - step
        if np.all(np.abs(step) < CLOSE):
            break
    return np.where(np.abs(step) < CLOSE, at, np.nan)


def _stepped(caps: Caps, start: Floats, days: _Days, rows: Ints, columns: Ints) -> Events:
    """Entries and exits of days that are stepped by the minute, with the turning points between the steps."""
    some, begin = caps.of(rows), start[rows][:, None]
    at = np.linspace(days.edge[rows, columns], days.edge[rows, columns + 1], round(DAY / MINUTE) + 2, axis=1)
    near = closeness(some, begin + at)
    _put_turning_points(some, begin, at, near)
    inside = near >= 0
    day, left = np.nonzero(inside[:, :-1] != inside[:, 1:])
    sign = np.where(inside[day, left + 1], 1, -1)
    crossed = _bisected(some.of(day), begin[day, 0], at[day, left], at[day, left + 1], sign)
    first, last = np.nonzero(inside[:, 0])[0], np.nonzero(inside[:, -1])[0]
    return Events(
        np.concatenate((rows[day], rows[first], rows[last])),
        np.concatenate((crossed, at[first, 0], at[last, -1])),
        np.concatenate((sign, np.ones_like(first), -np.ones_like(last))),
    )


def _put_turning_points(some: Caps, begin: Floats, at: Floats, near: Floats) -> None:
    """Where the sun enters and leaves between two steps, move the step there: a parabola through three finds it."""
    left, middle, right = near[:, :-2], near[:, 1:-1], near[:, 2:]
    summit = (middle > left) & (middle >= right) & (middle < 0)
    trough = (middle < left) & (middle <= right) & (middle >= 0)
    day, column = np.nonzero(summit | trough)
    a, b, c = left[day, column], middle[day, column], right[day, column]
    step = at[day, column + 1] - at[day, column]
    turning = at[day, column + 1] + step * (a - c) / (2 * (a - 2 * b + c))
    found = closeness(some.of(day), begin[day, 0] + turning)
    flips = (found >= 0) != (b >= 0)
    at[day[flips], column[flips] + 1] = turning[flips]
    near[day[flips], column[flips] + 1] = found[flips]


def _bisected(some: Caps, begin: Floats, low: Floats, high: Floats, sign: Ints) -> Floats:
    """The crossings between moments on either side of the rim, to a few microseconds."""
    for _ in range(25):
        middle = (low + high) / 2
        past = sign * closeness(some, begin + middle) >= 0
        low, high = np.where(past, low, middle), np.where(past, middle, high)
    return (low + high) / 2
