"""Values written in place: what is read afterwards is exactly the new values, and every other character stays."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import plain, read_document, rewritten

SHEET = """# top
place: {lat: 1 deg, lon: 2 deg} # flow
bay:
  width: 12 ft   # ink
  # between
  note: >
    folded
    text
eyes:
  - id: entry # first
    low: 6 in

  - {id: far, low: "60 in"}
empty:
extra: {}
"""
FIELDS = {
    ("place", "lat"): ("1 deg", "lat: "), ("place", "lon"): ("2 deg", "lon: "), ("bay", "width"): ("12 ft", "width: "),
    ("eyes", "entry", "low"): ("6 in", "low: "), ("eyes", "far", "low"): ('"60 in"', "low: "),
}  # fmt: skip
VALUES = st.sampled_from(
    ["11 ft 10 1/2 in", "11' 10 1/2\"", "3.62 m", "-5 deg", ".5 in", "a: b # c", "[x]", "- 3", ""]
) | st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=12)


def read(text):
    return plain(read_document(text, "sheet.yaml"))


def at(found, path):
    for name in path:
        found = next(one for one in found if one["id"] == name) if isinstance(found, list) else found[name]
    return found


def written(found):
    """Every plain value as it is written, by its place in the tree."""
    if isinstance(found.value, dict):
        return {key: written(child) for key, child in found.value.items()}
    if isinstance(found.value, list):
        return [written(child) for child in found.value]
    return found.written


@given(st.dictionaries(st.sampled_from(sorted(FIELDS)), VALUES))
def test_only_the_named_values_change_and_every_other_character_stays(values):
    text = rewritten(SHEET, values)
    before, after = (written(read_document(one, "sheet.yaml")) for one in (SHEET, text))
    for path in FIELDS:
        assert at(after, path) == values.get(path, at(before, path))
    for path, value in values.items():
        parent = at(after, path[:-1])
        parent[path[-1]] = at(before, path)
        assert at(before, path) is not None and value == values[path]
    assert after == before
    kept = [line.partition("#")[2] for line in SHEET.splitlines()]
    assert [line.rpartition("#")[2] if kept[i] else "" for i, line in enumerate(text.splitlines())] == kept


@given(st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_line_ends_and_a_byte_order_mark_stay(end, marked):
    sheet = ("\ufeff" if marked else "") + SHEET.replace("\n", end)
    wanted = sheet.replace("12 ft", "3.6 m").replace("6 in", "7 in", 1)
    assert rewritten(sheet, {("bay", "width"): "3.6 m", ("eyes", "entry", "low"): "7 in"}) == wanted


def test_a_value_that_is_written_back_changes_nothing():
    assert rewritten(SHEET, {("bay", "width"): "12 ft", ("place", "lon"): "2 deg"}) == SHEET


@pytest.mark.parametrize(
    ("path", "line", "after"),
    [
        (("bay", "height"), "  height: 9 ft", "    text"),
        (("eyes", "entry", "high"), "    high: 9 ft", "    low: 6 in"),
        (("eyes", "entry", "lens", "wide"), "      wide: 9 ft", "    lens:"),
        (("empty", "size"), "  size: 9 ft", "empty:"),
        (("new",), "new: 9 ft", "extra: {}"),
        (("new", "deep"), "  deep: 9 ft", "new:"),
    ],
)
def test_a_missing_field_comes_after_its_neighbours(path, line, after):
    text = rewritten(SHEET, {path: "9 ft"})
    lines = text.splitlines()
    assert lines[lines.index(line) - 1] == after
    assert at(read(text), path) == "9 ft"
    new = set(lines) - set(SHEET.splitlines())
    assert [one for one in lines if one not in new] == SHEET.splitlines()


@pytest.mark.parametrize(
    "path", [("place", "alt"), ("eyes", "far", "high"), ("extra", "x"), ("extra", "x", "y")]
)
def test_a_missing_field_of_braces_comes_into_them(path):
    text = rewritten(SHEET, {path: "9 ft"})
    assert at(read(text), path) == "9 ft"
    assert len(text.splitlines()) == len(SHEET.splitlines())


def test_several_missing_fields_come_in_their_order():
    text = rewritten("a: 1", {("b", "c"): "2 in", ("b", "d"): "3 in", ("a",): "4"})
    assert text == "a: 4\nb:\n  c: 2 in\n  d: 3 in\n"


def test_an_empty_field_is_filled():
    assert rewritten("a:\nb:  # why\n", {("a",): "1 in", ("b",): "2 in"}) == "a: 1 in\nb: 2 in  # why\n"


def test_a_word_gives_way_to_fields_and_fields_to_a_word():
    text = "a: none # why\nb: {c: 1}\nd:\n  e: 1 # one\n  f: 2 # two\ng: 3\n"
    there = rewritten(text, {("a", "x"): "1 in", ("a", "y"): "2 in"})
    assert there == text.replace("a: none", "a: {x: 1 in, y: 2 in}")
    assert rewritten(there, {("a",): "none"}) == text
    gone = rewritten(text, {("b",): "none", ("d",): "none"})
    assert gone == "a: none # why\nb: none\nd: none # two\ng: 3\n"


def test_an_item_that_is_not_there_is_refused():
    with pytest.raises(KeyError, match="exit"):
        rewritten(SHEET, {("eyes", "exit", "low"): "6 in"})
