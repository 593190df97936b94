"""The site values: each in its range, each said twice, each the number that stands in the sheet."""

from dataclasses import replace

import pytest

from trainer.quantities import parse_quantity, partner
from trainer.sites import VALUES, demo_sheet, site_values


def test_the_demo_gives_every_value_and_each_is_plausible():
    values = site_values(demo_sheet())
    assert set(values) == set(VALUES)
    for name, row in VALUES.items():
        assert row.low <= values[name] <= row.high, name


def test_every_value_is_explained_in_both_languages_and_shown_in_both_systems():
    for row in VALUES.values():
        assert row.meaning["en"]
        assert row.meaning["es"]
        assert row.meaning["en"] != row.meaning["es"]
        assert row.unit.dimension == row.dimension == partner(row.unit, "metric").dimension
        assert row.low < row.high


# Read off demo.yaml by eye.
READ_OFF = {
    "bay_width": "12 ft",
    "eye_low": "6 in",
    "eye_high": "30 in",
    "lane_offset": "6 in",
    "lens_diameter": "0.75 in",
    "half_angle": "1.5 deg",
    "excess_gain": "40",
    "reference_gain": "3",
    "reference_distance": "60 ft",
    "pair_spacing": "24 in",
    "on_delay": "0.6 s",
    "off_delay": "0.5 s",
    "chain_speed": "45 ft/min",
    "chain_tolerance": "3 %",
    "pulses_per_foot": "12 pulses/ft",
    "smallest_gap": "36 in",
    "car_pitch": "27 ft",
    "cars_per_hour": "100 cars/h",
    "scan_time": "10 ms",
    "presoak_distance": "12 ft",
    "presoak_lead": "12 in",
    "presoak_trail": "18 in",
    "presoak_flow": "8 gal/min",
    "side_wash_flow": "6 gal/min",
    "rinse_distance": "62 ft",
    "rinse_trail": "24 in",
    "supply_voltage": "24 V",
    "least_voltage": "20 V",
    "head_current": "60 mA",
    "cable_length": "220 ft",
    "cable_resistance": "16.14 ohm/kft",
    "capacitor": "1000 uF",
    "bus_voltage": "340 V",
    "bleed_resistor": "10 kohm",
    "safe_voltage": "15 V",
    "visibility_steam": "16 ft",
    "margin_per_car": "6.5 usd",
    "failures_per_year": "0.25 per_year",
    "view_half_angle": "1.5 deg",
    "nose_error": "7 in",
    "service_level": "95 %",
    "spares_on_shelf": "2",
}


@pytest.mark.parametrize("name", READ_OFF)
def test_a_value_is_the_number_that_stands_in_the_sheet(name):
    # cars_per_hour: 45 ft/min over 27 ft from nose to nose is 100 an hour, worked by hand.
    assert site_values(demo_sheet())[name] == pytest.approx(parse_quantity(READ_OFF[name])[0], rel=1e-12)


def test_a_wash_with_one_pair_and_no_rinse_has_no_such_values():
    sheet = demo_sheet()
    small = replace(sheet, eyes=sheet.eyes[:1], applications=sheet.applications[:1])
    left_out = set(VALUES) - set(site_values(small))
    assert left_out == {"pair_spacing"} | {
        name for name in VALUES if name.startswith(("side_wash_", "rinse_"))
    }


def test_spares_that_nobody_has_counted_are_no_value():
    sheet = demo_sheet()
    uncounted = replace(sheet, business=replace(sheet.business, spares_on_shelf=None))
    assert set(VALUES) - set(site_values(uncounted)) == {"spares_on_shelf"}
