"""The slanted beam of 6 and 30 in over a bay of 12 ft, against Euclid.

The pair of heights is common practice, no source; the figures follow from it by the propositions that are named.
"""

import numpy as np
import pytest

from trainer.solver.beam import beam_across, beam_height, beam_slope

INCH = 0.0254
LOW, HIGH, SPAN = 6 * INCH, 30 * INCH, 144 * INCH


def test_c036_slant_angle():
    # Euclid, Elements VI.2: rise to run is 24 to 144, one in six; the angle whose tangent is 1/6 is 9.46232 degrees.
    slope = beam_slope(LOW, HIGH, SPAN)
    assert np.tan(slope.angle) == pytest.approx(1 / 6, rel=1e-14)
    assert np.degrees(slope.angle) == pytest.approx(9.46232, abs=1e-5)


def test_c037_slant_length():
    # Euclid, Elements I.47: 24 x 24 + 144 x 144 = 21312; its root is 145.98630.
    length = beam_slope(LOW, HIGH, SPAN).length / INCH
    assert length**2 == pytest.approx(21312, rel=1e-14)
    assert length == pytest.approx(145.98630, abs=1e-5)


def test_c038_height_a_quarter_of_the_way():
    # Euclid, Elements VI.2: a quarter of the way, 36 in, a quarter of the rise, 6 in.
    assert beam_height(LOW, HIGH, SPAN, 36 * INCH) / INCH == pytest.approx(12, abs=1e-9)


def test_c040_heights_across_a_car_of_70_in():
    # Euclid, Elements VI.2: the car's sides stand 37 in from the lenses, where the beam has climbed 37/6 in.
    found = beam_across(LOW, HIGH, SPAN, 70 * INCH, 0.0)
    assert (found.lowest / INCH, found.highest / INCH) == pytest.approx((12.16667, 23.83333), abs=1e-5)


@pytest.mark.parametrize("offset", [-20, -6, 6, 20])
def test_a_car_off_centre_is_cut_a_sixth_of_the_way_higher_or_lower(offset):
    # The same proposition: moved along the span, the car is cut higher by a sixth of that.
    found, centred = (beam_across(LOW, HIGH, SPAN, 70 * INCH, at * INCH) for at in (offset, 0))
    for one, other in ((found.lowest, centred.lowest), (found.highest, centred.highest)):
        assert (one - other) / INCH == pytest.approx(offset / 6, abs=1e-9)
