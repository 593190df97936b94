"""A sitting as a state machine: whatever is repeated, reordered or late, only what was acknowledged stands."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, precondition, rule

from tests.exams.sittings import START, SmallPool, make_scheme, make_sitting
from trainer.exams.forms import Form, assemble_form
from trainer.exams.scoring import rules_of, score
from trainer.exams.sitting import Arrival, is_over, judge_answer

SCHEME = make_scheme()
SCORED = assemble_form(SCHEME, SmallPool(SCHEME), bytes(32), "me").slots
TRIAL = replace(SCORED[0], number=6, question="eyes.own_trial", pilot=True)
FORM = Form((*SCORED, TRIAL))
SLOTS = [slot.number for slot in FORM.slots]


class Room:
    """A person's exam kept the way the acts keep it: by what judge_answer says and by nothing else."""

    def __init__(self):
        self.sitting = make_sitting()
        self.kept = {}

    def answer(self, sent):
        mine = {revision: text for (slot, revision), text in self.kept.items() if slot == sent.slot}
        receipt = judge_answer(self.sitting, SLOTS, mine, sent)
        if receipt.accepted and not receipt.repeated:
            assert (sent.slot, sent.revision) not in self.kept
            self.kept[(sent.slot, sent.revision)] = sent.text
        return receipt

    def close(self, at, by):
        if self.sitting.ended_at is not None:
            return
        marks = {slot: "right" if text == "right" else "wrong" for slot, text in self.standing().items()}
        self.result = score(rules_of(SCHEME), FORM, marks)
        ended = min(at, self.sitting.deadline)
        self.sitting = replace(self.sitting, ended_at=ended, closed_by=by)

    def standing(self):
        newest = {}
        for (slot, _), text in sorted(self.kept.items()):
            newest[slot] = text
        return newest


class Exam(RuleBasedStateMachine):
    """The model beside it knows only: what was acknowledged first for each key, and whether time was left."""

    requests = Bundle("requests")

    def __init__(self):
        super().__init__()
        self.room = Room()
        self.now = START
        self.model = {}
        self.model_open = True
        self.at_close = None

    @rule(
        target=requests,
        slot=st.integers(0, len(SLOTS) + 1),
        revision=st.integers(0, 3),
        text=st.sampled_from(["right", "4.20", "4.2", ""]),
    )
    def type_an_answer(self, slot, revision, text):
        return (slot, revision, text)

    @rule(request=requests, person=st.sampled_from([7, 7, 7, 8]))
    def arrive(self, request, person):
        """A request arrives: the first time, again, or long after later ones."""
        slot, revision, text = request
        receipt = self.room.answer(Arrival(person, slot, revision, text, self.now))
        known = self.model.get((slot, revision))
        if person != 7:
            assert receipt.reasons == ("exam.not_yours",)
        elif known is not None:
            assert receipt.accepted == receipt.repeated == (known == text)
        else:
            fits = slot in SLOTS and revision >= 1
            assert receipt.accepted == (fits and self.model_open and self.now < START + timedelta(minutes=10))
            if receipt.accepted:
                self.model[(slot, revision)] = text

    @rule(seconds=st.sampled_from([1, 60, 240, 599, 600]))
    def wait(self, seconds):
        self.now += timedelta(seconds=seconds)

    @rule()
    def submit(self):
        self._close("deadline" if is_over(self.room.sitting.deadline, self.now) else "person")

    @precondition(lambda self: is_over(self.room.sitting.deadline, self.now))
    @rule()
    def sweep(self):
        self._close("deadline")

    def _close(self, by):
        self.room.close(self.now, by)
        if self.model_open:
            self.at_close = (dict(self.model), self.now)
        self.model_open = False

    @invariant()
    def what_was_acknowledged_stands(self):
        assert self.room.kept == self.model

    @invariant()
    def the_highest_revision_counts(self):
        for slot, text in self.room.standing().items():
            assert text == self.model[(slot, max(r for s, r in self.model if s == slot))]

    @invariant()
    def a_closed_exam_never_changes(self):
        if self.at_close is None:
            return
        model, at = self.at_close
        assert self.model == model
        assert self.room.sitting.ended_at == min(at, START + timedelta(minutes=10))
        newest = {slot: model[(slot, max(r for s, r in model if s == slot))] for slot, _ in model}
        counted = {slot: text for slot, text in newest.items() if slot != TRIAL.number}
        assert self.room.result.right == sum(text == "right" for text in counted.values())
        assert self.room.result.items == 5


Exam.TestCase.settings = settings(max_examples=60, stateful_step_count=40, deadline=None)
TestExam = Exam.TestCase
