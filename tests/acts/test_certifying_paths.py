"""No order of acts leads to an active certificate without every piece of evidence, and none back from withdrawn."""

import json
import shutil
import tempfile
from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from sqlalchemy import text

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, STEPS, Way
from tests.cast import Cast, make_cast
from trainer.access.refusal import Refused
from trainer.certificates.permission import cabinet_permission
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import certifying as queries

# Written apart from the rules under test, straight from the tables.
CERTIFICATES = """
SELECT c.public_id, c.person_id, c.effective_at, c.expires_at, c.withdrawn_at, d.granted, d.decided_by_id,
  d.overlap_reason, d.second_approver_id, decider.role AS decider_role, second.role AS second_role,
  e.person_id AS exam_person, e.passed AS exam_passed, e.scheme AS exam_scheme, e.valid_until,
  p.person_id AS practical_person, p.passed AS practical_passed, p.steps, p.observer_id,
  observer.role AS observer_role, p.machine_id, cabinet.machine_id AS cabinet_machine, person.trained_by_id
FROM certificate c JOIN decision d ON d.id = c.decision_id JOIN person ON person.id = c.person_id
JOIN cabinet ON cabinet.id = c.cabinet_id JOIN person decider ON decider.id = d.decided_by_id
LEFT JOIN person second ON second.id = d.second_approver_id LEFT JOIN exam e ON e.id = d.exam_id
LEFT JOIN practical p ON p.id = d.practical_id LEFT JOIN person observer ON observer.id = p.observer_id
"""
MUST = {step.id for step in CABINET.practical.steps if step.critical}
WHO = st.sampled_from(["ana", "tom", "mia", "rosa", "lee", "otto"])
PEOPLE = st.sampled_from(["ana", "mia"])


@cache
def prepared() -> tuple[Path, Cast]:
    """A database with the cast in it, made once and copied for each run."""
    path = Path(tempfile.mkdtemp(prefix="stringline-paths-")) / "cast.sqlite3"
    cast = make_cast(f"sqlite:///{path}")
    cast.database.dispose()
    return path, cast


class Paths(RuleBasedStateMachine):
    """Anybody tries anything in any order."""

    def __init__(self):
        super().__init__()
        path, cast = prepared()
        self.folder = tempfile.mkdtemp(prefix="stringline-paths-")
        shutil.copy(path, Path(self.folder) / "run.sqlite3")
        self.cast = replace(cast, database=Database(f"sqlite:///{self.folder}/run.sqlite3"))
        self.way = Way(self.cast)
        self.decisions, self.withdrawn = [], set()

    def teardown(self):
        with self.cast.database.reading() as db:
            assert log.verify(db).flaws == ()
        self.cast.database.dispose()
        shutil.rmtree(self.folder)

    def rows(self):
        with self.cast.database.reading() as db:
            return [dict(row) for row in db.execute(text(CERTIFICATES)).mappings()]

    def id(self, who):
        return getattr(self.cast, who)

    @rule(
        who=PEOPLE,
        passed=st.booleans(),
        scheme=st.sampled_from(["cabinet", "basics"]),
        days=st.integers(0, 400),
    )
    def exam(self, who, passed, scheme, days):
        self.way.exam(
            self.id(who), passed=passed, scheme=scheme, valid_until=self.way.now + timedelta(days=days)
        )

    @rule(
        who=PEOPLE, by=WHO, machine=st.sampled_from(["conveyor", "dryer"]),
        missed=st.sampled_from([None, CRITICAL, STEPS[-1]]),
    )  # fmt: skip
    def practical(self, who, by, machine, missed):
        marks = ALL_MET | ({missed: "not_met"} if missed else {})
        self.way.practical(self.id(who), by=self.id(by), machine=self.id(machine), marks=marks)

    @rule(who=PEOPLE, by=WHO, granted=st.booleans(), reason=st.sampled_from(["", "Because."]))
    def decide(self, who, by, granted, reason):
        done = self.way.decide(
            self.id(who), by=self.id(by), granted=granted, reason=reason, overlap_reason=reason
        )
        if not isinstance(done, Refused):
            self.decisions.append(done)

    @rule(who=PEOPLE, observer=st.sampled_from(["tom", "mia", "rosa"]), by=st.sampled_from(["mia", "rosa"]))
    def the_right_way(self, who, observer, by):
        """Short cut to what counts, or chance alone would seldom get there."""
        self.way.exam(self.id(who))
        self.way.practical(self.id(who), by=self.id(observer))
        self.decide(who, by, True, "Because.")

    @precondition(lambda self: self.decisions)
    @rule(data=st.data(), by=WHO)
    def approve(self, data, by):
        self.way.approve(data.draw(st.sampled_from(self.decisions)), by=self.id(by))

    @precondition(lambda self: self.rows())
    @rule(data=st.data(), by=WHO, reason=st.sampled_from(["", "Because."]))
    def withdraw(self, data, by, reason):
        held = data.draw(st.sampled_from([row["public_id"] for row in self.rows()]))
        done = self.way.withdraw(held, by=self.id(by), reason=reason)
        if not isinstance(done, Refused):
            self.withdrawn.add(done)

    @rule(days=st.sampled_from([1, 30, 200]))
    def wait(self, days):
        self.way.now += timedelta(days=days)

    @invariant()
    def every_certificate_rests_on_everything(self):
        for row in self.rows():
            assert row["granted"] and row["decider_role"] == "manager"
            assert row["exam_person"] == row["practical_person"] == row["person_id"] != row["decided_by_id"]
            assert row["exam_passed"] and row["exam_scheme"] == "cabinet"
            assert row["effective_at"] < row["expires_at"] <= row["valid_until"]
            assert row["practical_passed"] and row["machine_id"] == row["cabinet_machine"]
            assert row["observer_role"] in ("trainer", "manager") and row["observer_id"] != row["person_id"]
            assert {step for step, mark in json.loads(row["steps"]).items() if mark == "met"} >= MUST
            if row["decided_by_id"] in (row["trained_by_id"], row["observer_id"]):
                assert row["overlap_reason"] and row["second_role"] == "manager"
                others = (row["person_id"], row["decided_by_id"], row["trained_by_id"], row["observer_id"])
                assert row["second_approver_id"] not in others

    @invariant()
    def withdrawn_stays_withdrawn(self):
        assert self.withdrawn <= {row["public_id"] for row in self.rows() if row["withdrawn_at"]}

    @invariant()
    def whoever_may_open_holds_a_certificate_that_counts(self):
        with self.cast.database.reading() as db:
            found = queries.site_evidence(db, self.cast.site, "cabinet")
            held = {one.public_id: one for e in found for one in queries.certificates_of(db, e.person_id)}
        for e in found:
            if cabinet_permission(e, self.way.now).may_open:
                assert held[e.certificate_public_id].state(self.way.now) == "active"
                assert e.certificate_public_id not in self.withdrawn


TestPaths = Paths.TestCase
TestPaths.settings = settings(max_examples=10, stateful_step_count=16, deadline=None)
