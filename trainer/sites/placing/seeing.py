"""What a pair would make of a body with its heads at other heights: many placements at a few offsets, or one at all.

Bay axes as in the survey; a row stands for a pair of heights with its low head on one side.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from trainer.sites.fleet import taken
from trainer.sites.placing.candidates import gain_at, moved
from trainer.sites.placing.results import Placement
from trainer.sites.sheet import SIDES, EyePair, NamedBody, SiteSheet
from trainer.sites.survey.bay_axes import deciding_offsets, lenses
from trainer.sites.survey.seeing import LEAST_GAIN, Speeds, walker_time_of
from trainer.solver.bodies import Body
from trainer.solver.detection import Detection, Pair, detect, open_bed
from trainer.solver.numbers import Floats

Marks = npt.NDArray[np.bool_]
OFFSET_STEP = 0.5 * 0.0254
BED = "pickup"  # the plain pickup of the catalogue: the bed that a profile eye must find
_SIGNS = (1, -1)  # which side of the bay each of SIDES is, in bay axes


@dataclass(frozen=True)
class Needs:
    """What a pair must do.

    bodies: those that it must see, the site's own first; whole: whether as one, with the off-delay's help
    unseen: those that it must not see: a profile eye tells tall from low, and goes on doing so
    bed: the body whose bed it must find together with the entry eye, if any
    """

    bodies: tuple[NamedBody, ...]
    whole: bool
    unseen: tuple[NamedBody, ...] = ()
    bed: Body | None = None

    def without(self, ids: Collection[str]) -> Needs:
        """The same without some bodies."""
        bodies, unseen = (
            tuple(one for one in some if one.id not in ids) for some in (self.bodies, self.unseen)
        )
        return replace(self, bodies=bodies, unseen=unseen)


@dataclass(frozen=True)
class Seer:
    """One pair at one site, and how it would see."""

    sheet: SiteSheet
    eye: EyePair

    def needs(self) -> Needs:
        """Every vehicle that the wash takes, whole; a profile eye finds a bed, and tells apart what it tells today."""
        bodies = taken(self.sheet)
        if self.eye.purpose != "profile":
            return Needs(bodies, whole=True)
        here = Placement.of(self.eye)
        bed = next((one.body for one in bodies if one.id == BED), None)
        seen = {one.id: self._detected_at(one, here).seen for one in bodies}
        return Needs(
            tuple(one for one in bodies if seen[one.id].all()),
            whole=False,
            unseen=tuple(one for one in bodies if not seen[one.id].any()),
            bed=bed,
        )

    def roughly(self, needs: Needs, body: NamedBody, low: Floats, high: Floats) -> Floats:
        """At least how wrong each pair of heights (n) sees a body, low head on either of SIDES: (n, 2) [m].

        Looked at from few offsets: over all of them, it is never less.
        """
        offsets = few_offsets(self.sheet)
        found = [
            self._judged(needs, body, self._detect(body, low, high, side, offsets))
            for side in range(len(SIDES))
        ]
        return np.stack(found, axis=-1)

    def exactly(self, needs: Needs, at: Placement) -> tuple[float, str]:
        """How wrong a placement sees the worst body, over every place in the lane [m], and that body's id.

        Infinite where a body makes the placement unfit; then it is the first that does.
        """
        if needs.bed is not None and not self._finds(needs.bed, at):
            return np.inf, BED
        worst, which = 0.0, ""
        for body in (*needs.bodies, *needs.unseen):
            error = float(self._judged(needs, body, self._detected_at(body, at))[0])
            if error > worst:
                worst, which = error, body.id
            if error == np.inf:
                break
        return worst, which

    def _finds(self, body: Body, at: Placement) -> bool:
        """Whether it finds a body's open bed, above the entry eye, in the middle and at both ends of the lane."""
        low = Pair(*lenses(self.sheet, self.sheet.entry_eye))
        high = Pair(*lenses(self.sheet, moved(self.sheet, self.eye, at)))
        reach = self.sheet.bay.lane_offset
        beds = (open_bed(low, high, body, offset) for offset in (0.0, -reach, reach))
        return all(bed is not None and not bed.bridged for bed in beds)

    def _judged(self, needs: Needs, body: NamedBody, found: Detection) -> Floats:
        """How wrong a body is seen; infinite where it is unfit, 0 for one that is rightly not seen."""
        if body in needs.unseen:
            return np.where(found.seen.any(axis=1), np.inf, 0.0)
        fit = found.seen.all(axis=1)
        ends = (found.nose_error, found.tail_error)
        if not needs.whole:
            return np.where(fit, sum(np.nan_to_num(np.ptp(one, axis=1)) for one in ends), np.inf)
        swallowed = walker_time_of(self.sheet) * Speeds.of(self.sheet).slow
        fit &= bridges(found, swallowed).max(axis=1) < longest_bridge(self.sheet)
        return np.where(fit, sum(np.nan_to_num(np.abs(one)).max(axis=1) for one in ends), np.inf)

    def _detected_at(self, body: NamedBody, at: Placement) -> Detection:
        """What one placement makes of a body at every offset that decides."""
        there = moved(self.sheet, self.eye, at)
        offsets = np.union1d(deciding_offsets(self.sheet, there, body.body), few_offsets(self.sheet))
        low, high = np.array([at.low]), np.array([at.high])
        return self._detect(body, low, high, low_side_of(there), offsets)

    def _detect(self, body: NamedBody, low: Floats, high: Floats, side: int, offsets: Floats) -> Detection:
        across = np.full_like(low, _SIGNS[side] * self.sheet.bay.width / 2)
        start, end = (
            np.stack((np.zeros_like(z), y, z), axis=-1)[:, None] for y, z in ((across, low), (-across, high))
        )
        gain = np.maximum(gain_at(self.sheet, self.eye, high - low), LEAST_GAIN)
        return detect(
            start, end, body.body, offsets, lens_diameter=self.eye.lens_diameter, excess_gain=gain[:, None]
        )


def few_offsets(sheet: SiteSheet) -> Floats:
    """Places in the lane that are looked at first [m]: the center line, both ends, half an inch apart at most."""
    reach = sheet.bay.lane_offset
    return np.linspace(-reach, reach, 2 * max(1, int(np.ceil(reach / OFFSET_STEP))) + 1)


def low_side_of(eye: EyePair) -> int:
    """Which of SIDES takes the pair's low head."""
    receiver = SIDES.index(eye.receiver_side)
    return 1 - receiver if eye.high_head == "receiver" else receiver


def longest_bridge(sheet: SiteSheet) -> float:
    """Longest hole that an off-delay can bridge while it keeps the closest two cars apart [m].

    The hole may roll past on the slowest chain, the gap on the fastest.
    """
    chain = sheet.conveyor
    return chain.smallest_gap * (1 - chain.tolerance) / (1 + chain.tolerance)


def bridges(found: Detection, too_short: float) -> Floats:
    """Longest hole that the off-delay must bridge so that a body stays one [m]; shape as the detection's.

    A part no longer than `too_short` counts for nothing by itself: before the first part that counts and behind the
    last one nothing needs a bridge. Between them it renews the off-delay.
    """
    dark = found.dark.merged()
    counts = dark.lasts - dark.firsts > too_short
    after_first = np.logical_or.accumulate(counts, axis=0)[:-1]
    before_last = np.logical_or.accumulate(counts[::-1], axis=0)[::-1][1:]
    holes = np.where(after_first & before_last, dark.firsts[1:] - dark.lasts[:-1], 0.0)
    longest: Floats = np.max(holes, axis=0, initial=0.0)
    return longest
