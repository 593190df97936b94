"""Writing quantities: what is shown, and that it reads back as itself."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.quantities import UNITS, read_quantity, round_shown, unit, write_number, write_quantity

FOOT, INCH = 0.3048, 0.0254


def written(value, key, language, decimals=None):
    return write_quantity(value, unit(key), language, decimals).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("value", "key", "english", "spanish"),
    [
        (12 * FOOT, "ft", "12 ft", "12 pies"),
        (FOOT, "ft", "1 ft", "1 pie"),
        (3.66, "m", "3.66 m", "3,66 m"),
        (196 * INCH, "ft in", "16 ft 4 in", "16 pies 4 pulg"),
        (196.4 * INCH, "ft in", "16 ft 4 in", "16 pies 4 pulg"),
        (191.9 * INCH, "ft in", "16 ft 0 in", "16 pies 0 pulg"),
        (196.5 * INCH, "ft in 1/16", "16 ft 4 1/2 in", "16 pies 4 1/2 pulg"),
        (12.0625 * INCH, "ft in 1/16", "1 ft 1/16 in", "1 pie 1/16 pulg"),
        (-196 * INCH, "ft in", "-16 ft 4 in", "-16 pies 4 pulg"),
        (0.5, "%", "50%", "50 %"),
        (0.9999, "%", "99.99%", "99,99 %"),
        (math.radians(1.5), "deg", "1.5°", "1,5°"),
        (12 / FOOT, "pulses/ft", "12 pulses per foot", "12 pulsos por pie"),
        (1 / FOOT, "pulses/ft", "1 pulse per foot", "1 pulso por pie"),
        (12 / FOOT, "pulses/m", "39.37 pulses per meter", "39,37 pulsos por metro"),
        (12.5, "usd", "$12.50", "$12,50"),
        (-12.5, "usd", "-$12.50", "-$12,50"),
        (1200, "usd", "$1,200", "$1200"),
        (12345.678, "1", "12,346", "12 346"),
        (1234.5678, "1", "1,235", "1235"),
        (0.0123456, "1", "0.01235", "0,01235"),
        (0, "ft", "0 ft", "0 pies"),
        (-0.0, "1", "0", "0"),
        (2e-5, "uF", "20 µF", "20 µF"),
        (8, "x", "8×", "8×"),
        (80 / 3600, "cars/h", "80 cars per hour", "80 carros por hora"),
        (90 * FOOT / 60, "ft/min", "90 ft/min", "90 pies/min"),
        (999.96, "1", "1,000", "1000"),
        (math.inf, "ft", "∞ ft", "∞ pies"),
    ],
)
def test_what_is_shown(value, key, english, spanish):
    assert written(value, key, "en") == english
    assert written(value, key, "es") == spanish


def test_decimals_asked_for_are_kept():
    assert written(12 * FOOT, "ft", "en", 2) == "12.00 ft"
    assert write_number(2.5, "es", 2) == "2,50"
    assert round_shown(12.345 * FOOT, unit("ft"), 1) == pytest.approx(12.3 * FOOT)


def test_a_number_and_its_unit_stay_on_one_line():
    assert " " not in write_quantity(16.5 * FOOT, unit("ft in 1/16"), "es")
    assert " " not in write_quantity(12 / FOOT, unit("pulses/ft"), "en")


AMOUNTS = st.floats(1e-7, 1e9).flatmap(lambda x: st.sampled_from([x, -x])) | st.integers(-(10**7), 10**7).map(
    float
)


@given(AMOUNTS, st.sampled_from(sorted(UNITS)), st.sampled_from(["en", "es"]))
def test_what_is_shown_reads_back_as_what_is_meant(amount, key, language):
    value = amount * unit(key).factor
    shown = round_shown(value, unit(key))
    text = write_quantity(value, unit(key), language)
    reading = read_quantity(text, unit(key), language)
    assert reading.value == shown
    assert reading.dimension == unit(key).dimension


@given(AMOUNTS, st.sampled_from(sorted(UNITS)), st.none() | st.integers(0, 6))
def test_rounding_what_is_shown_changes_nothing(amount, key, decimals):
    shown = round_shown(amount * unit(key).factor, unit(key), decimals)
    assert round_shown(shown, unit(key), decimals) == shown
    assert write_quantity(shown, unit(key), "en", decimals) == write_quantity(
        amount * unit(key).factor, unit(key), "en", decimals
    )


@given(st.floats(1e-6, 1e9), st.sampled_from(sorted(set(UNITS) - {"usd", "ft in", "ft in 1/16"})))
def test_what_is_shown_is_within_half_of_the_fourth_figure(amount, key):
    if unit(key).dimension == unit("usd").dimension:
        return
    shown = round_shown(amount * unit(key).factor, unit(key)) / unit(key).factor
    assert shown == pytest.approx(amount, rel=5.001e-4)
