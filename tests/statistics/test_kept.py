"""What is kept of a look reads back as it was."""

import json

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.statistics.families import Prior
from trainer.statistics.flags import OTHER, RIGHT
from trainer.statistics.judging import Asked, FirstAnswers, judge_questions
from trainer.statistics.kept import judgement_document, read_judgement, read_scores, scores_document
from trainer.statistics.scores import scores_of


def through_json(document):
    return json.loads(json.dumps(document, allow_nan=False))


@settings(max_examples=6, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([5, 60, 250]))
def test_judgements_read_back_as_they_were(seed, people):
    rng = np.random.default_rng(seed)
    shape = (people, 5)
    right = (rng.random(shape) < rng.random((people, 1)) * [1, 1, 0.4, 0.1, 1]).astype(float)
    answers = FirstAnswers(
        right, np.where(right == 1, RIGHT, OTHER).astype(object), rng.random(shape) * 90, rng.random(shape) < 0.5,
        rng.integers(0, 4, shape).astype(str).astype(object), rng.random(people) < 0.5,
    )  # fmt: skip
    for one in judge_questions(answers, [Asked(f"q{at}", Prior(0.75, 10), guess=0.25) for at in range(5)]):
        assert read_judgement(through_json(judgement_document(one))) == one


def test_scores_read_back_as_they_were():
    scores = np.random.default_rng(1).integers(4, 13, 40)
    for given_scores in (scores, np.full(40, 5)):
        found = scores_of(given_scores, list(given_scores > 8), 12, 9)
        assert read_scores(through_json(scores_document(found))) == found
