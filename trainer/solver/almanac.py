"""Which point of the Earth has the sun overhead at a moment, and what follows from it alone.

Moments are seconds since 1970-01-01 00:00 UTC without leap seconds (POSIX time), good from 1900 to 2100.
"""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_between,
    require_whole,
)

DAY = 86_400.0
MINUTE = 60.0
FIRST_YEAR, LAST_YEAR = 1900, 2100
J2000 = 946_728_000.0  # 2000-01-01 12:00
CENTURY = 36_525.0 * DAY
# The Earth has lagged behind uniform time by 0 to 80 s since 1900 and will by about 200 s in 2100. The sun moves
# 0.0008 degrees in the 69 s taken here.
CLOCK_LAG = 69.0


@dataclass(frozen=True)
class Overhead:
    """The point of the Earth that has the sun in its zenith: latitude (the declination), east longitude [rad]."""

    latitude: Floats
    longitude: Floats


def overhead(utc: Numbers) -> Overhead:
    """The point that has the sun overhead, as seen from the Earth's center.

    utc: moments [s since 1970], in 1900 to 2100
    Good to 0.003 degrees in those years. Broadcasts. Raises BadInput.
    Source: Meeus, Astronomical Algorithms, 2nd ed. 1998, chapters 12, 22 and 25 (low accuracy), with the five terms
    for Venus, Jupiter and Moon of Meeus, Astronomical Formulae for Calculators, chapter 18; coefficients as public
    programs carry them, checked against NREL's Solar Position Algorithm.
    """
    return overhead_at(require_utc("utc", utc))


def overhead_at(utc: Floats) -> Overhead:
    """As overhead, for moments that are known to be good."""
    since = utc - J2000
    t = (since + CLOCK_LAG) / CENTURY
    node = np.radians(125.04 - 1934.136 * t)
    nutation = -0.00478 * np.sin(node)
    longitude = np.radians(_true_longitude(t) - 0.00569 + nutation)
    obliquity = np.radians(23.4392911 - 0.0130042 * t + 0.00256 * np.cos(node))
    across, along = np.sin(longitude), np.cos(longitude)
    ascension = np.arctan2(np.cos(obliquity) * across, along)
    sidereal = np.radians(280.46061837 + 0.000387933 * t * t + nutation * np.cos(obliquity))
    turned = np.radians(np.mod(since / DAY * 360.98564736629, 360.0))
    east = np.mod(ascension - sidereal - turned + np.pi, 2 * np.pi) - np.pi
    return Overhead(latitude=np.arcsin(np.sin(obliquity) * across), longitude=east)


def _true_longitude(t: Floats) -> Floats:
    """Longitude of the sun along the ecliptic [degrees]; t: centuries since 2000."""
    anomaly = np.radians(357.52911 + (35999.05029 - 0.0001537 * t) * t)
    center = (
        (1.914602 - (0.004817 + 0.000014 * t) * t) * np.sin(anomaly)
        + (0.019993 - 0.000101 * t) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    degrees: Floats = 280.46646 + (36000.76983 + 0.0003032 * t) * t + center + _pulls(t + 1)
    return degrees


def _pulls(t: Floats) -> Floats:
    """What Venus, Jupiter and Moon add, and a slow wave [degrees]; t: centuries since 1900."""
    degrees: Floats = (
        0.00134 * np.cos(np.radians(153.23 + 22518.7541 * t))
        + 0.00154 * np.cos(np.radians(216.57 + 45037.5082 * t))
        + 0.00200 * np.cos(np.radians(312.69 + 32964.3577 * t))
        + 0.00179 * np.sin(np.radians(350.74 + 445267.1142 * t - 0.00144 * t * t))
        + 0.00178 * np.sin(np.radians(231.19 + 20.20 * t))
    )
    return degrees


def declination(utc: Numbers) -> Numbers:
    """Declination of the sun [rad] at moments [s since 1970]; broadcasts. Raises BadInput. Source: as overhead."""
    return overhead(utc).latitude[()]


def equation_of_time(utc: Numbers) -> Numbers:
    """How far a sundial is ahead of a clock that keeps mean solar time [s], at moments [s since 1970]; broadcasts.

    Raises BadInput. Source: as overhead.
    """
    moments = require_utc("utc", utc)
    sundial = np.pi - overhead_at(moments).longitude
    clock = np.mod(moments, DAY)
    ahead: Floats = np.mod(sundial / (2 * np.pi) * DAY - clock + DAY / 2, DAY) - DAY / 2
    return ahead[()]


def julian_day(utc: Numbers) -> Numbers:
    """Julian day, a count of days with a fraction, at moments [s since 1970]; broadcasts. Raises BadInput.

    Source: the Julian day of 1970-01-01 00:00 is 2440587.5.
    """
    return (require_utc("utc", utc) / DAY + 2_440_587.5)[()]


def year_start(year: Numbers) -> Numbers:
    """The first moment of years [s since 1970]; years whole, 1900 to 2100; broadcasts. Raises BadInput."""
    years = require_year("year", year)
    leaps = np.floor((years - 1969) / 4) - np.floor((years - 1901) / 100) + np.floor((years - 1601) / 400)
    start: Numbers = (365 * (years - 1970) + leaps) * DAY
    return start


def year_length(year: Numbers) -> Numbers:
    """Length of years [s]: 365 or 366 days; whole, 1900 to 2100; broadcasts. Raises BadInput."""
    years = require_year("year", year)
    leap = (years % 4 == 0) & ((years % 100 != 0) | (years % 400 == 0))
    return (DAY * np.where(leap, 366, 365))[()]


def refraction(elevation: Numbers, pressure: Numbers = 101_325.0, temperature: Numbers = 283.15) -> Numbers:
    """How much the air lifts the sun [rad]; 0 where the sun stands more than a degree below the horizon.

    elevation: of the sun without air [rad], -pi/2 to pi/2
    pressure: of the air [Pa], above 0
    temperature: of the air [K], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Saemundsson, Sky and Telescope 72 (1986), 70, as in Meeus, Astronomical Algorithms, chapter 16.
    """
    height = np.degrees(require_elevation("elevation", elevation))
    air = require_above_zero("pressure", pressure, "Pa") / 101_000
    air = air * 283 / require_above_zero("temperature", temperature, "K")
    seen = np.maximum(height, -1.0)
    minutes = 1.02 / np.tan(np.radians(seen + 10.3 / (seen + 5.11)))
    lifted: Floats = np.radians(np.where(height < -1, 0.0, minutes) * air / 60)
    return lifted[()]


def require_utc(name: str, value: object) -> Floats:
    """Refuse what is no moment in 1900 to 2100."""
    first, last = year_start(FIRST_YEAR), year_start(LAST_YEAR) + year_length(LAST_YEAR)
    return require_between(name, value, first, last, "a moment from the years 1900 to 2100")


def require_year(name: str, value: object) -> Floats:
    """Refuse what is no whole year from 1900 to 2100."""
    values = as_floats(name, value)
    good = (values >= FIRST_YEAR) & (values <= LAST_YEAR) & (values == np.round(values))
    return require(name, values, good, f"a whole number from {FIRST_YEAR} to {LAST_YEAR}")


def require_elevation(name: str, value: object) -> Floats:
    """Refuse what is no elevation or latitude."""
    return require_between(name, value, -np.pi / 2, np.pi / 2, "from -pi/2 to pi/2 rad")


def require_turn(name: str, value: object) -> Floats:
    """Refuse what is no azimuth: more than one turn either way."""
    return require_between(name, value, -2 * np.pi, 2 * np.pi, "from -2 pi to 2 pi rad")


def require_longitude(name: str, value: object) -> Floats:
    """Refuse what is no longitude."""
    return require_between(name, value, -np.pi, np.pi, "from -pi to pi rad")


def day_declination(year: Numbers, day: Numbers) -> Numbers:
    """Declination of the sun at noon UTC of a day [rad].

    year: whole, 1900 to 2100
    day: of the year, 1 for 1 January; whole, up to the days of that year
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: as overhead.
    """
    require_year("year", year)
    days = require_whole("day", day)
    require("day", days, days * DAY <= year_length(year), "a whole number from 1 to the days of that year")
    return declination(year_start(year) + (days - 0.5) * DAY)
