"""Reading YAML: what is accepted, and the place and mend of what is not."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import DocumentError, Place, plain, read_document

# Written from YAML 1.2.2, examples 2.1 to 2.4, 2.13, 2.18 and the core schema of 10.3.2.
SPECIFICATION = [
    ("- Mark McGwire\n- Sammy Sosa\n- Ken Griffey\n", ["Mark McGwire", "Sammy Sosa", "Ken Griffey"]),
    ("hr:  65    # Home runs\navg: 0.278\nrbi: 147\n", {"hr": 65, "avg": 0.278, "rbi": 147}),
    ("national:\n- New York Mets\n- Chicago Cubs\n", {"national": ["New York Mets", "Chicago Cubs"]}),
    ("-\n  name: Mark McGwire\n  hr:   65\n", [{"name": "Mark McGwire", "hr": 65}]),
    ("--- |\n  \\//||\\/||\n  // ||  ||__\n", "\\//||\\/||\n// ||  ||__\n"),
    ('quoted: "So does this\n  quoted scalar.\\n"\n', {"quoted": "So does this quoted scalar.\n"}),
    ("[null, ~, true, False, 0, -19, 12e03, +.5]", [None, None, True, False, 0, -19, 12000.0, 0.5]),
    ("{on: 1, yes: no, 12: '12'}", {"on": 1, "yes": "no", "12": "12"}),
]


@pytest.mark.parametrize(("text", "value"), SPECIFICATION)
def test_reads_the_specifications_examples(text, value):
    assert plain(read_document(text, "q.yaml")) == value


def test_dates_versions_and_clock_times_stay_text():
    text = "{day: 2026-03-01, clock: 12:30, length: 10 in, big: .inf, version: 1.2.3}"
    assert plain(read_document(text, "q.yaml")) == {
        "day": "2026-03-01",
        "clock": "12:30",
        "length": "10 in",
        "big": ".inf",
        "version": "1.2.3",
    }


def test_every_node_and_key_has_its_place():
    node = read_document("id: a.b\ndraw:\n  low: {from: 10 in, to: 30 in}\n", "q.yaml")
    low = node.value["draw"].value["low"]
    assert node.value["draw"].key_places["low"] == Place("q.yaml", 3, 3)
    assert low.place == Place("q.yaml", 3, 8)
    assert low.value["to"].place == Place("q.yaml", 3, 26)
    assert low.value["to"].written == "30 in"


REFUSED = [
    ("a: [1, 2", (1, 9), "closed", "`]`"),
    ("a:\n\t- b", (2, 1), "tab", "spaces"),
    ("a: Note: b", (1, 8), "colon", "quotes"),
    ("a: 'x", (1, 6), "quote", "Close"),
    ("- a\nb: c", (2, 1), "does not fit", "Indent"),
    ("a: @x", (1, 4), "begin", "quotes"),
    ("a: {{ x }}", (1, 5), "plain word", "quotes"),
    ("a\nb\x00b", (2, 2), "character", "Delete"),
    ("a: &x 1", (1, 4), "anchor", "Write the value out"),
    ("a: *x", (1, 4), "alias", "Write the value out"),
    ("<<: {a: 1}", (1, 1), "Merging", "out"),
    ("a: 1\nb: 2\na: 3", (3, 1), "already at line 1", "one"),
    ("a: !!python/object:os.system {}", (1, 4), "tag", "Leave"),
    ("a: !local 3", (1, 4), "tag", "Leave"),
    ("---\na\n---\nb", (3, 1), "second document", "Keep one"),
    ("%YAML 1.1\n---\na: 1", (1, 1), "directive", "Leave"),
    (f"a: {'9' * 5000}", (1, 4), "too many digits", "quotes"),
    ("[" * 50_000, (1, 25), "deep", "Flatten"),
    ("- " * 50_000 + "a", (1, 49), "deep", "Flatten"),
    ("a: " + "x" * 1_000_001, (1, 1), "may have 1,000,000", "Divide"),
]


@pytest.mark.parametrize(("text", "place", "wrong", "mend"), REFUSED, ids=lambda v: str(v)[:20])
def test_refuses_with_place_and_mend(text, place, wrong, mend):
    with pytest.raises(DocumentError) as caught:
        read_document(text, "q.yaml")
    fault = caught.value.faults[0]
    assert (fault.place.file, fault.place.line, fault.place.column) == ("q.yaml", *place)
    assert wrong in fault.wrong
    assert mend in fault.mend
    assert "\n" not in str(fault)


def test_all_faults_of_a_file_are_told_at_once():
    with pytest.raises(DocumentError) as caught:
        read_document("a: &x 1\nb: *x\nc: !y 2\na: 3\n", "q.yaml")
    assert [fault.place.line for fault in caught.value.faults] == [1, 2, 3, 4]
    assert str(caught.value).count("\n") == 3
    assert str(caught.value).startswith("q.yaml:1:4: I read `&x`. An anchor")


def test_an_alias_bomb_is_refused_at_once():
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 10)]
    begun = time.perf_counter()
    with pytest.raises(DocumentError):
        read_document("\n".join(lines), "q.yaml")
    assert time.perf_counter() - begun < 2


@pytest.mark.parametrize(
    "text", ["[" + "a," * 499_000 + "]", "- &a 1\n" * 140_000, "a: 1\n" * 190_000], ids=len
)
def test_a_file_of_a_great_many_values_is_refused_in_a_moment(text):
    begun = time.process_time()
    with pytest.raises(DocumentError) as caught:
        read_document(text, "q.yaml")
    assert len(caught.value.faults) <= 101
    assert time.process_time() - begun < 10  # it took half a minute without the bounds


@given(st.text(max_size=80) | st.text("abc:-[]{}\"'&*!|>%@` \n\t#?,.0~<", max_size=40))
def test_any_text_is_read_or_refused_with_a_place(text):
    try:
        read_document(text, "q.yaml")
    except DocumentError as error:
        assert error.faults
        assert all(fault.place.line >= 1 and fault.place.column >= 1 for fault in error.faults)
        assert all(fault.wrong and fault.mend for fault in error.faults)
