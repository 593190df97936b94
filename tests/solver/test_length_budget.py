"""A length budget against measured lengths: cars counted at random, beams really askew, lenses really wide."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.solver.beam import Piece
from trainer.solver.bodies import Body
from trainer.solver.detection import detect
from trainer.solver.length_budget import Aperture, Skew, length_budget, skew_length
from trainer.solver.numbers import BadInput
from trainer.solver.timers import debounce

INCH = 0.0254
PULSES, SPEED = 12 / (12 * INCH), 9 * INCH
BOX = Piece(profile=((0, 0.1), (0, 1.2), (-4.5, 1.2), (-4.5, 0.1)), from_y=-0.9, to_y=0.9)


def box():
    return Body("Box", "van", (BOX,), -0.9, -3.6, 0.33)


def parts(budget):
    return {one.name: (one.least, one.most) for one in budget.parts}


def test_every_part_by_hand():
    # At 9 in/s: 0.2 s more off-delay than on-delay is 1.8 in, 3 % of it 0.054 in; 2 in of skew over 144 in.
    budget = length_budget(
        pulses_per_length=PULSES, speed=SPEED, tolerance=0.03, on_delay=0.05, off_delay=0.25, scan_time=0.01,
        aperture=Aperture(0.75 * INCH, 2.0, 2.0), skew=Skew(-2 * INCH, 144 * INCH, 72 * INCH),
    )  # fmt: skip
    inches = {name: (low / INCH, high / INCH) for name, (low, high) in parts(budget).items()}
    expected = {
        "quantisation": (-1, 1), "delays": (1.8, 1.8), "chain_tolerance": (-0.054, 0.054),
        "scan": (-0.1854, 0.1854), "edge_shift": (0, 0), "skew": (0, 1),
    }  # fmt: skip
    assert list(inches) == list(expected)
    for name, ends in expected.items():
        assert inches[name] == pytest.approx(ends, abs=1e-9)
    assert budget.least / INCH == pytest.approx(1.8 - 1 - 0.054 - 0.1854)
    assert budget.worst / INCH == pytest.approx(1.8 + 1 + 0.054 + 0.1854 + 1)
    assert budget.root_sum_square / INCH == pytest.approx(np.sqrt(1 + 1.8**2 + 0.054**2 + 0.1854**2 + 1))
    assert budget.largest.name == "delays"


def test_a_correction_leaves_what_the_chain_changes():
    budget = length_budget(
        pulses_per_length=PULSES, speed=SPEED, tolerance=0.05, on_delay=0.6, off_delay=0.1, corrected=True
    )
    assert parts(budget)["delays"] == (0, 0)
    assert parts(budget)["chain_tolerance"] == pytest.approx((-0.05 * 4.5 * INCH, 0.05 * 4.5 * INCH))


@given(
    tolerance=st.floats(0, 0.1),
    on=st.floats(0, 1),
    off=st.floats(0, 1),
    length=st.floats(2, 6),
    phase=st.floats(0, 0.999),
    chain=st.floats(-1, 1),
    corrected=st.booleans(),
    scan=st.tuples(st.sampled_from([0.0, 0.01]), *[st.floats(0, 0.999)] * 4),
)
@settings(deadline=None)
def test_no_counted_car_is_farther_off_than_the_worst(
    tolerance, on, off, length, phase, chain, corrected, scan
):
    # A car rolls past in time: delays, two late readings at each edge, pulses of the chain as it really runs.
    budget = length_budget(
        pulses_per_length=PULSES, speed=SPEED, tolerance=tolerance, on_delay=on, off_delay=off,
        corrected=corrected, scan_time=scan[0],
    )  # fmt: skip
    speed = SPEED * (1 + tolerance * chain)
    ((start, end),) = debounce(on, off, [[0, length / speed + 10]])
    start += scan[0] * (scan[1] + scan[2])
    end += scan[0] * (scan[3] + scan[4])
    travelled = np.array([start, end - 10]) * speed * PULSES + phase
    counted = np.diff(np.floor(travelled))[0] / PULSES - (SPEED * (off - on) if corrected else 0)
    assert budget.least - 1e-9 <= counted - length <= budget.most + 1e-9
    assert abs(counted - length) <= budget.worst + 1e-9


@pytest.mark.parametrize(("along", "offset"), [(0.3, 0.0), (-0.2, 0.25), (0.05, -0.4)])
def test_skew_is_what_a_box_gains_when_the_beam_is_askew(along, offset):
    found = detect([0, -1.8, 0.5], [along, 1.8, 0.5], box(), offset)
    assert found.length_error == pytest.approx(skew_length(Skew(along, 3.6, 1.8)), abs=1e-12)


@pytest.mark.parametrize("gain", [1.2, 2.0, 5.0, 40.0])
def test_the_edge_is_what_a_box_loses_by_a_wide_lens(gain):
    found = detect([0, -1.8, 0.5], [0, 1.8, 0.5], box(), 0.0, lens_diameter=0.02, excess_gain=gain)
    budget = length_budget(pulses_per_length=PULSES, speed=SPEED, aperture=Aperture(0.02, gain, gain))
    assert parts(budget)["edge_shift"] == pytest.approx((found.length_error, found.length_error), abs=1e-12)


def test_between_cleanings_the_edge_wanders():
    budget = length_budget(pulses_per_length=PULSES, speed=SPEED, aperture=Aperture(0.02, 1.5, 40.0))
    least, most = parts(budget)["edge_shift"]
    assert least < 0 < most


@pytest.mark.parametrize(
    ("inputs", "name"),
    [
        ({"pulses_per_length": 0.0}, "pulses_per_length"),
        ({"speed": -1.0}, "speed"),
        ({"tolerance": 1.0}, "tolerance"),
        ({"on_delay": -0.1}, "on_delay"),
        ({"off_delay": np.nan}, "off_delay"),
        ({"scan_time": np.inf}, "scan_time"),
        ({"aperture": Aperture(0.0, 2.0, 3.0)}, "lens_diameter"),
        ({"aperture": Aperture(0.02, 1.0, 3.0)}, "lowest_gain"),
        ({"aperture": Aperture(0.02, 5.0, 3.0)}, "lowest_gain"),
        ({"skew": Skew(np.nan, 3.6, 1.8)}, "along"),
        ({"skew": Skew(0.1, 0.0, 1.8)}, "span"),
        ({"skew": Skew(0.1, 3.6, 3.7)}, "car_width"),
    ],
)
def test_refuses_and_names_the_input(inputs, name):
    with pytest.raises(BadInput) as refused:
        length_budget(**{"pulses_per_length": PULSES, "speed": SPEED, **inputs})
    assert refused.value.name == name


def test_a_beam_just_as_long_as_the_car_is_wide_is_skewed_all_over_it():
    assert skew_length(Skew(0.1, 1.8, 1.8)) == pytest.approx(0.1)


def test_without_delays_and_scans_only_the_count_errs():
    parts = {
        one.name: (one.least, one.most) for one in length_budget(pulses_per_length=40.0, speed=0.25).parts
    }
    assert parts == {
        "quantisation": (-0.025, 0.025), "delays": (0, 0), "chain_tolerance": (0, 0), "scan": (0, 0),
    }  # fmt: skip
