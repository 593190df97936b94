"""Poisson stock against scipy, pooling against every split of the stock, and what standing still costs."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from trainer.solver.numbers import BadInput
from trainer.solver.spares import (
    break_even_chance,
    compare_pooling,
    downtime_cost,
    poisson_cdf,
    service_reached,
    spare_gain,
    spares,
    stock_for,
)

YEAR = 365.25 * 86400
DAY = 86400
MEANS = np.array([0, 1e-9, 0.01, 0.5, 0.999, 1, 1.001, 2.5, 8, 30, 99.5, 1000, 12345.6, 99999.9])


def test_the_distribution_agrees_with_scipy_on_a_grid():
    for mean in MEANS:
        spread = np.sqrt(mean)
        counts = np.unique(np.maximum(0, np.round(mean + spread * np.linspace(-9, 9, 37))))
        counts = np.append(counts, [0, 1, 2, 5, 10**6])
        found = poisson_cdf(counts, mean)
        assert found == pytest.approx(stats.poisson.cdf(counts, mean), rel=1e-10, abs=1e-15)
        assert np.all(np.diff(np.sort(found)) >= 0)


@given(mean=st.floats(0, 1e5), count=st.integers(0, 200_000))
def test_the_distribution_agrees_with_scipy(mean, count):
    assert poisson_cdf(count, mean) == pytest.approx(stats.poisson.cdf(count, mean), rel=1e-10, abs=1e-15)


@given(mean=st.floats(0, 2e4), level=st.floats(0, 1 - 1e-9))
def test_the_stock_is_enough_and_one_less_is_not(mean, level):
    stock = int(stock_for(mean, level))
    # By scipy's distribution, with room for its last digits and ours.
    assert stats.poisson.cdf(stock, mean) >= level - 1e-12
    assert stock == 0 or stats.poisson.cdf(stock - 1, mean) < level + 1e-12


def test_stock_agrees_with_scipy_on_a_grid():
    levels = np.array([0.5, 0.8, 0.9, 0.95, 0.99, 0.999, 0.999999])
    found = stock_for(MEANS[1:, np.newaxis], levels)
    assert found.shape == (MEANS.size - 1, levels.size)
    assert np.array_equal(found, stats.poisson.ppf(levels, MEANS[1:, np.newaxis]))


@given(rate=st.floats(0.001, 40), days=st.floats(0.5, 200), level=st.floats(0.01, 0.9999))
def test_spares_are_the_stock_for_the_demand_in_the_lead_time(rate, days, level):
    stock = spares(rate / YEAR, days * DAY, level)
    mean = rate * days / 365.25
    assert service_reached(rate / YEAR, days * DAY, stock) == pytest.approx(stats.poisson.cdf(stock, mean))
    assert stats.poisson.cdf(stock, mean) >= level - 1e-12
    assert stock == 0 or stats.poisson.cdf(stock - 1, mean) < level + 1e-12


@given(means=st.lists(st.floats(0, 6), min_size=1, max_size=3), level=st.floats(0.01, 0.99))
@settings(deadline=None)
def test_no_smaller_stock_kept_apart_reaches_the_level(means, level):
    found = compare_pooling(means, level)
    total = sum(found.separate)
    joint = np.prod(stats.poisson.cdf(found.separate, means))
    assert found.separate_service == pytest.approx(joint)
    assert joint >= level - 1e-12
    for split in product(range(total), repeat=len(means)):
        if sum(split) == total - 1:
            assert np.prod(stats.poisson.cdf(split, means)) < level + 1e-12


@given(means=st.lists(st.floats(0, 50), min_size=1, max_size=6), level=st.floats(0, 0.999))
@settings(deadline=None)
def test_pooling_never_needs_more(means, level):
    found = compare_pooling(means, level)
    assert found.pooled <= sum(found.separate)
    assert found.pooled == stock_for(sum(means), level)
    assert found.pooled_service == pytest.approx(stats.poisson.cdf(found.pooled, sum(means)))


def test_a_place_without_demand_needs_no_stock():
    assert compare_pooling([0, 2], 0.9).separate == (0, int(stats.poisson.ppf(0.9, 2)))
    assert spares(0, DAY, 0.999) == 0
    assert stock_for(5000, 0) == 0


def test_standing_still_costs_margin_and_call_out():
    # 4 h at 60 cars/h and $9 a car, and $180 for the visit: 2160 + 180.
    assert downtime_cost(4 * 3600, 60 / 3600, 9.0, 180.0) == pytest.approx(2340)
    costs = downtime_cost(np.array([0.0, 3600.0]), 60 / 3600, 9.0, 180.0)
    assert costs == pytest.approx([180, 720])


@given(price=st.floats(1, 500), saved=st.floats(501, 5000))
def test_at_the_break_even_chance_a_spare_neither_gains_nor_loses(price, saved):
    chance = break_even_chance(price, saved)
    assert spare_gain(price, saved, -np.log1p(-chance)) == pytest.approx(0, abs=1e-9 * saved)
    assert spare_gain(price, saved, 50.0) == pytest.approx(saved - price)
    assert spare_gain(price, saved, 0.0) == -price


def test_refusals_name_the_input():
    good = {"failures_per_year": 2 / YEAR, "lead_time": 30 * DAY, "service_level": 0.95}
    bad = [
        ("failures_per_year", -1), ("failures_per_year", np.inf), ("failures_per_year", np.nan),
        ("failures_per_year", 2 / YEAR**2), ("failures_per_year", 1.0), ("failures_per_year", "many"),
        ("lead_time", 0), ("lead_time", -5), ("lead_time", np.inf), ("service_level", 1), ("service_level", -0.1),
        ("service_level", np.nan),
    ]  # fmt: skip
    for name, value in bad:
        with pytest.raises(BadInput) as refused:
            spares(**{**good, name: value})
        assert refused.value.name == name


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: poisson_cdf(-1, 2), "count"),
        (lambda: poisson_cdf(1.5, 2), "count"),
        (lambda: poisson_cdf(1, -2), "mean"),
        (lambda: poisson_cdf(1, 1e6), "mean"),
        (lambda: stock_for(np.nan, 0.5), "mean"),
        (lambda: service_reached(0, DAY, 0.5), "stock"),
        (lambda: compare_pooling([], 0.9), "means"),
        (lambda: compare_pooling([[1]], 0.9), "means"),
        (lambda: compare_pooling([-1, 2], 0.9), "means"),
        (lambda: compare_pooling([1e5, 1], 0.9), "means"),
        (lambda: compare_pooling([1], 1.0), "service_level"),
        (lambda: downtime_cost(-1, 1, 1, 1), "time"),
        (lambda: downtime_cost(1, -1, 1, 1), "car_rate"),
        (lambda: downtime_cost(1, 1, np.nan, 1), "margin"),
        (lambda: downtime_cost(1, 1, 1, np.inf), "call_out"),
        (lambda: break_even_chance(-1, 1), "price"),
        (lambda: break_even_chance(1, 0), "saved"),
        (lambda: spare_gain(1, -1, 1), "saved"),
        (lambda: spare_gain(1, 1, -1), "mean"),
    ],
)
def test_more_refusals_name_the_input(call, named):
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.name == named


def test_more_failures_than_can_be_counted_are_refused_as_too_many():
    allowed = "it must be low enough for at most 100 000 failures in lead_time"
    assert service_reached(1.0, 100_000.0, 0) == pytest.approx(0, abs=1e-300)
    for rate, time, said in (
        (1.0, 100_001.0, "1"),
        (np.array([1.0, 2.0]), 60_000.0, "2"),
        (1e300, np.array([1.0, 1e300]), "1e+300"),
    ):
        with np.errstate(all="raise"), pytest.raises(BadInput) as refused:
            spares(rate, time, 0.5)
        assert str(refused.value) == f"failures_per_year is {said}; {allowed}"


def test_a_level_that_is_just_reached_needs_no_more():
    level = float(poisson_cdf(2, 1.0))
    assert compare_pooling([1.0], level).separate == (2,)
    assert compare_pooling([5_000.0, 5_000.0], 0.0).separate == (0, 0)
