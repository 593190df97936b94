"""The sun against NREL's Solar Position Algorithm as pvlib works it out (Reda and Andreas, NREL/TP-560-34302)."""

import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition, spa

from trainer.solver.almanac import year_start
from trainer.solver.sun import angle_to_axis, equation_of_time, sun_minutes, sun_position, sunrise_and_sunset

PLACES = [(39.742, -105.179), (-33.87, 151.21), (64.13, -21.9)]
TOLERANCE = 0.05  # degrees; what is seen is 0.003


def nrel(latitude, longitude, times, method="nrel_numpy"):
    """The reference's table, with the Earth's lag of that year instead of the library's one for all years."""
    lag = float(spa.calculate_deltat(times[0].year, 6))
    return solarposition.get_solarposition(times, latitude, longitude, method=method, delta_t=lag)


def posix(times):
    return times.as_unit("ns").asi8 / 1e9


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
@pytest.mark.parametrize("year", [1950, 2026, 2099])
def test_position_over_a_year(latitude, longitude, year):
    times = pd.date_range(f"{year}-01-01", f"{year + 1}-01-01", freq="37min", tz="UTC", inclusive="left")
    theirs = nrel(latitude, longitude, times)
    ours = sun_position(np.radians(latitude), np.radians(longitude), posix(times))
    elevation, azimuth = (np.radians(theirs[key].to_numpy()) for key in ("elevation", "azimuth"))
    apart = np.degrees(angle_to_axis(ours.elevation, ours.azimuth, elevation, azimuth))
    higher = np.degrees(np.abs(ours.elevation - elevation))
    print(
        f"\n{year} at {latitude}: elevation off by {higher.max():.4f}, direction by {apart.max():.4f} degrees"
    )
    assert apart.max() <= TOLERANCE
    # What almanac.overhead states for itself, with the parallax of a mean distance.
    assert apart.max() <= 0.005


def test_equation_of_time_over_a_year():
    times = pd.date_range("2026-01-01 12:00", "2026-12-31 12:00", freq="1D", tz="UTC")
    theirs = nrel(39.7, 0.0, times)["equation_of_time"].to_numpy()
    assert equation_of_time(posix(times)) / 60 == pytest.approx(theirs, abs=0.02)


@pytest.mark.parametrize("latitude", [39.742, -33.87, 55.0])
def test_sunrise_and_sunset_over_a_year(latitude):
    # At the meridian of Greenwich: elsewhere their sunset, put into the UTC day, may be that of the day before.
    spans = year_start(2026) + np.array(sunrise_and_sunset(np.radians(latitude), 0.0, 2026))
    days = pd.date_range("2026-01-01", "2026-12-31", freq="1D", tz="UTC")
    theirs = solarposition.sun_rise_set_transit_spa(days, latitude, 0.0)
    for ours, key in ((spans[:, 0], "sunrise"), (spans[:, 1], "sunset")):
        off = np.abs(ours - posix(pd.DatetimeIndex(theirs[key])))
        print(f"\n{key} at {latitude}: off by {off.max():.2f} s")
        assert off.max() < 3


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_minutes_of_a_year_differ_only_at_the_edges_of_visits(latitude, longitude):
    # Their sun and ours are 0.005 degrees apart at most: a visit may be cut by that much, 1.2 s, at either end.
    times = pd.date_range("2026-01-01", "2027-01-01", freq="1min", tz="UTC", inclusive="left")
    theirs = nrel(latitude, longitude, times)
    sun = np.radians(theirs[["elevation", "azimuth"]].to_numpy()).T
    for azimuth, elevation, half in ((250.0, 9.0, 3.0), (110.0, 9.0, 1.5), (180.0, 9.0, 20.0)):
        looks = np.radians([azimuth, elevation, half])
        off = angle_to_axis(*sun, looks[1], looks[0])
        least, most = (np.sum((off <= looks[2] + d) & (sun[0] > -d)) for d in np.radians([-0.005, 0.005]))
        ours = sun_minutes(np.radians(latitude), np.radians(longitude), 2026, *looks)
        assert least <= ours <= most
