"""Anybody does anything to a certificate in any order; a small model of its own says who may open the cabinet.

The model knows only which acts were taken and when; it shares no code with the rules. It is asked after each act.
"""

import shutil
import tempfile
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.acts.certified import ALL_MET, CRITICAL, Way, new_id
from tests.acts.test_certifying_paths import prepared
from tests.acts.test_exams import make_tools
from tests.cast import make_cast
from trainer.access.refusal import Refused
from trainer.acts import appeals, standing
from trainer.certificates.permission import cabinet_permission
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import appeals as appeal_queries
from trainer.records.queries import certifying as queries

WHO = st.sampled_from(["tom", "mia", "rosa", "lee", "otto"])
MANAGERS = st.sampled_from(["mia", "mia", "rosa", "tom"])
TOOLS = make_tools()


@dataclass
class Model:
    """What must hold for the cabinet to be open, told in moments."""

    exam: bool = False
    practical: tuple | None = None  # when, passed, who observed
    barred_until: object = None  # a practical must come after this
    certificate: str | None = None
    suspended: dict = field(default_factory=dict)  # suspension: since when, or None for a manager's own
    reduced: bool = False
    withdrawn: set = field(default_factory=set)
    refused: bool = False

    def is_open(self):
        practical = self.practical is not None and self.practical[1]
        certified = self.certificate is not None and self.certificate not in self.withdrawn
        return self.exam and practical and certified and not (self.suspended or self.reduced or self.refused)


class Standing(RuleBasedStateMachine):
    """One person, one cabinet, everyone who could have a say."""

    def __init__(self):
        super().__init__()
        self.begin()
        self.way = Way(self.cast)
        self.model = Model()
        self.waits, self.appeals, self.decided = None, [], {}

    def begin(self):
        path, cast = prepared()
        self.folder = tempfile.mkdtemp(prefix="stringline-standing-")
        shutil.copy(path, Path(self.folder) / "run.sqlite3")
        self.cast = replace(cast, database=Database(f"sqlite:///{self.folder}/run.sqlite3"))

    def teardown(self):
        with self.cast.database.reading() as db:
            assert log.verify(db).flaws == ()
        self.cast.database.dispose()
        shutil.rmtree(self.folder, ignore_errors=True)

    def id(self, who):
        return getattr(self.cast, who)

    def held(self):
        with self.cast.database.reading() as db:
            return queries.certificates_of(db, self.cast.ana)

    @initialize(certified=st.sampled_from([True, True, False]))
    def begin_with(self, certified):
        """Chance alone seldom walks the whole way to a certificate."""
        if certified:
            self.exam(passed=True), self.practical(passed=True, by="tom"), self.decide(granted=True, by="mia")
            assert self.model.is_open()

    @rule(passed=st.booleans())
    def exam(self, passed):
        self.way.exam(passed=passed)
        self.model.exam = self.model.exam or passed

    @rule(passed=st.sampled_from([True, True, False]), by=MANAGERS)
    def practical(self, passed, by):
        done = self.way.practical(
            by=self.id(by), marks=ALL_MET if passed else {**ALL_MET, CRITICAL: "not_met"}
        )
        if not isinstance(done, Refused):
            self.model.practical = (self.way.now, passed, by)

    @rule(granted=st.sampled_from([True, True, True, False]), by=WHO)
    def decide(self, granted, by):
        before = {one.public_id for one in self.held()}
        done = self.way.decide(by=self.id(by), granted=granted, reason="Why.", overlap_reason="Few of us.")
        if isinstance(done, Refused):
            return
        assert by in ("mia", "rosa")
        new = {one.public_id for one in self.held()} - before
        if new:
            self.issued(new.pop())
            assert self.model.practical[2] != by
        elif granted:
            self.waits = (done, by)
        else:
            self.model.refused, self.waits = True, None

    @precondition(lambda self: self.waits)
    @rule(by=WHO)
    def approve(self, by):
        decision, first = self.waits
        done = self.way.approve(decision, by=self.id(by))
        if not isinstance(done, Refused):
            assert by in ("mia", "rosa")
            assert by not in (first, self.model.practical[2])
            self.issued(done)
            self.waits = None

    def issued(self, certificate):
        """Every piece of evidence stands, and nothing bars it."""
        seen, passed, _ = self.model.practical
        assert self.model.exam
        assert passed
        assert self.model.barred_until is None or seen > self.model.barred_until
        assert not any(since is None for since in self.model.suspended.values())
        self.model.certificate, self.model.suspended = certificate, {}
        self.model.reduced = self.model.refused = False

    @precondition(lambda self: self.model.certificate)
    @rule(by=WHO)
    def suspend(self, by):
        asked = standing.Asked(new_id(), self.model.certificate, "Why.")
        done = standing.suspend(self.cast.database, asked, by=self.id(by), now=self.way.tick())
        if not isinstance(done, Refused):
            assert by in ("mia", "rosa")
            self.model.suspended[asked.public_id] = None

    @precondition(lambda self: self.model.suspended)
    @rule(data=st.data(), by=WHO)
    def lift(self, data, by):
        suspension = data.draw(st.sampled_from(sorted(self.model.suspended)))
        since = self.model.suspended[suspension]
        asked = standing.Asked(new_id(), self.model.certificate, "Why.")
        done = standing.lift(self.cast.database, asked, suspension, by=self.id(by), now=self.way.tick())
        if isinstance(done, Refused):
            return
        assert by in ("mia", "rosa")
        assert self.model.practical[2] != by
        assert since is None or (self.model.practical[0] > since and self.model.practical[1])
        if self.model.certificate not in self.model.withdrawn:
            del self.model.suspended[suspension]

    @precondition(lambda self: self.model.certificate)
    @rule(by=WHO)
    def reduce(self, by):
        asked = standing.Asked(new_id(), self.model.certificate, "Why.")
        done = standing.reduce(self.cast.database, asked, ["open_alone"], by=self.id(by), now=self.way.tick())
        if not isinstance(done, Refused):
            self.model.reduced, self.model.barred_until = True, self.way.now

    @precondition(lambda self: self.model.certificate)
    @rule(by=WHO)
    def withdraw(self, by):
        done = self.way.withdraw(self.model.certificate, by=self.id(by))
        if not isinstance(done, Refused) and self.model.certificate not in self.model.withdrawn:
            self.model.withdrawn |= {one.public_id for one in self.held()}
            self.model.barred_until = self.way.now

    @rule(by=WHO)
    def change_machine(self, by):
        now = self.way.tick()
        changed = standing.MachineChange(new_id(), self.cast.conveyor, None, "machine", "New drive.", now)
        done = standing.change_machine(self.cast.database, changed, by=self.id(by), now=now)
        if isinstance(done, Refused):
            return
        self.model.barred_until = now
        newest = next((one for one in self.held() if one.public_id == self.model.certificate), None)
        for one in newest.standing(now).suspensions if newest is not None else ():
            if one.at == now:
                self.model.suspended[one.public_id] = now
        if self.model.certificate and self.model.certificate not in self.model.withdrawn:
            assert any(since == now for since in self.model.suspended.values())

    @rule(data=st.data())
    def appeal(self, data):
        with self.cast.database.reading() as db:
            against = appeal_queries.adverse_of(db, self.cast.ana)
        if against:
            one = data.draw(st.sampled_from(against))
            filed = appeals.Filed(new_id(), one.kind, one.public_id, "Why.")
            done = appeals.file_appeal(
                self.cast.database, filed, by=self.cast.ana, tools=TOOLS, now=self.way.tick()
            )
            if not isinstance(done, Refused):
                with self.cast.database.reading() as db:
                    self.appeals.append((done, appeal_queries.appeal(db, done).pack))

    @precondition(lambda self: self.appeals)
    @rule(data=st.data(), by=WHO)
    def hear(self, data, by):
        appeal, _ = data.draw(st.sampled_from(self.appeals))
        appeals.take_appeal(self.cast.database, appeal, by=self.id(by), now=self.way.tick())
        done = appeals.decide_appeal(
            self.cast.database, appeal, outcome="upheld", reason="Why.", by=self.id(by), now=self.way.tick()
        )
        if not isinstance(done, Refused):
            assert by in ("mia", "rosa", "lee")
            assert self.decided.setdefault(appeal, by) == by

    @invariant()
    def the_cabinet_is_open_when_the_model_says_so(self):
        with self.cast.database.reading() as db:
            e = queries.evidence_of(db, self.cast.ana, self.cast.main_cabinet, "cabinet")
        permission = cabinet_permission(e, self.way.now)
        assert permission.may_open == self.model.is_open(), (permission.missing, self.model)

    @invariant()
    def withdrawn_stays_withdrawn_and_evidence_frozen(self):
        gone = {one.public_id for one in self.held() if one.state(self.way.now) == "withdrawn"}
        assert gone == self.model.withdrawn
        with self.cast.database.reading() as db:
            for public_id, pack in self.appeals:
                assert appeal_queries.appeal(db, public_id).pack == pack


TestStanding = Standing.TestCase
TestStanding.settings = settings(
    max_examples=10, stateful_step_count=20, suppress_health_check=list(HealthCheck), deadline=None
)


@pytest.mark.postgresql
def test_the_same_holds_on_postgresql(postgresql_server):
    class OnPostgresql(Standing):
        def begin(self):
            self.name = postgresql_server.make_database()
            self.cast, self.folder = make_cast(postgresql_server.url(self.name)), ""

        def teardown(self):
            super().teardown()
            postgresql_server.drop_database(self.name)

    run_state_machine_as_test(
        OnPostgresql,
        settings=settings(
            max_examples=2, stateful_step_count=10, suppress_health_check=list(HealthCheck), deadline=None
        ),
    )
