"""A closed exam scored again from what is kept, beside what stands on record."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.acts.exams import ExamTools, canonical_result, paper_of, tasks_of
from trainer.exams.paper import score_paper
from trainer.exams.scoring import Result
from trainer.records.database import Database
from trainer.records.queries import exams as queries


@dataclass(frozen=True)
class Replayed:
    """A score worked out again from what is kept; `differs` names what does not agree."""

    result: Result
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
    find, tasks = tools.bank.find, tasks_of(sitting, tools)
    result = score_paper(paper_of(sitting), answers, find, tools.secret, tasks)
    stands = {
        "exam.replay_result": canonical_result(result) != sitting.result,
        "exam.replay_passed": (result.right, result.passed) != (sitting.right, sitting.passed),
        "exam.replay_answers": len(logged) != len(kept) or set(logged) != kept,
    }
    return Replayed(result, tuple(key for key, holds in stands.items() if holds))
