"""Question files: every fault of a file at once, each with line and column."""

import pytest

from tests.language.make import FILE, HEAD, KINDS, NUMBER, make_question, make_text
from trainer.documents import DocumentError
from trainer.language.loading import load_question
from trainer.quantities.dimensions import LENGTH
from trainer.quantities.units import unit


def faults_of(text):
    with pytest.raises(DocumentError) as refused:
        load_question(text, FILE)
    return refused.value.faults


@pytest.mark.parametrize("kind", KINDS)
def test_reads_every_kind(kind):
    question = make_question(kind)
    assert question.kind == kind
    assert question.is_family == ("draw:" in KINDS[kind])


def test_reads_the_numbers():
    question = make_question()
    assert [one.name for one in question.numbers.worked] == ["length"]
    assert question.numbers.drawn[0].grids["us"].values[:2] == (140.0, 141.0)
    assert len(question.numbers.drawn[0].grids["us"].values) == 121
    assert question.task.value.dimension == LENGTH
    assert question.task.units == {"us": unit("ft"), "metric": unit("m")}
    assert question.task.within.amount == pytest.approx(0.0254)
    assert [slip.bare for slip in question.task.slips] == [False, True]


def test_a_metric_grid_is_what_is_shown():
    question = make_question("choice", gap="gap: {from: 1 in, to: 10 in, step: 1 in}")
    grids = question.numbers.drawn[0].grids
    assert grids["metric"].unit.key == "cm"
    assert grids["metric"].values[0] == pytest.approx(0.0254)
    own = make_question(
        "choice", gap="gap: {pick: [2 in, 20 in], metric: {from: 5 cm, to: 50 cm, step: 5 cm}}"
    )
    assert [len(own.numbers.drawn[0].grids[system].values) for system in ("us", "metric")] == [2, 10]


# change, line, column, part of what is wrong; lines count in make_text("number")
FAULTS = [
    ({"length": "length: pulses + pulses_per_foot"}, (10, 20), "a number per length"),
    ({"length": "length: 'pulses + pulses_per_foot'"}, (10, 21), "a number per length"),
    ({"length": "length: pulses / pulses_per_fot"}, (10, 20), "no name `pulses_per_fot`"),
    ({"length": "length: pulses > 3"}, (10, 11), "true or false"),
    ({"length": "second: pulses / pulses_per_foot"}, (10, 3), "a unit word"),
    ({"length": "Length: pulses / pulses_per_foot"}, (10, 3), "small letters"),
    ({"length": "if: pulses / pulses_per_foot"}, (10, 3), "small letters"),
    ({"length": "pulses: pulses / pulses_per_foot"}, (10, 3), "stands already"),
    ({"length": "length: {value: pulses / pulses_per_foot, unit: s}"}, (10, 51), "cannot be shown in s"),
    ({"pulses": "pulses: {from: 140, to: 260, step: 7}"}, (8, 11), "does not land"),
    ({"pulses": "pulses: {from: 260, to: 140, step: 1}"}, (8, 11), "must rise"),
    ({"pulses": "pulses: {from: 140, to: 260, step: 0}"}, (8, 11), "must rise"),
    ({"pulses": "pulses: {from: 140, to: 260 s, step: 1}"}, (8, 27), "a time"),
    ({"pulses": "pulses: {from: 1, to: 100000, step: 1}"}, (8, 11), "10,000 values"),
    ({"pulses": "pulses: {from: 1000.5, to: 1001.5, step: 1}"}, (8, 11), "would be shown as"),
    ({"pulses": "pulses: {pick: []}"}, (8, 18), "nothing to pick"),
    ({"pulses": "pulses: {from: 140, to: 260}"}, (8, 11), "`step` is missing"),
    ({"pulses": "pulses: {from: 140, to: many, step: 1}"}, (8, 27), "begins with a number"),
    ({"site": "site: [pulses_per_yard]"}, (6, 8), "no such value"),
    ({"answer": "answer: {value: length, unit: s, within: 1 s}"}, (14, 17), "The answer is a length"),
    ({"answer": "answer: {value: length, unit: ft, within: 1 s}"}, (14, 43), "The tolerance is a time"),
    ({"answer": "answer: {value: length, unit: ft, within: 1}"}, (14, 43), "The tolerance is a plain number"),
    ({"answer": "answer: {value: length, unit: ell, within: 1 in}"}, (14, 31), "no such unit"),
    ({"answer": "answer: {value: length, unit: ft, within: -1 in}"}, (14, 43), "below zero"),
    ({"value": "value: 2 * second"}, (19, 12), "The slip is a time"),
    ({"level": "level: 4"}, (4, 8), "1 to 3"),
    ({"version": "version: 0"}, (2, 10), "from 1"),
    ({"id": "id: Measuring"}, (1, 5), "topic.name"),
    ({"es": "es: Sin números."}, (13, 7), "lacks"),
    ({"en": 'en: "{{ pulses }} at {{ pulses_per_fot }} {{ pulses_per_foot }}"'}, (12, 27), "no name"),
    ({"en": 'en: "{{ pulses : in }} {{ pulses }} {{ pulses_per_foot }}"'}, (12, 10), "cannot be written"),
    ({"en": 'en: "{{ pulses {{ pulses_per_foot }}"'}, (12, 8), "no partner"),
    ({"en": 'en: "{{ pulses }} }} {{ pulses_per_foot }}"'}, (12, 21), "no partner"),
    ({"en": 'en: "{{ pulses > 3 }} {{ pulses }} {{ pulses_per_foot }}"'}, (12, 10), "true or false"),
    ({"en": 'en: "[a](http://x.example/{{ pulses }}) {{ pulses_per_foot }}"'}, (12, 7), "where none can"),
    ({"en": 'en: "![a](b.png) {{ pulses }} {{ pulses_per_foot }}"'}, (12, 7), "picture"),
    ({"en": 'en: "[a](javascript:b) {{ pulses }} {{ pulses_per_foot }} [c](/d)"'}, (12, 65), "leads nowhere"),
]


@pytest.mark.parametrize(("change", "place", "wrong"), FAULTS, ids=[str(fault[0]) for fault in FAULTS])
def test_tells_where_and_what_is_wrong(change, place, wrong):
    faults = faults_of(make_text(**change))
    found = [((fault.place.line, fault.place.column), fault.wrong) for fault in faults]
    assert any(at == place and wrong in said for at, said in found), found
    assert all(fault.mend for fault in faults)


def test_a_question_needs_one_of_the_six_kinds():
    faults = faults_of(make_text().replace("kind: number", "kind: essay"))
    assert [(fault.place.line, fault.wrong) for fault in faults] == [(5, "A question needs its kind.")]


def test_a_name_may_be_called_as_a_function_is():
    question = make_question(
        length="vehicle_length: vehicle_length(pulses, pulses_per_foot)\n  length: vehicle_length"
    )
    assert question.task.value.dimension == LENGTH


def test_a_name_that_failed_is_told_once():
    faults = faults_of(make_text(pulses="pulses: {pick: []}"))
    assert len(faults) == 1


def test_tells_all_faults_of_a_file_at_once():
    faults = faults_of(
        make_text(
            level="level: 9", length="length: pulses + 3 * inch", site="site: [pulses_per_foot, nothing]"
        )
    )
    assert len(faults) >= 3
    assert [fault.place.line for fault in faults] == sorted(fault.place.line for fault in faults)


def test_finds_the_place_inside_a_block_of_text():
    text = make_text().replace(
        '  en: "Blocked', '  en: |\n    Some words about pulses first.\n    {{ pulsos }} "Blocked'
    )
    text = text.replace('long is it?**"', "long is it?**")
    places = [(fault.place.line, fault.place.column) for fault in faults_of(text)]
    assert places == [(14, 8)]


def test_alias_bombs_tags_and_doubled_keys_are_refused():
    bomb = "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n"
    assert any("alias" in fault.wrong.lower() for fault in faults_of(HEAD + NUMBER + bomb))
    assert any(
        "tag" in fault.wrong for fault in faults_of(HEAD + NUMBER + "source: !!python/object:os.system x\n")
    )
    assert any("already" in fault.wrong for fault in faults_of(HEAD + HEAD + NUMBER))


@pytest.mark.parametrize(
    ("kind", "change", "wrong"),
    [
        ("several", ("right: true", "right: false"), "must be right"),
        ("choice", ("right: gap < 1 * foot", "right: gap"), "true or false is needed"),
        ("choice", ("id: cars", "id: hitch"), "stands twice"),
        ("order", ("then: part", "then: look"), "circle"),
        ("order", ("then: part", "then: gone"), "no such item"),
        ("match", ("goes: short", "goes: rain"), "no such thing"),
        ("truth_table", ("off: {en:", "high: {en: Z, es: Z}, off: {en:"), "two states"),
        ("truth_table", ("state: near >= 0", "state: near"), "true or false"),
    ],
)  # fmt: skip
def test_refuses_tasks_that_cannot_be_answered(kind, change, wrong):
    faults = faults_of(make_text(kind).replace(*change))
    assert any(wrong in fault.wrong for fault in faults), faults
