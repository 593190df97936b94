"""One person's tries at an exam, from asking to the result, in any order of acts; a model of its own says what counts.

The model shares no code with the rules: it counts the seconds that the clock ran, and keeps what was acknowledged.
"""

import shutil
import tempfile
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import timedelta
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

from tests.acts.test_certifying_paths import prepared
from tests.acts.test_exams import entries, make_tools, sitting_of, who
from tests.cast import MONDAY, PASSWORD, make_cast
from tests.on_trial import SENDER, bank_with_kept, put_on_trial
from tests.six_kinds import RIGHT as SCORED
from tests.six_kinds import WRONG as SCORED_WRONG
from trainer.access.refusal import Refused
from trainer.acts import exams, invigilating
from trainer.acts.exam_replay import replay
from trainer.exams.scheme import Tries
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import exams as queries
from trainer.records.tables import SiteSheetVersion

TEN_MINUTES, AN_HOUR, FOUR_HOURS = 600, 3600, 4 * 3600
PLACES = st.sampled_from(["a" * 64, "a" * 64, "b" * 64])
WATCHERS = ("tom", "mia")
ANYBODY = st.sampled_from(["tom", "tom", "mia", "ana", "lee", "otto"])
QUESTIONS = ("eyes.choice", "eyes.parts", "lockout.order", SENDER)
# What is on trial counts nowhere; a person answers it as anything else.
RIGHT, WRONG = {**SCORED, SENDER: "emitter"}, {**SCORED_WRONG, SENDER: "cable"}
CRITICAL = {"lockout.order", "lockout.table"}


@dataclass
class Asked:
    """A request to an invigilator."""

    public_id: str
    place: str
    at: object
    exam: str | None = None
    admitted: object = None
    used: bool = False

    def stands(self, now):
        """Waiting for an hour, then good for a quarter of one."""
        since, seconds = (self.at, AN_HOUR) if self.admitted is None else (self.admitted, 900)
        return not self.used and now < since + timedelta(seconds=seconds)


@dataclass
class Try:
    """An exam as the person saw it: seconds that its clock ran, and the answers that were acknowledged."""

    public_id: str
    place: str
    slots: dict
    limit: int = TEN_MINUTES
    ran: int = 0
    stood: int | None = None  # for how long the clock has been standing; None while it runs
    kept: dict = field(default_factory=dict)  # slot and revision: text
    ended: tuple | None = None  # when, by whom
    result: str | None = None

    def wait(self, seconds):
        if self.stood is not None:
            standing = min(seconds, FOUR_HOURS - self.stood)
            self.stood, seconds = self.stood + standing, seconds - standing
            if self.stood == FOUR_HOURS:
                self.stood = None
        self.ran += seconds

    @property
    def is_up(self):
        return self.ran >= self.limit

    @property
    def is_open(self):
        return self.ended is None and not self.is_up

    def takes_from(self, place):
        return self.is_open and self.stood is None and self.place == place

    def close(self, now, by):
        late = timedelta(seconds=self.ran - self.limit)
        self.ended = (now - late, "deadline") if self.is_up else (now, by)

    def right(self):
        """The questions that were answered right, by the highest revision of each."""
        newest = {slot: text for (slot, _), text in sorted(self.kept.items())}
        return {self.slots[slot] for slot, text in newest.items() if SCORED.get(self.slots[slot]) == text}

    def passed(self):
        return self.ended is not None and len(self.right()) >= 4 and self.right() >= CRITICAL


class Attempt(RuleBasedStateMachine):
    """Ana sits, Tom or Mia watches, others try."""

    def __init__(self):
        super().__init__()
        self.begin()
        with self.cast.database.writing() as db:
            db.add(
                SiteSheetVersion(
                    site_id=self.cast.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY
                )
            )
        self.ana, self.now = who(self.cast, self.cast.ana), MONDAY
        self.tries, self.asked, self.moves = [], [], []

    def begin(self):
        path, cast = prepared()
        self.folder = tempfile.mkdtemp(prefix="stringline-attempt-")
        shutil.copy(path, Path(self.folder) / "run.sqlite3")
        self.cast = replace(cast, database=Database(f"sqlite:///{self.folder}/run.sqlite3"))

    def teardown(self):
        with self.cast.database.reading() as db:
            assert log.verify(db).flaws == ()
        kinds = Counter(one["kind"] for one in entries(self.cast))
        assert kinds["exam.started"] == len(self.tries)
        assert kinds["exam.closed"] == sum(one.ended is not None for one in self.tries)
        assert kinds["exam.answered"] == sum(len(one.kept) for one in self.tries)
        for one in self.tries:
            if one.ended is not None:
                assert replay(self.cast.database, public_id=one.public_id, tools=self.tools).agrees
        self.cast.database.dispose()
        shutil.rmtree(self.folder, ignore_errors=True)

    @initialize(watched=st.booleans(), trial=st.booleans())
    def open_the_room(self, watched, trial):
        """Chance alone seldom walks the way into an exam."""
        self.watched = watched
        facts = {"invigilated": watched, "tries": Tries(10_000, 1, 0), "trial_places": int(trial)}
        self.tools = make_tools(bank_with_kept(self.cast.database), **facts)
        if trial:
            put_on_trial(self.cast, SENDER)
        if watched:
            self.ask("a" * 64)
            self.admit("tom", self.asked[-1])
        self.start("a" * 64)
        assert len(self.tries) == 1
        assert (SENDER in self.last.slots.values()) == trial

    def by(self, name):
        return who(self.cast, getattr(self.cast, name))

    def tick(self, seconds=1):
        """Each act has a second of its own."""
        self.now += timedelta(seconds=seconds)
        for one in self.tries:
            if one.ended is None:
                one.wait(seconds)

    @property
    def last(self):
        return self.tries[-1]

    @rule(seconds=st.sampled_from([30, 240, 580, 900, AN_HOUR, 3 * AN_HOUR]))
    def wait(self, seconds):
        self.tick(seconds)

    @precondition(lambda self: self.watched)
    @rule(place=PLACES)
    def ask(self, place):
        self.tick()
        self._ask("start", place, self.asked, None)

    @precondition(lambda self: self.watched and self.last.ended is None)
    @rule(place=PLACES)
    def ask_to_move(self, place):
        self.tick()
        self._ask("move", place, self.moves, self.last.public_id)

    def _ask(self, kind, place, known, exam):
        public_id = invigilating.ask(
            self.cast.database,
            member=self.ana,
            scheme_id="six",
            kind=kind,
            place=place,
            exam=exam,
            now=self.now,
        )
        newest = known[-1] if known else None
        same = newest and newest.place == place and newest.exam == exam and newest.stands(self.now)
        assert (newest is not None and public_id == newest.public_id) == bool(same)
        if not same:
            known.append(Asked(public_id, place, self.now, exam))

    @precondition(lambda self: self.asked)
    @rule(by=ANYBODY, data=st.data())
    def admit_somebody(self, by, data):
        self.admit(by, data.draw(st.sampled_from([*self.asked[-2:], *self.moves[-2:]])))

    def admit(self, by, asked):
        self.tick()
        done = invigilating.admit(
            self.cast.database, by=self.by(by), request=asked.public_id, attested=True, now=self.now
        )
        waits = asked.admitted is None and asked.stands(self.now)
        assert (not isinstance(done, Refused)) == (waits and by in WATCHERS)
        if isinstance(done, Refused):
            return
        asked.admitted, asked.used = self.now, asked.exam is not None
        for one in self.tries:
            if one.public_id == asked.exam and one.ended is None:
                one.place = asked.place

    @rule(place=PLACES)
    def start(self, place):
        self.tick()
        started = exams.start(
            self.cast.database, member=self.ana, scheme_id="six", tools=self.tools, now=self.now, place=place
        )
        request = self.asked[-1] if self.asked else None
        admitted = request and request.admitted and request.stands(self.now) and request.place == place
        free = all(one.ended is not None and not one.passed() for one in self.tries)
        assert (started.public_id is not None) == bool(free and (admitted or not self.watched)), started
        if started.public_id is not None:
            if self.watched:
                request.used = True
            paper = exams.paper_of(sitting_of(self.cast, started.public_id))
            slots = {one.number: one.question for one in paper.form.slots}
            # Two minutes for one more than six in ten; and nobody has it twice.
            extra = 120 if SENDER in slots.values() else 0
            assert not extra or not self.tries
            self.tries.append(Try(started.public_id, place, slots, TEN_MINUTES + extra))

    @rule(
        data=st.data(),
        question=st.sampled_from(QUESTIONS),
        revision=st.integers(0, 3),
        right=st.booleans(),
        place=PLACES,
    )
    def answer(self, data, question, revision, right, place):
        """To the newest exam, or late to one before it."""
        self.give(data.draw(st.sampled_from(self.tries[-2:])), question, revision, right, place)

    def give(self, one, question, revision, right, place, seconds=1):
        """After so many seconds."""
        self.tick(seconds)
        slot = next((number for number, asked in one.slots.items() if asked == question), None)
        if slot is None:
            return  # what is on trial stands on no form twice
        text = (RIGHT if right else WRONG)[question]
        receipt = exams.answer(
            self.cast.database, member=self.ana, public_id=one.public_id, slot=slot, revision=revision, text=text,
            language="en", now=self.now, place=place,
        )  # fmt: skip
        known = one.kept.get((slot, revision))
        assert receipt.repeated == (known == text)
        assert receipt.accepted == (
            known == text or (known is None and revision >= 1 and one.takes_from(place))
        )
        if receipt.accepted:
            one.kept[slot, revision] = text

    # What follows are ways that chance alone hardly finds.

    @precondition(lambda self: self.last.takes_from(self.last.place))
    @rule()
    def answer_all_right(self):
        """The way to a pass."""
        for question in self.last.slots.values():
            if question in RIGHT:
                self.give(self.last, question, self.fresh, question != SENDER, self.last.place)

    @precondition(lambda self: self.last.takes_from(self.last.place))
    @rule(question=st.sampled_from(QUESTIONS), right=st.booleans(), place=PLACES)
    def change_an_answer(self, question, right, place):
        """Two revisions of one answer, the later one first, then handed in."""
        fresh = self.fresh
        for revision in (fresh + 1, fresh):
            self.give(self.last, question, revision, right == (revision > fresh), self.last.place)
        self.submit(place)

    @precondition(lambda self: self.last.takes_from(self.last.place))
    @rule(question=st.sampled_from(QUESTIONS), left=st.sampled_from([1, 0, -1]))
    def answer_at_the_last_moment(self, question, left):
        """A second before the deadline, at it, a second after."""
        seconds = max(1, self.last.limit - self.last.ran - left)
        self.give(self.last, question, self.fresh, True, self.last.place, seconds)

    @precondition(lambda self: self.last.ended is not None)
    @rule(question=st.sampled_from(QUESTIONS), right=st.booleans())
    def go_on_after_the_end(self, question, right):
        """Answer once more and hand in once more."""
        self.give(self.last, question, self.fresh, right, self.last.place)
        self.submit(self.last.place)

    @property
    def fresh(self):
        """A revision that no answer has, nor any that is drawn."""
        return 4 + max((revision for _, revision in self.last.kept), default=0)

    @rule(by=ANYBODY)
    def pause(self, by):
        self.tick()
        done = invigilating.pause(
            self.cast.database, by=self.by(by), exam=self.last.public_id, reason="No network.", now=self.now
        )
        fine = by in WATCHERS and self.last.is_open and self.last.stood is None
        assert (not isinstance(done, Refused)) == fine
        if fine:
            self.last.stood = 0
            self.give(self.last, "eyes.choice", self.fresh, True, self.last.place)

    @rule(by=ANYBODY)
    def go_on(self, by):
        self.tick()
        done = invigilating.resume(self.cast.database, by=self.by(by), exam=self.last.public_id, now=self.now)
        fine = by in WATCHERS and self.last.ended is None and self.last.stood is not None
        assert (not isinstance(done, Refused)) == fine
        if fine:
            self.last.stood = None

    @rule(by=ANYBODY, minutes=st.sampled_from([5, 120, 121]))
    def give_back(self, by, minutes):
        self.tick()
        done = invigilating.give_back(
            self.cast.database, by=self.by(by), exam=self.last.public_id, much=timedelta(minutes=minutes),
            reason="No network.", now=self.now,
        )  # fmt: skip
        fine = by in WATCHERS and self.last.is_open and minutes <= 120
        assert (not isinstance(done, Refused)) == fine
        if fine:
            self.last.limit += minutes * 60

    @rule(place=PLACES)
    def take_over(self, place):
        self.tick()
        proof = invigilating.Proof(PASSWORD, "192.0.2.7", by_pin=False)
        done = invigilating.take_over(
            self.cast.database, member=self.ana, exam=self.last.public_id, place=place, watched=self.watched,
            proof=proof, now=self.now,
        )  # fmt: skip
        fine = not self.watched and self.last.ended is None
        assert (not isinstance(done, Refused)) == fine
        if fine:
            self.last.place = place

    @rule(place=PLACES)
    def submit(self, place):
        self.tick()
        done = exams.submit(
            self.cast.database, member=self.ana, public_id=self.last.public_id, tools=self.tools, now=self.now,
            place=place,
        )  # fmt: skip
        one = self.last
        assert done.closed == (one.ended is not None or one.is_up or one.takes_from(place))
        if done.closed and one.ended is None:
            one.close(self.now, "person")

    @rule()
    def sweep(self):
        self.tick()
        over = [one for one in self.tries if one.ended is None and one.is_up]
        closed = exams.close_overdue(self.cast.database, self.tools, self.now)
        assert closed == [one.public_id for one in over]
        for one in over:
            one.close(self.now, "deadline")

    @invariant()
    def records_are_what_was_acknowledged(self):
        """Nothing late counts, the last revision does, there is one result, and it never changes."""
        for one in self.tries:
            sitting = sitting_of(self.cast, one.public_id)
            with self.cast.database.reading() as db:
                kept = queries.every_answer(db, sitting.id)
            assert len(kept) == len(one.kept)
            assert {(each.slot, each.revision): each.text for each in kept} == one.kept
            assert sitting.place == one.place
            ended = None if sitting.ended_at is None else (sitting.ended_at, sitting.closed_by)
            assert ended == one.ended
            assert (sitting.result is None) == (ended is None)
            if ended is not None:
                assert (sitting.right, sitting.passed) == (len(one.right()), one.passed())
                assert one.result in (
                    None,
                    (sitting.result, sitting.right, sitting.passed, sitting.valid_until),
                )
                one.result = (sitting.result, sitting.right, sitting.passed, sitting.valid_until)


def modestly(examples, steps):
    return settings(
        max_examples=examples,
        stateful_step_count=steps,
        suppress_health_check=list(HealthCheck),
        deadline=None,
    )


TestAttempt = Attempt.TestCase
TestAttempt.settings = modestly(20, 30)


@pytest.mark.postgresql
def test_the_same_holds_on_postgresql(postgresql_server):
    class OnPostgresql(Attempt):
        def begin(self):
            self.name = postgresql_server.make_database()
            self.cast, self.folder = make_cast(postgresql_server.url(self.name)), ""

        def teardown(self):
            super().teardown()
            postgresql_server.drop_database(self.name)

    run_state_machine_as_test(OnPostgresql, settings=modestly(4, 20))
