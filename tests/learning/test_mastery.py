"""Mastery: published traces of knowledge tracing, and properties of a standing."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.learning import parameters
from trainer.learning.mastery import Answered, Standing, after, is_due, state_of, traced
from trainer.learning.parameters import TRACING, Tracing

NOW = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)
KINDS = sorted(TRACING)


def run(answers, kind="number", support="alone", hazard=False, standing=None):
    standing = standing or Standing("a.b", support="alone")
    for i, right in enumerate(answers):
        standing = after(standing, Answered(kind, right, support, NOW + timedelta(minutes=i)), hazard=hazard)
    return standing


def test_tracing_agrees_with_the_worked_lecture_example():
    # Knowledge-tracing lecture example, from memory: known .4, learn .1, slip .3, guess .2; wrong, then right.
    t = Tracing(known=0.4, learn=0.1, slip=0.3, guess=0.2)
    one = traced(t.known, False, t)
    assert one == pytest.approx(0.28, abs=1e-9)
    assert traced(one, True, t) == pytest.approx(0.6188, abs=1e-4)


@given(st.lists(st.booleans(), max_size=30), st.sampled_from(KINDS), st.booleans())
def test_known_stays_a_chance_and_mastery_needs_right_answers_in_a_row(answers, kind, hazard):
    standing = run(answers, kind, hazard=hazard)
    assert 0 < standing.known < 1
    if standing.mastered_at is not None:
        needed = parameters.HAZARD_RIGHT_ALONE if hazard else parameters.RIGHT_ALONE
        streak = [sum(answers[i:j]) for i in range(len(answers)) for j in [i + needed] if j <= len(answers)]
        assert needed in streak and answers[-1]


@given(st.lists(st.booleans(), max_size=30), st.sampled_from(["worked", "last_step"]))
def test_answers_with_help_never_prove_a_skill(answers, support):
    assert run(answers, support=support).mastered_at is None


def test_one_wrong_answer_takes_mastery_away_until_it_is_earned_again():
    proven = run([True, True, True])
    assert proven.mastered_at is not None
    shaken = after(
        proven, Answered("number", False, "alone", NOW + timedelta(days=1), "multiplied"), hazard=False
    )
    assert shaken.mastered_at is None and shaken.last_slip == "multiplied"
    assert run([True, True], standing=shaken).mastered_at is not None


def test_a_hazard_skill_asks_for_more():
    assert run([True, True]).mastered_at is not None
    assert run([True, True], hazard=True).mastered_at is None
    assert run([True, True, True], hazard=True).mastered_at is not None


def test_help_fades_and_comes_back():
    standing = Standing("a.b")
    seen = [standing.support]
    for right in (True, True, False, False):
        standing = after(standing, Answered("number", right, standing.support, NOW), hazard=False)
        seen.append(standing.support)
    assert seen == ["worked", "last_step", "alone", "alone", "last_step"]


def test_states_in_words():
    proven = run([True, True, True])
    assert state_of(None, NOW) == "open"
    assert state_of(run([False]), NOW) == "started"
    assert state_of(proven, NOW) == "proven"
    assert state_of(proven, proven.due_at) == "due"
    assert is_due(proven, proven.due_at) and not is_due(proven, proven.due_at - timedelta(seconds=1))
