"""Odd pass rates, against another package's exact test, printed examples, closed testing, and simulation."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import fisher_exact

from trainer.certificates.pass_rates import LEAST, LEVEL, Judged, compare, fisher, holm

COUNTS = st.integers(1, 40).flatmap(lambda judged: st.tuples(st.integers(0, judged), st.just(judged)))
HOUSES = 1000


def house(*counts):
    return [Judged(f"e{i}", f"E{i}", int(passed), int(judged)) for i, (passed, judged) in enumerate(counts)]


def verdicts(*counts, **how):
    return [one.verdict for one in compare(house(*counts), **how)]


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


def test_too_few_on_either_side_says_nothing_and_takes_no_share_of_the_level():
    few, enough = (LEAST - 1, LEAST - 1), (2, 20)
    assert verdicts(few, enough) == ["too_few", "too_few"]
    assert verdicts((20, 20)) == ["too_few"]
    assert verdicts() == []
    alone = compare(house((LEAST, LEAST), (8, LEAST)))
    beside = compare(house((LEAST, LEAST), (8, LEAST), (0, 0)))
    assert [one.chance for one in beside[:2]] == [one.chance for one in alone]


def test_an_odd_one_is_named_with_its_side():
    assert verdicts((40, 40), (28, 40), (30, 40)) == ["often", "usual", "usual"]
    assert verdicts((10, 40), (28, 40), (30, 40))[0] == "seldom"
    assert verdicts((40, 40), (20, 40)) == ["often", "seldom"], "two cannot tell which one is odd"
    assert verdicts((40, 40), (40, 40), (40, 40)) == ["usual"] * 3


def test_honest_examiners_rarely_raise_an_alarm_and_a_biased_one_does():
    # Five examiners, sixty practicals each, honest pass rates from 0.6 to 0.9; the biased one passes 99 of 100.
    # Seen: 44 of 1,000 honest houses raise any alarm, 946 biased examiners are named.
    draw = np.random.default_rng(20260302)
    honest = biased = 0
    for _ in range(HOUSES):
        rate = draw.uniform(0.6, 0.9)
        passed = draw.binomial(60, rate, 5)
        honest += any(one.odd for one in compare(house(*((count, 60) for count in passed))))
        passed[0] = draw.binomial(60, 0.99)
        biased += compare(house(*((count, 60) for count in passed)))[0].verdict == "often"
    assert honest <= HOUSES * LEVEL
    assert biased >= HOUSES * 0.85
