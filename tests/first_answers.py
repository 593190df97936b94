"""Invented first answers in practice, stored as rows: people differ, and one question has a wrong key."""

from collections.abc import Iterable
from datetime import timedelta

import numpy as np
from sqlalchemy import insert

from tests.cast import MONDAY, Cast, make_person
from trainer.language.questions import ChoiceTask, Question
from trainer.records.tables import Drill


def practise(
    cast: Cast, questions: Iterable[Question], *, people: int, miskeyed: str = "", first: int = 0
) -> None:
    """Store one answer a person and question; those who know more get the miskeyed one wrong."""
    rng = np.random.default_rng(7 + first)
    rows = []
    for number in range(first, first + people):
        person = make_person(
            cast.database, cast.site, f"P{number} Learner", password_hash=None, pin_hash=None
        )
        able = rng.normal(0.8, 1.2)
        for question in questions:
            knows = bool(rng.random() < 1 / (1 + np.exp(-able)))
            right = knows is not (question.id == miskeyed)
            rows.append({
                "public_id": f"{number}-{question.id}", "person_id": person, "lesson": None, "skill": question.skill,
                "question": question.id, "version": question.version, "fingerprint": question.fingerprint,
                "sheet_version": 1, "system": "us", "support": "alone", "shown_at": MONDAY,
                "answered_at": MONDAY + timedelta(seconds=20 + number % 60),
                "answer": _answer(question, right=right), "verdict": "right" if right else "wrong", "right": right,
                "slip": None,
            })  # fmt: skip
    with cast.database.writing() as db:
        db.execute(insert(Drill), rows)


def _answer(question: Question, *, right: bool) -> str:
    task = question.task
    if not isinstance(task, ChoiceTask):
        return "1 ft"
    # What hangs on the numbers is right or wrong by them, which nobody works out here.
    return next((one.id for one in task.options if one.right is right), task.options[0].id)
