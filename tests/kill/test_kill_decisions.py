"""A server killed while practicals are signed and certificates decided, suspended, given back, withdrawn."""

import random
from collections import deque
from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import select

from tests.acts.certified import ALL_MET, CRITICAL, new_id
from tests.cast import PASSWORD, make_person, qualify
from tests.kill.crowd import Client, Sent
from trainer.records.tables import Certificate, Decision, Exam

pytestmark = pytest.mark.kill

TEAMS = 4
A_YEAR = timedelta(days=365)


class Team(Client):
    """A trainer and two managers, who lead a learner to a certificate and take it away, again and again.

    Each team is people of its own, so that tries of a password that a kill cut off are counted apart.
    """

    def __init__(self, scene, number):
        super().__init__(random.Random(scene.chance.random()))
        self.house, self.cast = scene.house, scene.cast
        make = partial(make_person, scene.cast.database, scene.cast.site)
        self.learner = make(f"Sam Reed{number}", public_id=f"learner-{number}")
        people = {
            "trainer": make(f"Tess Hall{number}", "trainer", public_id=f"trainer-{number}"),
            "first": make(f"Max Stone{number}", "manager", public_id=f"first-{number}"),
            "second": make(f"Nora West{number}", "manager", public_id=f"second-{number}"),
        }
        now = datetime.now(UTC)
        for one in people.values():
            valid = {"since": now - A_YEAR, "until": now + A_YEAR}
            qualify(scene.cast.database, one, scene.cast.conveyor, scene.cast.mia, **valid)
        with scene.cast.database.writing() as db:
            db.add(_passed_exam(self.learner, now))
        self.browsers = {name: scene.browser(one) for name, one in people.items()}
        self.number, self.about = number, f"learner-{number}"
        self.decision = self.suspension = None
        self.steps = deque()
        self.rounds = 0

    def plan(self):
        if not self.steps:
            self.steps.extend(self._round())
        return self.steps.popleft()()

    def taken(self, sent, reply):
        assert reply.status == 303, (sent, reply.status, reply.text)
        return sent.key

    def finish(self):
        """Go the way that was begun to its end."""
        while self.pending is not None or self.steps:
            self.act()

    def _round(self):
        """One way from a practical to a withdrawn certificate."""
        self.rounds += 1
        overlap = (self.number + self.rounds) % 2 == 0  # so that few rounds have both ways
        observer, other = ("second", "trainer") if overlap else ("trainer", "second")
        if self.rounds > 1 and self.chance.random() < 0.2:
            yield partial(self.observe, observer, passed=False)
        yield partial(self.observe, observer)
        if self.rounds == 1:
            yield partial(self.observe_beside, other)  # everyone's first practical asks for a second observer
        if self.chance.random() < 0.3:
            yield partial(self.decide, "first", "refuse")
        yield partial(self.decide, "second" if overlap else "first", "grant")
        if overlap:
            yield self.approve
        for _ in range(self.chance.randint(0, 2)):
            yield self.suspend
            yield self.lift
        if self.chance.random() < 0.3:
            yield self.suspend
        yield self.withdraw

    def observe(self, by, *, passed=True):
        key = ("practical", self.about, new_id(), "passed" if passed else "failed")
        return self._signed(
            key, by, "/practicals/sign", ALL_MET if passed else {**ALL_MET, CRITICAL: "not_met"}
        )

    def observe_beside(self, by):
        return self._signed(("second", self.about, new_id()), by, "/practicals/second", ALL_MET)

    def _signed(self, key, by, path, marks):
        fields = (
            ("form_id", key[2]), ("person", self.about), ("machine", "conveyor"), ("password", PASSWORD),
            *((f"step-{step}", mark) for step, mark in marks.items()),
        )  # fmt: skip
        # From another device each time: a try that a kill cut off counts against the address that it came from.
        address = f"127.0.{self.chance.randint(1, 250)}.{self.chance.randint(1, 250)}"
        return Sent(key, self.browsers[by], path, fields, address=address)

    def decide(self, by, done):
        self.decision = new_id()
        overlap = by == "second"
        kind = "refused" if done == "refuse" else "waits" if overlap else "granted"
        fields = (
            ("form_id", self.decision), ("decision", done), ("reason", "Not yet." if done == "refuse" else ""),
            ("overlap_reason", "Few of us." if overlap else ""),
        )  # fmt: skip
        path = f"/cabinets/{self.cast.main_cabinet}/decide/{self.about}"
        return Sent((kind, self.about, self.decision), self.browsers[by], path, fields)

    def approve(self):
        return Sent(
            ("approved", self.about, self.decision), self.browsers["first"], f"/decisions/{self.decision}"
        )

    def suspend(self):
        self.suspension = new_id()
        return self._changed("suspended", self.suspension, self.chance.choice(["first", "second"]), "suspend")

    def lift(self):
        return self._changed("lifted", new_id(), "first", f"lift/{self.suspension}")

    def withdraw(self):
        by, certificate = self.browsers[self.chance.choice(["first", "second"])], self._certificate()
        path = f"/certificates/{certificate}/withdraw"
        return Sent(("withdrawn", self.about, certificate), by, path, (("reason", "Opened it live."),))

    def _changed(self, kind, form, by, way):
        fields = (("form_id", form), ("reason", "Why."))
        path = f"/certificates/{self._certificate()}/{way}"
        return Sent((kind, self.about, form), self.browsers[by], path, fields)

    def _certificate(self):
        """The certificate of the decision that was acknowledged."""
        issued = select(Certificate.public_id).join(Decision, Decision.id == Certificate.decision_id)
        with self.house.database.reading() as db:
            return db.scalars(issued.where(Decision.public_id == self.decision)).one()


def _passed_exam(person, now):
    """An exam as it stands after it was passed; how exams hold up under kills is another test's."""
    return Exam(
        public_id=new_id(), person_id=person, scheme="cabinet", scheme_version=1, sheet_version=1, form="{}",
        system="us", started_at=now, deadline=now + timedelta(minutes=40), submitted_at=now, closed_by="person",
        right=26, passed=True, valid_until=now + A_YEAR,
    )  # fmt: skip


def test_no_acknowledged_practical_or_decision_is_lost_or_doubled(scene, capsys):
    crowd = scene.kill_often([Team(scene, number) for number in range(TEAMS)])
    assert {"granted", "approved", "withdrawn"} <= {
        key[0] for one in crowd.clients for key in one.acknowledged
    }
    with capsys.disabled():
        print(scene.told(crowd))
