"""The way to a certificate, one call a step, for tests that need somebody part of the way."""

import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from tests.cast import MONDAY, PASSWORD, Cast
from trainer.acts import standing
from trainer.acts.certifying import Decided, approve_second, decide
from trainer.acts.practicals import Observed, sign_practical, sign_second
from trainer.exams.reading import load_schemes
from trainer.records.tables import Exam

KEY = bytes(range(32))
SAMPLE_KEY = bytes(range(32, 64))
CABINET = load_schemes(Path(__file__).parents[2] / "questions" / "schemes")["cabinet"]
STEPS = tuple(step.id for step in CABINET.practical.steps)
CRITICAL = next(step.id for step in CABINET.practical.steps if step.critical)
ALL_MET = dict.fromkeys(STEPS, "met")
YEAR = timedelta(days=365)


def new_id() -> str:
    return str(uuid.uuid4())


@dataclass
class Way:
    """Acts on one cast, with a clock that moves on by a minute an act."""

    cast: Cast
    now: datetime = field(default=MONDAY)
    key: bytes = KEY

    def tick(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now

    def exam(self, person=None, *, passed=True, scheme="cabinet", valid_until=None, result=None) -> str:
        """An exam sat and scored, written as the exam room writes it."""
        at = self.tick()
        public_id = new_id()
        with self.cast.database.writing() as db:
            db.add(
                Exam(
                    public_id=public_id, person_id=person or self.cast.ana, scheme=scheme, scheme_version=1,
                    sheet_version=1, form="{}", system="us", started_at=at, deadline=at + timedelta(minutes=40),
                    submitted_at=at, closed_by="person", right=26, passed=passed, result=result,
                    valid_until=(valid_until or at + YEAR) if passed else None,
                )
            )  # fmt: skip
        return public_id

    def practical(
        self, person=None, *, by=None, machine=None, marks=None, password=PASSWORD, public_id=None, **more
    ):
        observed = Observed(
            public_id or new_id(),
            person or self.cast.ana,
            machine or self.cast.conveyor,
            marks or ALL_MET,
            **more,
        )
        return sign_practical(
            self.cast.database, observed, scheme=CABINET, by=by or self.cast.tom, password=password,
            address="192.0.2.7", sample_key=SAMPLE_KEY, now=self.tick(),
        )  # fmt: skip

    def second(
        self, person=None, *, by=None, machine=None, marks=None, password=PASSWORD, public_id=None, **more
    ):
        observed = Observed(
            public_id or new_id(),
            person or self.cast.ana,
            machine or self.cast.conveyor,
            marks or ALL_MET,
            **more,
        )
        return sign_second(
            self.cast.database, observed, scheme=CABINET, by=by or self.cast.rosa, password=password,
            address="192.0.2.7", now=self.tick(),
        )  # fmt: skip

    def decide(self, person=None, *, by=None, cabinet=None, granted=True, public_id=None, **more):
        decided = Decided(
            public_id or new_id(), person or self.cast.ana, cabinet or self.cast.main_cabinet, granted, **more
        )
        return decide(
            self.cast.database,
            decided,
            scheme=CABINET,
            by=by or self.cast.mia,
            signing_key=self.key,
            now=self.tick(),
        )

    def approve(self, decision, *, by=None):
        return approve_second(
            self.cast.database, decision=decision, scheme=CABINET, by=by or self.cast.rosa, signing_key=self.key,
            now=self.tick(),
        )  # fmt: skip

    def withdraw(self, certificate, *, by=None, reason="Opened it live."):
        return standing.withdraw(
            self.cast.database,
            certificate=certificate,
            by=by or self.cast.mia,
            reason=reason,
            now=self.tick(),
        )
