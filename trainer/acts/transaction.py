"""One act, one transaction: what is written and what is logged stand or fall together."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from sqlalchemy.orm import Session

from trainer.acts.sentences import SENTENCES
from trainer.records import log
from trainer.records.database import Database

SYSTEM = "system"
T = TypeVar("T")


@dataclass(frozen=True)
class Act:
    """An open writing transaction and the moment it counts for."""

    db: Session
    now: datetime

    def log(self, kind: str, *, by: str, about: str, **facts: log.Fact) -> int:
        """Append to the record log; `by` and `about` are public ids, never names."""
        if f"log.{kind}" not in SENTENCES:
            raise KeyError(f"log.{kind} has no sentence; add it to trainer/acts/sentences")
        # A fact that the sentence needs and does not get is found here, not by whoever reads the log years later.
        for language in ("en", "es"):
            SENTENCES[f"log.{kind}"].say(language, **facts)
        return log.append(self.db, at=self.now, kind=kind, by=by, about=about, facts=facts)


def act_together(database: Database, now: datetime, work: Callable[[Act], T]) -> T:
    """A short act that may share its transaction, and its wait for the disk, with others; on disk when this returns.

    The work may be done again before that, from the start: it reads, judges, writes and logs, and nothing else.
    """
    return database.write_together(lambda session: work(Act(session, now)))


@contextmanager
def act(database: Database, now: datetime) -> Iterator[Act]:
    """Open the one transaction of an act."""
    with database.writing() as session:
        yield Act(session, now)
