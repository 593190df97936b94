"""A server killed with SIGKILL at random moments of running exams: what it acknowledged is there, once, and no more."""

import html
import json
import random
import re

import pytest

from tests.cast import make_person
from tests.kill.crowd import Client, Sent
from tests.six_kinds import RIGHT, WRONG, form_fields
from trainer.acts import exams as acts
from trainer.records.queries import exams as queries

pytestmark = pytest.mark.kill


class Candidate(Client):
    """Begins exams, gives answers, hands in where `hands_in` says how likely that is after each answer."""

    def __init__(self, scene, person, *, hands_in):
        super().__init__(random.Random(scene.chance.random()))
        self.house, self.browser, self.hands_in = scene.house, scene.browser(person), hands_in
        self.person = scene.cast.public_id(person)
        self.exam, self.questions, self.revisions = None, {}, {}
        self.given = {}  # by exam: the newest answer by slot, and what was asked there

    def plan(self):
        if self.exam is None:
            return Sent(("started", self.person), self.browser, "/exams/about/six")
        if self.chance.random() < self.hands_in:
            key = ("closed", self.person, self.exam)
            return Sent(key, self.browser, f"/exams/{self.exam}/review")
        slot = self.chance.choice(sorted(self.questions))
        # The typed numbers are never right: 9 ft at most, where the vehicle has 140 / 13 ft at least.
        kept = self.chance.choice([RIGHT, WRONG]).get(self.questions[slot], f"{self.chance.randint(1, 9)} ft")
        self.revisions[slot] = self.revisions.get(slot, 0) + 1
        fields = (*form_fields(self.questions[slot], kept), ("revision", str(self.revisions[slot])))
        key = ("answered", self.person, self.exam, slot, self.revisions[slot], kept)
        return Sent(key, self.browser, f"/exams/{self.exam}/{slot}", fields, "application/json")

    def taken(self, sent, reply):
        kind = sent.key[0]
        if kind == "answered":
            assert reply.status == 200 and json.loads(reply.text)["saved"], reply.text
            _, _, exam, slot, _, kept = sent.key
            self.given[exam][slot] = (self.questions[slot], kept)
            return sent.key
        if kind == "closed":
            assert reply.status == 303 and reply.getheader("Location").endswith("/result")
            self.exam = None
            return sent.key
        self._begun(reply)
        return (*sent.key, self.exam)

    def _begun(self, reply):
        """The exam that was begun; where the reply to an earlier start was lost, it is the open one."""
        if reply.status == 303:
            self.exam = reply.getheader("Location").split("/")[2]
        else:
            assert reply.status == 422 and self.repeats, reply.text
            page = self.browser.get("/exams/").text
            self.exam = re.search(r'class="act" href="/exams/([0-9a-f-]{36})"', page)[1]
        with self.house.database.reading() as db:
            paper = acts.paper_of(queries.sitting(db, self.exam))
        self.questions = {slot.number: slot.question for slot in paper.form.slots}
        self.revisions, self.given[self.exam] = {}, {}


def test_no_acknowledged_answer_is_lost_or_doubled(scene, capsys):
    people = (scene.cast.ana, scene.cast.tom, scene.cast.mia)
    candidates = [Candidate(scene, person, hands_in=0) for person in people]
    crowd = scene.kill_often(candidates)
    _check_going_on(scene.house, candidates)
    with capsys.disabled():
        print(scene.told(crowd))


def test_no_acknowledged_exam_is_lost_scored_twice_or_scored_anew(scene, capsys):
    people = [
        make_person(scene.cast.database, scene.cast.site, f"Sam Reed{n}", public_id=f"sam-{n}")
        for n in range(6)
    ]
    candidates = [Candidate(scene, person, hands_in=0.5) for person in people]
    crowd = scene.kill_often(candidates)
    for person, one in zip(people, candidates, strict=True):
        with scene.house.database.reading() as db:
            sat = {sitting.public_id: sitting for sitting in queries.history(db, person)}
        assert sat.keys() == one.given.keys()
        for exam, given in one.given.items():
            if exam != one.exam:
                assert sat[exam].right == _right(given)
    with capsys.disabled():
        print(scene.told(crowd))


def _right(given):
    return sum(RIGHT.get(question) == kept for question, kept in given.values())


def _check_going_on(house, candidates):
    """Every exam can be opened again as it stands, handed in, and its score follows from what was acknowledged."""
    for one in candidates:
        given = one.given[one.exam]
        assert one.browser.get(f"/exams/{one.exam}").status == 302
        for slot, (question, kept) in given.items():
            page = one.browser.get(f"/exams/{one.exam}/{slot}").text
            if question == "eyes.length":
                assert f'value="{html.escape(kept)}"' in page
        assert one.browser.post(f"/exams/{one.exam}/review").status == 303
        assert one.browser.get(f"/exams/{one.exam}/result").status == 200
        with house.database.reading() as db:
            assert queries.sitting(db, one.exam).right == _right(given)
