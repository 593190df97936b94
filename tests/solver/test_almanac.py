"""Refraction against Meeus and by hand, and noon of a day against the standard library's calendar."""

from datetime import UTC, datetime

import numpy as np
import pytest

from trainer.solver.almanac import day_declination, declination, refraction

MINUTE_OF_ARC = np.radians(1 / 60)


def test_the_sun_of_meeus_example_16a_is_lifted_by_24_minutes():
    # Meeus, Astronomical Algorithms, example 16.a: 24'.618 at a true altitude of 33'.246; from memory. Worked out for
    # 1010 hPa and 283 K.
    lifted = refraction(33.246 * MINUTE_OF_ARC, 101_000.0, 283.0)
    assert lifted == pytest.approx(24.618 * MINUTE_OF_ARC, rel=1e-4)


@pytest.mark.parametrize(("degrees", "minutes"), [(0.0, 28.9819274), (10.0, 5.4076808), (-1.0, 38.7948373)])
def test_refraction_by_hand(degrees, minutes):
    # 1.02 / tan(h + 10.3 / (h + 5.11)): at 0, 1.02 / tan(2.01566); at 10, 1.02 / tan(10.68167); at -1, of 1.50608.
    assert refraction(np.radians(degrees), 101_000.0, 283.0) == pytest.approx(
        minutes * MINUTE_OF_ARC, rel=2e-4
    )


def test_thick_and_cold_air_lifts_more():
    # In proportion to the pressure and against the temperature; 1013.25 hPa and 10 °C where nothing is said.
    plain = refraction(0.1, 101_000.0, 283.0)
    assert refraction(0.1, 50_500.0, 283.0) == pytest.approx(plain / 2)
    assert refraction(0.1, 101_000.0, 566.0) == pytest.approx(plain / 2)
    assert refraction(0.1) == refraction(0.1, 101_325.0, 283.15)


def test_a_degree_below_the_horizon_the_air_lifts_nothing_more():
    assert refraction(np.radians([-1.001, -1.5, -4.0, -5.11, -40.0])).tolist() == [0] * 5
    assert refraction(np.radians(-1.0)) > 0


@pytest.mark.parametrize(
    ("year", "month", "day"), [(2024, 1, 1), (2024, 6, 20), (2023, 12, 31), (2024, 12, 31)]
)
def test_the_declination_of_a_day_is_that_of_its_noon(year, month, day):
    noon = datetime(year, month, day, 12, tzinfo=UTC)
    assert day_declination(year, noon.timetuple().tm_yday) == declination(noon.timestamp())


def test_nine_hours_after_the_equinox_the_sun_stands_a_seventh_of_a_degree_north():
    # The equinox of 2024 came on 20 March at 03:06 UTC; then the declination grows by 0.395 degrees a day.
    assert np.degrees(day_declination(2024, 80)) == pytest.approx(0.395 * (12 - 3.1) / 24, abs=0.005)
