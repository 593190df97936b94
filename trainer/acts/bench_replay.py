"""Scoring an ended run of a bench again, from what is kept of it."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.acts.benches import BenchTools, acts_of_run, end_facts, task_of_run
from trainer.benches import catalogue
from trainer.benches.frame import Score
from trainer.records.database import Database
from trainer.records.queries import benches as queries


@dataclass(frozen=True)
class Replayed:
    """A run scored again from what is kept; `differs` names what does not agree. No score without the same task."""

    score: Score | None
    differs: tuple[str, ...]

    @property
    def agrees(self) -> bool:
        """Whether nothing differs."""
        return not self.differs


def replay(database: Database, *, public_id: str, tools: BenchTools) -> Replayed:
    """Score an ended run again from its acts, and compare with what is kept and logged.

    Raises LookupError where there is no such run, or it is one of another version of its bench.
    """
    with database.reading() as db:
        kept = queries.run(db, public_id)
        if kept is None or kept.facts.ended_at is None:
            raise LookupError(f"there is no ended run {public_id}")
        logged = queries.logged_ends(db, kept.facts.person_public_id, public_id)
    run, bench = kept.facts, catalogue.benches().get(kept.facts.bench)
    if bench is None or bench.CARD.version != run.version:
        raise LookupError(f"run {public_id} is of {run.bench} version {run.version}, which is not here")
    task = task_of_run(run, tools)
    if task is None:
        return Replayed(None, ("bench.replay_task",))
    score = bench.score(task, acts_of_run(kept, task))
    again = (score.points, score.passed, score.failed is not None)
    stands = {
        "bench.replay_score": again != (run.points, run.passed, run.failed),
        "bench.replay_log": logged != [end_facts(kept, score)],
    }
    return Replayed(score, tuple(key for key, holds in stands.items() if holds))
