"""Drawings are to scale: marks found again in the SVG stand in the ratio of the numbers they show."""

import math
import re
from xml.etree import ElementTree

import pytest

from tests.figures.ranges import numbers
from trainer.figures import draw_svg

SVG = "{http://www.w3.org/2000/svg}"


def marks(name, values):
    """The points of every marked line or shape, y up."""
    svg = ElementTree.fromstring(draw_svg(name, values, theme="light", language="en", system="us"))
    found = {}
    for group in svg.iter(f"{SVG}g"):
        path = group.find(f"{SVG}path")
        if group.get("id") and path is not None and path.get("d"):
            numbers_in = [float(n) for n in re.findall(r"-?[0-9.]+(?:e-?[0-9]+)?", path.get("d"))]
            found[group.get("id")] = [
                (x, -y) for x, y in zip(numbers_in[::2], numbers_in[1::2], strict=False)
            ]
    return found


def wide(points):
    return max(x for x, _ in points) - min(x for x, _ in points)


def high(points):
    return max(y for _, y in points) - min(y for _, y in points)


def near(value):
    return pytest.approx(value, rel=0.01, abs=0.02)


@pytest.mark.parametrize("which", [0, 1, 2])
def test_heights_and_span_of_the_slanted_beam_share_one_scale(which):
    values = numbers("slanted_beam", which)
    found = marks("slanted_beam", values)
    scale = wide(found["span"]) / values["span"]
    assert high(found["low"]) / scale == near(values["low"])
    assert high(found["high"]) / scale == near(values["high"])
    assert high(found["beam"]) / scale == near(values["high"] - values["low"])


def test_the_marked_height_lies_on_the_beam():
    # Similar triangles: 36 of 144 in along a beam from 6 to 30 in, 12 in high.
    inch = 0.0254
    values = numbers("slanted_beam") | {"at": 36 * inch}
    found = marks("slanted_beam", values)
    scale = wide(found["span"]) / values["span"]
    assert wide(found["at"]) / scale == near(36 * inch)
    assert high(found["height"]) / scale == near(12 * inch)


def test_an_object_in_the_beam_is_to_scale():
    values = numbers("slanted_beam") | {"object_from": 1.0, "object_to": 1.7, "object_height": 0.5}
    found = marks("slanted_beam", values)
    scale = wide(found["span"]) / values["span"]
    assert wide(found["object"]) / scale == near(0.7)
    assert high(found["object"]) / scale == near(0.5)


def test_y_is_up():
    found = marks("slanted_beam", numbers("slanted_beam"))
    left, right = sorted(found["beam"])
    assert left[1] < right[1]


@pytest.mark.parametrize(
    ("name", "pairs"),
    [
        ("fog_bay", [("distance", "visibility")]),
        ("application_window", [("distance", "length"), ("lead", "trail"), ("distance", "lead")]),
        ("cable_short", [("distance", "length")]),
    ],
)
@pytest.mark.parametrize("which", [0, 2])
def test_level_dimensions_stand_in_the_ratio_of_their_numbers(name, pairs, which):
    values = numbers(name, which)
    found = marks(name, values)
    for first, second in pairs:
        assert wide(found[first]) * values[second] == near(wide(found[second]) * values[first])


@pytest.mark.parametrize("spacing", [0.3, 0.6, 1.2])
def test_pairs_stand_as_far_apart_as_the_scale_of_their_span_says(spacing):
    values = numbers("crosstalk_pairs") | {"spacing": spacing}
    found = marks("crosstalk_pairs", values)
    assert high(found["spacing"]) / wide(found["distance"]) == near(spacing / values["distance"])


def test_the_spot_is_as_wide_as_the_cone_at_its_distance():
    # 1.5° to each side at 144 in: 2 · 144 in · tan 1.5° = 7.5415 in.
    found = marks("spot", numbers("spot"))
    assert high(found["spot"]) / wide(found["distance"]) == near(7.5415 / 144)


def test_the_gap_and_what_the_off_delay_holds_share_one_scale():
    # 9 in/s for 0.5 s: 4.5 in of a gap of 36 in.
    found = marks("gap_and_off_delay", numbers("gap_and_off_delay"))
    assert wide(found["held"]) / wide(found["gap"]) == near(4.5 / 36)


def test_a_walker_s_time_and_the_on_delay_share_one_scale():
    # 10 in at 3.5 ft/s: 10/42 s beside 0.6 s.
    found = marks("walker_and_nose", numbers("walker_and_nose"))
    assert wide(found["walker"]) / wide(found["on_delay"]) == near(10 / 42 / 0.6)


@pytest.mark.parametrize(("gain", "share"), [(2.0, 0.5), (5.0, 0.8), (10.0, 0.9), (50.0, 0.98)])
def test_the_hatched_share_of_a_lens_is_what_the_gain_tolerates(gain, share):
    # MHI glossary, 'Excess gain': a gain of two stands half the lens obscured; 1 − 1/EG for the others.
    found = marks("lens_cover", {"excess_gain": gain})
    covered = found["covered"]
    radius = high(found["lens"]) / 2
    area = (
        abs(sum(x * v - u * y for (x, y), (u, v) in zip(covered, covered[1:] + covered[:1], strict=True))) / 2
    )
    assert area / (math.pi * radius**2) == pytest.approx(share, abs=0.01)


def test_a_discharge_reaches_its_limit_where_the_handbook_says():
    # t = RC·ln(V₀/V): 10 kΩ and 1000 µF from 340 V to 15 V, 31.21 s; one time constant, to 36.8 %, is 10 s.
    found = marks("discharge_curve", numbers("discharge_curve"))
    curve, reached = found["curve"], found["reached"]
    start_x, start_y = curve[0]
    floor = start_y - (start_y - min(y for _, y in found["limit"])) / (1 - 15 / 340)
    one_constant = next(x for x, y in curve if (y - floor) / (start_y - floor) <= math.exp(-1))
    assert (reached[0][0] - start_x) / (one_constant - start_x) == pytest.approx(math.log(340 / 15), rel=0.05)


@pytest.mark.parametrize("supply", [10.0, 24.0, 250.0])
def test_the_limits_of_low_voltage_and_the_supply_share_one_scale(supply):
    # EN/IEC 60204-1, 6.4.1, as quoted in public: wet 6 V AC or 15 V DC, dry 25 V AC or 60 V DC.
    found = marks("voltage_limits", {"supply": supply})
    scale = wide(found["supply"]) / supply
    bars = {name: wide(found[name]) / scale for name in ("wet_ac", "wet_dc", "dry_ac", "dry_dc")}
    assert bars == {"wet_ac": near(6), "wet_dc": near(15), "dry_ac": near(25), "dry_dc": near(60)}


def test_the_length_and_the_blocked_stretch_are_as_long_as_the_car():
    found = marks("blocked_length", numbers("blocked_length"))
    assert wide(found["blocked"]) == near(wide(found["length"])) == near(wide(found["car"]))


def test_an_offset_is_enlarged_by_the_factor_that_is_written():
    values = numbers("string_aim")
    found = marks("string_aim", values)
    true = values["offset"] / values["distance"]
    assert high(found["offset"]) / wide(found["distance"]) == near(20 * true)
