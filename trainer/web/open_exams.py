"""An exam of mine as its pages need it: the sitting, its paper, the answers that stand, the benches among them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from flask import abort, current_app

from trainer.acts import exams as acts
from trainer.acts.exam_benches import OnBench, on_bench
from trainer.exams.paper import Paper
from trainer.exams.sitting import GivenAnswer, Sitting, is_up
from trainer.records.queries import exams as queries
from trainer.web import words
from trainer.web.house import House, house, me, now, reading

MOST_SET_EXAMS = 500


@dataclass(frozen=True)
class OpenExam:
    """My exam with its paper and, once they are asked for, the answers that stand."""

    sitting: Sitting
    paper: Paper

    @cached_property
    def answers(self) -> dict[int, GivenAnswer]:
        """The answer that counts under each number."""
        with reading() as db:
            return queries.standing_answers(db, self.sitting.id)

    @property
    def numbers(self) -> list[int]:
        """The numbers of its questions."""
        return [slot.number for slot in self.paper.form.slots]

    @property
    def title(self) -> str:
        """The exam's name in the language of this request."""
        return exam_title(self.sitting)

    def following(self, number: int) -> int | None:
        """The number of the next question."""
        after = self.numbers[self.numbers.index(number) + 1 :]
        return after[0] if after else None

    def is_bench(self, number: int) -> bool:
        """Whether a bench stands under a number."""
        slot = self.paper.slot(number)
        return slot is not None and slot.bench is not None

    def on_bench(self, number: int) -> OnBench | None:
        """The bench under a number as it stands; None where it was changed since."""
        return on_bench(self.sitting, number, self.answers.get(number), tools(house()))

    def answered(self, number: int) -> bool:
        """Whether a question has an answer, or a bench was brought to its end."""
        given = self.answers.get(number)
        if given is None or not given.text:
            return False
        if not self.is_bench(number):
            return True
        stands = self.on_bench(number)
        return stands is None or stands.finished

    def next_revision(self, number: int) -> int:
        """The number that the next answer to a question carries."""
        return self.answers[number].revision + 1 if number in self.answers else 1


def tools(one: House) -> acts.ExamTools:
    """What exams need beside the database, from an installation; the sweeper takes the same."""
    return acts.ExamTools(one.bank, one.schemes, one.key_for("instances"), one.site_values, one.sheet)


def my_exam(public_id: str) -> OpenExam:
    """An exam that is mine; anybody else's does not exist."""
    with reading() as db:
        sitting = queries.sitting(db, public_id)
    if sitting is None or sitting.person_id != me().id:
        abort(404)
    return OpenExam(sitting, acts.paper_of(sitting))


def my_set_exam(public_id: str) -> OpenExam:
    """An exam that is mine, by what never changes of it: whose it is and its paper.

    Answers come often, so this is kept in memory. Whether the exam is still open is for the act to say.
    """
    known: dict[str, Sitting] = current_app.extensions.setdefault("stringline.set_exams", {})
    if public_id not in known:
        sitting = my_exam(public_id).sitting
        if len(known) >= MOST_SET_EXAMS:
            known.clear()
        known[public_id] = sitting
    if known[public_id].person_id != me().id:
        abort(404)
    return OpenExam(known[public_id], acts.paper_of(known[public_id]))


def has_ended(sitting: Sitting) -> bool:
    """Whether nothing can be added to an exam any more."""
    return sitting.ended_at is not None or is_up(sitting, now())


def exam_title(sitting: Sitting) -> str:
    """The name of an exam's scheme in the language of this request."""
    return scheme_title(sitting.scheme)


def scheme_title(scheme_id: str) -> str:
    """The name of a scheme in the language of this request; one that is gone keeps its id."""
    scheme = house().schemes.get(scheme_id)
    return scheme.title.say(words.language()) if scheme else scheme_id
