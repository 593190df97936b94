"""Judging a measurement: what is kept reads as what was typed, what cannot stand says why, what is far is told."""

import math
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.quantities import parse_measured, read_quantity
from trainer.sites import VALUES
from trainer.sites.measuring import (
    Measured,
    asked_unit,
    judge,
    second_look,
    sheet_text,
    to_write,
    typed_again,
)
from trainer.sites.plausible import in_range

FOOT, INCH = 0.3048, 0.0254  # NIST SP 811, appendix B.8: exact
WIDTH, LOW = VALUES["bay_width"], VALUES["eye_low"]
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


@given(
    st.floats(0.01, 400),
    st.sampled_from(["ft", "in", "m", "cm", "mm", "pies", "pulg", "metros"]),
    st.booleans(),
)
def test_what_is_kept_is_exactly_what_was_typed_and_stands_in_the_range(amount, unit, comma):
    language = "es" if comma else "en"
    typed = f"{amount:.3f} {unit}".replace(".", "," if comma else ".")
    found = judge(typed, WIDTH, language, "us")
    value = read_quantity(typed, asked_unit(WIDTH, "us"), language).value
    assert bool(found.wrong) != in_range(value, WIDTH)
    if found.written:
        assert parse_measured(found.written)[0] == value
        assert in_range(value, WIDTH)


@given(
    st.sampled_from(sorted(VALUES)),
    st.floats(0, 1),
    st.sampled_from(["us", "metric"]),
    st.sampled_from(["en", "es"]),
)
def test_a_bare_number_in_the_range_of_any_value_is_kept_in_the_asked_unit(name, share, system, language):
    expected = VALUES[name]
    one = asked_unit(expected, system)
    amount = (expected.low + share * (expected.high - expected.low)) / one.factor
    typed = f"{amount:.4f}".replace(".", "," if language == "es" else ".")
    found = judge(typed, expected, language, system)
    if not found.written:
        # Only rounding to four decimals may have pushed it out.
        assert share in {0.0, 1.0} or abs(amount) < 0.001 or min(share, 1 - share) < 1e-3
        return
    kept = parse_measured(found.written)[0]
    assert kept == read_quantity(typed, one, language).value
    assert math.isclose(kept, amount * one.factor, rel_tol=1e-3, abs_tol=1e-4 * one.factor)
    assert read_quantity(typed_again(found.written, language), one, language).value == pytest.approx(
        kept, rel=1e-8
    )


@pytest.mark.parametrize(
    ("typed", "language", "written"),
    [
        ("11 ft 10 1/2 in", "en", "11 ft 10 1/2 in"),
        ("  11'  10 1/2\" ", "en", "11' 10 1/2\""),
        ("11 pies 10 1/2 pulg", "es", "11 pies 10 1/2 pulg"),
        ("11 pies con 10 1/2 pulg", "es", "142.5 in"),
        ("3,62 m", "es", "3.62 m"),
        ("3 m 62 cm", "en", "3.62 m"),
        ("12", "en", "12 ft"),
    ],
)
def test_a_sheet_keeps_what_was_typed_where_it_reads_that(typed, language, written):
    assert judge(typed, WIDTH, language, "us").written == written


@pytest.mark.parametrize(
    ("name", "typed", "written"),
    [("margin_per_car", "$6.50", "6.5 usd"), ("chain_tolerance", "3", "3 %"), ("cars_per_day", "1,200", "1200 cars"),
     ("failures_per_year", "0.25", "0.25 per year"), ("cable_resistance", "16.14", "16.14 ohm/kft"),
     ("bay_bearing", "90°", "90°"), ("excess_gain", "40", "40"), ("pulses_per_foot", "12", "12 pulses/ft")],
)  # fmt: skip
def test_every_kind_of_number_is_written_as_a_sheet_has_it(name, typed, written):
    assert judge(typed, VALUES[name], "en", "us").written == written


@given(
    st.floats(1e-6, 1e6, allow_nan=False), st.sampled_from(["deg", "V", "uF", "kohm", "mA", "gal/min", "d"])
)
def test_a_reading_is_written_so_that_it_reads_as_the_same_number(amount, key):
    reading = read_quantity(f"{amount!r} {key}", asked_unit(VALUES["bay_width"], "us"), "en")
    value, one = parse_measured(sheet_text(reading))
    assert (value, one.dimension) == (reading.value, reading.dimension)


@pytest.mark.parametrize(
    ("value", "typed", "in_force", "said"),
    [
        (LOW, "18 in", 6 * INCH, ["This is 3 times the value in force: measure twice."]),
        (LOW, "2 in", 6 * INCH, ["This is 0.33 times the value in force: measure twice."]),
        (
            VALUES["eye_high"],
            "30 cm",
            30 * INCH,
            ["0.39 times", "30 in would be close to it: check the unit."],
        ),
        (
            VALUES["longitude"],
            "94.6 deg",
            math.radians(-94.6),
            ["Its sign is not that of the value in force"],
        ),
        (VALUES["bay_bearing"], "200 deg", math.radians(90), ["faces another way"]),
    ],
)
def test_what_is_far_from_the_value_in_force_is_told(value, typed, in_force, said):
    told = " ".join(second_look(typed, value, in_force, "en")).replace("\xa0", " ")
    for one in said:
        assert one in told
    assert second_look(typed, value, in_force, "es")


@pytest.mark.parametrize(
    ("value", "typed", "in_force"),
    [
        (LOW, "7 in", 6 * INCH),
        (WIDTH, "3.62 m", 12 * FOOT),
        (WIDTH, "12 ft", None),
        (VALUES["bay_bearing"], "350 deg", math.radians(5)),
        (VALUES["lane_offset"], "0 in", 0.0),
    ],
)
def test_what_is_near_or_new_is_not(value, typed, in_force):
    assert second_look(typed, value, in_force, "en") == ()


def measured(field, written, state="measured"):
    return field, Measured(field, state, written, True, 1, "Tom Becker", NOON)


def test_what_goes_into_the_sheet():
    walk = dict(
        [
            measured("bay.width", "12 ft"),
            measured("bay.lane_offset", "", "skipped"),
            measured("eyes.entry.opening", "none"),
            measured("eyes.entry.opening.sill", "2 ft"),
            measured("eyes.far.opening", "there"),
            measured("eyes.far.opening.sill", "3 ft"),
        ]
    )
    assert to_write(walk) == {
        "bay.width": "12 ft",
        "eyes.entry.opening": "none",
        "eyes.far.opening.sill": "3 ft",
    }
