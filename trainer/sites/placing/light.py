"""Sun, signal and neighbours' light of many placements of a pair at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from trainer.sites.placing.candidates import Candidates, gain_at
from trainer.sites.sheet import HEADS, SIDES, BayOpening, EyePair, SiteSheet
from trainer.sites.survey.bay_axes import lenses, receiver_looks
from trainer.sites.survey.light import CONTRAST
from trainer.solver.almanac import MINUTE, year_start
from trainer.solver.crosstalk import Head, crosstalk_between
from trainer.solver.numbers import Floats
from trainer.solver.signal import REQUIRED_EXCESS_GAIN, fog_transmission
from trainer.solver.sun import sun_minutes, sun_position, visit_minutes

Counts = npt.NDArray[np.int64]
Marks = npt.NDArray[np.bool_]
_SIGNS = np.array([1.0, -1.0])  # which side of the bay each of SIDES is, in bay axes


def margins(sheet: SiteSheet, eye: EyePair, rise: Floats) -> Floats:
    """Excess gain in the site's steam over the least that must be left in clean surroundings."""
    way = np.hypot(sheet.bay.width, rise)
    steam = fog_transmission(sheet.bay.visibility_steam, way, CONTRAST)
    return np.asarray(gain_at(sheet, eye, rise) * steam / REQUIRED_EXCESS_GAIN["clean"])


def suns(sheet: SiteSheet, eye: EyePair, year: int, some: Candidates) -> Iterator[tuple[float, Counts]]:
    """Minutes a year with the sun in the receiver of each candidate, found one height difference after the other.

    Gives the share done and the counts so far. The sun counts through the opening, which keeps its place in the wall
    that is behind the emitter today. Of the other wall the sheet says nothing: there all the sky counts.
    """
    counting = _Counting(sheet, eye, year, some)
    found = np.zeros(some.pair.size, dtype=np.int64)
    rises, which = np.unique(np.round(some.high - some.low, 9), return_inverse=True)
    for at, rise in enumerate(rises.tolist()):
        pairs = which.reshape(-1)[some.pair] == at
        for side in range(len(SIDES)):
            for head in range(len(HEADS)):
                rows = np.nonzero(pairs & (some.side == side) & (some.head == head))[0]
                if rows.size:
                    found[rows] = counting.of(rows, rise)
        yield (at + 1) / rises.size, found


@dataclass(frozen=True)
class _Counting:
    """Counts the minutes of candidates that all look the same way."""

    sheet: SiteSheet
    eye: EyePair
    year: int
    some: Candidates

    def of(self, rows: Counts, rise: float) -> Counts | int:
        """Of those rows, whose heads are so far apart in height [m]."""
        side, head = SIDES[self.some.side[rows[0]]], HEADS[self.some.head[rows[0]]]
        turned = replace(self.eye, low=0.0, high=rise, receiver_side=side, high_head=head)
        same_wall = side == self.eye.receiver_side
        azimuth, elevation = receiver_looks(self.sheet, turned)
        if elevation + self.eye.view_half_angle <= 0 or (same_wall and self.eye.opening is None):
            return 0  # it looks down past the horizon, or at a wall
        place = self.sheet.location
        looks = (place.latitude, place.longitude, self.year, azimuth, elevation, self.eye.view_half_angle)
        if self.eye.opening is None or not same_wall:
            return int(sun_minutes(*looks))
        utc = np.asarray(year_start(self.year) + MINUTE * visit_minutes(*looks))
        sun = sun_position(place.latitude, place.longitude, utc)
        aside = np.asarray(sun.azimuth) - azimuth
        rays = np.stack((np.tan(aside), np.tan(sun.elevation) / np.cos(aside))) * self.sheet.bay.width
        return self._through(self.eye.opening, rows, rays)

    def _through(self, opening: BayOpening, rows: Counts, rays: Floats) -> Counts:
        """How many rays come through: each meets the wall so far to the right and up from the receiver's lens [m].

        From the driver's side one has the way that cars go on the left, from the passenger's side on the right.
        """
        pair, place = self.some.pair[rows], self.some.place[rows]
        receiver_high = HEADS[self.some.head[rows[0]]] == "receiver"
        used, back = np.unique(pair, return_inverse=True)
        height = (self.some.high if receiver_high else self.some.low)[used, None] + rays[1]
        forward = -rays[0] if self.eye.receiver_side == "driver" else rays[0]
        on = self.some.positions[:, None] - self.eye.position
        in_height = (opening.sill <= height) & (height <= opening.head)
        in_width = (forward >= -(opening.before + on)) & (forward <= opening.after - on)
        counts: Counts = in_height.astype(np.int64) @ in_width.T.astype(np.int64)
        return counts[back.reshape(-1), place]


def undisturbed(sheet: SiteSheet, eye: EyePair, some: Candidates) -> Marks:
    """Whether each candidate leaves every receiver, its own too, without a light of another pair that holds it lit."""
    pair, side = some.pair, _SIGNS[some.side] * sheet.bay.width / 2
    receiver_high = some.head == HEADS.index("receiver")
    low, high, x = some.low[pair], some.high[pair], some.positions[some.place]
    emitter = np.stack((x, -side, np.where(receiver_high, low, high)), axis=-1)
    receiver = np.stack((x, side, np.where(receiver_high, high, low)), axis=-1)
    mine = _Aimed.at(eye, emitter, receiver, gain_at(sheet, eye, high - low))
    good = np.ones(pair.size, dtype=np.bool_)
    for other in sheet.eyes:
        if other.id != eye.id:
            start, end = (np.array(lens)[None] for lens in lenses(sheet, other))
            theirs = _Aimed.at(other, start, end, np.array([other.excess_gain]))
            good &= (mine.lights(theirs) < 1) & (theirs.lights(mine) < 1)
    return good


@dataclass(frozen=True)
class _Aimed:
    """A pair whose heads point at each other, in many places: the light that it gives another, as site_crosstalk."""

    emitter: Head
    receiver: Head
    gain: Floats

    @classmethod
    def at(cls, eye: EyePair, emitter: Floats, receiver: Floats, gain: Floats) -> _Aimed:
        way = receiver - emitter
        return cls(Head(emitter, way, eye.half_angle), Head(receiver, -way, eye.view_half_angle), gain)

    def lights(self, other: _Aimed) -> Floats:
        """Excess gain that this pair's light alone gives the other's receiver; from 1 up it holds it lit."""
        own, seen = (crosstalk_between(self.emitter, one.receiver) for one in (self, other))
        gain: Floats = self.gain * (own.distance / seen.distance) ** 2 * seen.share / own.share
        return gain
