"""The drawings of a survey: which facts each one shows."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from trainer.figures.scene import Scene
from trainer.figures.survey_bay import BeamAcross, EndView, SideView
from trainer.figures.survey_charts import DelayRegion, LengthBudget, Share, SignalStaircase, Step
from trainer.figures.survey_sun import SunCalendar
from trainer.sites.survey.results import (
    Amount,
    BodySeen,
    ErrorPart,
    LengthSurvey,
    PairSurvey,
    Setting,
    SignalSurvey,
    Survey,
)
from trainer.solver.beam import beam_height

BAY = "bay"


def survey_scenes(survey: Survey) -> dict[str, Scene]:
    """Every drawing of a survey by its name: `bay`, then `<pair>.side` and what else a pair has."""
    found: dict[str, Scene] = {BAY: bay_scene(survey)}
    for pair in survey.pairs:
        found |= {f"{pair.eye.id}.{name}": scene for name, scene in pair_scenes(survey, pair).items()}
    return found


def bay_scene(survey: Survey) -> EndView:
    """Every beam across the bay, with the site's own first body between them."""
    first = survey.pairs[0].bodies[0]
    beams = tuple(_across(pair) for pair in survey.pairs)
    bay = survey.sheet.bay
    return EndView(bay.width, bay.lane_offset, beams, first.body, first.name)


def _across(pair: PairSurvey) -> BeamAcross:
    lenses = sorted((pair.emitter, pair.receiver), key=lambda lens: lens[1])
    return BeamAcross(pair.name, driver=lenses[1][2], passenger=lenses[0][2])


def pair_scenes(survey: Survey, pair: PairSurvey) -> Mapping[str, Scene]:
    """The drawings of one pair: side, delays, signal, length where it measures, sun where there is any."""
    scenes: dict[str, Scene] = {
        "side": _side(survey, pair),
        "delays": _delays(survey, pair),
        "signal": _signal(pair.signal),
    }
    if pair.measures is not None:
        scenes["length"] = _length(pair.measures)
    if pair.sun.total:
        scenes["sun"] = SunCalendar(pair.sun.calendar)
    return scenes


def telling_body(pair: PairSurvey) -> BodySeen:
    """The body that tells most: the first that a pair misses and should not, else the one with the largest error."""
    taken = [one for one in pair.bodies if not one.turned_away] or list(pair.bodies)
    missed = [one for one in taken if not one.seen and pair.eye.purpose != "profile"]
    if missed:
        return missed[0]
    return max((one for one in taken if one.cuts), key=_error, default=taken[0])


def _error(one: BodySeen) -> float:
    return max(abs(one.nose_error), abs(one.tail_error))


def _side(survey: Survey, pair: PairSurvey) -> SideView:
    one = telling_body(pair)
    low, high = _beam_over(pair, one.body.width / 2 + survey.sheet.bay.lane_offset)
    seen_in_the_middle = one.blocked
    nose = seen_in_the_middle[0][0] if seen_in_the_middle else float("nan")
    tail = seen_in_the_middle[-1][1] - one.body.length if seen_in_the_middle else float("nan")
    return SideView(one.body, one.name, low, high, seen_in_the_middle, nose, tail)


def _beam_over(pair: PairSurvey, reach: float) -> tuple[float, float]:
    """Least and greatest height of a pair's beam within a reach of the center line [m]."""
    (_, near, low), (_, far, high) = sorted((pair.emitter, pair.receiver), key=lambda lens: lens[2])
    span = abs(far - near)
    at = np.clip(np.abs(np.array([-reach, reach]) - near), 0, span)
    heights = np.asarray(beam_height(low, high, span, at))
    return float(heights.min()), float(heights.max())


def _delays(survey: Survey, pair: PairSurvey) -> DelayRegion:
    return DelayRegion(pair.delays.region, pair.delays.present, advised_delays(survey, pair))


def advised_delays(survey: Survey, pair: PairSurvey) -> Setting | None:
    """The delays that the findings' first mends set [s]; None where they leave both alone or nothing fits."""
    if pair.delays.holds:
        return None
    fields = [f"eyes.{pair.eye.id}.{name}" for name in ("on_delay", "off_delay")]
    changes = [change for one in survey.findings for mend in one.mends[:1] for change in mend.changes]
    told = {change.field: change.value.value for change in changes if isinstance(change.value, Amount)}
    if not set(fields) & set(told):
        return pair.delays.recommended
    on, off = (told.get(field, now) for field, now in zip(fields, pair.delays.present, strict=True))
    return on, off


def _signal(signal: SignalSurvey) -> SignalStaircase:
    """What must be left is asked where clear air is measured, and at the end, in steam."""
    needs = {signal.in_steam: signal.least} | {signal.in_clear: signal.required}
    return SignalStaircase(tuple(Step(one.name, one.left, needs.get(one.left)) for one in signal.steps))


def _length(measures: LengthSurvey) -> LengthBudget:
    return LengthBudget(tuple(_share(part) for part in measures.parts), _share(measures.total))


def _share(part: ErrorPart) -> Share:
    return Share(part.name, part.least, part.most)
