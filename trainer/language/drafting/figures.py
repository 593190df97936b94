"""The drawings that a page offers for a question: each fed with numbers of the site, to begin with."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from trainer.documents import Faults, Node, Place
from trainer.figures import FIGURES, describe
from trainer.language.entries import Entries
from trainer.language.source import Source
from trainer.quantities.dimensions import Language
from trainer.sites import VALUES, demo_sheet, site_values

HIDE = "hide_"
# What each input is to begin with: a value of the site sheet where it has one, else a usual size. A figure without
# numbers needs no line.
FED: Mapping[str, Mapping[str, str]] = {
    "slanted_beam": {"low": "eye_low", "high": "eye_high", "span": "bay_width"},
    "fog_bay": {"visibility": "visibility_steam", "distance": "bay_width"},
    "two_eyes_bed": {"low": "20 * inch", "high": "60 * inch"},
    "blocked_length": {"length": "15 * foot", "pulses_per_length": "pulses_per_foot"},
    "walker_and_nose": {
        "depth": "10 * inch", "speed": "4 * foot / second", "on_delay": "on_delay", "chain_speed": "chain_speed",
    },
    "gap_and_off_delay": {"gap": "smallest_gap", "speed": "chain_speed", "off_delay": "off_delay"},
    "application_window": {
        "distance": "presoak_distance", "lead": "presoak_lead", "trail": "presoak_trail", "length": "15 * foot",
    },
    "eye_parts": {"lens_diameter": "lens_diameter", "span": "bay_width", "half_angle": "half_angle"},
    "gain_over_distance": {
        "reference_gain": "reference_gain", "reference_distance": "reference_distance", "distance": "bay_width",
    },
    "lens_cover": {"excess_gain": "excess_gain"},
    "edge_and_lens": {"lens_diameter": "lens_diameter", "excess_gain": "excess_gain"},
    "crosstalk_pairs": {"spacing": "pair_spacing", "distance": "bay_width", "half_angle": "half_angle"},
    "string_aim": {"distance": "bay_width", "offset": "2 * inch"},
    "spot": {"half_angle": "half_angle", "distance": "bay_width"},
    "timing_on_delay": {"preset": "on_delay", "on1": "on_delay", "off1": "3 * on_delay"},
    "timing_off_delay": {"preset": "off_delay", "on1": "off_delay", "off1": "3 * off_delay"},
    "timing_pulse": {"preset": "on_delay", "on1": "on_delay", "off1": "3 * on_delay"},
    "loop_blocks": {},
    "cable_short": {"length": "cable_length", "distance": "cable_length / 3"},
    "voltage_drop": {"supply": "supply_voltage", "drop": "supply_voltage - least_voltage", "length": "cable_length"},
    "discharge_curve": {
        "resistance": "bleed_resistor", "capacitance": "capacitor", "from_voltage": "bus_voltage",
        "to_voltage": "safe_voltage",
    },
    "energy_sources": {},
    "lock_points": {},
    "output_modes": {},
    "ip_digits": {},
    "drip_loop": {},
    "tape_height": {"low": "eye_low", "high": "eye_high"},
    "tape_across": {"span": "bay_width"},
    "tape_offset": {"width": "bay_width", "offset": "lane_offset"},
    "tape_along": {"distance": "presoak_distance"},
    "tape_gap": {"gap": "smallest_gap", "pitch": "car_pitch"},
    "tape_lens": {"lens_diameter": "lens_diameter"},
    "chain_marks": {"length": "10 * foot", "pulses": "10 * foot * pulses_per_foot"},
    "bay_compass": {"bearing": "bay_bearing"},
    "head_label": {},
    "shut_cabinet": {},
    "voltage_limits": {"supply": "supply_voltage"},
    "flow_meter": {"flow": "presoak_flow"},
    "tape_cable": {"length": "cable_length"},
}  # fmt: skip


def inputs_of(name: str) -> tuple[str, ...]:
    """Every number that a figure takes, those that it must have first; none for a figure that nobody knows."""
    figure = FIGURES.get(name)
    return (
        tuple(one for one in (*figure.inputs, *figure.optional) if not one.startswith(HIDE)) if figure else ()
    )


def hides_of(name: str) -> tuple[str, ...]:
    """What has a figure write `?` for a number, for a question that asks it."""
    figure = FIGURES.get(name)
    return tuple(one for one in figure.optional if one.startswith(HIDE)) if figure else ()


def site_names(calculation: str) -> list[str]:
    """The values of the site sheet that stand in a calculation."""
    return [name for name in VALUES if re.search(rf"\b{name}\b", calculation)]


@cache
def titles(language: Language) -> Mapping[str, str]:
    """The name in words of every figure that a page offers, by its id."""
    offered = [name for name, figure in FIGURES.items() if name in FED or not figure.inputs]
    return {name: describe(name, _usual(name), language, "us").title for name in offered}


def _usual(name: str) -> dict[str, float]:
    """A figure's numbers [SI] at the invented wash: its title is the same anywhere."""
    values = site_values(demo_sheet())
    entries = Entries(Source("", "figures"), Faults())
    at = Place("figures", 1, 1)
    entries.site(Node([Node(one, at, written=one) for one in VALUES], at), VALUES)
    return {one: entries.scope.compile(text).number(values) for one, text in FED.get(name, {}).items()}
