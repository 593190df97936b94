"""The sun over a wash: facts that hold by symmetry, and solving for visits against stepping every minute."""

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.solver import almanac
from trainer.solver.numbers import BadInput
from trainer.solver.sun import (
    Opening,
    angle_to_axis,
    declination,
    equation_of_time,
    julian_day,
    noon_elevation,
    refraction,
    sun_minutes,
    sun_position,
    sun_visits,
    sunrise_and_sunset,
    visit_minutes,
)

DAY = 86_400
SOLSTICE = np.radians(23.4365)
latitudes = st.one_of(st.floats(-90, 90), st.sampled_from([-90.0, -66.56, -23.44, 0.0, 23.44, 66.56, 90.0]))
longitudes = st.floats(-180, 180)
years = st.sampled_from([1900, 1972, 2000, 2023, 2024, 2026, 2100])
azimuths = st.floats(0, 360)
elevations = st.one_of(st.floats(-15, 20), st.floats(-90, 90))
half_angles = st.one_of(st.sampled_from([0.1, 1.5, 5.0]), st.floats(0.05, 89.9))


def posix(*moment):
    return datetime(*moment, tzinfo=UTC).timestamp()


def stepped(latitude, longitude, year, azimuth, elevation, half_angle):
    """The minutes that stepping through the year counts; angles in radians."""
    minutes = np.arange(int(almanac.year_length(year)) // 60)
    sun = sun_position(latitude, longitude, almanac.year_start(year) + 60.0 * minutes)
    inside = angle_to_axis(sun.elevation, sun.azimuth, elevation, azimuth) <= half_angle
    return minutes[inside & (sun.elevation > 0)]


def axis_declination(latitude, azimuth, elevation):
    """Declination to which an axis points."""
    level = np.cos(elevation) * np.cos(azimuth)
    return np.arcsin(np.clip(np.sin(latitude) * np.sin(elevation) + np.cos(latitude) * level, -1, 1))


@given(latitudes, longitudes, years, azimuths, elevations, half_angles)
@settings(max_examples=20, deadline=None)
def test_solving_counts_what_stepping_counts(latitude, longitude, year, azimuth, elevation, half):
    where = np.radians([latitude, longitude])
    looks = np.radians([azimuth, elevation, half])
    expected = stepped(*where, year, *looks)
    assert sun_minutes(*where, year, *looks) == len(expected)
    assert np.array_equal(visit_minutes(*where, year, *looks), expected)


@given(
    latitudes,
    longitudes,
    years,
    azimuths,
    elevations,
    st.sampled_from([-SOLSTICE, SOLSTICE, 0.0]),
    st.sampled_from([0.0, 1e-7, -1e-7, 1e-5, -1e-5, 1e-4, 1e-3, -1e-3, 4e-3, 5e-3, -5e-3]),
)
@settings(max_examples=25, deadline=None)
def test_no_grazing_visit_is_missed(latitude, longitude, year, azimuth, elevation, turning, more):
    # The half-angle ends where the sun's daily circle does, at a solstice or an equinox.
    where, (turn, axis) = np.radians([latitude, longitude]), np.radians([azimuth, elevation])
    half = abs(axis_declination(where[0], turn, axis) - turning) + more
    if not 1e-4 < half < np.pi / 2:
        return
    expected = stepped(*where, year, turn, axis, half)
    assert np.array_equal(visit_minutes(*where, year, turn, axis, half), expected)


@pytest.mark.parametrize("latitude", [0.0, 39.7, -33.9, 66.5, 89.9999, 90.0, -90.0])
@pytest.mark.parametrize("offset", [-0.3, -1e-3, 0.0, 1e-3, 0.3])
def test_an_axis_at_or_near_the_pole_of_the_sky(latitude, offset):
    # Such a receiver sees the sun at the same distance all day long: there is no highest point to hold on to.
    where = np.radians([latitude, 10.0])
    looks = (0.0 if latitude >= 0 else np.pi, np.radians(min(abs(latitude) + offset, 90.0)), np.radians(80.0))
    assert np.array_equal(visit_minutes(*where, 2024, *looks), stepped(*where, 2024, *looks))


@given(latitudes, longitudes, years, azimuths, st.floats(-15, 40), st.floats(0.5, 40))
@settings(max_examples=25, deadline=None)
def test_visits_are_sorted_apart_and_end_on_the_rim_or_horizon(
    latitude, longitude, year, azimuth, elevation, half
):
    where, looks = np.radians([latitude, longitude]), np.radians([azimuth, elevation, half])
    spans = np.array(sun_visits(*where, year, *looks)).reshape(-1, 2)
    edges = spans.ravel()
    assert np.all(np.diff(edges) > 0)
    assert np.all((edges >= 0) & (edges <= almanac.year_length(year)))
    inner = edges[(edges > 0) & (edges < almanac.year_length(year))]
    if inner.size:
        sun = sun_position(*where, almanac.year_start(year) + inner)
        off_rim = angle_to_axis(sun.elevation, sun.azimuth, looks[1], looks[0]) - looks[2]
        # 7.3e-5 rad are a second of the Earth's turn; a hundredth of it is allowed.
        assert np.all(np.minimum(np.abs(off_rim), np.abs(sun.elevation)) < 7.3e-7)


@given(latitudes, longitudes, years, azimuths, st.floats(-15, 30), st.floats(0.5, 60), st.floats(1.01, 2))
@settings(max_examples=20, deadline=None)
def test_a_wider_view_sees_at_least_the_same_minutes(
    latitude, longitude, year, azimuth, elevation, half, wider
):
    where, looks = np.radians([latitude, longitude]), np.radians([azimuth, elevation, half])
    wide = min(looks[2] * wider, 1.57)
    narrow = visit_minutes(*where, year, *looks)
    assert np.isin(narrow, visit_minutes(*where, year, looks[0], looks[1], wide)).all()


def test_arrays_broadcast_and_equal_single_calls():
    latitude = np.radians([[39.7], [-33.9]])
    azimuth = np.radians([90.0, 250.0, 250.0])
    found = sun_minutes(latitude, np.radians(-105.2), 2026, azimuth, np.radians(10.0), np.radians(8.0))
    assert found.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        single = sun_minutes(
            latitude[i, 0], np.radians(-105.2), 2026, azimuth[j], np.radians(10), np.radians(8.0)
        )
        assert found[i, j] == single
    assert np.all(found[0] > 0)
    assert sun_minutes(latitude[:0], 0.0, 2026, 1.0, 0.1, 0.1).shape == (0, 1)


def through_opening(opening, latitude, longitude, year, azimuth, elevation, half_angle):
    """Stepping, with the ray followed to the far wall."""
    minutes = stepped(latitude, longitude, year, azimuth, elevation, half_angle)
    sun = sun_position(latitude, longitude, almanac.year_start(year) + 60.0 * minutes)
    aside = sun.azimuth - azimuth
    height = opening.distance * np.tan(sun.elevation) / np.cos(aside)
    across = opening.distance * np.tan(aside)
    inside = (np.cos(aside) > 0) & (opening.sill <= height) & (height <= opening.head)
    return minutes[inside & (opening.left <= across) & (across <= opening.right)]


@pytest.mark.parametrize(
    "opening",
    [
        Opening(sill=0.3, head=2.2, left=-1.5, right=0.8, distance=3.6),
        Opening(sill=-1.0, head=0.4, left=0.2, right=2.0, distance=4.5),
        Opening(sill=5.0, head=9.0, left=-9.0, right=9.0, distance=3.6),
    ],
)
@pytest.mark.parametrize(("latitude", "azimuth"), [(39.7, 255.0), (-33.9, 75.0), (64.1, 180.0)])
def test_only_the_sun_in_the_opening_counts(opening, latitude, azimuth):
    asked = (np.radians(latitude), 0.3, 2024, np.radians(azimuth), np.radians(8.0), np.radians(30.0))
    expected = through_opening(opening, *asked)
    assert np.array_equal(visit_minutes(*asked, opening=opening), expected)
    assert sun_minutes(*asked, opening=opening) == len(expected)


def test_openings_cut_in_two_share_the_minutes():
    asked = (np.radians(39.7), -1.8, 2026, np.radians(255.0), np.radians(8.0), np.radians(30.0))
    left, right, whole = (
        set(visit_minutes(*asked, opening=Opening(0.2, 2.0, *edges, 3.6)).tolist())
        for edges in ((-1.0, 0.1), (0.1, 1.2), (-1.0, 1.2))
    )
    assert whole
    assert left and right
    assert left | right == whole
    assert not left & right


@given(latitudes, longitudes, st.floats(0, 366 * DAY - 1))
def test_elevation_follows_from_declination_and_the_sundial(latitude, longitude, seconds):
    # sin e = sin(lat) sin(dec) + cos(lat) cos(dec) cos(hour angle); parallax is 4.3e-5 rad at most.
    utc, place = almanac.year_start(2024) + seconds, np.radians(latitude)
    sundial = np.mod(utc, DAY) + equation_of_time(utc) + longitude / 360 * DAY
    hour_angle = (sundial / DAY - 0.5) * 2 * np.pi
    dec = declination(utc)
    sine = np.sin(place) * np.sin(dec) + np.cos(place) * np.cos(dec) * np.cos(hour_angle)
    sun = sun_position(place, np.radians(longitude), utc)
    assert np.sin(sun.elevation) == pytest.approx(sine, abs=5e-5)
    assert 0 <= sun.azimuth <= 2 * np.pi


def test_at_the_pole_the_elevation_is_the_declination():
    utc = almanac.year_start(2026) + np.arange(0.0, 365.0) * DAY
    north = sun_position(np.pi / 2, 0.0, utc).elevation
    south = sun_position(-np.pi / 2, 0.0, utc).elevation
    assert north == pytest.approx(declination(utc), abs=5e-5)  # parallax is 4.3e-5
    assert south == pytest.approx(-declination(utc), abs=5e-5)


def test_noon_is_on_the_meridian():
    day = almanac.year_start(2026) + 200.0 * DAY
    noon = day + DAY / 2 - equation_of_time(day + DAY / 2)
    for latitude in np.radians([60.0, 40.0, 0.0, -35.0]):
        sun = sun_position(latitude, 0.0, noon)
        assert sun.elevation == pytest.approx(noon_elevation(latitude, declination(noon)), abs=1e-4)
        north = latitude < declination(noon)
        assert np.cos(sun.azimuth) == pytest.approx(1 if north else -1, abs=1e-6)


def test_the_calendar_agrees_with_the_standard_library():
    every = np.arange(1900, 2101)
    assert almanac.year_start(every) == pytest.approx([posix(int(year), 1, 1) for year in every], abs=0)
    days = [(datetime(y + 1, 1, 1, tzinfo=UTC) - datetime(y, 1, 1, tzinfo=UTC)).days for y in every.tolist()]
    assert almanac.year_length(every) == pytest.approx(np.array(days) * DAY, abs=0)
    assert julian_day(posix(1970, 1, 1)) == 2440587.5


def test_day_and_night_share_the_year():
    # Twice the daylight of one place is not a year exactly: refraction and the sun's width lengthen the day.
    spans = np.array(sunrise_and_sunset(np.radians(40.0), np.radians(-90.0), 2025))
    day = np.sum(spans[:, 1] - spans[:, 0]) / almanac.year_length(2025)
    assert 0.5 < day < 0.52
    level = sun_visits(np.radians(40.0), np.radians(-90.0), 2025, 0.0, np.pi / 2, np.radians(89.99))
    up = np.sum(np.diff(np.array(level))) / almanac.year_length(2025)
    assert up == pytest.approx(0.5, abs=0.005)


def test_the_polar_night_has_no_sunrise_and_the_polar_day_one_span():
    spans = sunrise_and_sunset(np.radians(85.0), 0.0, 2025)
    longest = max(end - start for start, end in spans)
    assert longest > 150 * DAY
    # From the zenith of 85 N the sun is never nearer than 85 - 23.44 degrees.
    near, far = (
        sun_minutes(np.radians(85.0), 0.0, 2025, 0.0, np.pi / 2, np.radians(d)) for d in (61.5, 61.7)
    )
    assert near == 0 < far


def test_air_lifts_the_low_sun_most():
    low, high = refraction(0.0), refraction(np.radians(45.0))
    assert low > 20 * high > 0
    assert refraction(np.radians(-10.0)) == 0


GOOD = {
    "latitude": 0.7, "longitude": -1.8, "year": 2026, "receiver_azimuth": 4.0, "receiver_elevation": 0.1,
    "half_angle": 0.03,
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("latitude", 1.6), ("longitude", -3.2), ("year", 2026.5), ("year", 1899), ("year", 2101),
        ("receiver_azimuth", 7.0), ("receiver_elevation", -1.6), ("half_angle", 0), ("half_angle", 1.6),
        ("latitude", np.nan), ("year", np.inf), ("half_angle", [0.1, -0.1]), ("latitude", "north"),
    ],
)  # fmt: skip
def test_bad_inputs_are_refused_by_name(name, bad):
    for function in (sun_minutes, sun_visits, visit_minutes):
        with pytest.raises(BadInput) as caught:
            function(**{**GOOD, name: bad})
        assert caught.value.name == name


def test_arrays_have_no_single_list_of_visits():
    with pytest.raises(BadInput, match="one number for each input"):
        sun_visits(**{**GOOD, "latitude": np.array([0.1, 0.2])})
    with pytest.raises(BadInput, match="opening is"):
        visit_minutes(**GOOD, opening=3.6)


@pytest.mark.parametrize(
    ("change", "name"),
    [({"head": 0.2}, "head"), ({"right": -2.0}, "right"), ({"distance": 0.0}, "distance"), ({"sill": np.nan}, "sill")],
)  # fmt: skip
def test_an_opening_has_a_height_a_width_and_a_distance(change, name):
    with pytest.raises(BadInput) as caught:
        Opening(**{"sill": 0.3, "head": 2.0, "left": -1.0, "right": 1.0, "distance": 3.6} | change)
    assert caught.value.name == name


def test_moments_outside_the_years_are_refused():
    for utc in (posix(1899, 12, 31), posix(2101, 1, 2), np.nan):
        with pytest.raises(BadInput, match="utc is"):
            sun_position(0.5, 0.5, utc)
