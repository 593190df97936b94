"""What a site's people learned, as plain values for JSON: shares from 0 to 1, each with its 95 % interval."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from trainer.learning.learned import DAYS, Forgetting, Gained, Learned, LessonsBefore, SkillTime
from trainer.statistics.mastering import Mastering


def document(found: Learned) -> dict[str, Any]:
    """All of it; what there are too few people for is null."""
    return {
        "people": found.people,
        "gained": [_gained(one) for one in found.gained],
        "forgetting": _forgetting(found.forgetting),
        "mastered": [_mastered(one) for one in found.mastered],
        "preceding": _preceding(found.preceding),
    }


def _gained(one: Gained) -> dict[str, Any]:
    plain = {"kind": one.kind, "of": one.of, "people": one.people, "gain": None}
    if one.gain is None:
        return plain
    found = {name: asdict(getattr(one.gain, name)) for name in ("first", "last", "gained")}
    shares = {name: getattr(one.gain, name).plain for name in ("better", "worse")}
    return {**plain, "gain": {**found, **shares, "of_possible": one.gain.of_possible}}


def _forgetting(one: Forgetting) -> dict[str, Any]:
    plain = {"reviews": one.reviews, "people": one.people, "calibration": None}
    if one.calibration is None:
        return plain
    found = asdict(one.calibration)
    found["levels"] = [
        {"low": level.low, "high": level.high, "forecast": level.forecast, "right": level.right.plain}
        for level in one.calibration.levels
    ]
    return {**plain, "calibration": {**found, "skill": one.calibration.skill}}


def _mastered(one: SkillTime) -> dict[str, Any]:
    found: dict[str, Any] = {"skill": one.skill, "people": one.people, "days": None, "answers": None}
    if one.days is not None and one.answers is not None:
        found["days"] = {"half": asdict(one.days.half), "by": {str(day): _by(one.days, day) for day in DAYS}}
        found["answers"] = {"half": asdict(one.answers.half)}
    return found


def _by(curve: Mastering, day: int) -> dict[str, Any] | None:
    portion = curve.by(day)
    return None if portion is None else asdict(portion)


def _preceding(before: LessonsBefore) -> dict[str, Any]:
    slips = before.slips
    pairs = [
        {
            "lesson": before.lessons[one.lesson], "skill": slips[one.slip].skill, "slip": slips[one.slip].id,
            "after": one.after.plain, "without": one.without.plain, "chance": one.chance,
        }
        for one in before.found.pairs
    ]  # fmt: skip
    return {"pairs": pairs, "too_few": before.found.too_few}
