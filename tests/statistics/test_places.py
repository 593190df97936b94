"""Places of people, fit of items, Andersen's test: bounds, what they refuse, and what a spoilt item does."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from trainer.solver.numbers import BadInput
from trainer.statistics.chi_square import chi_square_tail
from trainer.statistics.misfit import andersen_test, item_fit
from trainer.statistics.places import places, score_places
from trainer.statistics.rasch import NotFitted, fit_rasch

difficulties = st.lists(st.floats(-4, 4), min_size=2, max_size=12)


def made_up(seed, people=2000, items=8):
    rng = np.random.default_rng(seed)
    theta, b = rng.normal(size=(people, 1)), np.linspace(-1.5, 1.5, items)
    return (rng.random((people, items)) < 1 / (1 + np.exp(b - theta))).astype(float)


@given(difficulties)
@settings(max_examples=60, deadline=None)
def test_the_likeliest_place_expects_the_score_that_was_reached(b):
    found = score_places(b)
    for right in range(1, len(b)):
        place = brentq(
            lambda at, r=right: (1 / (1 + np.exp(np.array(b) - at))).sum() - r, -30, 30, xtol=1e-12
        )
        assert found.place[right] == pytest.approx(place, abs=1e-8)
    assert (np.diff(found.place) > 0).all()


@given(difficulties)
@settings(max_examples=60, deadline=None)
def test_weighted_places_are_finite_rise_and_lie_inside(b):
    plain, weighted = score_places(b), score_places(b, "weighted")
    assert np.isfinite(weighted.place).all() and (np.diff(weighted.place) > 0).all()
    assert plain.error[0] == plain.error[-1] == np.inf


@given(st.lists(st.floats(-1.8, 1.8), min_size=2, max_size=12))
@settings(max_examples=60, deadline=None)
def test_weighted_places_turn_over_with_the_scale(b):
    weighted = score_places(b, "weighted")
    turned = score_places(-np.array(b), "weighted")
    assert turned.place == pytest.approx(-weighted.place[::-1], abs=1e-7)


def test_a_person_is_placed_by_the_items_they_were_asked():
    b, asked = np.array([-1.0, 0, 1, 2]), np.array([[True, True, True, True], [True, False, True, False]])
    found = places(b, asked, [2, 1])
    assert found.place == pytest.approx(
        [score_places(b).place[2], score_places(b[[0, 2]]).place[1]], abs=1e-9
    )


@pytest.mark.parametrize(
    ("inputs", "name"),
    [
        ({"difficulties": [0, np.nan]}, "difficulties"),
        ({"right": [3, 0]}, "right"),
        ({"right": [0.5, 0]}, "right"),
        ({"asked": np.zeros((2, 2), dtype=bool)}, "asked"),
        ({"asked": np.ones((2, 3), dtype=bool)}, "asked"),
        ({"method": "guess"}, "method"),
    ],
)
def test_refuses_what_places_nobody(inputs, name):
    good = {"difficulties": [0, 1], "asked": np.ones((2, 2), dtype=bool), "right": [1, 0]}
    with pytest.raises(BadInput) as refused:
        places(**{**good, **inputs})
    assert refused.value.name == name


def test_answers_of_the_model_fit_and_a_key_that_is_wrong_does_not():
    data = made_up(2)
    good = item_fit(data, fit_rasch(data).difficulties)
    data[:, 3] = 1 - data[:, 3]
    spoilt = item_fit(data, fit_rasch(data).difficulties)
    assert good.infit.max() < 1.05 and good.outfit.max() < 1.1
    assert spoilt.infit.argmax() == spoilt.outfit.argmax() == 3
    assert spoilt.infit[3] > 1.2


def test_an_item_that_nobody_was_asked_has_no_fit():
    data = np.column_stack([made_up(3), np.full(2000, np.nan)])
    found = item_fit(data, np.zeros(9))
    assert np.isnan(found.infit[8]) and np.isnan(found.outfit[8])
    assert np.isfinite(found.infit[:8]).all()


def test_andersens_test_keeps_its_promise_under_the_model():
    """Answers of the model itself: about one test in twenty is below 0.05; 200 tries stay within three errors of it."""
    p = [andersen_test(made_up(seed, 300, 5), np.arange(300) % 2).p for seed in range(200)]
    assert abs(np.mean(np.array(p) < 0.05) - 0.05) < 3 * np.sqrt(0.05 * 0.95 / 200)


def test_andersens_test_asks_for_groups_that_say_something():
    data = made_up(1, 50, 4)
    with pytest.raises(BadInput, match="groups"):
        andersen_test(data, np.zeros(50))
    with pytest.raises(BadInput, match="groups"):
        andersen_test(data, np.zeros(49))
    with pytest.raises(NotFitted):
        andersen_test(data, np.arange(50) == 0)


@pytest.mark.parametrize(("statistic", "df"), [(-1, 2), (np.nan, 2), (np.inf, 2), (1, 0), (1, 1.5)])
def test_chi_square_refuses(statistic, df):
    with pytest.raises(BadInput):
        chi_square_tail(statistic, df)
