"""What is wrong with what a pair sees: vehicles missed, a nose met late, a bed not found; heights that would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from trainer.sites.fleet import taken
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import lenses
from trainer.sites.survey.delays import lateness, survey_delays
from trainer.sites.survey.light import survey_signal, visits
from trainer.sites.survey.making import amount, at_pair, set_fields
from trainer.sites.survey.results import BodySeen, Change, Finding, Mend, PairSurvey, Survey
from trainer.sites.survey.seeing import see
from trainer.solver.bodies import Body
from trainer.solver.crossing import Truths
from trainer.solver.detection import SHORTEST_BED, Pair, detect, open_bed
from trainer.solver.numbers import Floats

_STEP = 2 * 0.0254  # heights are looked for by two inches
_TRIES = 25  # heights judged in full, the nearest first
_BED = "pickup"  # the plain pickup of the catalogue: the bed that a profile eye must find
Does = Callable[[SiteSheet, EyePair], bool]


def seeing_findings(survey: Survey, pair: PairSurvey) -> Iterator[Finding]:
    """Vehicles that the wash takes and the pair misses or meets late; for a profile eye, the bed it cannot tell."""
    if pair.eye.purpose == "profile":
        yield from _bed(survey, pair)
        return
    missed = [one for one in pair.bodies if not one.seen and not one.turned_away]
    if missed:
        yield _missed(survey, pair, missed)
        return
    late = _late_ones(survey, pair)
    if late:
        yield _late(survey, pair, late)


def _missed(survey: Survey, pair: PairSurvey, missed: list[BodySeen]) -> Finding:
    worst = min(missed, key=lambda one: abs(one.missed_at or 0.0))
    late = _late_ones(survey, pair)
    key = "missed_under" if worst.passes_under else "missed_over" if worst.passes_over else "missed"
    return at_pair(
        key,
        "miscounts",
        pair,
        found=amount(abs(worst.missed_at or 0.0), "in"),
        limit=amount(survey.sheet.bay.lane_offset, "in"),
        mends=(*move(survey, pair, sees_all), *_turn_away(pair, [*missed, *late])),
        names={"body": worst.name},
    )


def _late(survey: Survey, pair: PairSurvey, late: list[BodySeen]) -> Finding:
    worst = max(late, key=lambda one: one.nose_ends[1])
    return at_pair(
        "beam_late",
        "miscounts",
        pair,
        found=amount(worst.nose_ends[1], "in"),
        limit=amount(_latest(survey, pair), "in"),
        mends=(*move(survey, pair, sees_all), *_turn_away(pair, late)),
        names={"body": worst.name},
    )


def _latest(survey: Survey, pair: PairSurvey) -> float:
    """How late the beam itself must not be, so that some delay can do the rest [m]."""
    return pair.delays.nose_error - lateness(survey.sheet, 0.0)


def _late_ones(survey: Survey, pair: PairSurvey) -> list[BodySeen]:
    latest = _latest(survey, pair)
    return [one for one in pair.bodies if one.seen and not one.turned_away and one.nose_ends[1] >= latest]


def _turn_away(pair: PairSurvey, bodies: list[BodySeen]) -> tuple[Mend, ...]:
    """Not where that would be half of all that come."""
    if 2 * len(bodies) >= sum(not one.turned_away for one in pair.bodies):
        return ()
    return (Mend("turn_away", tuple(Change("turned_away", one.id) for one in bodies), {}),)


def _bed(survey: Survey, pair: PairSurvey) -> Iterator[Finding]:
    pickup = _pickup(survey.sheet)
    if pickup is None or _finds_bed(survey.sheet, pair.eye, pickup):
        return
    yield at_pair(
        "bed_unseen",
        "miscounts",
        pair,
        found=amount(pair.eye.low, "in"),
        limit=amount(SHORTEST_BED, "ft"),
        mends=move(survey, pair, lambda sheet, eye: _finds_bed(sheet, eye, pickup)),
    )


def _pickup(sheet: SiteSheet) -> Body | None:
    """The catalogue's plain pickup, where the wash takes it."""
    return next((one.body for one in taken(sheet) if one.id == _BED), None)


def _finds_bed(sheet: SiteSheet, eye: EyePair, pickup: Body) -> bool:
    """Whether the entry eye and this one together find the plain pickup's bed, wherever it stands in the lane."""
    low, high = Pair(*lenses(sheet, sheet.entry_eye)), Pair(*lenses(sheet, eye))
    reach = sheet.bay.lane_offset
    beds = [open_bed(low, high, pickup, at) for at in (-reach, 0.0, reach)]
    return all(bed is not None and not bed.bridged for bed in beds)


def sees_all(sheet: SiteSheet, eye: EyePair) -> bool:
    """Whether a pair sees every vehicle that is taken, early enough that some delays can do the rest."""
    latest, bodies = sheet.conveyor.nose_error - lateness(sheet, 0.0), []
    for named in taken(sheet):
        one = see(sheet, eye, named)
        if not one.seen or one.nose_ends[1] >= latest:
            return False
        bodies.append(one)
    return bool(survey_delays(sheet, eye, bodies).region)


def sees_as_before(survey: Survey, pair: PairSurvey, moved: EyePair) -> bool:
    """Whether a pair set so loses nothing that it sees as it stands."""
    if pair.eye.purpose != "profile":
        return sees_all(survey.sheet, moved) or not sees_all(survey.sheet, pair.eye)
    pickup = _pickup(survey.sheet)
    if pickup is None or not _finds_bed(survey.sheet, pair.eye, pickup):
        return True
    return _finds_bed(survey.sheet, moved, pickup)


def move(survey: Survey, pair: PairSurvey, does: Does) -> tuple[Mend, ...]:
    """The nearest heights that do, in the room that the sheet gives, without letting the sun in."""
    room = pair.eye.may_stand
    if room is None:
        return (Mend("say_room", (), {}),)
    heights = np.arange(room.lowest, room.highest + _STEP / 2, _STEP)
    low, high = (one.ravel() for one in np.meshgrid(heights, heights))
    low, high = low[low <= high], high[low <= high]
    nearest = np.argsort(np.abs(low - pair.eye.low) + np.abs(high - pair.eye.high), kind="stable")
    for i in nearest[_promising(survey, pair, low[nearest], high[nearest])][:_TRIES]:
        moved = replace(pair.eye, low=float(low[i]), high=float(high[i]))
        if _as_bright(survey, pair, moved) and does(survey.sheet, moved) and _as_dark(survey, pair, moved):
            values = {"low": amount(moved.low, "in"), "high": amount(moved.high, "in")}
            return (set_fields("move_heads", f"eyes.{pair.eye.id}", values),)
    return (Mend("no_room", (), {}),)


def _as_bright(survey: Survey, pair: PairSurvey, moved: EyePair) -> bool:
    """Whether enough of the beam is left in steam, where there was enough."""
    signal = survey_signal(survey.sheet, moved)
    return signal.in_steam >= min(signal.least, pair.signal.in_steam)


def _as_dark(survey: Survey, pair: PairSurvey, moved: EyePair) -> bool:
    """Whether no more sun gets in."""
    return len(visits(survey.sheet, moved, survey.year)) <= pair.sun.total


def _promising(survey: Survey, pair: PairSurvey, low: Floats, high: Floats) -> Truths:
    """Which heights see every vehicle early enough at the middle and both ends of the lane; a profile eye need not."""
    good = np.ones(low.shape, dtype=np.bool_)
    if pair.eye.purpose == "profile":
        return good
    latest = _latest(survey, pair)
    emitter, receiver = (np.repeat([[one]], low.size, axis=0) for one in (pair.emitter, pair.receiver))
    on_receiver = pair.eye.high_head == "receiver"
    emitter[:, 0, 2], receiver[:, 0, 2] = (low, high) if on_receiver else (high, low)
    offsets = survey.sheet.bay.lane_offset * np.array([-1.0, 0.0, 1.0])
    for one in taken(survey.sheet):
        found = detect(emitter, receiver, one.body, offsets)
        good &= (found.seen & (found.nose_error < latest)).all(axis=1)
    return good
