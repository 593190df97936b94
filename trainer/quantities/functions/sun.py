"""Where the sun stands, and how long it looks into a receiver."""

from __future__ import annotations

from trainer.quantities import structured
from trainer.quantities.functions.entries import HALF_ANGLE, Published, moment, number, result
from trainer.solver import almanac, sun
from trainer.solver.numbers import Numbers


def sun_minutes(  # noqa: PLR0917 - questions call it by position
    latitude: Numbers,
    longitude: Numbers,
    year: Numbers,
    receiver_azimuth: Numbers,
    receiver_elevation: Numbers,
    half_angle: Numbers,
) -> Numbers:
    """As the solver's, for a receiver that nothing shades but the horizon."""
    return sun.sun_minutes(latitude, longitude, year, receiver_azimuth, receiver_elevation, half_angle)


_UPRIGHT = "from -90 to 90 deg"
_AROUND = "from -360 to 360 deg, clockwise from north"
LATITUDE = number("latitude", "deg", f"{_UPRIGHT}, north positive")
LONGITUDE = number("longitude", "deg", "from -180 to 180 deg, east positive")
YEAR = number("year", "1", "a whole number from 1900 to 2100")
RECEIVER = (number("receiver_azimuth", "deg", _AROUND), number("receiver_elevation", "deg", _UPRIGHT))
SERIES = "Meeus, Astronomical Algorithms, 2nd ed. 1998, chapter 25"

TABLE = (
    Published(
        "sun_position", structured.sun_position, (LATITUDE, LONGITUDE, moment("utc")),
        (result("elevation", "deg"), result("azimuth", "deg")), SERIES,
        "Elevation of the sun's center without refraction, and its azimuth clockwise from north.",
    ),
    Published(
        "sun_angle", sun.angle_to_axis,
        (number("elevation", "deg", _UPRIGHT), number("azimuth", "deg", _AROUND), *reversed(RECEIVER)),
        (result("angle", "deg"),), "spherical law of cosines",
        "Angle between the sun and the direction in which a receiver looks.",
    ),
    Published(
        "declination", almanac.day_declination,
        (YEAR, number("day", "1", "a whole number from 1 to the days of that year")), (result("angle", "deg"),), SERIES,
        "Declination of the sun at noon UTC of a day of the year, 1 for 1 January.",
    ),
    Published(
        "noon_elevation", sun.noon_elevation, (LATITUDE, number("declination", "deg", _UPRIGHT)),
        (result("elevation", "deg"),), "angles on the meridian",
        "Elevation of the sun when it crosses the meridian; below 0 it does not rise.",
    ),
    Published(
        "sun_minutes", sun_minutes, (LATITUDE, LONGITUDE, YEAR, *RECEIVER, HALF_ANGLE), (result("minutes", "1"),),
        f"{SERIES}; counted in one-minute steps from 1 January 00:00 UTC",
        "Minutes of a year with the sun's center above the horizon and within a half-angle of a receiver's axis.",
    ),
)  # fmt: skip
