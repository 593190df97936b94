"""A look at how all questions do and how far exams can be trusted: from which answers, and with which prior."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Literal

from trainer.exams.curves import prior
from trainer.exams.forms import shortfalls
from trainer.exams.scheme import Scheme
from trainer.exams.simulated import TwoForms, two_forms
from trainer.language.loading import Bank
from trainer.language.questions import ChoiceTask, Question
from trainer.statistics.consistency import Consistency
from trainer.statistics.difference import overlap
from trainer.statistics.families import Prior
from trainer.statistics.flags import LEAST
from trainer.statistics.judging import Answered, Asked, Judgement, arrange, judge_questions
from trainer.statistics.kept import judgement_document, read_judgement, read_scores, scores_document
from trainer.statistics.scores import Scores, scores_of
from trainer.statistics.simulating import Share

PRIOR_WEIGHT = 10.0  # answers that a level's prior is worth; this project's own judgement
LEARNERS, SEED = 2000, 1  # of the model that speaks while too few people have sat

Source = Literal["exams", "practice"]


def name_of(question: str, version: int) -> str:
    """What answers to one version of a question are counted under."""
    return f"{question}@{version}"


@dataclass(frozen=True)
class Sat:
    """One person's first sitting of a scheme's version."""

    scheme: str
    version: int
    right: int
    passed: bool
    items: int
    cut: int


@dataclass(frozen=True)
class Material:
    """Everything that a look rests on, of one site.

    exams, practice: first answers without help, one a person and question; on_forms: of how many forms of the last year
    each question was a part, by scheme and question; forms: how many there were of each scheme
    """

    exams: Sequence[Answered]
    practice: Sequence[Answered]
    sat: Sequence[Sat]
    forms: Mapping[str, int]
    on_forms: Mapping[tuple[str, str], int]


@dataclass(frozen=True)
class Reviewed:
    """A question with the judgement on it, the answers that this rests on, and how often it was met.

    met: of the forms of the last year in whose schemes it stands; on_trial: it counts nowhere yet
    """

    question: str
    version: int
    source: Source
    on_trial: bool
    judgement: Judgement
    met: Share


@dataclass(frozen=True)
class SchemeReviewed:
    """How far the exams of a scheme's version can be trusted.

    scores: None while too few have sat; model: what its own forms would do by the model, None where they cannot be made
    people: who has sat it; in_common: share of a form that another is expected to hold too
    """

    scheme: str
    version: int
    people: int
    scores: Scores | None
    model: TwoForms | None
    in_common: float | None


@dataclass(frozen=True)
class Review:
    """One look: when, on how many answers, the questions and the schemes."""

    at: datetime
    answers: int
    questions: tuple[Reviewed, ...]
    schemes: tuple[SchemeReviewed, ...]


def look(
    material: Material, bank: Bank, on_trial: Iterable[Question], schemes: Mapping[str, Scheme], at: datetime
) -> Review:
    """Judge every question of a bank and those on trial, and every scheme's exams.

    A question is judged by its exam answers where there are enough, else by first answers in practice without help;
    where neither are enough, whichever are more stand beside the model's value.
    """
    trial = list(on_trial)
    asked = [*bank.by_id.values(), *trial]
    known = [asked_of(one) for one in asked]
    names = [one.name for one in known]
    by_exams = judge_questions(arrange(material.exams, names), known)
    # An answer that has got about matters in exams; in practice it would only cost two more fits.
    by_practice = judge_questions(arrange(material.practice, names), known, drifts=False)
    reviewed = []
    for at_, one in enumerate(asked):
        source, judgement = _better(by_exams[at_], by_practice[at_])
        reviewed.append(
            Reviewed(
                one.id, one.version, source, at_ >= len(bank.by_id), judgement, _met(one, material, schemes)
            )
        )
    told = tuple(_scheme(one, material, bank) for one in schemes.values())
    return Review(at, len(material.exams) + len(material.practice), tuple(reviewed), told)


def asked_of(question: Question) -> Asked:
    """What is known of a question before anybody answers it: the chance of the person at the border, by its level."""
    place = prior(question.level, len(question.steps), family=question.is_family).place
    guess = 1 / len(question.task.options) if isinstance(question.task, ChoiceTask) else 0.0
    return Asked(
        name_of(question.id, question.version), Prior(1 / (1 + math.exp(place)), PRIOR_WEIGHT), guess
    )


def _better(exams: Judgement, practice: Judgement) -> tuple[Source, Judgement]:
    many = exams.figures.right.of
    if many >= LEAST or many >= practice.figures.right.of > 0 or practice.figures.right.of == 0 < many:
        return "exams", exams
    return "practice", practice


def _met(question: Question, material: Material, schemes: Mapping[str, Scheme]) -> Share:
    of = [one.id for one in schemes.values() if question.skill in one.skills]
    return Share(
        sum(material.on_forms.get((one, question.id), 0) for one in of),
        sum(material.forms.get(one, 0) for one in of),
    )


def _scheme(scheme: Scheme, material: Material, bank: Bank) -> SchemeReviewed:
    sat = [one for one in material.sat if (one.scheme, one.version) == (scheme.id, scheme.version)]
    scores = None
    if sat and len({(one.items, one.cut) for one in sat}) == 1:
        scores = scores_of([one.right for one in sat], [one.passed for one in sat], sat[0].items, sat[0].cut)
    forms = material.forms.get(scheme.id, 0)
    rates = [count / forms for (of, _), count in material.on_forms.items() if of == scheme.id and forms]
    model = None
    if scores is None and not shortfalls(scheme, bank):
        model = two_forms(scheme, bank, learners=LEARNERS, seed=SEED)
    return SchemeReviewed(
        scheme.id, scheme.version, len(sat), scores, model, overlap(rates) if rates and forms > 1 else None
    )


def review_document(review: Review) -> dict[str, Any]:
    """A look as plain values, without its moment."""
    return {
        "answers": review.answers,
        "questions": [
            {**asdict(one), "judgement": judgement_document(one.judgement)} for one in review.questions
        ],
        "schemes": [
            {**asdict(one), "scores": scores_document(one.scores) if one.scores else None}
            for one in review.schemes
        ],
    }


def read_review(document: Mapping[str, Any], at: datetime) -> Review:
    """The look of what `review_document` gave."""
    return Review(
        at,
        document["answers"],
        tuple(
            Reviewed(**{**one, "judgement": read_judgement(one["judgement"]), "met": Share(**one["met"])})
            for one in document["questions"]
        ),
        tuple(_read_scheme(one) for one in document["schemes"]),
    )


def _read_scheme(document: Mapping[str, Any]) -> SchemeReviewed:
    scores, model = document["scores"], document["model"]
    return SchemeReviewed(
        **{
            **document,
            "scores": read_scores(scores) if scores else None,
            "model": TwoForms(**{**model, "verdicts": Consistency(**model["verdicts"])}) if model else None,
        }
    )
