"""A site's questions on trial, as exams ask them."""

from __future__ import annotations

from sqlalchemy import case, func, select
from sqlalchemy.orm import Session

from trainer.exams.trial import OnTrial
from trainer.language.loading import load_question
from trainer.records.queries.questions import own_questions
from trainer.records.tables import Exam, Person


def on_trial(db: Session, site_id: int, public_id: str) -> list[OnTrial]:
    """The questions on trial at a site that a person neither wrote nor had another hand in, by name.

    Each with the number of the site's exams on which it stood. One statement where the site has no question of its
    own, else three, and one more where any is on trial.
    """
    texts = [
        (one.name, text)
        for one in own_questions(db, site_id)
        if public_id not in one.life.hands
        and (version := one.life.in_state("pilot")) is not None
        and (text := one.text(version)) is not None
    ]
    if not texts:
        return []
    # The text of a version is its own alone, and what stands on a form there names it by fingerprint. It stood on none
    # before it was written, and most exams are older than that.
    stands = (Exam.form.contains(f'"fingerprint":"{text.fingerprint}"') for _, text in texts)
    asked = db.execute(
        select(*(func.count(case((one, 1))) for one in stands))
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, Exam.started_at >= min(text.at for _, text in texts))
    ).one()
    return [
        OnTrial(load_question(text.text, f"{name}.yaml"), count)
        for (name, text), count in zip(texts, asked, strict=True)
    ]
