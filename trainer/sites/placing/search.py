"""The search: every candidate judged roughly, then exactly those of the front, until all of the front is exact."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from trainer.sites.placing.candidates import Candidates, candidates, today
from trainer.sites.placing.fronts import Marks, unbeaten
from trainer.sites.placing.light import margins, suns, undisturbed
from trainer.sites.placing.results import Found, Judged, Placement, Progress, Recommended
from trainer.sites.placing.seeing import Needs, Seer
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.solver.numbers import Floats

AT_ONCE = 512  # pairs of heights that are judged together
# What is rounded off before placements are compared: far below what a tape or a meter can tell.
ERROR_GRAIN, MARGIN_GRAIN = 1e-5, 1e-3
# Shares of the work, as it takes about as long: the sun, the bodies at few offsets, the front at all of them.
SUN, ROUGHLY = 0.1, 0.5


def search(sheet: SiteSheet, eye: EyePair, year: int) -> Iterator[Progress]:
    """Judge every placement that the sheet allows the pair, a part at a time; the last progress carries what was found.

    eye: one of the sheet's, with room to stand; year: the one whose sun counts, 1900 to 2100
    Nothing is kept outside: whoever stops asking has stopped the search. Raises ValueError for a pair that may not be
    moved.
    """
    if eye.may_stand is None:
        raise ValueError(f"{eye.id} may not be moved")
    yield from _Search(sheet, eye, year, candidates(eye, eye.may_stand)).run()


@dataclass
class _Search:
    """One search; all that it knows is here.

    rough: how wrong each pair of heights is at least, low head on either side (pairs, 2) [m]; exact where `known`
    """

    sheet: SiteSheet
    eye: EyePair
    year: int
    some: Candidates
    beyond: list[str] = field(default_factory=list)
    worst: dict[tuple[int, int], str] = field(default_factory=dict)
    shared: float = 0.0

    def __post_init__(self) -> None:
        self.seer = Seer(self.sheet, self.eye)
        self.needs = self.seer.needs()
        self.rough = np.zeros((self.some.low.size, 2))
        self.known = np.zeros(self.rough.shape, dtype=np.bool_)
        self.sun = np.zeros(self.some.pair.size, dtype=np.int64)
        self.margin = _rounded(margins(self.sheet, self.eye, self.some.high - self.some.low), MARGIN_GRAIN)

    def run(self) -> Iterator[Progress]:
        for share, found in suns(self.sheet, self.eye, self.year, self.some):
            self.sun = found
            yield Progress(SUN * share)
        self.fit = undisturbed(self.sheet, self.eye, self.some)
        yield from self._roughly()
        yield from self._exactly()
        front, present = self._front(), judge(self.sheet, self.eye, self.year, self.seer, self.needs)
        chosen = recommend(self.sheet, front, present)
        whole = Found(front, present, chosen, tuple(self.beyond), self.some.pair.size)
        yield Progress(1.0, chosen.judged if chosen else None, whole)

    def _roughly(self) -> Iterator[Progress]:
        """Every body at few offsets, the most important first; one that leaves no placement is left out."""
        bodies = (*self.needs.bodies, *self.needs.unseen)
        parts = [slice(at, at + AT_ONCE) for at in range(0, self.some.low.size, AT_ONCE)]
        for number, body in enumerate(bodies):
            seen = np.empty_like(self.rough)
            for at, part in enumerate(parts):
                seen[part] = self.seer.roughly(self.needs, body, self.some.low[part], self.some.high[part])
                done = (number * len(parts) + at + 1) / (len(bodies) * len(parts))
                yield Progress(SUN + ROUGHLY * done, self._best() if at + 1 == len(parts) else None)
            worse = np.maximum(self.rough, seen)
            if np.isfinite(worse).any():
                self.rough = worse
            else:
                self.beyond.append(body.id)
        left = self.needs.without(self.beyond)
        if left.bodies:
            self.needs = left
        else:  # nothing is seen whole from anywhere: then no placement is fit
            self.rough = np.full_like(self.rough, np.inf)

    def _exactly(self) -> Iterator[Progress]:
        """The front at every offset that decides, until all of it is exact.

        What is only roughly known is better than it really is: a placement that is beaten so is beaten.
        """
        while True:
            rows = np.nonzero(self._unbeaten())[0]
            pairs, sides = self.some.pair[rows], self.some.low_side[rows]
            open_ = np.nonzero(~self.known[pairs, sides])[0]
            if not open_.size:
                return
            _, first = np.unique(np.stack((pairs[open_], sides[open_])), axis=1, return_index=True)
            for row in rows[open_[first]]:
                pair, side = self.some.pair[row], self.some.low_side[row]
                self.rough[pair, side], worst = self.seer.exactly(self.needs, self.some.placement(row))
                self.known[pair, side] = True
                self.worst[int(pair), int(side)] = worst
                done = self.known.sum() / (self.known.sum() + open_.size)
                self.shared = max(self.shared, SUN + ROUGHLY + (1 - SUN - ROUGHLY) * done)
                yield Progress(min(self.shared, 0.99))

    def _errors(self) -> Floats:
        """Of each candidate, as far as it is known [m]."""
        found = _rounded(self.rough, ERROR_GRAIN)[self.some.pair, self.some.low_side]
        return np.where(self.fit, found, np.inf)

    def _unbeaten(self) -> Marks:
        return unbeaten(np.stack((self._errors(), self.sun, -self.margin[self.some.pair]), axis=1))

    def _front(self) -> tuple[Judged, ...]:
        """One placement for each result that nothing beats: of those that give the same, the one that changes least."""
        found: dict[tuple[float, float, float], Judged] = {}
        errors, here = self._errors(), Placement.of(self.eye)
        for row in np.nonzero(self._unbeaten())[0]:
            pair, side = int(self.some.pair[row]), int(self.some.low_side[row])
            one = Judged(
                self.some.placement(row), float(errors[row]), int(self.sun[row]), float(self.margin[pair]),
                self.worst.get((pair, side), ""),
            )  # fmt: skip
            before = found.get(one.objectives)
            if before is None or change(one.placement, here) < change(before.placement, here):
                found[one.objectives] = one
        return tuple(found[key] for key in sorted(found))

    def _best(self) -> Judged | None:
        chosen = recommend(self.sheet, self._front(), None)
        return chosen.judged if chosen else None


def judge(
    sheet: SiteSheet, eye: EyePair, year: int, seer: Seer | None = None, needs: Needs | None = None
) -> Judged:
    """What a pair gives where it stands; seer and needs: those of a search, if it is compared with others."""
    here, at = today(eye), Placement.of(eye)
    seer = seer or Seer(sheet, eye)
    [*_, (_, sun)] = suns(sheet, eye, year, here)
    error, worst = seer.exactly(needs or seer.needs(), at)
    if not undisturbed(sheet, eye, here)[0]:
        error, worst = np.inf, ""
    margin = margins(sheet, eye, here.high - here.low)
    return Judged(
        at,
        float(_rounded(np.array(error), ERROR_GRAIN)),
        int(sun[0]),
        float(_rounded(margin, MARGIN_GRAIN)[0]),
        worst,
    )


def recommend(sheet: SiteSheet, front: Sequence[Judged], present: Judged | None) -> Recommended | None:
    """The placement of a front to choose, by the rule that Recommended states; None where the front is empty."""
    lit = [one for one in front if one.margin >= 1]
    pool = lit or front
    if not pool:
        return None
    least, pulse = min(one.error for one in pool), 1 / sheet.conveyor.pulses_per_length
    rivals = [one for one in pool if one.error <= least + pulse]
    darkest = min(one.sun for one in rivals)
    as_dark = [one for one in rivals if one.sun == darkest]
    stays = present is not None and _as_good(present, least + pulse, darkest, lit=bool(lit))
    if present is not None and stays:
        chosen = present
    else:
        here = (present or as_dark[0]).placement
        chosen = min(as_dark, key=lambda one: (change(one.placement, here), one.objectives))
    return Recommended(chosen, stays, bool(lit), least, pulse, len(rivals))


def _as_good(present: Judged, most_error: float, darkest: int, *, lit: bool) -> bool:
    """Whether today's placement need not be changed."""
    return present.error <= most_error and present.sun <= darkest and (present.margin >= 1 or not lit)


def change(new: Placement, old: Placement) -> tuple[int, float]:
    """How much of a pair's placement is changed: swaps of side or head, then the way that heads move [m]."""
    swaps = (new.receiver_side != old.receiver_side) + (new.high_head != old.high_head)
    way = abs(new.low - old.low) + abs(new.high - old.high) + abs(new.position - old.position)
    return swaps, way


def _rounded(values: Floats, grain: float) -> Floats:
    found: Floats = np.round(values / grain) * grain
    return found
