"""What the functions of the sun ask of their inputs."""

import numpy as np

from tests.solver.refusals.rules import ACUTE, Rule, above_zero, between, case, sentence, whole
from trainer.solver import almanac, sun

FIRST, AFTER = -2_208_988_800.0, 4_133_980_800.0  # 1900-01-01 and 2101-01-01 00:00 UTC
NOON = 1_718_971_200.0  # 2024-06-21 12:00 UTC
UTC = between("a moment from the years 1900 to 2100", FIRST, AFTER)
YEAR = Rule("a whole number from 1900 to 2100", (1899, 2101, 2000.5), (1900, 2100))
ELEVATION = between("from -pi/2 to pi/2 rad", -np.pi / 2, np.pi / 2)
TURN = between("from -2 pi to 2 pi rad", -2 * np.pi, 2 * np.pi)
LONGITUDE = between("from -pi to pi rad", -np.pi, np.pi)
LATITUDE = ELEVATION
RECEIVER = {
    "latitude": 0.7,
    "longitude": -1.8,
    "year": 2024,
    "receiver_azimuth": 1.6,
    "receiver_elevation": 0.05,
    "half_angle": 0.05,
}
OPENING = {"sill": 0.0, "head": 2.0, "left": -1.0, "right": 2.0, "distance": 5.0}

CASES = [
    case(almanac.overhead, utc=(NOON, UTC)),
    case(almanac.declination, utc=(NOON, UTC)),
    case(almanac.equation_of_time, utc=(NOON, UTC)),
    case(almanac.julian_day, utc=(NOON, UTC)),
    case(almanac.year_start, year=(2024, YEAR)),
    case(almanac.year_length, year=(2024, YEAR)),
    case(
        almanac.refraction,
        elevation=(0.1, ELEVATION),
        pressure=(1e5, above_zero("Pa")),
        temperature=(280.0, above_zero("K")),
    ),
    case(
        almanac.day_declination,
        year=(2024, YEAR),
        day=(60, whole(1, then=Rule("a whole number from 1 to the days of that year", (367,), (366,)))),
    ),
    case(sun.sun_position, latitude=(0.7, LATITUDE), longitude=(-1.8, LONGITUDE), utc=(NOON, UTC)),
    case(
        sun.angle_to_axis,
        elevation=(0.3, ELEVATION),
        azimuth=(1.5, TURN),
        receiver_elevation=(0.1, ELEVATION),
        receiver_azimuth=(1.6, TURN),
    ),
    case(sun.noon_elevation, latitude=(0.7, LATITUDE), declination=(0.4, ELEVATION)),
    case(
        sun.sun_minutes,
        latitude=(0.7, Rule(LATITUDE.allowed, LATITUDE.bad)),
        longitude=(-1.8, Rule(LONGITUDE.allowed, LONGITUDE.bad)),
        year=(2024, Rule(YEAR.allowed, YEAR.bad)),
        receiver_azimuth=(1.6, Rule(TURN.allowed, TURN.bad)),
        receiver_elevation=(0.05, Rule(ELEVATION.allowed, ELEVATION.bad)),
        half_angle=(0.05, Rule(ACUTE.allowed, ACUTE.bad)),
    ),
    case(
        sun.Opening,
        arrays=False,
        sill=(0.0, Rule("finite")),
        head=(2.0, Rule("finite and above the sill", (0.0, -1.0), (1e-9,))),
        left=(-1.0, Rule("finite")),
        right=(2.0, Rule("finite and right of left", (-1.0, -2.0), (-0.999999,))),
        distance=(5.0, above_zero("m")),
    ),
]

SENTENCES = [
    sentence(call, words, **{**RECEIVER, **changed})
    for call in (sun.sun_visits, sun.visit_minutes)
    for words, changed in (
        ("latitude is 2; it must be from -pi/2 to pi/2 rad", {"latitude": 2.0}),
        ("half_angle is 0; it must be above 0 and below pi/2 rad", {"half_angle": 0.0}),
        (
            "receiver is an array of shape [2]; it must be one number for each input",
            {"latitude": np.array([0.6, 0.7])},
        ),
        ("opening is 3; it must be an Opening", {"opening": 3}),
    )
] + [
    sentence(sun.sunrise_and_sunset, words, **{"latitude": 0.7, "longitude": -1.8, "year": 2024, **changed})
    for words, changed in (
        ("latitude is 2; it must be from -pi/2 to pi/2 rad", {"latitude": 2.0}),
        ("longitude is 4; it must be from -pi to pi rad", {"longitude": 4.0}),
        ("year is 1899; it must be a whole number from 1900 to 2100", {"year": 1899}),
    )
]
