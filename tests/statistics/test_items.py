import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from trainer.solver.numbers import BadInput
from trainer.statistics.items import chosen, item_statistics, omissions_wrong, quartiles

NAN = np.nan
tables = arrays(
    float, st.tuples(st.integers(1, 12), st.integers(1, 6)), elements=st.sampled_from([0.0, 1.0, NAN])
)


def figures(table):
    return [(one.right.count, one.right.of, one.rest, one.difference) for one in item_statistics(table)]


def alike(one, other):
    return one == pytest.approx(other, abs=1e-12, nan_ok=True) if one is not None else other is None


@given(tables, st.randoms())
def test_the_order_of_people_changes_nothing_and_all_is_within_its_bounds(table, chance):
    order = list(range(len(table)))
    chance.shuffle(order)
    for one, other in zip(figures(table), figures(table[order]), strict=True):
        assert all(alike(a, b) for a, b in zip(one, other, strict=True))
        _, _, rest, difference = one
        assert rest is None or -1 - 1e-9 <= rest <= 1 + 1e-9
        assert difference is None or -1 - 1e-9 <= difference <= 1 + 1e-9


@given(tables)
def test_an_item_that_everybody_got_right_tells_nobody_apart(table):
    everybody = np.column_stack([table, np.ones(len(table))])
    last = item_statistics(everybody)[-1]
    assert last.rest is None
    assert last.difference is None or last.difference == pytest.approx(0, abs=1e-12)


def test_what_was_passed_over_is_wrong_and_what_was_not_reached_is_not_counted():
    met = np.array([[1, NAN, 0, NAN, NAN], [NAN, 1, 1, 1, 1], [NAN] * 5])
    expected = [[1, 0, 0, NAN, NAN], [0, 1, 1, 1, 1], [NAN] * 5]
    np.testing.assert_array_equal(omissions_wrong(met), expected)


def test_an_item_that_nobody_met_has_no_figures():
    found = item_statistics(np.array([[1, NAN], [0, NAN], [1, NAN]]))[1]
    assert (found.right.of, found.right.value, found.rest, found.difference) == (0, None, None, None)


def test_a_wrong_slip_that_the_best_choose_shows_at_once():
    names = ["right"] * 4 + ["halved"] * 3 + ["doubled"] * 3
    score = [0.1, 0.2, 0.3, 0.4, 0.9, 0.95, 1.0, 0.5, 0.5, 0.5]
    found = {one.name: one for one in chosen(names, score)}
    assert found["halved"].upper == pytest.approx(1.0)
    assert found["halved"].lower == 0
    assert [one.people for one in found.values()] == [4, 3, 3]
    assert sum(one.lower for one in found.values()) == pytest.approx(1)
    assert chosen([], []) == []
    assert chosen(["a"], [float("nan")]) == []


def test_who_answered_no_other_item_is_left_out_of_what_is_chosen():
    with_one_more = chosen(["a", "b", "b"], [0.2, 0.9, float("nan")])
    assert with_one_more == chosen(["a", "b"], [0.2, 0.9])


def test_times_have_a_middle_and_two_quarters():
    assert quartiles([10, 20, 30, 40, 100]) == (20, 30, 40)
    assert quartiles([]) is None
    assert quartiles([float("nan"), 30.0]) == (30, 30, 30)
    assert quartiles([float("nan")]) is None


@pytest.mark.parametrize("bad", [np.zeros(3), np.zeros((0, 2)), np.array([[0.5, 1]])])
def test_a_table_that_is_none_is_refused_by_name(bad):
    with pytest.raises(BadInput, match="given is"):
        item_statistics(bad)


def test_each_person_has_one_score():
    with pytest.raises(BadInput, match="one number for each of 2 people"):
        chosen(["a", "b"], [1.0])
