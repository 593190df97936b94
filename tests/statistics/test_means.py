"""A mean with its interval: refusals and ends. Published values: tests/published/test_forecasts.py."""

import pytest

from trainer.solver.numbers import BadInput
from trainer.statistics.means import Mean, mean_of, t_quantile, t_tails


def test_equal_values_leave_no_width():
    assert mean_of([0.5, 0.5, 0.5]) == Mean(0.5, 0.5, 0.5, 3)


def test_what_has_no_mean_is_refused():
    for call in (
        lambda: mean_of([1.0]), lambda: mean_of([[1.0, 2.0]]), lambda: mean_of([1.0, float("nan")]),
        lambda: t_tails(-1, 3), lambda: t_tails(1, 0), lambda: t_quantile(0, 3), lambda: t_quantile(1, 3),
    ):  # fmt: skip
        with pytest.raises(BadInput):
            call()
