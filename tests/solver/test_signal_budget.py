"""A signal budget against the published laws it is made of, step by step, and the rule that dirt counts once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.signal import REQUIRED_EXCESS_GAIN
from trainer.solver.signal_budget import Aim, Reference, Weather, signal_budget

FOOT = 0.3048


def test_every_step_by_hand():
    # Inverse square from 3 at 60 ft to 12 ft: 75. Half-angles off: half each. 0.9² after two years. 0.7² for two
    # lenses with 30 % of dirt, 0.8² with 20 % of drops. Fog of 10 m over 12 ft by Koschmieder's law as the IES prints
    # it, e^(-2.996 d/V).
    budget = signal_budget(
        Reference(3.0, 60 * FOOT),
        12 * FOOT,
        weather=Weather(dirt=0.3, water=0.2, visibility=10.0),
        emitter_aim=Aim(0.03, 0.03),
        receiver_aim=Aim(0.05, 0.05),
        ageing=0.1,
        years=2.0,
    )
    names = ["reference", "distance", "aim_emitter", "aim_receiver", "ageing", "dirt", "water", "fog"]
    factors = [1, 25, 0.5, 0.5, 0.81, 0.49, 0.64, np.exp(-2.996 * 0.36576)]
    assert [one.name for one in budget.steps] == names
    assert [one.factor for one in budget.steps] == pytest.approx(factors, rel=1e-4)
    assert [one.gain for one in budget.steps] == pytest.approx(3 * np.cumprod(factors), rel=1e-4)
    assert (budget.required, budget.allowance) == (1.5, "losses")
    assert budget.margin == pytest.approx(3 * np.prod(factors) / 1.5, rel=1e-4)
    assert budget.largest.name == "fog"


def test_only_what_loses_is_a_step():
    budget = signal_budget(40.0, 3.7)
    assert [(one.name, one.gain) for one in budget.steps] == [("measured", 40.0)]
    assert budget.largest is None
    assert budget.margin == pytest.approx(40 / 1.5)


@pytest.mark.parametrize("environment", ["slightly_dirty", "moderately_dirty", "very_dirty"])
def test_dirt_counts_once(environment):
    # 'Use excess gain to choose an optical sensor', Instrumentation & Control (South Africa), July 2018: the rows count
    # contamination on the lenses, the last one fog and mist too.
    budget = signal_budget(40.0, 3.7, environment=environment, ageing=0.06, years=1.0)
    assert (budget.required, budget.allowance) == (REQUIRED_EXCESS_GAIN[environment], "row")
    assert budget.margin == pytest.approx(40 * 0.94 / REQUIRED_EXCESS_GAIN[environment])
    for name, weather in {
        "dirt": Weather(dirt=0.1), "water": Weather(water=0.1), "visibility": Weather(visibility=10.0)
    }.items():  # fmt: skip
        with pytest.raises(BadInput, match=f"left out: {environment} already counts") as refused:
            signal_budget(40.0, 3.7, environment=environment, weather=weather)
        assert refused.value.name == name


def test_the_convention_of_the_visibility_matters():
    five, two = (
        signal_budget(40.0, 4.0, weather=Weather(visibility=4.0, contrast=c)).gain for c in (0.05, 0.02)
    )
    assert (five, two) == pytest.approx((2.0, 0.8))


@given(
    dirt=st.floats(0, 0.9),
    water=st.floats(0, 0.9),
    visibility=st.floats(1, 100),
    off=st.floats(0, 0.06),
    years=st.floats(0, 10),
)
def test_losses_add_up_in_decibels_and_none_gives_light(dirt, water, visibility, off, years):
    weather = Weather(dirt, water, visibility)
    budget = signal_budget(40.0, 3.7, weather=weather, emitter_aim=Aim(off, 0.03), ageing=0.05, years=years)
    losses = [-10 * np.log10(one.factor) for one in budget.steps]
    assert min(losses) >= 0
    assert 10 * np.log10(40 / budget.gain) == pytest.approx(sum(losses))


@pytest.mark.parametrize(
    ("inputs", "name"),
    [
        ({"start": 0.0}, "start"),
        ({"start": Reference(0.0, 18.0)}, "reference_gain"),
        ({"start": Reference(3.0, 0.0)}, "reference_distance"),
        ({"distance": 0.0}, "distance"),
        ({"environment": "muddy"}, "environment"),
        ({"weather": Weather(dirt=1.0)}, "dirt"),
        ({"weather": Weather(water=-0.1)}, "water"),
        ({"weather": Weather(visibility=0.0)}, "visibility"),
        ({"weather": Weather(visibility=9.0, contrast=0.04)}, "contrast"),
        ({"ageing": 1.0}, "ageing"),
        ({"years": np.nan}, "years"),
    ],
)
def test_refuses_and_names_the_input(inputs, name):
    with pytest.raises(BadInput) as refused:
        signal_budget(**{"start": 40.0, "distance": 3.7, **inputs})
    assert refused.value.name == name
