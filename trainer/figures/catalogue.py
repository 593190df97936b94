"""The catalogue of figures: their names, the numbers each needs, how it is drawn and said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.figures import bay, electric, light, lockout, plates, tables, tape, timing, travel
from trainer.figures.given import Description, Given
from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

Draw = Callable[["Paper", Given], None]
Describe = Callable[[Given], Description]


@dataclass(frozen=True)
class Figure:
    """A figure: the numbers it must have and those it may have, by dimension [SI]; 360 units wide, `height` high.

    Each number may be hidden: `hide_length: 1` draws `length` to scale but writes `?`, for a question that asks it.
    """

    name: str
    inputs: Mapping[str, Dimension]
    optional: Mapping[str, Dimension]
    describe: Describe
    draw: Draw
    height: float


def _figure(
    draw: Draw, describe: Describe, height: float, optional: Mapping[str, Dimension], **inputs: Dimension
) -> Figure:
    hides = {f"hide_{name}": d.PLAIN for name in (*inputs, *optional) if not name.startswith("hide_")}
    return Figure(draw.__name__, inputs, {**optional, **hides}, describe, draw, height)


_SPANS = {f"{edge}{i}": d.TIME for i in range(1, 5) for edge in ("on", "off")} | {"hide_output": d.PLAIN}
_LENGTHS = dict.fromkeys(("at", "height", "object_from", "object_to", "object_height"), d.LENGTH)
_NONE: Mapping[str, Dimension] = {}

_ALL = (
    _figure(bay.slanted_beam, bay.slanted_beam_words, 230, _LENGTHS, low=d.LENGTH, high=d.LENGTH, span=d.LENGTH),
    _figure(bay.fog_bay, bay.fog_bay_words, 200, _NONE, visibility=d.LENGTH, distance=d.LENGTH),
    _figure(bay.two_eyes_bed, bay.two_eyes_bed_words, 200, _NONE, low=d.LENGTH, high=d.LENGTH),
    _figure(
        travel.blocked_length, travel.blocked_length_words, 190,
        {"pulses": d.PLAIN, "pulses_per_length": d.PER_LENGTH}, length=d.LENGTH,
    ),
    _figure(
        travel.walker_and_nose, travel.walker_and_nose_words, 270, {"past": d.LENGTH},
        depth=d.LENGTH, speed=d.SPEED, on_delay=d.TIME, chain_speed=d.SPEED,
    ),
    _figure(
        travel.gap_and_off_delay, travel.gap_and_off_delay_words, 190, _NONE,
        gap=d.LENGTH, speed=d.SPEED, off_delay=d.TIME,
    ),
    _figure(
        travel.application_window, travel.application_window_words, 250, _NONE,
        distance=d.LENGTH, lead=d.LENGTH, trail=d.LENGTH, length=d.LENGTH,
    ),
    _figure(
        light.eye_parts, light.eye_parts_words, 250, _NONE,
        lens_diameter=d.LENGTH, span=d.LENGTH, half_angle=d.ANGLE,
    ),
    _figure(
        light.gain_over_distance, light.gain_over_distance_words, 240, {"gain": d.PLAIN},
        reference_gain=d.PLAIN, reference_distance=d.LENGTH, distance=d.LENGTH,
    ),
    _figure(light.lens_cover, light.lens_cover_words, 220, {"share": d.PLAIN}, excess_gain=d.PLAIN),
    _figure(
        light.edge_and_lens, light.edge_and_lens_words, 240, {"shift": d.LENGTH},
        lens_diameter=d.LENGTH, excess_gain=d.PLAIN,
    ),
    _figure(
        light.crosstalk_pairs, light.crosstalk_pairs_words, 230, {"tilt": d.ANGLE},
        spacing=d.LENGTH, distance=d.LENGTH, half_angle=d.ANGLE,
    ),
    _figure(light.string_aim, light.string_aim_words, 190, {"angle": d.ANGLE}, distance=d.LENGTH, offset=d.LENGTH),
    _figure(light.spot, light.spot_words, 230, {"width": d.LENGTH}, half_angle=d.ANGLE, distance=d.LENGTH),
    _figure(timing.timing_on_delay, timing.timing_on_delay_words, 190, _SPANS, preset=d.TIME),
    _figure(timing.timing_off_delay, timing.timing_off_delay_words, 190, _SPANS, preset=d.TIME),
    _figure(timing.timing_pulse, timing.timing_pulse_words, 190, _SPANS, preset=d.TIME),
    _figure(electric.loop_blocks, electric.loop_blocks_words, 330, _NONE),
    _figure(electric.cable_short, electric.cable_short_words, 190, _NONE, length=d.LENGTH, distance=d.LENGTH),
    _figure(
        electric.voltage_drop, electric.voltage_drop_words, 230, _NONE,
        supply=d.VOLTAGE, drop=d.VOLTAGE, length=d.LENGTH,
    ),
    _figure(
        electric.discharge_curve, electric.discharge_curve_words, 240, {"time": d.TIME},
        resistance=d.RESISTANCE, capacitance=d.CAPACITANCE, from_voltage=d.VOLTAGE, to_voltage=d.VOLTAGE,
    ),
    _figure(electric.voltage_limits, electric.voltage_limits_words, 210, _NONE, supply=d.VOLTAGE),
    _figure(lockout.energy_sources, lockout.energy_sources_words, 300, _NONE),
    _figure(lockout.lock_points, lockout.lock_points_words, 250, _NONE),
    _figure(lockout.lockout_steps, lockout.lockout_steps_words, 330, _NONE),
    _figure(lockout.own_locks, lockout.own_locks_words, 260, _NONE, people=d.PLAIN, locks=d.PLAIN),
    _figure(tables.output_modes, tables.output_modes_words, 210, _NONE),
    _figure(tables.ip_digits, tables.ip_digits_words, 290, _NONE),
    _figure(tables.drip_loop, tables.drip_loop_words, 240, _NONE),
    _figure(tape.tape_height, tape.tape_height_words, 200, {"upper": d.PLAIN}, low=d.LENGTH, high=d.LENGTH),
    _figure(tape.tape_across, tape.tape_across_words, 180, _NONE, span=d.LENGTH),
    _figure(tape.tape_offset, tape.tape_offset_words, 260, _NONE, width=d.LENGTH, offset=d.LENGTH),
    _figure(tape.tape_along, tape.tape_along_words, 190, _NONE, distance=d.LENGTH),
    _figure(tape.tape_gap, tape.tape_gap_words, 190, {"whole": d.PLAIN}, gap=d.LENGTH, pitch=d.LENGTH),
    _figure(tape.tape_lens, tape.tape_lens_words, 200, _NONE, lens_diameter=d.LENGTH),
    _figure(tape.chain_marks, tape.chain_marks_words, 190, {"time": d.TIME, "pulses": d.PLAIN}, length=d.LENGTH),
    _figure(plates.bay_compass, plates.bay_compass_words, 230, _NONE, bearing=d.ANGLE),
    _figure(plates.head_label, plates.head_label_words, 170, _NONE),
    _figure(plates.shut_cabinet, plates.shut_cabinet_words, 220, _NONE),
    _figure(plates.flow_meter, plates.flow_meter_words, 190, _NONE, flow=d.FLOW),
    _figure(tape.tape_cable, tape.tape_cable_words, 190, _NONE, length=d.LENGTH),
)  # fmt: skip

FIGURES: Mapping[str, Figure] = {figure.name: figure for figure in _ALL}
