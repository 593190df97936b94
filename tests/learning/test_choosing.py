"""The one next thing, and what is drilled."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.learning.choosing import LessonPlan, Stage, next_thing, pick_question, pick_skill
from trainer.learning.mastery import Standing

NOW = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)
LESSONS = (LessonPlan("one", "sensing", ("s.a", "s.b"), 8), LessonPlan("two", "mounting", ("m.a",), 9))


def proven(skill, due=NOW + timedelta(days=9)):
    return Standing(
        skill, known=0.99, answered=4, right_alone=3, support="alone", due_at=due, mastered_at=NOW
    )


ALL = {s: proven(s) for s in ("s.a", "s.b", "m.a")}


def test_from_the_first_lesson_to_rest():
    steps = [
        next_thing(LESSONS, (), {}, Stage(), NOW).kind,
        next_thing(LESSONS, ("one",), {"s.a": proven("s.a")}, Stage(), NOW).kind,
        next_thing(LESSONS, ("one",), {s: proven(s) for s in ("s.a", "s.b")}, Stage(), NOW).lesson,
        next_thing(LESSONS, ("one", "two"), ALL, Stage(exam_may_start=True), NOW).kind,
        next_thing(LESSONS, ("one", "two"), ALL, Stage(exam_passed=True), NOW).kind,
        next_thing(LESSONS, ("one", "two"), ALL, Stage(exam_passed=True, practical_passed=True), NOW).kind,
        next_thing(LESSONS, ("one", "two"), ALL, Stage(exam_passed=True, certified=True), NOW).kind,
    ]
    assert steps == ["lesson", "drill", "two", "exam", "practical", "decision", "rest"]


def test_what_is_due_comes_before_the_new_and_an_open_exam_before_all():
    due = {"s.a": proven("s.a", NOW - timedelta(days=1))}
    assert next_thing(LESSONS, (), due, Stage(), NOW).skills == ("s.a",)
    assert next_thing(LESSONS, (), due, Stage(exam_open=True), NOW).kind == "exam_open"


def test_the_neediest_skill_is_picked_and_the_last_one_rests():
    standings = {"s.a": Standing("s.a", known=0.4, answered=1), "s.b": Standing("s.b", known=0.6, answered=1)}
    assert pick_skill(("s.a", "s.b"), standings) == "s.a"
    assert pick_skill(("s.a", "s.b"), standings, last="s.a") == "s.b"
    assert pick_skill(("s.a", "m.a"), {"s.a": proven("s.a")}) == "m.a"
    with pytest.raises(ValueError, match="no skill"):
        pick_skill((), {})


@given(st.dictionaries(st.sampled_from("abcd"), st.integers(0, 5)), st.sampled_from("abcd"))
def test_no_question_comes_twice_in_a_row_where_there_are_others(shown, last):
    picked = pick_question([(q, 1) for q in "abcd"], shown, last)
    assert picked != last
    assert shown.get(picked, 0) == min(shown.get(q, 0) for q in "abcd" if q != last)
