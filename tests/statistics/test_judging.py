"""Which questions are flagged: good ones seldom, planted faults nearly always, and nothing of few answers."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from trainer.solver.numbers import BadInput
from trainer.statistics.families import Prior
from trainer.statistics.flags import LEAST, OTHER, RIGHT
from trainer.statistics.judging import Answered, Asked, FirstAnswers, arrange, judge_questions

BORDER = {1: 0.85, 2: 0.75, 3: 0.65}
PEOPLE, QUESTIONS = 60, 40


def made_up(seed, people=PEOPLE, miskeyed=False, moved=0.0, spanish=0.0, asked=1.0, apart=0.0):
    """Answers of people who follow the model; question 0 has the planted fault."""
    rng = np.random.default_rng(seed)
    chances = [BORDER[level] for level in rng.integers(1, 4, QUESTIONS)]
    b = np.tile([-np.log(one / (1 - one)) for one in chances] + rng.normal(0, 0.3, QUESTIONS), (people, 1))
    shape = b.shape
    later = np.tile(np.arange(people)[:, None] >= people // 2, (1, QUESTIONS))
    focal = np.arange(people) % 2 == 1
    numbers = rng.integers(0, 6, shape)
    b[:, 0] += moved * later[:, 0] + spanish * focal + apart * (numbers[:, 0] - 2.5)
    right = rng.random(shape) < 1 / (1 + np.exp(b - rng.normal(0.3, 1, (people, 1))))
    slip = rng.random(shape) < 0.6
    chose = np.where(right, RIGHT, np.where(slip, "halved", OTHER)).astype(object)
    if miskeyed:  # the key says that who halves is right, so those who know are told that they are wrong
        wrongly = chose[:, 0] == "halved"
        chose[:, 0] = np.where(wrongly, RIGHT, np.where(right[:, 0], "not_halved", OTHER))
        right[:, 0] = wrongly
    instance = np.full(shape, "", dtype=object)
    instance[:, 0] = numbers[:, 0].astype(str)
    table = np.where(rng.random(shape) < asked, right, np.nan)
    known = [Asked(f"q{at}", Prior(one, 10)) for at, one in enumerate(chances)]
    return FirstAnswers(table, chose, np.full(shape, 30.0), later, instance, focal), known


def verdicts(times=12, **how):
    return [judge_questions(*made_up(seed, **how))[0] for seed in range(times)]


def test_good_questions_are_hardly_ever_taken_out():
    found = Counter(one.judged.verdict for seed in range(15) for one in judge_questions(*made_up(100 + seed)))
    assert found.total() == 15 * QUESTIONS
    assert found["out"] <= 2 and found["watch"] <= 0.05 * found.total()


def test_a_wrong_key_is_found_by_what_the_best_choose():
    found = verdicts(miskeyed=True)
    assert [one.judged.verdict for one in found] == ["out"] * 12
    reasons = Counter(reason.key for one in found for reason in one.judged.reasons)
    assert reasons["the_best_choose_wrong"] >= 10
    told = next(r for one in found for r in one.judged.reasons if r.key == "the_best_choose_wrong")
    assert told.numbers["chosen"] == "not_halved" and told.numbers["upper"] > told.numbers["right"]


def test_a_leaked_question_is_found_and_said_to_have_become_easier():
    found = verdicts(people=400, moved=-1.8)
    assert [one.judged.verdict for one in found].count("out") >= 11
    told = [reason.key for one in found for reason in one.judged.reasons]
    assert told.count("became_easier") >= 11 and "became_harder" not in told


def test_a_question_that_is_harder_in_one_language_is_found_where_there_are_people_enough():
    found = verdicts(people=400, spanish=1.8)
    assert [one.judged.reasons[0].key for one in found].count("harder_in_spanish") >= 11
    few = [one.figures.groups for one in verdicts(spanish=1.8)]
    assert all(one is None or one.size is None for one in few)


def test_instances_that_are_unlike_spread_and_those_that_are_alike_do_not():
    apart = [one.figures.instances for one in verdicts(5, people=250, apart=0.8)]
    # Six values 0.8 apart have a standard deviation of 1.37.
    assert sum(one.low <= 1.37 <= one.high for one in apart) >= 4
    assert all(one.low > 0.5 for one in apart)
    alike = [one.figures.instances for one in verdicts(5, people=250)]
    assert sum(one.low == 0 for one in alike) >= 4


def test_numbers_that_nobody_shared_say_nothing_of_a_familys_spread():
    answers, asked = made_up(1, people=100)
    answers.instance[:, 0] = np.arange(100).astype(str)
    assert judge_questions(answers, asked)[0].figures.instances is None


def test_rows_are_arranged_by_person_and_question():
    rows = [
        Answered(7, "b", True, RIGHT, later=True, focal=False, seconds=12.0, instance="n1"),
        Answered(3, "a", False, "halved", later=False, focal=True),
        Answered(7, "a", True, RIGHT, later=False, focal=False),
        Answered(7, "gone", True, RIGHT, later=False, focal=False),
    ]
    found = arrange(rows, ["a", "b"])
    assert np.array_equal(found.right, [[1, 1], [0, np.nan]], equal_nan=True)
    assert found.chose.tolist() == [[RIGHT, RIGHT], ["halved", ""]]
    assert found.instance.tolist() == [["", "n1"], ["", ""]]
    assert found.later.tolist() == [[False, True], [False, False]]
    assert found.focal.tolist() == [False, True]
    assert np.array_equal(found.seconds, [[np.nan, 12], [np.nan, np.nan]], equal_nan=True)
    assert arrange([], ["a"]).right.shape == (0, 1)


def test_of_few_answers_the_model_is_said_and_nothing_else():
    answers, asked = made_up(5, people=LEAST - 1, miskeyed=True)
    for one, known in zip(judge_questions(answers, asked), asked, strict=True):
        figures = one.figures
        assert (one.judged.verdict, one.judged.reasons) == ("too_few", ())
        assert (figures.rest, figures.difference, figures.chosen, figures.fit, figures.drift) == (
            None, None, (), None, None,
        )  # fmt: skip
        # The mean of a Beta prior of weight 10 with the answers beside it.
        expected = (10 * known.prior.chance + figures.right.count) / (10 + figures.right.of)
        assert figures.believed.value == pytest.approx(expected)
        assert figures.believed.low < expected < figures.believed.high


def test_nobody_at_all_is_the_prior():
    answers, asked = made_up(1, people=3, asked=0.0)
    for one, known in zip(judge_questions(answers, asked), asked, strict=True):
        assert one.figures.believed.value == pytest.approx(known.prior.chance)
        assert one.figures.right.of == 0 and one.figures.place.source == "prior"
    nobody = FirstAnswers(*(np.zeros((0, QUESTIONS)) for _ in range(5)), np.zeros(0, dtype=bool))
    assert [one.judged.verdict for one in judge_questions(nobody, asked)] == ["too_few"] * QUESTIONS


def test_a_rare_answer_below_what_guessing_gives_and_one_that_everybody_gives():
    answers, asked = made_up(2, people=200)
    answers.right[:, 0], answers.right[:, 1] = np.arange(200) % 12 == 0, 1
    found = judge_questions(answers, [replace(one, guess=0.25) for one in asked])
    assert found[0].judged.reasons[0].key == "under_guessing"
    assert "nearly_everybody" in [one.key for one in found[1].judged.reasons]


def test_the_order_of_people_and_questions_changes_nothing():
    answers, asked = made_up(3, asked=0.8)
    people, questions = np.random.default_rng(4).permutation(PEOPLE), np.arange(QUESTIONS)[::-1]
    grid = np.ix_(people, questions)
    turned = FirstAnswers(
        answers.right[grid], answers.chose[grid], answers.seconds[grid], answers.later[grid],
        answers.instance[grid], answers.focal[people],
    )  # fmt: skip
    here = judge_questions(answers, asked)
    there = judge_questions(turned, [asked[at] for at in questions])[::-1]
    assert [one.judged.verdict for one in here] == [one.judged.verdict for one in there]
    for one, other in zip(here, there, strict=True):
        assert one.figures.place.place == pytest.approx(other.figures.place.place, abs=1e-6)
        assert one.figures.believed == other.figures.believed


@settings(max_examples=40, deadline=None)
@given(
    arrays(float, st.tuples(st.integers(1, 40), st.integers(1, 5)), elements=st.sampled_from([0, 1, np.nan]))
)
def test_any_table_is_judged_without_a_bare_nan(right):
    chose = np.where(right == 1, RIGHT, OTHER).astype(object)
    people, questions = right.shape
    answers = FirstAnswers(
        right,
        chose,
        np.full(right.shape, np.nan),
        np.zeros(right.shape, dtype=bool),
        np.full(right.shape, "", dtype=object),
        np.arange(people) % 2 == 0,
    )
    for one in judge_questions(answers, [Asked(f"q{at}", Prior(0.75, 10)) for at in range(questions)]):
        figures = one.figures
        assert np.isfinite([figures.place.place, figures.place.error, figures.believed.value]).all()
        assert figures.seconds is None
        if figures.rest is not None:
            assert -1 <= figures.rest.low <= figures.rest.value <= figures.rest.high <= 1


def test_tables_that_do_not_fit_are_refused_by_name():
    answers, asked = made_up(1)
    with pytest.raises(BadInput, match="one for each of 40"):
        judge_questions(answers, asked[1:])
    with pytest.raises(BadInput, match="all five alike"):
        replace(answers, seconds=answers.seconds[:, 1:])
    with pytest.raises(BadInput, match="one a person"):
        replace(answers, focal=answers.focal[1:])
