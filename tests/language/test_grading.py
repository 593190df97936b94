"""Grading: every sort of right and wrong, each wrong with a reason that has this person's numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.language.make import KINDS, SECRET, SITE, make_question
from trainer.language.draws import draw
from trainer.language.grading import answer_text, grade, read_answer
from trainer.language.prose import plain_text
from trainer.language.rendering import right_answer, show, worked
from trainer.quantities.reading import read_quantity
from trainer.quantities.units import UNITS
from trainer.quantities.writing import write_quantity

QUESTION = make_question()
INSTANCE = draw(QUESTION, SITE, SECRET, "kept|0")  # 182 pulses at 12 pulses/ft: 15.1667 ft
METRIC = draw(QUESTION, SITE, SECRET, "kept|0", "metric")  # 182 / 39.37 = 4.62281 m


@pytest.mark.parametrize(
    "typed",
    ["15.17", "15 ft 2 in", "15' 2\"", "182 in", "15.1667 ft", "4.62 m", "15,17 ft", " 15.17  FT ", "15 ft 1 in",
     "15 ft 3 in", "15.08334", "462 cm", "5.056 yd"],
)  # fmt: skip
def test_right_in_whatever_unit_and_at_the_very_edge(typed):
    verdict = grade(INSTANCE, typed, "en")
    assert verdict.right and verdict.kind == "right" and verdict.counts
    assert verdict.said_back and verdict.because


@pytest.mark.parametrize(
    ("typed", "kind", "slip", "said"),
    [
        ("15 ft 0.9 in", "wrong", None, "too little"),
        ("15 ft 3.1 in", "wrong", None, "You are close"),
        ("1.264 ft", "slip", "per_inch", "took 12 for one inch"),
        ("1.26", "slip", "per_inch", "took 12 for one inch"),
        ("2184", "slip", "multiplied", "You multiplied 182"),
        ("182", "missing_unit", None, "right in inches"),
        ("15.17 yd", "wrong_unit", None, "right in feet"),
        ("182 ft", "wrong_unit", None, "right in inches"),
        ("15.17 s", "other_dimension", None, "a time"),
        ("15 ft 33 in", "unreadable", None, "12 inches in a foot"),
        ("about fifteen", "unreadable", None, "no number"),
        ("", "unreadable", None, "no answer yet"),
        ("151.7", "wrong", None, "10 times the right number"),
        ("0.1517", "wrong", None, "divided by 100"),
        ("-15.17", "wrong", None, "the sign"),
        ("30.33", "wrong", None, "2 times"),
        ("20", "wrong", None, "Divide 182 by 12"),
    ],
)
def test_tells_the_sorts_of_wrong_apart(typed, kind, slip, said):
    verdict = grade(INSTANCE, typed, "en")
    assert (verdict.right, verdict.kind, verdict.slip) == (False, kind, slip)
    assert said in plain_text(verdict.because)
    assert verdict.counts == (kind not in ("unreadable", "missing_unit"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,264 pies", "Tomó 12 por una pulgada"),
        ("20 pies", "Empieza aquí"),
        ("15,17 s", "un tiempo"),
        ("182", "pulgadas"),
        ("nada", "número"),
    ],
)
def test_answers_in_spanish(typed, said):
    assert said in plain_text(grade(INSTANCE, typed, "es").because)


def test_people_who_work_in_metric_are_asked_and_answered_in_metric():
    assert grade(METRIC, "4.62", "en").right
    assert grade(METRIC, "462", "en").kind == "missing_unit"
    assert "cm too much" in plain_text(grade(METRIC, "5 m", "en").because)
    assert grade(METRIC, "7165", "en").slip == "multiplied"  # 182 times 39.37


@given(st.text(max_size=80), st.sampled_from(["en", "es"]))
def test_any_text_gets_a_verdict_with_a_reason(typed, language):
    verdict = grade(INSTANCE, typed, language)
    assert verdict.because
    assert "<script" not in verdict.because


written = st.from_regex(
    r"[-+]?[0-9]{1,7}([.,][0-9]{0,4})?( ?(ft|in|m|cm|'|\"|s|%|pies|pulg|ft [0-9]{1,2} in))?", fullmatch=True
)


@given(written, st.sampled_from(["en", "es"]))
def test_a_number_is_right_only_within_the_tolerance(typed, language):
    verdict = grade(INSTANCE, typed, language)
    if verdict.right:
        reading = read_quantity(typed, QUESTION.task.units["us"], language)
        assert abs(reading.value - INSTANCE.values["length"]) <= 0.0254 * 1.000001


@given(st.integers(0, 400), st.sampled_from(["us", "metric"]), st.sampled_from(["en", "es"]))
def test_right_answers_pass_in_every_unit_and_slips_never(at, system, language):
    instance = draw(QUESTION, SITE, SECRET, f"each|{at}", system)
    right = instance.values["length"]
    for unit in UNITS.values():
        if unit.dimension == QUESTION.task.units["us"].dimension:
            assert grade(instance, write_quantity(right, unit, language, 6), language).right
    asked = QUESTION.task.units[system]
    product = instance.values["pulses"] * instance.values["shown pulses_per_foot"] * asked.factor
    for slip, value in (("per_inch", right / 12), ("multiplied", product)):
        verdict = grade(instance, write_quantity(value, asked, language), language)
        assert not verdict.right and verdict.slip == slip


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_right_answer_of_every_kind_is_right_and_goes_through_its_text(kind, language):
    instance = draw(make_question(kind), SITE, SECRET, "a")
    answer = right_answer(instance, language)
    kept = answer_text(answer)
    assert read_answer(instance.question, kept) == answer
    assert grade(instance, answer, language).right
    assert grade(instance, kept, language) == grade(instance, answer, language)
    assert worked(instance, language) and show(instance, language).ask


anything = st.one_of(
    st.text(max_size=12),
    st.lists(st.sampled_from(["look", "clean", "part", "note", "emitter", "x", ""]), max_size=5),
    st.dictionaries(st.sampled_from(["always", "never", "clear", "broken"]), st.sampled_from(["dirt", "on", "off"])),
    st.just("[[1]]"), st.just('{"a": 1}'), st.just("[" * 5000), st.none(), st.integers(), st.lists(st.integers()),
)  # fmt: skip


@given(st.sampled_from(list(KINDS)), anything)
def test_no_answer_of_any_form_breaks_grading(kind, answer):
    instance = draw(make_question(kind), SITE, SECRET, "a")
    verdict = grade(instance, answer, "en")
    assert verdict.because
    assert not verdict.right or answer not in (None, "", [], {})


def test_a_choice_is_answered_by_the_options_own_reason():
    instance = draw(make_question("choice", gap="gap: {pick: [4 in]}"), SITE, SECRET, "a")
    assert plain_text(grade(instance, "cars", "en").because) == "4\u00a0in is long."
    assert grade(instance, "hitch", "en").right
    assert grade(instance, "ship", "en").kind == "unreadable"


def test_several_names_what_was_left_out_and_what_was_too_much():
    instance = draw(make_question("several"), SITE, SECRET, "a")
    verdict = grade(instance, ["emitter", "gland"], "en")
    assert verdict.kind == "partly" and set(verdict.wrong_parts) == {"receiver", "gland"}
    said = plain_text(verdict.because)
    assert "You left out Receiver." in said and "It sees." in said and "It only seals." in said
    assert grade(instance, ["gland"], "en").kind == "wrong"
    assert grade(instance, ["receiver", "emitter"], "en").right
    assert grade(instance, [], "en").kind == "unreadable"
    assert grade(instance, ["emitter", "emitter"], "en").kind == "unreadable"


def test_every_order_that_keeps_the_pairs_is_right():
    instance = draw(make_question("order"), SITE, SECRET, "a")
    assert grade(instance, ["note", "look", "clean", "part"], "en").right
    assert grade(instance, ["look", "clean", "part", "note"], "en").right
    verdict = grade(instance, ["part", "look", "clean", "note"], "en")
    assert verdict.wrong_parts == ("clean", "part")
    assert "You put Change before Clean." in plain_text(verdict.because)
    assert "A cloth costs less." in plain_text(verdict.because)
    assert grade(instance, ["look", "clean", "part"], "en").kind == "unreadable"


def test_match_and_table_name_each_wrong_line():
    instance = draw(make_question("match"), SITE, SECRET, "a")
    verdict = grade(instance, {"always": "sun", "never": "short"}, "en")
    assert verdict.kind == "partly" and verdict.wrong_parts == ("always",)
    assert "You matched Always blocked with Low sun." in plain_text(verdict.because)
    assert grade(instance, {"always": "sun"}, "en").kind == "unreadable"
    instance = draw(make_question("truth_table"), SITE, SECRET, "a")
    verdict = grade(instance, {"clear": "on", "broken": "off"}, "en")
    assert verdict.kind == "wrong" and verdict.wrong_parts == ("clear", "broken")
    assert grade(instance, {"clear": "off", "broken": "on"}, "en").right
    assert grade(instance, {"clear": "off", "broken": "ON"}, "en").kind == "unreadable"
