"""The audit: what it proves, what it finds, and that it cannot be passed by a bad question."""

import time

import numpy as np
import pytest

from tests.language.make import KINDS, SITE, make_question, make_text
from trainer.language.admission import admitted
from trainer.language.auditing import audit
from trainer.language.draw_space import space_of
from trainer.language.loading import load_question
from trainer.language.worked_numbers import site_numbers, work_out

HUNDRED = "{from: 1, to: 100, step: 1}"
WIDE = {"pulses": f"pulses: {{from: 140, to: 260, step: 1}}\n  a: {HUNDRED}\n  b: {HUNDRED}"}


@pytest.mark.parametrize("kind", KINDS)
def test_a_good_question_has_no_findings(kind):
    found = audit(make_question(kind), SITE)
    assert found.findings == ()
    assert found.proved


def test_says_what_it_proved():
    found = audit(make_question(), SITE)
    assert (found.proved, found.draws, found.closest) == (True, 121, "per_inch")
    assert 0 < found.rejected < 0.1
    # The shortest admitted vehicle, 140/12 ft less a twelfth of it, in inches: each inch is one tolerance.
    shortest = 140 / 12 * 12 * 11 / 12
    assert found.tolerances == pytest.approx(shortest, rel=1e-6)


def test_samples_with_corners_where_the_space_is_too_large():
    question = make_question(**WIDE, length="length: pulses / pulses_per_foot + (a - b) / 1000 * inch")
    found = audit(question, SITE, samples=5000)
    assert not found.proved
    assert found.draws == 5000 + 8
    space = space_of(question, "us", 5000)
    corners = {tuple(int(i[at]) for i in space.indices) for at in range(8)}
    assert corners == {(p, a, b) for p in (0, 120) for a in (0, 99) for b in (0, 99)}
    for index, size in zip(space.indices, (121, 100, 100), strict=True):
        counts = np.bincount(index, minlength=size)
        assert counts.min() > 0.5 * 5000 / size and len(counts) == size


def test_a_hundred_thousand_draws_take_about_a_second():
    question = make_question(**WIDE, length="length: pulses / pulses_per_foot + (a - b) / 1000 * inch")
    started = time.perf_counter()
    assert audit(question, SITE, samples=100_000).draws > 100_000
    assert time.perf_counter() - started < 10


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        ({"value": "value: pulses * shown(pulses_per_foot) / 144"}, "No draw can be shown"),
        ({"value": "value: length + 1.5 * inch"}, "No draw can be shown"),
        ({"value": "value: 200 / pulses_per_foot"}, ""),
        ({"value": "value: log(pulses - 150)"}, "The slip per_inch has no value, first for pulses 140"),
        ({"pulses": "pulses: {from: 10, to: 260, step: 1}"}, "more than 10 times"),
        ({"length": "length: pulses / pulses_per_foot\n  spare: 3"}, "`spare` is named and never used"),
        ({"length": "length: pulses / pulses_per_foot\nrequire: [pulses > 230]"}, "are drawn again"),
        ({"length": "length: (1 if pulses > 150 else 1 / (pulses - pulses)) * foot"}, "has no value"),
        ({"answer": "answer: {value: length, unit: ft, within: 0.0001 in}"}, "graded wrong"),
        ({"because": 'because: {en: "That is wrong.", es: "Intente de nuevo."}'}, "says only that it is wrong"),
        ({"because": 'because: {en: "You halved it.", es: "Inténtalo otra vez."}'}, "only that it is wrong (es)"),
    ],
)  # fmt: skip
def test_finds(change, wrong):
    findings = audit(make_question(**change), SITE).findings
    if wrong:
        assert any(wrong in finding for finding in findings), findings
    else:
        assert findings == ()


@pytest.mark.parametrize(
    ("kind", "change", "wrong"),
    [
        ("choice", ("gap >= 1 * foot", "gap >= 3 * inch"), "right options"),
        ("choice", ("text: {en: Two cars,", "text: {en: Two cars that followed one another too close,"), "like length"),
        ("several", ("text: {en: Gland,", "text: {en: All of the above,"), "all the others"),
        ("several", ("es: Prensa", "es: Todas las anteriores"), "all the others"),
        ("several", ("text: {en: Gland,", "text: {en: Emitter,"), "read the same"),
    ],
)  # fmt: skip
def test_finds_in_options(kind, change, wrong):
    findings = audit(load_question(make_text(kind).replace(*change), "f"), SITE).findings
    assert any(wrong in finding for finding in findings), findings


def test_a_number_needs_steps_and_a_slip():
    text = make_text()
    bare = load_question(text[: text.index("steps:")], "f")
    findings = audit(bare, SITE).findings
    assert any("steps" in finding for finding in findings) and any("slip" in finding for finding in findings)


def test_only_the_last_step_states_the_answer():
    text = make_text().replace(
        "steps:\n", "steps:\n  - {en: 'It is {{ length }}.', es: 'Son {{ length }}.'}\n"
    )
    assert audit(load_question(text, "f"), SITE).findings == (
        "Step 1 states the answer; only the last step may.",
    )


def test_a_site_without_the_value_is_a_finding():
    assert audit(make_question(), {}).findings


def test_arrays_admit_exactly_the_draws_that_are_admitted_alone():
    question = make_question()
    for system in ("us", "metric"):
        grid = question.numbers.drawn[0].grids[system]
        many = dict(site_numbers(question.numbers, SITE, system)) | {"pulses": grid.array}
        work_out(question.numbers, many, system, len(grid.values))
        flags = admitted(question, many, system, len(grid.values))
        for at, value in enumerate(grid.values):
            one = dict(site_numbers(question.numbers, SITE, system)) | {"pulses": value}
            work_out(question.numbers, one, system)
            assert bool(admitted(question, one, system)) == flags[at]
