"""What is shown: the question without its answer, figures with their numbers, how to type."""

import pytest

from tests.language.make import KINDS, SECRET, SITE, make_question, make_text
from trainer.language.draws import draw
from trainer.language.loading import load_question
from trainer.language.prose import plain_text
from trainer.language.rendering import answer_html, show, worked


def test_shows_a_number_with_its_unit_and_how_to_type_it():
    shown = show(draw(make_question(), SITE, SECRET, "kept|0"), "en")
    assert plain_text(shown.ask).startswith("Blocked for 182 pulses at 12\u00a0pulses\u00a0per\u00a0foot.")
    assert shown.unit == "feet"
    assert shown.hint == (
        "Type a number with its unit, such as 12 ft 6 in or 12.5 ft. A bare number is taken in feet."
    )


@pytest.mark.parametrize("kind", KINDS)
def test_no_answer_or_reason_is_shown(kind):
    instance = draw(make_question(kind), SITE, SECRET, "kept|0")
    shown = repr(show(instance, "en"))
    for step in worked(instance, "en"):
        assert plain_text(step).strip() not in plain_text(shown)


@pytest.mark.parametrize(
    ("kind", "ids"),
    [
        ("choice", {"hitch", "cars"}),
        ("several", {"emitter", "receiver", "gland"}),
        ("order", {"look", "clean", "part", "note"}),
        ("match", {"always", "never"}),
        ("truth_table", {"clear", "broken"}),
    ],
)
def test_shows_every_part_once(kind, ids):
    shown = show(draw(make_question(kind), SITE, SECRET, "a"), "es")
    assert {part.id for part in shown.parts} == ids
    assert len(shown.parts) == len(ids)
    assert len(shown.targets) == {"match": 3, "truth_table": 2}.get(kind, 0)


def test_figure_caution_and_source_come_with_their_numbers():
    text = make_text() + (
        'figure: {name: blocked_length, with: {length: length}, caption: {en: "{{ length }}", es: "{{ length }}"}}\n'
        'caution: {word: warning, en: "Keep {{ length }} off.", es: "Deje {{ length }}."}\n'
        "source: {en: Common practice, es: Práctica común}\n"
    )
    shown = show(draw(load_question(text, "f"), SITE, SECRET, "kept|0"), "es")
    assert shown.figure.name == "blocked_length"
    assert shown.figure.numbers == {"length": pytest.approx(182 / 12 * 0.3048)}
    assert shown.figure.caption == "15,17\u00a0pies"
    assert (shown.caution.word, plain_text(shown.caution.html)) == ("warning", "Deje 15,17\u00a0pies.")
    assert plain_text(shown.source) == "Práctica común"


def test_steps_end_with_the_answer():
    instance = draw(make_question(), SITE, SECRET, "kept|0")
    steps = [plain_text(step) for step in worked(instance, "es")]
    assert steps == ["Divida 182 entre 12.", "Respuesta: 15,17\u00a0pies"]


def test_answers_in_words():
    words = {
        kind: plain_text(answer_html(draw(make_question(kind), SITE, SECRET, "a"), "en")) for kind in KINDS
    }
    assert words["several"] == "Emitter; Receiver"
    assert words["order"] == "Look → Clean → Change → Note"
    assert words["match"] == "Always blocked → A dirty lens; Never blocked → A short"
    assert words["truth_table"] == "Beam clear → OFF; Beam broken → ON"
