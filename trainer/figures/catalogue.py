"""The catalogue of figures: their names and what numbers each needs; nothing here draws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension


@dataclass(frozen=True)
class Figure:
    """A figure: its name, the numbers it must have and those it may have, by dimension [SI]."""

    name: str
    inputs: Mapping[str, Dimension]
    optional: Mapping[str, Dimension]


_SPANS = {f"{edge}{i}": d.TIME for i in range(1, 5) for edge in ("on", "off")}


def _figure(name: str, optional: Mapping[str, Dimension] | None = None, **inputs: Dimension) -> Figure:
    return Figure(name, inputs, optional or {})


FIGURES: Mapping[str, Figure] = {
    figure.name: figure
    for figure in (
        _figure(
            "slanted_beam",
            {"at": d.LENGTH, "object_from": d.LENGTH, "object_to": d.LENGTH, "object_height": d.LENGTH},
            low=d.LENGTH,
            high=d.LENGTH,
            span=d.LENGTH,
        ),
        _figure("blocked_length", {"pulses": d.PLAIN, "pulses_per_length": d.PER_LENGTH}, length=d.LENGTH),
        _figure("eye_parts", lens_diameter=d.LENGTH, span=d.LENGTH, half_angle=d.ANGLE),
        _figure(
            "gain_over_distance",
            reference_gain=d.PLAIN,
            reference_distance=d.LENGTH,
            distance=d.LENGTH,
        ),
        _figure("lens_cover", excess_gain=d.PLAIN),
        _figure("edge_and_lens", lens_diameter=d.LENGTH, excess_gain=d.PLAIN),
        _figure("fog_bay", visibility=d.LENGTH, distance=d.LENGTH),
        _figure(
            "crosstalk_pairs", {"tilt": d.ANGLE}, spacing=d.LENGTH, distance=d.LENGTH, half_angle=d.ANGLE
        ),
        _figure("string_aim", distance=d.LENGTH, offset=d.LENGTH),
        _figure("spot", half_angle=d.ANGLE, distance=d.LENGTH),
        _figure("timing_on_delay", _SPANS, preset=d.TIME),
        _figure("timing_off_delay", _SPANS, preset=d.TIME),
        _figure("timing_pulse", _SPANS, preset=d.TIME),
        _figure("walker_and_nose", depth=d.LENGTH, speed=d.SPEED, on_delay=d.TIME, chain_speed=d.SPEED),
        _figure("gap_and_off_delay", gap=d.LENGTH, speed=d.SPEED, off_delay=d.TIME),
        _figure("application_window", distance=d.LENGTH, lead=d.LENGTH, trail=d.LENGTH, length=d.LENGTH),
        _figure("two_eyes_bed", low=d.LENGTH, high=d.LENGTH),
        _figure("loop_blocks"),
        _figure("cable_short", length=d.LENGTH, distance=d.LENGTH),
        _figure("voltage_drop", supply=d.VOLTAGE, drop=d.VOLTAGE, length=d.LENGTH),
        _figure(
            "discharge_curve",
            resistance=d.RESISTANCE,
            capacitance=d.CAPACITANCE,
            from_voltage=d.VOLTAGE,
            to_voltage=d.VOLTAGE,
        ),
        _figure("energy_sources"),
        _figure("output_modes"),
        _figure("ip_digits"),
        _figure("drip_loop"),
        _figure("lock_points"),
    )
}
