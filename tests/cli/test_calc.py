"""`stringline calc`: values against independent arithmetic, and one line for everything that is wrong."""

import itertools
import json
import math
import subprocess
import sys

import numpy as np
import pint
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from trainer.cli import main
from trainer.quantities.published import PUBLISHED

ureg = pint.UnitRegistry()
ureg.define("pulse = 1")
HEIGHT = ["beam_height", "--low", "6in", "--high", "30in", "--span", "12 ft", "--at", "4ft"]


def run(*words, stdin=None):
    return CliRunner().invoke(main, ["calc", *words], input=stdin)


def result(name, *words, stdin=None):
    done = run(name, *words, "--json", stdin=stdin)
    assert (done.exit_code, done.stderr) == (0, "")
    said = json.loads(done.stdout)
    assert said["name"] == name
    return said["result"]


def si(text):
    """A quantity in SI by pint, whose reading is not ours."""
    return float(ureg.Quantity(text).to_base_units().magnitude)


def test_prints_one_line_in_a_handy_unit():
    done = run(*HEIGHT)
    assert (done.exit_code, done.stdout, done.stderr) == (0, "14 in\n", "")  # 6 + 24 · 4/12 by hand
    assert run("vehicle-length", "--pulses", "185", "--pulses-per-length", "12 1/ft").stdout == (
        "length 15.42 ft, shortest 15.33 ft, longest 15.5 ft\n"
    )


def test_json_says_name_inputs_and_result_in_si():
    done = json.loads(run(*HEIGHT, "--json").stdout)
    assert done["name"] == "beam_height"
    assert done["inputs"] == pytest.approx({"low": 0.1524, "high": 0.762, "span": 3.6576, "at": 1.2192})
    assert done["result"] == pytest.approx({"height": 14 * 0.0254})


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (HEIGHT, {"height": si("14 inch")}),
        (["beam_height", "--low=152.4 mm", "--high", "2' 6\"", "--span", "144 in", "--at", "12 ft"],
         {"height": si("30 inch")}),
        (["beam_slope", "--low", "6in", "--high", "30in", "--span", "12 ft"],
         {"angle": math.atan(24 / 144), "length": math.sqrt(24**2 + 144**2) * si("1 inch")}),
        (["beam_position", "--low", "6in", "--high", "30in", "--span", "12 ft", "--height", "14 in"],
         {"at": si("4 ft")}),
        # 70 in of 144, in the middle, end 37 in from each lens; the beam climbs 24 in over 144.
        (["beam_across", "--low", "6in", "--high", "30in", "--span", "144 in", "--width", "70 in", "--offset", "0 in"],
         {"lowest": si("(6 + 37/6) inch"), "highest": si("(30 - 37/6) inch")}),
        (["beam_across", "--low", "30in", "--high", "6in", "--span", "144 in", "--width", "72 in", "--offset=-12 in"],
         {"lowest": si("14 inch"), "highest": si("26 inch")}),
        (["dark_travel", "--lens-diameter", "1 in", "--excess-gain", "2x", "--width", "12 in"],
         {"travel": si("12 inch")}),
        (["dark_travel", "--lens-diameter", "1 in", "--excess-gain", "50x", "--width", "0.5 in"], {"travel": 0.0}),
        (["uncovered_share", "--lens-diameter", "1 in", "--shift", "0 in"], {"share": 0.5}),
        # A sector of 60 degrees without its triangle is what each segment beyond half the radius is: 1/6 - √3/4π twice.
        (["strap_share", "--lens-diameter", "1 in", "--width", "0.5 in"],
         {"share": 1 - 2 * (1 / 3 - math.sqrt(3) / (4 * math.pi))}),
        # MHI glossary, 'Effective beam': as wide as the lenses.
        (["effective_beam_diameter", "--emitter-lens", "18 mm", "--receiver-lens", "18 mm", "--span", "12 ft",
          "--at", "5 ft"], {"diameter": 0.018}),
        # 49 CFR 523.2: the tangent leaves the tyre's arc at its foot (r·sin a, r·(1 - cos a)).
        (["nose_limit_height", "--radius", "13 in", "--angle", "28 deg", "--ahead", "36 in"],
         {"height": si("1 inch") * (13 * (1 - math.cos(math.radians(28)))
                                    + (36 - 13 * math.sin(math.radians(28))) * math.tan(math.radians(28)))}),
        (["tangent_angle", "--radius", "10 in", "--ahead", "30 in", "--height", "10 in"],
         {"angle": math.pi / 2 - math.acos(1 / 3)}),
        # 49 CFR 523.2: 62.4 × 110.3 / 144 = 47.797, to a tenth of a square foot.
        (["footprint", "--track", "62.4 in", "--wheelbase", "110.3 in"], {"area": 47.8 * 0.3048**2}),
        (["spot_width", "--half-angle", "1.5deg", "--distance", "12 ft"],
         {"width": 2 * si("12 ft") * math.tan(math.pi / 120)}),
        (["excess_gain_at", "--reference-gain", "40x", "--reference-distance", "10 ft", "--distance", "6.096 m"],
         {"excess_gain": 10.0}),
        # MHI glossary, 'Excess gain': "an excess gain of two" stands half of the lens obscured.
        (["light_loss_tolerated", "--excess-gain", "2"], {"share": 0.5}),
        # By the definition of visibility, the contrast left at that distance is the convention's own.
        (["fog_transmission", "--visibility", "50 m", "--distance", "50 m", "--contrast", "5%"], {"share": 0.05}),
        (["fog_transmission", "--visibility", "50 m", "--distance", "100 m", "--contrast", "0.02"], {"share": 0.0004}),
        (["vehicle_length", "--pulses", "185", "--pulses_per_length", "12 pulses/ft"],
         {"length": si("185/12 ft"), "shortest": si("184/12 ft"), "longest": si("186/12 ft")}),
        (["pulse_rate", "--speed", "90 ft/min", "--pulses_per_length", "12 1/ft"], {"frequency": 18.0}),
        (["length_error", "--speed", "90 ft/min", "--on-delay", "20 ms", "--off-delay", "0.1 s"],
         {"error": si("90 ft/min * 0.08 s")}),
        (["walker_time", "--depth", "12 in", "--speed", "4 ft/s"], {"time": 0.25}),
        (["longest_off_delay", "--gap", "3 ft", "--speed", "90 ft/min"], {"time": 2.0}),
        # Distance is speed times time, pulses are length times pulses per length; all worked here by hand.
        (["cars_per_hour", "--speed", "45 ft/min", "--pitch", "27 ft"], {"rate": 100 / 3600}),
        (["count_bounds", "--length", "15 ft 5.1 in", "--pulses-per-length", "12 pulses/ft"],
         {"least": 185, "most": 186}),
        (["count_spread", "--length", "15 ft 5.5 in", "--pulses-per-length", "12 pulses/ft"], {"spread": 0.5}),
        (["scan_limit", "--scan-time", "15 ms", "--filter-time", "5 ms"], {"frequency": 25.0}),
        (["scan_limit", "--scan-time", "15 ms", "--filter-time", "5 ms", "--duty", "20%"], {"frequency": 10.0}),
        (["solution_wasted", "--flow", "8 gal/min", "--speed", "9 in/s", "--lead", "12 in", "--trail", "24 in"],
         {"volume": si("8 gal/min * 4 s")}),
        (["application_window", "--distance", "12 ft", "--lead", "1 ft", "--trail", "18 in", "--length", "15 ft",
          "--pulses-per-length", "12 pulses/ft"],
         {"on_pulse": 132, "off_pulse": 342, "on_travel": si("11 ft"), "off_travel": si("28.5 ft")}),
        (["timer_allowance", "--distance", "30 ft", "--length", "15 ft", "--tolerance", "5%"],
         {"lead": si("30/21 ft"), "trail": si("45/19 ft")}),
        # A half chord 5 above the axle of a wheel of 13 is 12.
        (["wheel_window", "--distance", "100 in", "--axle", "40 in", "--radius", "13 in", "--height", "18 in",
          "--lead", "4 in", "--trail", "6 in", "--pulses-per-length", "1/in"],
         {"on_pulse": 124, "off_pulse": 158, "on_travel": si("124 in"), "off_travel": si("158 in"),
          "least_lead": si("4 in"), "least_trail": si("5 in")}),
        (["delay_window", "--walker", "0.6 s", "--bridge", "9 in", "--gap", "36 in", "--nose-error", "9 in", "--speed",
          "10 in/s", "--tolerance", "10%"],
         {"on_delay_least": 0.6, "on_delay_most": 9 / 11, "off_delay_least": 1.0, "off_delay_most": 36 / 11}),
        (["recommended_delays", "--walker", "0.6 s", "--bridge", "9 in", "--gap", "33 in", "--nose-error", "11 in",
          "--speed", "10 in/s", "--tolerance", "10%"], {"on_delay": 0.8, "off_delay": 2.0, "slack": 0.2}),
        (["signal_left", "--excess-gain", "40x", "--lens-loss", "30%", "--transmission", "50%"], {"excess_gain": 9.8}),
        (["aged_gain", "--excess-gain", "10x", "--ageing", "10%", "--years", "2"], {"excess_gain": 8.1}),
        (["gain_for_fog", "--required", "1.5x", "--visibility", "12 ft", "--distance", "12 ft", "--contrast", "5%"],
         {"excess_gain": 30.0}),
        (["beam_share", "--off-axis", "3 deg", "--half-angle", "1.5 deg"], {"share": 1 / 16}),
        (["crosstalk_margin", "--spacing", "3.6576 m", "--distance", "12 ft", "--emitter-half-angle", "2 deg",
          "--receiver-half-angle", "3 deg", "--tilt", "1 deg"], {"margin": math.radians(44)}),
        # Absorption of PROSPECT-D, 0.1818 per cm.
        (["water_film_transmission", "--thickness", "0.5 mm", "--wavelength", "940 nm"],
         {"share": math.exp(-0.1818 * 0.05)}),
        # Two-wire drop 2·I·L·R; 3.14 ohm/kft is 14 AWG stranded copper, NEC chapter 9 table 8.
        (["voltage_drop", "--current", "60mA", "--length", "150 ft", "--resistance-per-length", "3.14 ohm/kft"],
         {"drop": si("2 * 60 mA * 150 ft * 3.14 ohm / (1000 ft)")}),
        (["voltage_drop", "--current", "0", "--length", "1 furlong", "--resistance-per-length", "2 ohm/mile"],
         {"drop": 0.0}),
        (["short_distance", "--loop-resistance", "2 ohm", "--resistance-per-length", "10 ohm/km"],
         {"distance": 100.0}),
        (["discharge_time", "--resistance", "10 kΩ", "--capacitance", "470uF", "--from-voltage", "24V",
          "--to-voltage", "2400 mV"], {"time": 4.7 * math.log(10)}),
        (["stored_energy", "--capacitance", "470 µF", "--voltage", "24V"], {"energy": 0.5 * 470e-6 * 576}),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)  # fmt: skip
def test_values_agree_with_independent_arithmetic(words, expected):
    assert result(*words) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("gain", [1.2, 2.0, 10.0, 400.0])
def test_edge_shift_agrees_with_integrating_the_aperture(gain):
    # The share of a unit circle beyond the edge, by quadrature; the shift is found by bisection.
    def uncovered(x):
        return 2 / math.pi * integrate.quad(lambda u: math.sqrt(1 - u * u), x, 1)[0]

    at = optimize.brentq(lambda x: uncovered(x) - 1 / gain, -1, 1, xtol=1e-12)
    found = result("edge_shift", "--lens-diameter", "18mm", "--excess-gain", str(gain))
    assert found["shift"] == pytest.approx(0.009 * at, abs=1e-9)


NREL = ["--latitude", "39.742476deg", "--longitude", "-105.1786deg"]


def test_the_sun_agrees_with_the_published_example():
    # Reda and Andreas, NREL/TP-560-34302: 39.872046 degrees high without refraction, azimuth 194.34024.
    for utc in ("2003-10-17T12:30:30-07:00", "2003-10-17T19:30:30Z", "20031017T193030"):
        found = result("sun_position", *NREL, "--utc", utc)
        expected = {"elevation": math.radians(39.872046), "azimuth": math.radians(194.34024)}
        assert found == pytest.approx(expected, abs=math.radians(0.01))
    said = run("sun_position", *NREL, "--utc", "2003-10-17T19:30:30Z", "--json")
    assert json.loads(said.stdout)["inputs"]["utc"] == "2003-10-17T19:30:30Z"
    assert run("sun_position", *NREL, "--utc", "2003-10-17T19:30:30Z").stdout == (
        "elevation 39.87°, azimuth 194.3°\n"
    )


def test_arrays_of_moments_broadcast():
    moments = [["2003-10-17T19:30:30Z"], ["2003-10-17T07:30:30Z"]]
    inputs = {"latitude": [0.7, -0.7, 1.2], "longitude": -1.8, "utc": moments}
    found = result("sun_position", "--input", "-", stdin=json.dumps(inputs))
    assert np.shape(found["elevation"]) == np.shape(found["azimuth"]) == (2, 3)
    assert found["elevation"][0][0] > 0 > found["elevation"][1][0]


def test_sun_minutes_of_a_year_are_daylight_halved_by_a_view_of_half_the_sky():
    # Of the sky above the horizon, a level receiver that looks east has the one half, one that looks west the other.
    words = ["sun_minutes", "--latitude", "40deg", "--longitude", "-90deg", "--year", "2026"]
    looks = ["--receiver-elevation", "0", "--half-angle", "89.999deg", "--receiver-azimuth"]
    east, west = (result(*words, *looks, azimuth)["minutes"] for azimuth in ("90deg", "270deg"))
    # Daylight without refraction is half of the year, 0.2 % more in the north, whose summer is longer.
    assert east + west == pytest.approx(365 * 720, rel=0.01)
    assert east == pytest.approx(west, rel=0.01)
    assert run(*words, *looks, "90deg").stdout == f"{east:,.0f}\n"


def test_timer_agrees_with_the_standards_diagrams():
    # IEC 61131-3, timing diagrams: TON drops a signal shorter than PT, TOF bridges, TP is as long as PT.
    inputs = json.dumps({"spans": [[0, 2], [3, 3.4]]})
    for kind, spans in [("TON", [[0.5, 2]]), ("TOF", [[0, 2.5], [3, 3.9]]), ("TP", [[0, 0.5], [3, 3.5]])]:
        found = result("timer", "--kind", kind, "--preset", "500ms", "--input", "-", stdin=inputs)
        assert np.array(found["spans"]) == pytest.approx(np.array(spans))


def test_a_delay_region_by_hand():
    # At 10 in/s, 10 % off: the walker's 0.6 s, 9 in at 11 in/s, 9 in at 9 in/s, and a band of 5.5 in at 11 in/s.
    inch = 0.0254
    asked = [("keep_apart", 36), ("nose", 9), ("bridge", 9), ("length", 5.5)]
    demands = [{"kind": "ignore", "amount": 0.6, "name": "walker"}]
    demands += [{"kind": kind, "amount": inches * inch} for kind, inches in asked]
    words = ["delay_region", "--speed", "10 in/s", "--tolerance", "10%", "--input", "-"]
    found = result(*words, stdin=json.dumps({"demands": demands}))
    corners = [[0.6, 1.0], [9 / 11, 1.0], [9 / 11, 9 / 11 + 0.5], [0.6, 1.1]]
    assert np.array(found["corners"]) == pytest.approx(np.array(corners))
    assert (found["binding"], found["conflict"]) == ([0, 2, 3, 4], [])
    demands.append({"kind": "ignore", "amount": 1.0})
    empty = result(*words, stdin=json.dumps({"demands": demands}))
    assert empty == {"corners": [], "recommended": None, "binding": [], "conflict": [2, 5]}


def test_what_a_recorded_trace_counts():
    trace = json.dumps({"spans": [[0, 0.4], [10, 14], [14.3, 20]]})
    found = result("what_counts", "--on-delay", "0.6 s", "--off-delay", "0.5 s", "--input", "-", stdin=trace)
    assert found == {"count": 1, "spans": [[10.6, 20.5]], "belongs": [None, 0, 0]}


def test_heads_face_to_face_and_side_by_side():
    heads = {
        "emitter": [0, 0, 1],
        "emitter_axis": [0, 1, 0],
        "emitter_half_angle": 0.1,
        "receiver_half_angle": 0.2,
    }
    facing = heads | {"receiver": [0, 4, 1], "receiver_axis": [0, -3, 0]}
    found = result("crosstalk_between", "--input", "-", stdin=json.dumps(facing))
    assert found == pytest.approx({"margin": -0.1, "emitter_off": 0, "receiver_off": 0, "share": 1})
    beside = heads | {"receiver": [1, 0, 1], "receiver_axis": [0, 1, 0]}
    found = result("crosstalk_between", "--input", "-", stdin=json.dumps(beside))
    assert found["margin"] == pytest.approx(math.pi / 2 - 0.1)


def test_a_box_blocks_a_level_beam_for_its_own_length():
    box = {"profile": [[0, 0], [0, 1], [-4, 1], [-4, 0]], "from_y": -0.9, "to_y": 0.9}
    inputs = {"emitter": [0, -2, 0.5], "receiver": [0, 2, 0.5], "pieces": [box], "offset_y": [[0.1], [5]]}
    found = result("blocked_spans", "--input", "-", stdin=json.dumps(inputs))
    assert found == {"spans": [[[[0, 4]]], [[]]]}


def test_lockout_names_the_broken_rule_and_clause():
    steps = [
        {"act": act}
        for act in ("prepare", "notify", "shut_down", "isolate", "lock", "release", "verify", "work")
    ]
    assert result(
        "lockout_check", "--input", "-", stdin=json.dumps({"sources": ["electric"], "steps": steps})
    ) == {
        "valid": True,
        "broken": [],
    }
    del steps[6]
    found = result(
        "lockout_check", "--input", "-", stdin=json.dumps({"sources": ["electric"], "steps": steps})
    )
    assert found["valid"] is False
    # 29 CFR 1910.147(d)(6): verification of isolation comes before work.
    assert any("1910.147(d)(6)" in one["clause"] for one in found["broken"])
    assert all(set(one) == {"step", "rule", "clause"} for one in found["broken"])


def test_the_best_search_for_a_fault_agrees_with_every_order_of_single_checks():
    # Each test asks for one suspect, the last is inferred: the least of all orders, by enumeration.
    prior, minutes = [0.4, 0.3, 0.2, 0.1], [9, 2, 4, 1]
    costs = {}
    for order in itertools.permutations(range(4)):
        left = [1 - sum(prior[i] for i in order[:k]) for k in range(3)]
        costs[order] = sum(share * minutes[i] for share, i in zip(left, order, strict=False))
    best = min(costs, key=costs.get)
    inputs = {"prior": prior, "minutes": minutes, "outcomes": np.eye(4, dtype=int).tolist()}
    found = result("fault_policy", "--input", "-", stdin=json.dumps(inputs))
    assert found == {"expected_minutes": pytest.approx(costs[best]), "first_test": best[0]}
    nothing = {"prior": [1, 1], "minutes": [3], "outcomes": [[7, 7]]}
    found = result("fault_policy", "--input", "-", stdin=json.dumps(nothing))
    assert found == {"expected_minutes": 0, "first_test": None}


def test_spares_agree_with_scipy_however_the_rate_is_given():
    expected = stats.poisson.ppf(0.95, 12 * 30 / 365.25)
    for rate in ("12", "12 per year", "12/year", f"{12 / (365.25 * 86400)} Hz"):
        found = result("spares", "--failures-per-year", rate, "--lead-time", "30 d", "--service-level", "95%")
        assert found == {"stock": expected}


def test_a_bare_number_whose_name_states_its_unit_is_in_that_unit():
    rates, days, levels = np.array([[0.5], [2.0], [24.0]]), 30, np.array([0.9, 0.99, 0.9999])
    inputs = {
        "failures_per_year": rates.tolist(),
        "lead_time": days * 86400,
        "service_level": levels.tolist(),
    }
    done = run("spares", "--input", "-", "--json", stdin=json.dumps(inputs))
    said = json.loads(done.stdout)
    assert said["inputs"]["failures_per_year"] == rates.tolist()
    assert np.array_equal(said["result"]["stock"], stats.poisson.ppf(levels, rates * days / 365.25))
    listed = {one["name"]: one for one in json.loads(run("--list", "--json").stdout)}
    assert listed["spares"]["inputs"][0]["si_unit"] == "per_year"


def test_arrays_broadcast(tmp_path):
    file = tmp_path / "inputs.json"
    file.write_text(json.dumps({"low": [0.1, 0.2], "high": 0.7, "span": 4, "at": [[1], [2], [4]]}))
    heights = np.array(result("beam_height", "--input", str(file))["height"])
    expected = [[0.1 + 0.6 * at / 4, 0.2 + 0.5 * at / 4] for at in (1, 2, 4)]
    assert heights == pytest.approx(np.array(expected))
    assert run("beam_height", "--input", str(file)).stdout.count("\n") == 1


def test_values_and_a_file_may_be_mixed():
    found = result("beam_height", "--at", "1 m", "--input", "-", stdin='{"low": 0, "high": 1, "span": 2}')
    assert found == {"height": 0.5}


def test_list_shows_every_function_with_ranges_and_source():
    lines = run("--list").stdout.splitlines()
    assert len(lines) == len(PUBLISHED)
    described = json.loads(run("--list", "--json").stdout)
    assert {one["name"] for one in described} == set(PUBLISHED)
    for one in described:
        assert one["source"]
        assert one["result"]
        assert all(given["range"] and given["dimension"] for given in one["inputs"])


SPAN = ["--low", "6in", "--high", "30in", "--span"]
SUPPLY = ["--lead-time", "30 d", "--service-level", "0.95"]
REFUSED = [
    ([], "NAME", "missing"),
    (["beam_heigth"], "NAME is beam_heigth", "such as beam_height"),
    (["beam_height"], "low", "missing"),
    (["beam_height", *SPAN, "12 ft"], "at", "missing"),
    (["beam_height", *SPAN, "12 ft", "--at"], "at", "missing its value"),
    (["beam_height", *SPAN, "12 s", "--at", "4ft"], "span is '12 s', a time", "a length"),
    (["beam_height", *SPAN, "12", "--at", "4ft"], "span is '12', a plain number", "a length"),
    (["beam_height", *SPAN, "12 zorps", "--at", "4ft"], "span is '12 zorps'", "a length"),
    (["beam_height", *SPAN, "nan ft", "--at", "4ft"], "span is 'nan ft'", "a length"),
    (["beam_height", *SPAN, "inf", "--at", "4ft"], "span is 'inf'", "a length"),
    (["beam_height", *SPAN, "-12 ft", "--at", "4ft"], "span is -3.6576 (-12 ft)", "above 0"),
    (["beam_height", *SPAN, "12 ft", "--at", "13 ft"], "at is 3.9624 (13 ft)", "from 0 m to span"),
    (["beam_height", *SPAN, "12 ft", "--at", "-1 in"], "at is -0.0254 (-1 in)", "from 0 m to span"),
    (["beam_height", *SPAN, "12 ft", "--at", "16 ft 33 in"], "at is '16 ft 33 in'", "12 inches"),
    (["beam_height", *SPAN, "12 ft", "--at", "1\n2 ft"], "at is", "a length"),
    (["beam_height", *SPAN, "12 ft", "--at", "4 ft", "--wide", "3 in"], "wide is 3 in", "low, high, span, at"),
    (["beam_height", *SPAN, "12 ft", "--at", "4 ft", "--at", "5 ft"], "at is given twice", "once"),
    (["beam_height", "stray"], "stray", "follow its input"),
    (["vehicle_length", "--pulses", "1.5", "--pulses-per-length", "12 1/ft"], "pulses is 1.5", "whole number"),
    (["vehicle_length", "--pulses", "0", "--pulses-per-length", "12 1/ft"], "pulses is 0", "whole number"),
    (["vehicle_length", "--pulses", "5", "--pulses-per-length", "12"], "pulses_per_length is '12'", "pulses/ft"),
    (["edge_shift", "--lens-diameter", "1 in", "--excess-gain", "1"], "excess_gain is 1", "above 1"),
    (["fog_transmission", "--visibility", "50m", "--distance", "4m", "--contrast", "3%"], "contrast", "0.05 or 0.02"),
    (["spot_width", "--half-angle", "90deg", "--distance", "4m"], "half_angle", "below"),
    (["sun_position", *NREL, "--utc", "tomorrow"], "utc is 'tomorrow'", "ISO 8601"),
    (["sun_position", *NREL, "--utc", "1899-12-31"], "utc is '1899-12-31'", "1900 to 2100"),
    (["sun_position", *NREL, "--utc", "2026-02-30"], "utc is '2026-02-30'", "ISO 8601"),
    (["sun_position", *NREL], "utc is missing", "ISO 8601"),
    (["declination", "--year", "2025", "--day", "366"], "day is 366", "days of that year"),
    (["sun_minutes", *NREL, "--year", "2026.5", "--receiver-azimuth", "0", "--receiver-elevation", "0",
      "--half-angle", "2deg"], "year is 2026.5", "whole number"),
    (["sun_minutes", *NREL, "--year", "2026", "--receiver-azimuth", "2 ft", "--receiver-elevation", "0",
      "--half-angle", "2deg"], "receiver_azimuth is '2 ft', a length", "an angle"),
    (["timer", "--kind", "TOFF", "--preset", "1s"], 'kind is', "TON, TOF, TP"),
    (["timer", "--kind", "TON", "--preset", "1s", "--spans", "[[0,1]]"], "spans is '[[0,1]]'", "JSON by --input"),
    (["spares", *SUPPLY, "--failures-per-year", "-2"], "failures_per_year is -6.3", "(-2)"),
    (["spares", *SUPPLY, "--failures-per-year", "2 ft"], "failures_per_year is '2 ft'", "such as per_year, or bare"),
    (["spares", *SUPPLY, "--failures-per-year", "6e-8"], "failures_per_year is", "0.0001 per year"),
    (["spares", "--failures-per-year", "2", "--lead-time", "0 d", *SUPPLY[2:]], "lead_time is 0", "above 0"),
    (["spares", "--failures-per-year", "2", "--lead-time", "9 d", "--service-level", "1"], "service_level", "below 1"),
    (["beam_height", "--input", "no-such-file.json"], "input no-such-file.json", "JSON object"),
    (["beam_height", "--input", "-", "--input", "-"], "input is given twice", "once"),
]  # fmt: skip


def assert_refused(done, *parts):
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.endswith("\n")
    assert done.stderr.count("\n") == 1
    for part in parts:
        assert part in done.stderr


@pytest.mark.parametrize(("words", "named", "allowed"), REFUSED, ids=lambda value: "_".join(value)[:40])
def test_bad_use_is_one_line_that_names_the_input(words, named, allowed):
    assert_refused(run(*words), named, allowed)


GOOD = {"low": 0.1, "high": 0.7, "span": 4, "at": 1}
BAD_JSON = [
    (json.dumps({**GOOD, "low": True}), "low is true"),
    (json.dumps({**GOOD, "low": None}), "low is null"),
    (json.dumps({**GOOD, "low": "6in"}), "low is '6in'"),
    (json.dumps({**GOOD, "low": {"x": 1}}), "low is an object"),
    (json.dumps({**GOOD, "low": [1, "2"]}), "low is '2'"),
    (json.dumps({**GOOD, "low": [1, [2]]}), "low is a list of 2"),
    (json.dumps({**GOOD, "low": [[1, 2], [3]]}), "low is a list of 2"),
    (json.dumps({**GOOD, "low": [[[[[[[[[1]]]]]]]]]}), "low is a list of 1"),
    (json.dumps({**GOOD, "low": [1, 2], "at": [1, 2, 3]}), "low [2]"),
    (json.dumps({**GOOD, "low": [0] * 3000, "at": [[0]] * 3000}), "broadcast"),
    (json.dumps({**GOOD, "low": 10**400}), "low is inf"),
    (json.dumps({**GOOD, "low": math.nan}), "NaN is no finite number"),
    (json.dumps({**GOOD, "low": -math.inf}), "-Infinity is no finite number"),
    (json.dumps({**GOOD, "low": 1}).replace("1", "1e999"), "is inf"),
    (json.dumps({**GOOD, "at": 5}), "at is 5"),
    (json.dumps({**GOOD, "extra": 5}), "extra is 5"),
    (json.dumps({"low": 1}), "high is missing"),
    ('{"low": 1, "low": 2}', "low is given twice"),
    ("[" * 200_000, "nested too deeply"),
    ('{"low": ' + "9" * 5000 + "}", "input -"),
    ("[1, 2]", "a list of 2"),
    ("", "input -"),
    ("{", "input -"),
    ("null", "null"),
    (b"\xff\xfe", "not UTF-8"),
]


@pytest.mark.parametrize(("text", "named"), BAD_JSON, ids=[named for _, named in BAD_JSON])
def test_bad_json_is_one_line_that_names_the_input(text, named):
    assert_refused(run("beam_height", "--input", "-", "--json", stdin=text), named)


@pytest.mark.parametrize(
    ("name", "inputs", "named"),
    [
        ("timer", {"kind": 3, "preset": 1, "spans": []}, "kind is 3"),
        ("timer", {"kind": "TON", "preset": 1, "spans": [[0]]}, "spans is a list of 1"),
        ("timer", {"kind": "TON", "preset": 1, "spans": [[1, 0]]}, "spans"),
        ("timer", {"kind": "TON", "preset": 1, "spans": [[0, True]]}, "spans is true"),
        ("timer", {"kind": "TON", "preset": -1, "spans": []}, "preset is -1"),
        ("sun_position", {"latitude": 0, "longitude": 0, "utc": 5}, "utc is 5"),
        ("sun_position", {"latitude": 0, "longitude": 0, "utc": ["2026-01-01", None]}, "utc is null"),
        ("sun_position", {"latitude": 0, "longitude": 0, "utc": [["2026-01-01"], []]}, "utc is a list of 2"),
        ("sun_position", {"latitude": [0, 1, 2], "longitude": 0, "utc": ["2026-01-01", "2026-01-02"]}, "utc [2]"),
        ("sun_position", {"latitude": 0, "longitude": 4, "utc": "2026-01-01"}, "longitude is 4"),
        ("fault_policy", {"prior": [0, 0], "minutes": [1], "outcomes": [[0, 1]]}, "prior"),
        ("fault_policy", {"prior": [1, -1], "minutes": [1], "outcomes": [[0, 1]]}, "prior is -1"),
        ("fault_policy", {"prior": 1, "minutes": [1], "outcomes": [[0]]}, "prior"),
        ("fault_policy", {"prior": [1, 1], "minutes": [0], "outcomes": [[0, 1]]}, "minutes is 0"),
        ("fault_policy", {"prior": [1, 1], "minutes": [1], "outcomes": [[0, 0.5]]}, "outcomes is 0.5"),
        ("fault_policy", {"prior": [1, 1], "minutes": [1], "outcomes": [[0, 1], [0, 1]]}, "outcomes"),
        ("fault_policy", {"prior": [1, 1], "minutes": [1], "outcomes": [[0, None]]}, "outcomes is null"),
        ("fault_policy", {"prior": [1] * 19, "minutes": [1], "outcomes": [list(range(19))]}, "prior"),
        ("spares", {"failures_per_year": -2, "lead_time": 1e6, "service_level": 0.9}, "(-2)"),
        ("lockout_check", {"sources": "air", "steps": []}, "sources is 'air'"),
        ("lockout_check", {"sources": [1], "steps": []}, "sources is 1"),
        ("lockout_check", {"sources": ["air"], "steps": [{"act": "sing"}]}, "act"),
        ("lockout_check", {"sources": ["air"], "steps": [{"act": 3}]}, "act is 3"),
        ("lockout_check", {"sources": ["air"], "steps": [{"act": "lock", "zeal": 1}]}, "steps is an object"),
        ("lockout_check", {"sources": ["air"], "steps": [], "order": "lax"}, "order is 'lax'"),
        ("blocked_spans", {"emitter": [0, 1], "receiver": [0, 2, 1], "pieces": []}, "emitter is a list of 2"),
        ("blocked_spans", {"emitter": [0, 1, 1], "receiver": [0, 1, 1], "pieces": []}, "receiver"),
        ("blocked_spans", {"emitter": [0, 1, 1], "receiver": [0, 2, 1], "pieces": [3]}, "pieces is 3"),
        ("blocked_spans", {"emitter": [0, 1, 1], "receiver": [0, 2, 1],
                           "pieces": [{"profile": [[0, 0], [1, 1]], "from_y": 0, "to_y": 1}]}, "profile"),
        ("blocked_spans", {"emitter": [0, 1, 1], "receiver": [0, 2, 1],
                           "pieces": [{"profile": [[0, 0], [1, 0], [0, 1]], "from_y": 1, "to_y": 1}]}, "to_y"),
    ],
)  # fmt: skip
def test_bad_structures_are_one_line_that_names_the_input(name, inputs, named):
    assert_refused(run(name, "--input", "-", stdin=json.dumps(inputs)), named)


def test_a_result_that_is_no_finite_number_is_refused_not_printed():
    inputs = {"current": 1e200, "length": 1e200, "resistance_per_length": 1}
    assert_refused(
        run("voltage_drop", "--input", "-", "--json", stdin=json.dumps(inputs)), "current is 1e+200", "drop"
    )
    inputs = {"current": [1, 1e200], "length": 1e200, "resistance_per_length": 1}
    assert_refused(run("voltage_drop", "--input", "-", stdin=json.dumps(inputs)), "drop")


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
        max_leaves=12,
    ),
    st.sampled_from([(name, one.name) for name, function in PUBLISHED.items() for one in function.inputs]),
)
@settings(max_examples=200, deadline=None)
def test_any_json_value_of_any_input_is_used_or_refused(value, target):
    name, given_name = target
    whole = {one.name: 1 for one in PUBLISHED[name].inputs} | {given_name: value}
    done = run(name, "--input", "-", "--json", stdin=json.dumps(whole))
    if done.exit_code == 0:
        json.loads(done.stdout, parse_constant=pytest.fail)
    else:
        assert_refused(done)


@given(st.text(max_size=30).filter(lambda text: text != "--help"))
@settings(deadline=None)
def test_any_typed_value_is_used_or_refused(text):
    done = run("walker_time", "--speed", "4 ft/s", f"--depth={text}")
    if done.exit_code:
        assert_refused(done)
    else:
        assert done.stdout.count("\n") == 1


def test_the_installed_command_keeps_its_streams_apart():
    code = "from trainer.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, "calc", "beam_height", "--low", "6in"],
        capture_output=True,
        check=False,
        text=True,
    )
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert done.stderr.startswith("stringline calc: high is missing; it must be a length")
