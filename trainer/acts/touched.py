"""Whom a newer key of a site's own question touches: exams and practice in which an older text of it was answered."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from trainer.acts.exams import ExamTools, canonical_result, paper_of, tasks_of
from trainer.acts.learning import drill_label
from trainer.certificates.facts import CertificateHeld
from trainer.exams.forms import Slot
from trainer.exams.key_marks import marks_by_keys
from trainer.exams.key_sheet import key_sheet
from trainer.exams.paper import instance_of, mark_of
from trainer.exams.rescoring import Compared, How, Scored, compare, rescored, with_changes
from trainer.exams.scoring import Mark, read_result, score
from trainer.exams.sitting import GivenAnswer, Sitting
from trainer.language.draws import Instance, NoInstance, replay
from trainer.language.newer import LANGUAGES
from trainer.language.questions import Question
from trainer.quantities.dimensions import System
from trainer.records.database import Session
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import rescoring
from trainer.records.queries.certifying import held_by_exam
from trainer.records.queries.questions import OwnOne
from trainer.records.queries.rescoring import PracticeAnswer


@dataclass(frozen=True)
class TouchedExam:
    """One exam in which the answer to an older text was given; person: the name of whoever sat it.

    now, then: what is in force, and what would be with the newer key, or with the answer counted right
    unsound: the marks worked out again do not give the result that is in force, so it cannot be scored again
    """

    sitting: Sitting
    person: str
    slot: Slot
    given: GivenAnswer | None
    compared: Compared
    now: Scored
    then: Scored
    how: How
    certificates: tuple[CertificateHeld, ...] = ()
    unsound: bool = False

    @property
    def changed(self) -> dict[int, Mark | None]:
        """The marks that this changes, by slot."""
        return {self.slot.number: self.compared.after if self.how == "newer" else "right"}


@dataclass(frozen=True)
class Practice:
    """Answers in practice to older texts: all, those marked otherwise by the newer key, those it says nothing about."""

    answers: int
    touched: int
    cannot: int


@dataclass(frozen=True)
class Touched:
    """Whom the newest published text of a question touches.

    exams: whose mark it changes; cannot: answers that it says nothing about and that are not right as they stand
    same: answers that are marked as before; cannot_right: those that it says nothing about and that are right already
    """

    version: int
    fingerprint: str
    exams: tuple[TouchedExam, ...]
    cannot: tuple[TouchedExam, ...]
    same: int
    cannot_right: int
    practice: Practice

    def of(self, how: How) -> tuple[TouchedExam, ...]:
        """The exams that one way of re-scoring is for."""
        return self.exams if how == "newer" else self.cannot


def newest_published(one: OwnOne) -> int | None:
    """The version of a question that was put into use last."""
    return next((step.version for step in reversed(one.steps) if step.kind == "published"), None)


def touched_by(db: Session, one: OwnOne, site_id: int, tools: ExamTools) -> Touched | None:
    """Whom the newest published text touches; None where none was published, or it cannot be read.

    Seven statements, and two for each exam in which an older text was asked.
    """
    version = newest_published(one)
    text = None if version is None else one.text(version)
    newer = None if text is None else tools.bank.find(one.name, text.fingerprint)
    if version is None or newer is None or text is None or newer.fingerprint != text.fingerprint:
        return None
    asked = rescoring.exams_that_asked(db, site_id, one.name, newer.fingerprint)
    looked = _Looking(db, newer, tools, [sitting.id for sitting, _ in asked])
    found = [exam for sitting, person in asked if (exam := looked.at(sitting, person)) is not None]
    same = sum(exam.compared.comparable and not exam.compared.touched for exam in found)
    right = sum(not exam.compared.comparable and not exam.compared.open for exam in found)
    return Touched(
        version, newer.fingerprint, tuple(exam for exam in found if exam.compared.touched),
        tuple(exam for exam in found if exam.compared.open), same, right, _practice(db, one, site_id, newer, tools),
    )  # fmt: skip


class _Looking:
    """Exams looked at, one after the other, with what is read of all of them at once."""

    def __init__(self, db: Session, newer: Question, tools: ExamTools, exams: list[int]) -> None:
        self.db, self.newer, self.tools = db, newer, tools
        self.sheets = rescoring.key_sheets(db, exams)
        self.before = rescoring.rescores_of(db, exams)
        self.held = held_by_exam(db, exams)

    def at(self, sitting: Sitting, person: str) -> TouchedExam | None:
        """What the newer key does to one exam; None where the question did not count there, or the exam does not."""
        paper = paper_of(sitting)
        slot = next((one for one in paper.form.scored if one.question == self.newer.id), None)
        if slot is None or sitting.passed is None or sitting.result is None:
            return None
        answers = exam_queries.standing_answers(self.db, sitting.id)
        marks = self._marks(sitting, answers)
        asked = instance_of(paper, slot, self.tools.bank.find, self.tools.secret)
        given, stands = answers.get(slot.number), marks.get(slot.number)
        compared = compare(asked, self.newer, given, stands)
        how: How = "newer" if compared.comparable else "right"
        changed: dict[int, Mark | None] = {slot.number: compared.after if how == "newer" else "right"}
        now = Scored(read_result(json.loads(sitting.result)), sitting.passed)
        then = rescored(paper.rules, paper.form, marks, changed, passed=sitting.passed)
        return TouchedExam(
            sitting, person, slot, given, compared, now, then, how, tuple(self.held.get(sitting.id, ())),
            unsound=canonical_result(score(paper.rules, paper.form, marks)) != sitting.result,
        )  # fmt: skip

    def _marks(self, sitting: Sitting, answers: Mapping[int, GivenAnswer]) -> dict[int, Mark]:
        """The marks in force: by the key sheet of the close, then by each re-score."""
        sheet: Mapping[str, Any] | None = self.sheets.get(sitting.id)
        if sheet is None:  # closed before key sheets were kept
            find, tasks = self.tools.bank.find, tasks_of(sitting, self.tools)
            sheet = key_sheet(paper_of(sitting), answers, find, self.tools.secret, tasks)
        marks = marks_by_keys(sheet, answers)
        for one in self.before.get(sitting.id, ()):
            marks = with_changes(marks, one.changed)
        return marks


def _practice(db: Session, one: OwnOne, site_id: int, newer: Question, tools: ExamTools) -> Practice:
    answers = rescoring.practice_of(db, site_id, one.name, newer.fingerprint)
    told = [_told_right(each, site_id, newer, tools) for each in answers]
    touched = sum(now is not None and now != each.right for each, now in zip(answers, told, strict=True))
    return Practice(len(answers), touched, sum(now is None for now in told))


def _told_right(one: PracticeAnswer, site_id: int, newer: Question, tools: ExamTools) -> bool | None:
    """Whether the newer key takes an answer as right; None where it says nothing."""
    asked = _drill(one, site_id, tools)
    if asked is None:
        return None
    given = [GivenAnswer(1, 1, one.answer, each) for each in sorted(LANGUAGES, key=one.language.__ne__)]
    # Typed in the person's own language, unless the mark that was given then says otherwise.
    typed = next((each for each in given if (mark_of(asked, each) == "right") == one.right), given[0])
    compared = compare(asked, newer, typed, None)
    return compared.after == "right" if compared.comparable else None


def _drill(one: PracticeAnswer, site_id: int, tools: ExamTools) -> Instance | None:
    question = tools.bank.find(one.question, one.fingerprint)
    if question is None or question.fingerprint != one.fingerprint:
        return None
    label = drill_label(one.person_public_id, one.public_id, one.question, one.version)
    values = tools.sheet_values(site_id, one.sheet_version)
    record = {
        "fingerprint": one.fingerprint, "site": values, "label": label, "system": cast(System, one.system),
    }  # fmt: skip
    try:
        return replay(question, record, tools.secret)
    except NoInstance:
        return None
