"""The Beta distribution and F, by scipy and by what they must obey."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trainer.solver.numbers import BadInput
from trainer.statistics.beta import beta_share, f_quantile

SHAPES = st.floats(0.1, 2000)


@given(st.floats(0, 1), SHAPES, SHAPES)
def test_the_share_is_that_of_scipy(x, a, b):
    assert beta_share(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), abs=1e-10)


@given(st.integers(0, 2**20).map(lambda n: n / 2**20), SHAPES, SHAPES)
def test_what_lies_below_and_above_is_everything(x, a, b):
    """By steps of a power of 2, so that 1 - x is exact: near 0 a rounded 1 - x is another point."""
    assert beta_share(x, a, b) + beta_share(1 - x, b, a) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("df", [(1, 1), (9, 81), (999, 3996), (0.7, 12), (40, 2)])
@pytest.mark.parametrize("share", [0.0001, 0.025, 0.5, 0.975, 0.9999])
def test_quantiles_of_f_are_those_of_scipy(df, share):
    assert f_quantile(share, *df) == pytest.approx(stats.f.ppf(share, *df), rel=1e-6)


def test_f_by_a_printed_table():
    """Upper 5 in 100 of F with 4 and 10 degrees of freedom: 3.48 in every printed table, from memory."""
    assert f_quantile(0.95, 4, 10) == pytest.approx(3.48, abs=5e-3)


def test_what_has_no_share_is_refused():
    for call in (
        lambda: beta_share(1.1, 1, 1), lambda: beta_share(0.5, 0, 1), lambda: beta_share(0.5, 1, -1),
        lambda: f_quantile(1, 1, 1), lambda: f_quantile(0.5, 0, 1),
    ):  # fmt: skip
        with pytest.raises(BadInput):
            call()
