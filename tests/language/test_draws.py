"""Instances: the same for ever, different for everybody, never one in which a slip could pass."""

import json
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.language.make import FILE, SECRET, SITE, make_question, make_text
from trainer.language.draws import NoInstance, Stream, draw, replay
from trainer.language.loading import load_question

QUESTION = make_question()


def test_the_same_label_draws_the_same_instance():
    assert draw(QUESTION, SITE, SECRET, "ana|1") == draw(QUESTION, SITE, SECRET, "ana|1")


def test_instances_drawn_once_stay_as_they_were():
    # Written down when the recipe was fixed: if one of these changes, stored attempts cannot be replayed.
    pulses = [draw(QUESTION, SITE, SECRET, f"kept|{at}").values["pulses"] for at in range(8)]
    assert pulses == KEPT


KEPT = [182.0, 182.0, 200.0, 257.0, 204.0, 149.0, 178.0, 152.0]


def test_labels_secrets_and_names_give_other_numbers():
    first = [draw(QUESTION, SITE, SECRET, f"ana|{at}").values["pulses"] for at in range(20)]
    other = [draw(QUESTION, SITE, SECRET, f"ben|{at}").values["pulses"] for at in range(20)]
    secret = [draw(QUESTION, SITE, b"x" * 32, f"ana|{at}").values["pulses"] for at in range(20)]
    assert first != other and first != secret


def test_every_value_is_drawn_about_equally_often():
    stream = Stream(SECRET, "fair")
    seen = Counter(stream.below("x", 6) for _ in range(6000))
    assert all(850 < seen[value] < 1150 for value in range(6))  # five standard deviations are 144


@pytest.mark.parametrize("span", [0, -1, 2**64 + 1])
def test_refuses_a_span_that_is_none(span):
    with pytest.raises(ValueError, match="span"):
        Stream(SECRET, "x").below("x", span)


def test_metric_numbers_are_exactly_what_is_shown():
    instance = draw(QUESTION, SITE, SECRET, "ana|1", "metric")
    assert instance.values["pulses_per_foot"] == 39.37
    assert instance.values["length"] == instance.values["pulses"] / 39.37


def test_a_record_goes_through_json_and_replays():
    for system in ("us", "metric"):
        instance = draw(QUESTION, SITE, SECRET, "ana|1", system)
        record = json.loads(json.dumps(instance.record()))
        assert replay(QUESTION, record, SECRET) == instance


def test_a_changed_file_does_not_replay():
    record = draw(QUESTION, SITE, SECRET, "ana|1").record()
    changed = make_question(pulses="pulses: {from: 140, to: 250, step: 1}")
    with pytest.raises(NoInstance, match="changed"):
        replay(changed, record, SECRET)


def test_a_fingerprint_overlooks_line_ends_and_nothing_else():
    text = make_text()
    assert load_question(text.replace("\n", "\r\n"), FILE).fingerprint == QUESTION.fingerprint
    assert load_question(text + "# a word\n", FILE).fingerprint != QUESTION.fingerprint


def test_a_site_without_the_value_gives_no_instance():
    with pytest.raises(NoInstance, match="pulses_per_foot"):
        draw(QUESTION, {}, SECRET, "ana|1")


def test_a_slip_that_is_the_answer_gives_no_instance():
    question = make_question(value="value: pulses * shown(pulses_per_foot) / 144")
    with pytest.raises(NoInstance, match="slip per_inch and the answer"):
        draw(question, SITE, SECRET, "ana|1")


@given(st.text(max_size=30), st.sampled_from(["us", "metric"]))
def test_no_instance_has_a_given_number_near_the_answer(label, system):
    instance = draw(QUESTION, SITE, SECRET, label, system)
    unit = QUESTION.task.units[system].factor
    given_number = instance.values["pulses_per_foot"] / (1 / unit)
    assert abs(given_number * unit - instance.values["length"]) > 2 * 0.0254


@given(st.text(max_size=20))
def test_an_order_is_never_shown_right(label):
    order = draw(make_question("order"), SITE, SECRET, label).order
    assert sorted(order) == ["clean", "look", "note", "part"]
    assert not order.index("look") < order.index("clean") < order.index("part")


def test_options_stand_in_every_order():
    question = make_question("several")
    seen = {draw(question, SITE, SECRET, str(at)).order for at in range(60)}
    assert len(seen) == 6


def test_demands_are_kept():
    question = make_question(length="length: pulses / pulses_per_foot\nrequire: [length > 20 * foot]")
    lengths = [draw(question, SITE, SECRET, str(at)).values["length"] for at in range(50)]
    assert min(lengths) > 20 * 0.3048
