"""Between two tries: the skills that must be practised again after a fail."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.exams.paper import read_paper
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import read_result
from trainer.exams.sitting import Sitting


@dataclass(frozen=True)
class Owed:
    """What a failed try asks for: right answers without help in each of these skills, given after its end."""

    skills: tuple[str, ...]
    since: datetime
    each: int

    def left(self, right_alone: Mapping[str, int]) -> dict[str, int]:
        """How many right answers without help are still missing, by skill, from how many were given since."""
        missing = {skill: self.each - right_alone.get(skill, 0) for skill in self.skills}
        return {skill: count for skill, count in missing.items() if count > 0}


def owed_after(scheme: Scheme, history: Sequence[Sitting]) -> Owed | None:
    """What the newest try asks for if it failed; nothing where the scheme asks for nothing.

    Every skill that the form held in an area with a miss: which question was missed stays unsaid.
    """
    counted = [one for one in history if one.scheme == scheme.id and one.passed is not None]
    newest = max(counted, key=lambda one: (one.started_at, one.id), default=None)
    if scheme.tries.practise_again == 0 or newest is None or newest.passed or newest.result is None:
        return None
    result = read_result(json.loads(newest.result))
    missed = {area.id for area in result.areas if area.right < area.items}
    slots = read_paper(json.loads(newest.form)).form.scored
    skills = dict.fromkeys(slot.skill for slot in slots if slot.area in missed)
    known = set(scheme.skills)
    assert newest.ended_at is not None
    return Owed(tuple(one for one in skills if one in known), newest.ended_at, scheme.tries.practise_again)
