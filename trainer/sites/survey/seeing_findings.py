"""What is wrong with what a pair sees: vehicles missed, a nose met late, a bed not found; heights that would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from trainer.sites.fleet import taken
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import lenses
from trainer.sites.survey.delays import lateness, survey_delays
from trainer.sites.survey.light import visits
from trainer.sites.survey.making import amount, at_pair, set_fields
from trainer.sites.survey.results import BodySeen, Change, Finding, Mend, PairSurvey, Survey
from trainer.sites.survey.seeing import see_all
from trainer.solver.bodies import Body
from trainer.solver.detection import SHORTEST_BED, Pair, open_bed

_STEP = 0.0254  # heights are looked for by the inch
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
    if pair.delays.beam_late + lateness(survey.sheet, 0.0) >= pair.delays.nose_error:
        yield _late(survey, pair)


def _missed(survey: Survey, pair: PairSurvey, missed: list[BodySeen]) -> Finding:
    worst = min(missed, key=lambda one: abs(one.missed_at or 0.0))
    key = "missed_under" if worst.passes_under else "missed_over" if worst.passes_over else "missed"
    return at_pair(
        key,
        "miscounts",
        pair,
        found=amount(abs(worst.missed_at or 0.0), "in"),
        limit=amount(survey.sheet.bay.lane_offset, "in"),
        mends=(*_move(survey, pair, _sees_all), _turn_away(missed)),
        numbers={"others": amount(len(missed) - 1, "1")},
        names={"body": worst.name},
    )


def _late(survey: Survey, pair: PairSurvey) -> Finding:
    met = [one for one in pair.bodies if not one.turned_away]
    worst = max(met, key=lambda one: one.nose_ends[1])
    allowed = pair.delays.nose_error - lateness(survey.sheet, 0.0)
    late = [one for one in met if one.nose_ends[1] >= allowed]
    return at_pair(
        "beam_late",
        "miscounts",
        pair,
        found=amount(worst.nose_ends[1], "in"),
        limit=amount(allowed, "in"),
        mends=(*_move(survey, pair, _sees_all), _turn_away(late)),
        names={"body": worst.name},
    )


def _turn_away(bodies: list[BodySeen]) -> Mend:
    return Mend("turn_away", tuple(Change("turned_away", one.id) for one in bodies), {})


def _bed(survey: Survey, pair: PairSurvey) -> Iterator[Finding]:
    pickup = next((one.body for one in taken(survey.sheet) if one.id == _BED), None)
    if pickup is None or _finds_bed(survey.sheet, pair.eye, pickup):
        return
    yield at_pair(
        "bed_unseen",
        "miscounts",
        pair,
        found=amount(pair.eye.low, "in"),
        limit=amount(SHORTEST_BED, "ft"),
        mends=_move(survey, pair, lambda sheet, eye: _finds_bed(sheet, eye, pickup)),
    )


def _finds_bed(sheet: SiteSheet, eye: EyePair, pickup: Body) -> bool:
    """Whether the entry eye and this one together find the plain pickup's bed, wherever it stands in the lane."""
    low, high = Pair(*lenses(sheet, sheet.entry_eye)), Pair(*lenses(sheet, eye))
    reach = sheet.bay.lane_offset
    beds = [open_bed(low, high, pickup, at) for at in (-reach, 0.0, reach)]
    return all(bed is not None and not bed.bridged for bed in beds)


def _sees_all(sheet: SiteSheet, eye: EyePair) -> bool:
    """Whether a pair sees every vehicle that is taken, early enough that some delays can do the rest."""
    bodies = [one for one in see_all(sheet, eye) if not one.turned_away]
    delays = survey_delays(sheet, eye, bodies)
    in_time = delays.beam_late + lateness(sheet, 0.0) < delays.nose_error
    return all(one.seen for one in bodies) and in_time and bool(delays.region)


def _move(survey: Survey, pair: PairSurvey, does: Does) -> tuple[Mend, ...]:
    """The nearest heights that do, in the room that the sheet gives, without letting the sun in."""
    room = pair.eye.may_stand
    if room is None:
        return (Mend("say_room", (), {}),)
    heights = np.arange(room.lowest, room.highest + _STEP / 2, _STEP).tolist()
    pairs = [(low, high) for low in heights for high in heights if low <= high]
    pairs.sort(key=lambda two: abs(two[0] - pair.eye.low) + abs(two[1] - pair.eye.high))
    for low, high in pairs:
        moved = replace(pair.eye, low=low, high=high)
        if does(survey.sheet, moved) and len(visits(survey.sheet, moved, survey.year)) <= pair.sun.total:
            values = {"low": amount(low, "in"), "high": amount(high, "in")}
            return (set_fields("move_heads", f"eyes.{pair.eye.id}", values),)
    return (Mend("no_room", (), {}),)
