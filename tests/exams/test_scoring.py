"""Scoring: the cut, the critical area, what was not reached, what could not be read."""

import json

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from tests.exams.sittings import SmallPool, make_scheme
from trainer.exams.forms import assemble_form
from trainer.exams.scoring import read_result, result_document, rules_of, score

SCHEME = make_scheme()
RULES = rules_of(SCHEME)
FORM = assemble_form(SCHEME, SmallPool(SCHEME), bytes(32), "me")
EYES = [slot.number for slot in FORM.slots if slot.area == "eyes"]
LOCKOUT = [slot.number for slot in FORM.slots if slot.area == "lockout"]


def marks(right=(), **others):
    return {**dict.fromkeys(right, "right"), **{n: mark for mark, numbers in others.items() for n in numbers}}


def test_reaching_the_cut_with_the_critical_area_right_passes():
    result = score(RULES, FORM, marks(right=[EYES[0], *LOCKOUT]))
    assert (result.passed, result.right, result.reasons) == (True, 3, ())
    assert result.not_reached == tuple(EYES[1:])


def test_one_right_answer_short_of_the_cut_fails():
    result = score(RULES, FORM, marks(right=LOCKOUT, wrong=EYES))
    assert (result.passed, result.reasons) == (False, ("exam.under_cut",))


@pytest.mark.parametrize("mark", ["wrong", "unreadable", None])
def test_nothing_makes_up_for_a_critical_miss(mark):
    given_marks = marks(right=[*EYES, LOCKOUT[0]])
    if mark:
        given_marks[LOCKOUT[1]] = mark
    result = score(RULES, FORM, given_marks)
    assert result.right == 4 > RULES.cut
    assert (result.passed, result.reasons) == (False, ("exam.critical_missed",))
    assert result.critical_missed == (FORM.slots[LOCKOUT[1] - 1].skill,)


def test_unreadable_counts_as_wrong_and_is_shown_as_such():
    result = score(RULES, FORM, marks(right=[*EYES[:2], *LOCKOUT], unreadable=EYES[2:]))
    assert (result.right, result.unreadable, result.not_reached) == (4, tuple(EYES[2:]), ())
    assert [area.reached for area in result.areas] == [3, 2]


def test_a_changed_question_counts_neither_way():
    result = score(RULES, FORM, marks(right=[*EYES, LOCKOUT[0]], changed=LOCKOUT[1:]))
    assert result.passed is None
    assert result.reasons[0] == "exam.question_changed"


def test_all_reasons_are_told():
    assert score(RULES, FORM, {}).reasons == ("exam.under_cut", "exam.critical_missed")


def test_a_mark_for_no_slot_is_an_error():
    with pytest.raises(ValueError, match=r"slots \[9\]"):
        score(RULES, FORM, {9: "right"})


@given(st.dictionaries(st.integers(1, 5), st.sampled_from(["right", "wrong", "unreadable", "changed"])))
def test_a_result_adds_up_and_survives_canonical_json(given_marks):
    result = score(RULES, FORM, given_marks)
    assert result.right == sum(area.right for area in result.areas)
    assert result.right + len(result.not_reached) <= result.items == sum(area.items for area in result.areas)
    assert all(area.right <= area.reached <= area.items for area in result.areas)
    if result.passed:
        assert result.right >= result.cut and not result.critical_missed
    assert read_result(json.loads(rfc8785.dumps(result_document(result)))) == result
