"""Taking nodes for what they should be."""

import pytest

from trainer.documents import (
    DocumentError,
    Faults,
    Place,
    fields,
    flag,
    items,
    mapping,
    number,
    read_document,
    text,
    whole,
)


@pytest.fixture
def faults():
    return Faults()


def test_known_fields_come_back_and_nothing_is_noted(faults):
    node = read_document("id: a\nlevel: 2\n", "q.yaml")
    found = fields(node, ["id"], ["level"], faults)
    assert text(found["id"], faults) == "a"
    assert whole(found["level"], faults) == 2
    faults.raise_if_any()


def test_an_unknown_field_is_told_with_the_nearest_name(faults):
    fields(read_document("id: a\nlevle: 2\n", "q.yaml"), ["id"], ["level"], faults)
    assert str(faults.all[0]) == "q.yaml:2:1: I read `levle`. There is no such field. Did you mean `level`?"


def test_a_field_like_no_other_lists_what_is_known(faults):
    fields(read_document("zzz: a\n", "q.yaml"), [], ["id", "level"], faults)
    assert faults.all[0].mend == "Known here: `id`, `level`."


def test_a_missing_field_is_told_where_the_mapping_begins(faults):
    fields(read_document("a:\n  b: 1\n", "q.yaml").value["a"], ["b", "c"], [], faults)
    assert [fault.place for fault in faults.all] == [Place("q.yaml", 2, 3)]
    assert "`c` is missing" in faults.all[0].wrong


@pytest.mark.parametrize(
    ("take", "written", "empty"),
    [
        (text, "12", ""),
        (text, "''", ""),
        (text, "", ""),
        (text, "{a: 1}", ""),
        (whole, "2.0", 0),
        (whole, "true", 0),
        (whole, "'2'", 0),
        (number, "a", 0.0),
        (number, ".inf", 0.0),
        (number, "1e999", 0.0),
        (number, "true", 0.0),
        (flag, "1", False),
        (flag, "yes", False),
        (items, "{a: 1}", []),
        (mapping, "[a]", {}),
    ],
)
def test_a_node_of_another_kind_is_one_fault_at_its_place(faults, take, written, empty):
    node = read_document(f"a: {written}", "q.yaml").value["a"]
    assert take(node, faults) == empty
    (fault,) = faults.all
    assert (fault.place.line, bool(fault.wrong), bool(fault.mend)) == (1, True, True)


def test_faults_are_raised_together_in_the_order_of_the_file(faults):
    other = Faults()
    other.add(Place("q.yaml", 1, 1), "First.", "Mend.")
    faults.add(Place("q.yaml", 9, 1), "Last.", "Mend.", read="x")
    faults.extend(other)
    with pytest.raises(DocumentError) as caught:
        faults.raise_if_any()
    assert str(caught.value) == "q.yaml:1:1: First. Mend.\nq.yaml:9:1: I read x. Last. Mend."
