"""The inputs of every kind of question: what they send comes back as the answer that grading reads."""

import json

import pytest
from werkzeug.datastructures import MultiDict

from tests.six_kinds import RIGHT, SITE, WRONG, form_fields, six_kinds
from trainer.language.draws import draw
from trainer.language.grading import grade, read_answer
from trainer.language.rendering import show
from trainer.web.answers import Typed, parse_answer


def shown(question):
    return show(draw(six_kinds().question(question), SITE, bytes(32), "label"), "en")


@pytest.mark.parametrize("question", RIGHT)
@pytest.mark.parametrize(("answers", "right"), [(RIGHT, True), (WRONG, False)])
def test_what_is_sent_is_what_is_graded(question, answers, right):
    typed = parse_answer(shown(question), MultiDict(form_fields(question, answers[question])))
    instance = draw(six_kinds().question(question), SITE, bytes(32), "label")
    assert typed == Typed(answers[question], complete=True)
    assert grade(instance, read_answer(instance.question, typed.text), "en").right is right


def test_a_number_is_kept_as_typed():
    assert parse_answer(shown("eyes.length"), MultiDict({"answer": " 16' 4\" "})) == Typed(" 16' 4\" ", True)
    assert parse_answer(shown("eyes.length"), MultiDict({"answer": "  "})) == Typed("", False)


@pytest.mark.parametrize("question", RIGHT)
def test_nothing_sent_is_no_answer(question):
    assert parse_answer(shown(question), MultiDict()) == Typed("", False)


def test_half_an_order_keeps_what_was_chosen():
    typed = parse_answer(
        shown("lockout.order"), MultiDict({"place.stop": "1", "place.lock": "1", "place.isolate": ""})
    )
    assert json.loads(typed.text) == {"lock": "1", "stop": "1"}
    assert not typed.complete


def test_half_a_match_keeps_what_was_chosen():
    typed = parse_answer(shown("eyes.match"), MultiDict({"goes.emitter": "sends", "goes.receiver": ""}))
    assert (json.loads(typed.text), typed.complete) == ({"emitter": "sends"}, False)


@pytest.mark.parametrize(
    ("question", "sent"),
    [
        ("eyes.choice", {"answer": "nobody"}),
        ("eyes.parts", {"answer": "nobody"}),
        ("eyes.match", {"goes.emitter": "nobody", "goes.nobody": "sends"}),
        ("lockout.table", {"state.blocked": "perhaps"}),
        ("lockout.order", {"place.stop": "9", "place.nobody": "1"}),
    ],
)
def test_what_the_question_does_not_have_is_dropped(question, sent):
    assert parse_answer(shown(question), MultiDict(sent)) == Typed("", False)
