"""What one pair of eyes makes of every body that may roll past it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trainer.sites.fleet import fleet
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, NamedBody, SiteSheet
from trainer.sites.survey.bay_axes import deciding_offsets, lenses
from trainer.sites.survey.results import BodySeen
from trainer.solver.beam import Sweep
from trainer.solver.detection import detect
from trainer.solver.numbers import Floats
from trainer.solver.timers import debounce

LEAST_GAIN = 1.001  # a finite beam asks for more than 1; a pair that has less sees as its axis does


@dataclass(frozen=True)
class Speeds:
    """The slowest and the fastest chain [m/s]."""

    slow: float
    fast: float

    @classmethod
    def of(cls, sheet: SiteSheet) -> Speeds:
        """Within the sheet's tolerance."""
        chain = sheet.conveyor
        return cls(chain.speed * (1 - chain.tolerance), chain.speed * (1 + chain.tolerance))


def see_all(sheet: SiteSheet, eye: EyePair) -> tuple[BodySeen, ...]:
    """The site's own bodies, then the catalogue's."""
    return tuple(see(sheet, eye, one) for one in fleet(sheet))


def see(sheet: SiteSheet, eye: EyePair, one: NamedBody) -> BodySeen:
    """What a pair makes of one body, over every place in the lane."""
    offsets = deciding_offsets(sheet, eye, one.body)
    emitter, receiver = lenses(sheet, eye)
    found = detect(
        emitter, receiver, one.body, offsets,
        lens_diameter=eye.lens_diameter, excess_gain=max(eye.excess_gain, LEAST_GAIN),
    )  # fmt: skip
    dark = found.dark.merged()
    longest = np.nan_to_num(dark.lasts - dark.firsts).max(axis=0)
    parted = [_spans(dark, at) for at in np.flatnonzero(found.count > 1).tolist()]
    nose, tail = _farthest(found.nose_error), _farthest(found.tail_error)
    middle = _spans(dark, int(np.argmin(np.abs(offsets)))) + one.body.nose - eye.position
    swallowed = _swallowed(sheet, eye)
    pulses = sheet.conveyor.pulses_per_length
    missed = offsets[~found.seen]
    return BodySeen(
        id=one.id,
        name=Said(one.name["en"], one.name["es"]),
        own=one in sheet.bodies,
        turned_away=one.id in sheet.turned_away,
        body=one.body,
        seen=missed.size == 0,
        missed_at=float(missed[np.argmin(np.abs(missed))]) if missed.size else None,
        passes_under=bool(found.passes_under.any()),
        passes_over=bool(found.passes_over.any()),
        nose_error=nose,
        tail_error=tail,
        nose_pulses=nose * pulses,
        tail_pulses=tail * pulses,
        nose_ends=_ends(found.nose_error),
        tail_ends=_ends(found.tail_error),
        length_ends=_ends(found.length_error),
        cuts=int(found.count.max()),
        hole=float(np.nan_to_num(found.longest_hole).max()),
        bridge=max((_bridge_of(spans, swallowed) for spans in parted), default=0.0),
        part=float(longest.min()),
        counted=_counted(float(longest.max()), parted, eye, Speeds.of(sheet)),
        blocked=tuple(map(tuple, middle.tolist())),
    )


def _farthest(errors: Floats) -> float:
    """The error farthest from 0; NaN where there is none."""
    known = errors[~np.isnan(errors)]
    return float(known[np.argmax(np.abs(known))]) if known.size else float("nan")


def _ends(errors: Floats) -> tuple[float, float]:
    known = errors[~np.isnan(errors)]
    return (float(known.min()), float(known.max())) if known.size else (float("nan"), float("nan"))


def _swallowed(sheet: SiteSheet, eye: EyePair) -> float:
    """Travel that an on-delay long enough for walkers swallows even on the slowest chain [m]."""
    if eye.purpose == "profile":
        return 0.0
    return walker_time_of(sheet) * Speeds.of(sheet).slow


def walker_time_of(sheet: SiteSheet) -> float:
    """Longest time for which somebody walking through blocks a beam [s]."""
    return sheet.conveyor.walker_depth / sheet.conveyor.walker_speed


def _spans(found: Sweep, at: int) -> Floats:
    """First and last dark travel of each separate part at one of the offsets, shape (parts, 2) [m]."""
    spans = np.stack([found.firsts[:, at], found.lasts[:, at]], axis=1)
    return np.asarray(spans[~np.isnan(spans[:, 0])])


def _bridge_of(spans: Floats, swallowed: float) -> float:
    """Longest hole that the off-delay must bridge so that a body stays one [m].

    A part shorter than `swallowed` counts for nothing by itself: before the first part that counts and behind the last
    one nothing needs a bridge. Between them it renews the off-delay.
    """
    counts = np.flatnonzero(spans[:, 1] - spans[:, 0] > swallowed)
    if counts.size < 2:
        return 0.0
    first, last = counts[0], counts[-1]
    return float((spans[first + 1 : last + 1, 0] - spans[first:last, 1]).max())


def _counted(longest: float, parted: Sequence[Floats], eye: EyePair, speeds: Speeds) -> int:
    """Most cars that the present delays make of a body, at the slowest and the fastest chain.

    longest: part at any offset [m]; parted: the parts at every offset at which there are several
    """
    whole = int(longest / speeds.slow > eye.on_delay)
    several = (
        len(debounce(eye.on_delay, eye.off_delay, (spans / speed).tolist()))
        for spans in parted
        for speed in (speeds.slow, speeds.fast)
    )
    return max((whole, *several))
