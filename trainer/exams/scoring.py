"""The result of an exam: right answers by area against the cut, and the critical area that nothing makes up for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from trainer.exams.forms import Form, Slot
from trainer.exams.scheme import Scheme

# `changed`: the question is no longer the one that was asked, so nobody can say whether the answer was right.
Mark = Literal["right", "wrong", "unreadable", "changed"]


@dataclass(frozen=True)
class Rules:
    """What a form is scored by; kept with the form, so that a later version of the scheme changes nothing."""

    cut: int
    areas: tuple[AreaRule, ...]

    @property
    def critical(self) -> frozenset[str]:
        """The areas in which every answer must be right."""
        return frozenset(area.id for area in self.areas if area.critical)


@dataclass(frozen=True)
class AreaRule:
    """One area of the blueprint as the score needs it."""

    id: str
    items: int
    critical: bool


@dataclass(frozen=True)
class AreaResult:
    """What a person did in one area."""

    id: str
    critical: bool
    items: int
    reached: int
    right: int


@dataclass(frozen=True)
class Result:
    """A scored exam. `passed` is None when a question changed under it: it counts neither way.

    critical_missed: skills of critical areas without a right answer, each once
    not_reached, unreadable, changed: numbers of slots; all three count as not right
    Slots on trial stand in none of it.
    reasons: why it is not passed
    """

    cut: int
    items: int
    right: int
    areas: tuple[AreaResult, ...]
    critical_missed: tuple[str, ...]
    not_reached: tuple[int, ...]
    unreadable: tuple[int, ...]
    changed: tuple[int, ...]
    passed: bool | None
    reasons: tuple[str, ...]


def rules_of(scheme: Scheme) -> Rules:
    """What a form of this scheme is scored by."""
    return Rules(scheme.cut, tuple(AreaRule(area.id, area.items, area.critical) for area in scheme.areas))


def score(rules: Rules, form: Form, marks: Mapping[int, Mark]) -> Result:
    """The result; a slot without a mark was not reached, and only a right answer counts as right.

    A mark on a slot on trial changes nothing.
    """
    stray = set(marks) - {slot.number for slot in form.slots}
    if stray:
        raise ValueError(f"there are marks for slots {sorted(stray)}, which the form does not have")
    slots = form.scored
    right = [slot for slot in slots if marks.get(slot.number) == "right"]
    missed = [slot for slot in slots if slot.area in rules.critical and slot not in right]
    changed = _numbers(slots, marks, "changed")
    stands = {
        "exam.question_changed": bool(changed),
        "exam.under_cut": len(right) < rules.cut,
        "exam.critical_missed": bool(missed),
    }
    reasons = tuple(key for key, holds in stands.items() if holds)
    return Result(
        cut=rules.cut,
        items=len(slots),
        right=len(right),
        areas=tuple(_area(area, slots, marks) for area in rules.areas),
        critical_missed=tuple(dict.fromkeys(slot.skill for slot in missed)),
        not_reached=tuple(slot.number for slot in slots if slot.number not in marks),
        unreadable=_numbers(slots, marks, "unreadable"),
        changed=changed,
        passed=None if changed else not reasons,
        reasons=reasons,
    )


def _numbers(slots: Sequence[Slot], marks: Mapping[int, Mark], mark: Mark) -> tuple[int, ...]:
    return tuple(slot.number for slot in slots if marks.get(slot.number) == mark)


def _area(area: AreaRule, scored: Sequence[Slot], marks: Mapping[int, Mark]) -> AreaResult:
    slots = [slot for slot in scored if slot.area == area.id]
    return AreaResult(
        id=area.id,
        critical=area.critical,
        items=len(slots),
        reached=sum(slot.number in marks for slot in slots),
        right=sum(marks.get(slot.number) == "right" for slot in slots),
    )


def result_document(result: Result) -> dict[str, Any]:
    """The result as plain values, for JSON."""
    return {
        "areas": [vars(area).copy() for area in result.areas],
        "changed": list(result.changed),
        "critical_missed": list(result.critical_missed),
        "cut": result.cut,
        "items": result.items,
        "not_reached": list(result.not_reached),
        "passed": result.passed,
        "reasons": list(result.reasons),
        "right": result.right,
        "unreadable": list(result.unreadable),
    }


def read_result(document: Mapping[str, Any]) -> Result:
    """The result of what `result_document` gave."""
    facts: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in document.items()
    }
    facts["areas"] = tuple(AreaResult(**area) for area in document["areas"])
    return Result(**facts)
