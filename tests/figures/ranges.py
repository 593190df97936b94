"""Typical and extreme numbers for every figure, as quantities people would write."""

from trainer.quantities import parse_quantity

# name: each number's typical value, least and greatest that a question or a site sheet may give.
RANGES = {
    "slanted_beam": {"low": "6 in|2 in|60 in", "high": "30 in|4 in|120 in", "span": "12 ft|8 ft|25 ft"},
    "fog_bay": {"visibility": "16 ft|3 ft|300 ft", "distance": "12 ft|8 ft|25 ft"},
    "two_eyes_bed": {"low": "30 in|4 in|60 in", "high": "60 in|20 in|120 in"},
    "blocked_length": {"length": "16 ft|3 ft|60 ft"},
    "walker_and_nose": {
        "depth": "10 in|4 in|24 in", "speed": "3.5 ft/s|1 ft/s|8 ft/s", "on_delay": "0.6 s|0.05 s|5 s",
        "chain_speed": "45 ft/min|10 ft/min|200 ft/min",
    },
    "gap_and_off_delay": {
        "gap": "36 in|6 in|600 in", "speed": "45 ft/min|10 ft/min|200 ft/min", "off_delay": "0.5 s|0.02 s|10 s",
    },
    "application_window": {
        "distance": "12 ft|5 ft|300 ft", "lead": "12 in|0 in|60 in", "trail": "18 in|0 in|120 in",
        "length": "16 ft|8 ft|40 ft",
    },
    "eye_parts": {
        "lens_diameter": "0.75 in|0.1 in|3 in", "span": "12 ft|8 ft|25 ft", "half_angle": "1.5 deg|0.1 deg|20 deg",
    },
    "gain_over_distance": {
        "reference_gain": "3|0.5|10000", "reference_distance": "60 ft|1 ft|500 ft", "distance": "12 ft|3 ft|300 ft",
    },
    "lens_cover": {"excess_gain": "10|1|10000"},
    "edge_and_lens": {"lens_diameter": "0.75 in|0.1 in|3 in", "excess_gain": "10|1|10000"},
    "crosstalk_pairs": {
        "spacing": "24 in|2 in|600 in", "distance": "12 ft|5 ft|25 ft", "half_angle": "1.5 deg|0.1 deg|20 deg",
    },
    "string_aim": {"distance": "12 ft|5 ft|60 ft", "offset": "1 in|0.1 in|24 in"},
    "spot": {"half_angle": "1.5 deg|0.1 deg|20 deg", "distance": "12 ft|1 ft|100 ft"},
    "timing_on_delay": {"preset": "0.5 s|0.01 s|10 s"},
    "timing_off_delay": {"preset": "0.5 s|0.01 s|10 s"},
    "timing_pulse": {"preset": "0.5 s|0.01 s|10 s"},
    "loop_blocks": {},
    "cable_short": {"length": "220 ft|10 ft|1500 ft", "distance": "60 ft|1 ft|1500 ft"},
    "voltage_drop": {"supply": "24 V|10 V|250 V", "drop": "3.19 V|0.01 V|10 V", "length": "500 ft|3 ft|1500 ft"},
    "discharge_curve": {
        "resistance": "10 kohm|0.05 kohm|10000 kohm", "capacitance": "1000 uF|1 uF|100000 uF",
        "from_voltage": "340 V|60 V|1000 V", "to_voltage": "15 V|1 V|60 V",
    },
    "voltage_limits": {"supply": "24 V|10 V|250 V"},
    "energy_sources": {},
    "lock_points": {},
    "lockout_steps": {},
    "own_locks": {"people": "7|1|12", "locks": "6|1|12"},
    "output_modes": {},
    "ip_digits": {},
    "drip_loop": {},
    "tape_height": {"low": "6 in|2 in|60 in", "high": "30 in|4 in|120 in"},
    "tape_across": {"span": "12 ft|8 ft|25 ft"},
    "tape_offset": {"width": "12 ft|8 ft|25 ft", "offset": "6 in|0 in|30 in"},
    "tape_along": {"distance": "12 ft|0.5 ft|300 ft"},
    "tape_gap": {"gap": "36 in|6 in|14 ft", "pitch": "27 ft|15 ft|100 ft"},
    "tape_lens": {"lens_diameter": "0.75 in|0.1 in|3 in"},
    "chain_marks": {"length": "20 ft|10 ft|40 ft"},
    "bay_compass": {"bearing": "90 deg|0 deg|360 deg"},
    "head_label": {},
    "shut_cabinet": {},
    "flow_meter": {"flow": "8 gal/min|0.1 gal/min|300 gal/min"},
    "tape_cable": {"length": "220 ft|3 ft|1500 ft"},
}  # fmt: skip


def numbers(name: str, which: dict[str, int] | int = 0) -> dict[str, float]:
    """The required numbers of a figure [SI]; which: 0 typical, 1 least, 2 greatest, for all or for each."""
    row = {key: text.split("|") for key, text in RANGES[name].items()}
    return {
        key: parse_quantity(texts[which if isinstance(which, int) else which[key]])[0]
        for key, texts in row.items()
    }
