"""Which delays meet everything that a pair must do, and whether the present ones do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.results import BodySeen, DelaySurvey, Setting
from trainer.sites.survey.seeing import Speeds, walker_time_of
from trainer.solver.delays import Demand, Region, delay_region

# What each delay should keep from the ends of what does, where there is as much: a little drift does no harm then [s].
_ROOM = (0.05, 0.25)


def survey_delays(sheet: SiteSheet, eye: EyePair, bodies: Sequence[BodySeen]) -> DelaySurvey:
    """The region of all delays that do, with scan and input filter, at the slowest and the fastest chain."""
    chain = sheet.conveyor
    met = [one for one in bodies if one.part > 0 and not one.turned_away]
    demands = tuple(_demands(sheet, eye, met))
    region = delay_region(demands, chain.speed, chain.tolerance, scan_time=chain.scan_time)
    present = eye.on_delay, eye.off_delay
    counts = eye.purpose != "profile"
    return DelaySurvey(
        walker=walker_time_of(sheet) if counts else None,
        bridge=_bridge(met) if counts else 0.0,
        gap=chain.smallest_gap,
        nose_error=chain.nose_error,
        beam_late=_late(met) if counts else 0.0,
        region=region.corners,
        present=present,
        recommended=_nearest(region, present),
        broken=tuple(one.kind for one in region.broken(*present)),
        conflict=tuple(one.kind for one in region.conflict),
    )


def _demands(sheet: SiteSheet, eye: EyePair, met: Sequence[BodySeen]) -> Iterator[Demand]:
    """What this pair's delays must do.

    A profile eye need not tell people from cars, nor keep a car whole, nor meet its nose; but each edge that it reports
    may be no later than a nose, and what it takes for tall no longer or shorter than that.
    """
    chain, filtered = sheet.conveyor, lateness(sheet, 0.0)
    yield Demand("keep_apart", chain.smallest_gap)
    if eye.purpose == "profile":
        yield Demand("length", chain.nose_error)
    else:
        yield Demand("ignore", walker_time_of(sheet))
        yield Demand("bridge", _bridge(met))
        if met:
            yield Demand("count", min(one.part for one in met))
    allowed = chain.nose_error - filtered - (_late(met) if eye.purpose != "profile" else 0.0)
    if allowed > 0:
        yield Demand("nose", allowed)


def lateness(sheet: SiteSheet, on_delay: float) -> float:
    """How far a nose goes, on the fastest chain, through input filter and on-delay [m]."""
    return Speeds.of(sheet).fast * (sheet.conveyor.input_filter + on_delay)


def _nearest(region: Region, present: Setting) -> Setting | None:
    """The present delays where they do; else as near to them as leaves some room, so that little else changes."""
    if region.empty or region.holds(*present):
        return None if region.empty else present
    on, off = (
        _within([corner[axis] for corner in region.corners], present[axis], _ROOM[axis]) for axis in (0, 1)
    )
    return (on, off) if region.holds(on, off) else region.recommended


def _within(ends: Sequence[float], value: float, wanted: float) -> float:
    """A delay within its two ends, off each by some room [s]."""
    least, most = min(ends), max(ends)
    room = min(wanted, (most - least) / 4)
    return min(max(value, least + room if least > 0 else 0.0), most - room)


def _bridge(met: Sequence[BodySeen]) -> float:
    return max((one.bridge for one in met), default=0.0)


def _late(met: Sequence[BodySeen]) -> float:
    """How late the beam itself is at a nose, at the most [m]."""
    return max((one.nose_ends[1] for one in met), default=0.0)
