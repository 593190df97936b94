"""Rules of panels that hold for any ratings, and which sealed panel counts at a moment."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.exams.sittings import START
from trainer.exams.panel import Judge, Panel, Rating, in_force, next_item, round_of, study

DAY = timedelta(days=1)
SEALED = Panel(
    1, "p1", 1, "small", 1, 1, "Knows.", "{}", 1, 1, START, sealed_at=START, cut=3, effective_from=START
)
TABLES = st.integers(2, 6).flatmap(
    lambda items: st.lists(
        st.lists(st.integers(0, 100), min_size=items, max_size=items), min_size=2, max_size=6
    )
)


@given(TABLES)
def test_a_study_agrees_with_numpy_and_does_not_hang_on_order(table):
    rows = [[one / 100 for one in row] for row in table]
    found, sums = study(rows), np.array(rows).sum(axis=1)
    assert found.cut == pytest.approx(sums.mean(), abs=1e-9)
    assert found.sd == pytest.approx(sums.std(ddof=1), abs=1e-9)
    assert found.se == pytest.approx(found.sd / len(rows) ** 0.5, abs=1e-12)
    again = study([list(reversed(row)) for row in reversed(rows)])
    assert again.cut == pytest.approx(found.cut, abs=1e-9)
    assert (again.single is None) == (found.single is None)
    low, high = found.band
    assert low <= found.pass_mark <= high
    assert found.pass_mark >= found.cut - 1e-6 and found.pass_mark - found.cut < 1 + 1e-6
    if found.single is not None:
        assert found.single <= 1 + 1e-9 and found.mean <= 1 + 1e-9


def test_judges_who_agree_wholly_have_full_agreement_and_those_who_say_one_number_none():
    found = study([[0.4, 0.8, 0.6]] * 3)
    assert (found.single, found.mean, found.se) == (pytest.approx(1), pytest.approx(1), pytest.approx(0))
    assert study([[0.5, 0.5], [0.5, 0.5]]).single is None
    for bad in ([], [[0.5]], [[0.5], [0.5, 0.6]], [[], []]):
        with pytest.raises(ValueError, match="two judges"):
            study(bad)


def test_the_panel_that_came_into_force_last_counts():
    later = replace(SEALED, id=2, public_id="p2", number=2, effective_from=START + 2 * DAY)
    unsealed = replace(later, id=3, sealed_at=None, effective_from=None, cut=None)
    panels = [later, unsealed, SEALED]
    assert in_force(panels, START - DAY) is None
    assert in_force(panels, START) == SEALED
    assert in_force(panels, START + 2 * DAY - timedelta(seconds=1)) == SEALED
    assert in_force(panels, START + 2 * DAY) == later
    same = replace(SEALED, id=4, number=3)
    assert in_force([SEALED, same], START) == same


def test_only_rounds_that_were_handed_in_count():
    judges = [Judge(1, 7, "A", "x", handed_in=1), Judge(2, 8, "B", "x", handed_in=0)]
    ratings = [Rating(judge, 1, item, 50 + item) for judge in (1, 2) for item in (1, 2)]
    assert round_of(ratings, judges, 1, 2) == [[0.51, 0.52]]
    assert next_item(ratings, judges[1], 1, 3) == 3
    assert next_item(ratings, judges[1], 1, 2) is None and next_item(ratings, judges[0], 2, 2) == 1
