"""A closed exam scored again from what is kept, beside what stands on record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.acts.exams import ExamTools, canonical_result, paper_of, tasks_of
from trainer.exams.key_marks import marks_by_keys
from trainer.exams.key_sheet import key_sheet
from trainer.exams.paper import Paper, score_paper
from trainer.exams.rescoring import Scored, rescored, with_changes
from trainer.exams.scoring import Mark, Result
from trainer.records.database import Database
from trainer.records.queries import exams as queries
from trainer.records.queries.rescoring import Rescore, rescores_of


@dataclass(frozen=True)
class Replayed:
    """A score worked out again from what is kept; `differs` names what does not agree.

    result, passed: with every re-score since the close; a pass may stand beside a result that is none
    """

    result: Result
    passed: bool | None
    differs: tuple[str, ...]

    @property
    def agrees(self) -> bool:
        """Whether nothing differs."""
        return not self.differs


def replay(database: Database, *, public_id: str, tools: ExamTools) -> Replayed:
    """Score a closed exam again from its form and answers, and compare with what is kept. Raises LookupError."""
    with database.reading() as db:
        sitting = queries.sitting(db, public_id)
        if sitting is None or sitting.result is None:
            raise LookupError(f"there is no closed exam {public_id}")
        answers = queries.standing_answers(db, sitting.id)
        kept = queries.every_answer(db, sitting.id)
        logged = queries.logged_answers(db, sitting.person_public_id, public_id)
        right, passed, kept_result = queries.result_at_close(db, sitting.id)
        again = rescores_of(db, [sitting.id]).get(sitting.id, [])
    paper, find, tasks = paper_of(sitting), tools.bank.find, tasks_of(sitting, tools)
    result = score_paper(paper, answers, find, tools.secret, tasks)
    stands = {
        "exam.replay_result": canonical_result(result) != kept_result,
        "exam.replay_passed": (result.right, result.passed) != (right, passed),
        "exam.replay_answers": len(logged) != len(kept) or set(logged) != kept,
    }
    if again:
        marks = marks_by_keys(key_sheet(paper, answers, find, tools.secret, tasks), answers)
        scored, stands["exam.replay_rescore"] = _again(paper, marks, Scored(result, bool(passed)), again)
        result, passed = scored.result, scored.passed
    return Replayed(result, passed, tuple(key for key, holds in stands.items() if holds))


def _again(
    paper: Paper, marks: dict[int, Mark], scored: Scored, again: Sequence[Rescore]
) -> tuple[Scored, bool]:
    """What is in force after every re-score, and whether one of them is not what follows from its marks."""
    differs = False
    for one in again:
        scored = rescored(paper.rules, paper.form, marks, one.changed, passed=scored.passed)
        marks = with_changes(marks, one.changed)
        now = (canonical_result(scored.result), scored.result.right, scored.passed, scored.lowers)
        differs |= now != (one.result, one.right, one.passed, one.lowers)
    return scored, differs
