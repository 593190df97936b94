"""Exact chances, against another package's exact test, printed examples and closed testing."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import fisher_exact

from trainer.statistics.chances import fisher, holm

COUNTS = st.integers(1, 40).flatmap(lambda judged: st.tuples(st.integers(0, judged), st.just(judged)))


@given(mine=COUNTS, others=COUNTS)
def test_fisher_agrees_with_another_package(mine, others):
    table = [[mine[0], mine[1] - mine[0]], [others[0], others[1] - others[0]]]
    assert fisher(*mine, *others) == pytest.approx(fisher_exact(table).pvalue, rel=1e-6)


def test_fisher_of_the_printed_tables():
    # The tables of R's help page `fisher.test`, section Examples: tea tasting (Agresti 1990), where the one-sided
    # p is printed as 0.2429 = 17/70; both sides of that symmetrical table are 34/70, by counting on paper.
    # Convictions of twins (Fisher 1962): the page gives the table; its two-sided p, 0.000537, is from memory.
    assert fisher(3, 4, 1, 4) == 34 / 70
    assert fisher(2, 12, 15, 18) == pytest.approx(0.000537, abs=5e-7)


def test_holm_of_a_printed_example():
    # geeksforgeeks.org, "Holm-Bonferroni Method": 0.01, 0.04, 0.03, 0.005 at 0.05: the first and the last are
    # rejected, the others not. The adjusted values follow from its steps: 4 x 0.005, 3 x 0.01, 2 x 0.03, and no less.
    adjusted = holm({"h1": 0.01, "h2": 0.04, "h3": 0.03, "h4": 0.005})
    assert adjusted == pytest.approx({"h1": 0.03, "h2": 0.06, "h3": 0.06, "h4": 0.02})


@given(st.lists(st.floats(1e-6, 1), min_size=1, max_size=6))
def test_holm_is_the_closed_test_of_bonferroni(chances):
    # Marcus, Peritz & Gabriel (1976), from memory: a hypothesis falls when every set that holds it falls.
    adjusted = holm({str(i): one for i, one in enumerate(chances)})
    sets = [one for size in range(1, len(chances) + 1) for one in combinations(range(len(chances)), size)]
    for i in range(len(chances)):
        hardest = max(min(1.0, len(one) * min(chances[j] for j in one)) for one in sets if i in one)
        assert adjusted[str(i)] == pytest.approx(hardest)
