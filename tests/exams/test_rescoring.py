"""Re-scoring after a key changed: whom a newer text can mark, what follows from new marks, and what never follows."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.exams.sittings import make_scheme
from tests.six_kinds import CHOICE, MATCH, NUMBER, ORDER, RIGHT, SEVERAL, SITE, TABLE, WRONG, six_kinds
from trainer.exams.forms import Form, Slot
from trainer.exams.key_marks import mark_by_key, marks_by_keys
from trainer.exams.key_sheet import key_of
from trainer.exams.paper import mark_of
from trainer.exams.rescoring import compare, rescored, with_changes
from trainer.exams.scoring import rules_of, score
from trainer.exams.sitting import GivenAnswer
from trainer.language.draws import draw
from trainer.language.grading import answer_text
from trainer.language.loading import load_question
from trainer.language.rendering import right_answer

SECRET = bytes(range(32))
TEXTS = {
    "eyes.length": NUMBER.format(name="length", skill="length"),
    "eyes.choice": CHOICE.format(name="choice", skill="choice"),
    "eyes.parts": SEVERAL, "lockout.order": ORDER, "eyes.match": MATCH, "lockout.table": TABLE,
}  # fmt: skip
LENGTH = TEXTS["eyes.length"]
# Somebody took the rate for pulses a yard: every right answer came out three times too long.
WRONG_KEY = LENGTH.replace("pulses / rate * foot", "3 * pulses / rate * foot")


def read(text):
    return load_question(text, "question.yaml")


def asked(text, label="one", system="us"):
    return draw(read(text), SITE, SECRET, label, system)


def typed(text, language="en"):
    return GivenAnswer(1, 1, text, language)


def answers_of(name, instance, language):
    """Right, wrong, another form, nothing at all."""
    right = answer_text(right_answer(instance, language))
    return [
        right,
        WRONG.get(name, "1 s"),
        "no answer",
        "[]",
        "{}",
        '["lens","lens"]',
        "[[1]]",
        '"x"',
        "12 ft",
        "",
    ]


@given(st.sampled_from(sorted(TEXTS)), st.integers(0, 999), st.sampled_from(["us", "metric"]), st.data())
def test_the_same_key_touches_nobody(name, label, system, data):
    instance = asked(TEXTS[name], str(label), system)
    language = data.draw(st.sampled_from(["en", "es"]))
    given_ = typed(data.draw(st.sampled_from(answers_of(name, instance, language))), language)
    mark = mark_of(instance, given_) if given_.text else None
    newer = read(TEXTS[name].replace("version: 1", "version: 2"))
    found = compare(instance, newer, given_, mark)
    assert found.comparable and not found.touched and not found.open
    assert compare(instance, newer, None, None).after is None


@given(
    st.sampled_from(sorted(TEXTS)), st.integers(0, 999), st.sampled_from(["en", "es"]), st.text(max_size=30)
)
def test_a_key_as_kept_marks_as_the_question_does(name, label, language, text):
    instance = asked(TEXTS[name], str(label))
    for one in (*answers_of(name, instance, language), text):
        given_ = typed(one, language)
        if one:
            assert mark_by_key(key_of(instance, given_), given_) == mark_of(instance, given_)


def test_a_bench_and_a_changed_question_are_marked_by_what_the_close_kept():
    bench = {"kind": "bench", "readable": True, "acts": 2, "finished": True, "passed": True}
    sheet = {
        "1": bench, "2": {**bench, "finished": False}, "3": {**bench, "acts": 0}, "4": {**bench, "readable": False},
        "5": {"kind": "changed"},
    }  # fmt: skip
    given_ = {number: GivenAnswer(number, 1, "[1]", "en") for number in range(1, 5)}
    assert marks_by_keys(sheet, given_) == {1: "right", 2: "wrong", 4: "unreadable", 5: "changed"}


def test_a_newer_key_marks_the_old_answer_on_the_old_numbers():
    instance = asked(WRONG_KEY)
    feet = instance.values["pulses"] / instance.values["rate"]  # by hand: pulses over pulses a foot
    for answer, before, after in ((feet, "wrong", "right"), (3 * feet, "right", "wrong")):
        given_ = typed(f"{answer:.2f} ft")
        found = compare(instance, read(LENGTH), given_, mark_of(instance, given_))
        assert (found.before, found.after, found.touched) == (before, after, True)
        assert found.key["right"] == pytest.approx(feet * 0.3048)
    neither = typed("1 ft")
    assert not compare(instance, read(LENGTH), neither, mark_of(instance, neither)).touched


def test_a_choice_whose_right_option_changed_is_compared():
    instance = asked(TEXTS["eyes.choice"])
    turned = TEXTS["eyes.choice"].replace("emitter, right: true", "emitter, right: false")
    turned = turned.replace("receiver, right: false", "receiver, right: true")
    assert compare(instance, read(turned), typed("receiver"), "wrong").after == "right"
    assert compare(instance, read(turned), typed("emitter"), "right").after == "wrong"


OTHERS = {
    "another name": LENGTH.replace("pulses", "clicks"),
    "one name more": LENGTH.replace("draw:\n", "draw:\n  lead: {pick: [1, 2]}\n").replace(
        "pulses / rate * foot", "(pulses + lead - lead) / rate * foot"
    ),
    "these numbers are not asked any more": LENGTH.replace("from: 140, to: 260", "from: 300, to: 400"),
    "these numbers are refused": LENGTH.replace("ask:", "require: [rate > 20]\nask:").replace(
        "pick: [10, 11, 12, 13]", "pick: [10, 11, 12, 13, 30]"
    ),
    "other words": LENGTH.replace("How long is the vehicle?", "How long is the gap behind it?"),
    "other words in one language": LENGTH.replace("¿Cuánto mide el vehículo?", "¿Cuánto mide el hueco?"),
    "another unit": LENGTH.replace("unit: ft, within: 0.5 in", "unit: in, within: 0.5 in"),
    "a drawing that was not there": LENGTH
    + "figure: {name: blocked_length, with: {length: 20 * foot, pulses: pulses, pulses_per_length: 12 / foot}}\n",
    "another kind": TEXTS["eyes.choice"].replace("eyes.choice", "eyes.length"),
}


@pytest.mark.parametrize("text", OTHERS.values(), ids=OTHERS)
def test_what_asks_something_else_says_nothing_about_an_old_answer(text):
    found = compare(asked(LENGTH), read(text), typed("20 ft"), "wrong")
    assert (found.comparable, found.touched, found.open) == (False, False, True)
    assert not compare(asked(LENGTH), read(text), typed("20 ft"), "right").open
    assert not compare(None, read(LENGTH), typed("20 ft"), "right").comparable


ROD = (
    "  - {id: rod, right: false, text: {en: A rod, es: Una vara}, because: {en: It holds., es: Sostiene.}}\n"
)
OTHER_OPTIONS = {
    "other words": TEXTS["eyes.choice"].replace("The cable", "The gland"),
    "another id": TEXTS["eyes.choice"].replace("id: cable", "id: gland"),
    "one more": TEXTS["eyes.choice"] + ROD,
}


@pytest.mark.parametrize("text", OTHER_OPTIONS.values(), ids=OTHER_OPTIONS)
def test_other_options_say_nothing_about_an_old_choice(text):
    assert not compare(asked(TEXTS["eyes.choice"]), read(text), typed("cable"), "wrong").comparable


def test_a_drawing_that_was_left_out_for_giving_the_answer_away_is_not_compared():
    figure = "figure: {{name: blocked_length, with: {{length: {}, pulses: pulses, pulses_per_length: 12 / foot}}}}\n"
    old = WRONG_KEY + figure.format("3 * pulses / rate * foot")
    assert compare(
        asked(old), read(LENGTH + figure.format("pulses / rate * foot")), typed("20 ft"), "wrong"
    ).comparable
    assert not compare(
        asked(old), read(LENGTH + figure.format("2 * foot")), typed("20 ft"), "wrong"
    ).comparable


SCHEME = make_scheme()
FORM = Form(
    tuple(
        Slot(number, area, f"{area}.{number}", f"{area}.q{number}", 1, "f" * 64, str(number))
        for number, area in enumerate(("eyes", "eyes", "eyes", "lockout", "lockout"), 1)
    )
)
RULES = rules_of(SCHEME)
MARKS = st.dictionaries(st.integers(1, 5), st.sampled_from(["right", "wrong", "unreadable"]))
CHANGES = st.dictionaries(st.integers(1, 5), st.sampled_from(["right", "wrong"]), max_size=3)


def by_all(marks, changes, passed):
    """In force after several re-scores, one after the other."""
    for changed in changes:
        scored = rescored(RULES, FORM, marks, changed, passed=passed)
        marks, passed = with_changes(marks, changed), scored.passed
    return scored


@given(MARKS, CHANGES)
def test_twice_is_once(marks, changed):
    passed = bool(score(RULES, FORM, marks).passed)
    once = by_all(marks, [changed], passed)
    assert by_all(marks, [changed, changed], passed) == once
    assert once.result == score(RULES, FORM, {**marks, **changed})


@given(MARKS, CHANGES, CHANGES)
def test_the_order_in_which_two_questions_are_mended_changes_no_score(marks, one, other):
    other = {number: mark for number, mark in other.items() if number not in one}
    passed = bool(score(RULES, FORM, marks).passed)
    assert by_all(marks, [one, other], passed).result == by_all(marks, [other, one], passed).result


@given(MARKS, CHANGES)
def test_a_pass_stays_and_says_when_the_result_is_none(marks, changed):
    before = bool(score(RULES, FORM, marks).passed)
    after = by_all(marks, [changed], before)
    would = score(RULES, FORM, {**marks, **changed}).passed
    assert after.passed == (before or would)
    assert after.lowers == (before and not would)


def test_one_answer_turns_a_fail_into_a_pass():
    # By hand: the cut is 3 of 5 and both of lockout must be right; 2 right, then 3.
    marks = {1: "wrong", 2: "wrong", 3: "wrong", 4: "right", 5: "right"}
    assert score(RULES, FORM, marks).passed is False
    after = rescored(RULES, FORM, marks, {1: "right"}, passed=False)
    assert (after.result.right, after.passed, after.lowers) == (3, True, False)
    lost = rescored(RULES, FORM, {**marks, 1: "right"}, {4: "wrong"}, passed=True)
    assert (lost.result.right, lost.result.passed, lost.passed, lost.lowers) == (2, False, True, True)


def test_the_right_answers_of_the_six_kinds_stay_right():
    assert json.loads(RIGHT["eyes.match"]) == right_answer(asked(TEXTS["eyes.match"]))
    assert set(six_kinds().by_id) == set(TEXTS)
