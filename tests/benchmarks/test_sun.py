"""The minutes of a year in which the sun looks into a receiver, against pvlib stepping the year by the minute."""

import numpy as np
import pandas as pd
from pvlib import solarposition, spa

from tests.benchmarks.paired import paired
from trainer.solver.sun import sun_minutes

LATITUDE, LONGITUDE, HALF_ANGLE = 39.742, -105.179, 3.0
YEAR = pd.date_range("2026-01-01", "2027-01-01", freq="1min", tz="UTC", inclusive="left")
LAG = float(spa.calculate_deltat(2026, 6))


def looks(call: int) -> tuple[float, float]:
    """Azimuth and elevation of a receiver; no two calls ask for the same one."""
    return 240.0 + call, 8.0 + call / 10


def solved(call: int) -> float:
    azimuth, elevation = looks(call)
    asked = np.radians([azimuth, elevation, HALF_ANGLE])
    return float(sun_minutes(np.radians(LATITUDE), np.radians(LONGITUDE), 2026, *asked))


def stepped(call: int) -> int:
    azimuth, elevation = np.radians(looks(call))
    found = solarposition.get_solarposition(YEAR, LATITUDE, LONGITUDE, method="nrel_numpy", delta_t=LAG)
    up, round_ = np.radians(found["elevation"].to_numpy()), np.radians(found["azimuth"].to_numpy())
    cosine = np.sin(up) * np.sin(elevation) + np.cos(up) * np.cos(elevation) * np.cos(round_ - azimuth)
    return int(np.sum((cosine >= np.cos(np.radians(HALF_ANGLE))) & (up > 0)))


def test_minutes_of_a_year_against_stepping_with_the_reference_algorithm():
    for call in (0, 5):
        ours, theirs = solved(call), stepped(call)
        assert theirs > 100
        # 0.003 degrees between the two suns are under a second, so few minutes at the edges of visits may differ.
        assert abs(ours - theirs) <= 0.02 * theirs
    found = paired(solved, stepped, rounds=3, calls=1)
    found.say("sun minutes of a year against pvlib nrel_numpy at one-minute steps")
    print(f"times as fast: {1 / found.ratio:.0f}")
    assert 1 / found.ratio >= 20
