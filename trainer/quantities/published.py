"""The table of published functions: name, inputs, results, dimensions, ranges, source.

`stringline calc` and the question language call the solver through this table and no other way. Importing it loads
the solver, so `trainer.quantities` itself does not.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.dimensions import Dimension
from trainer.quantities.units import Unit, unit
from trainer.solver import aperture, beam, conveyor, electrical, signal, timers

Kind = Literal["number", "word", "structure"]


@dataclass(frozen=True)
class Input:
    """One input: its name, dimension, what is allowed, the unit in which people give it."""

    name: str
    dimension: Dimension
    allowed: str
    handy: Unit
    kind: Kind = "number"
    choices: tuple[str, ...] = ()
    optional: bool = False

    @property
    def scalar(self) -> bool:
        """Whether it is a number, or an array of numbers that broadcasts."""
        return self.kind == "number"


@dataclass(frozen=True)
class Result:
    """One result: its name, dimension and the unit in which people read it."""

    name: str
    dimension: Dimension
    handy: Unit
    structure: bool = False


@dataclass(frozen=True)
class Published:
    """A function of the solver that questions, trainers and outside checks call by name, in SI."""

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    source: str
    meaning: str

    @property
    def scalar(self) -> bool:
        """Whether every input and result is a number."""
        return all(one.scalar for one in self.inputs) and not any(one.structure for one in self.results)

    def call(self, inputs: Mapping[str, Any]) -> dict[str, Any]:
        """Each result by name, in SI. Raises BadInput of the solver."""
        found = self.function(**inputs)
        if isinstance(found, dict):
            return found
        if dataclasses.is_dataclass(found):
            return {result.name: getattr(found, result.name) for result in self.results}
        return {self.results[0].name: found}


def _in(name: str, handy: str, allowed: str) -> Input:
    return Input(name, unit(handy).dimension, allowed, unit(handy))


def _out(name: str, handy: str) -> Result:
    return Result(name, unit(handy).dimension, unit(handy))


def _structure(name: str, handy: str, allowed: str) -> Input:
    return Input(name, unit(handy).dimension, allowed, unit(handy), kind="structure")


def _word(name: str, *choices: str, optional: bool = False) -> Input:
    return Input(
        name,
        d.PLAIN,
        f"one of {', '.join(choices)}",
        unit("1"),
        kind="word",
        choices=choices,
        optional=optional,
    )


_POSITIVE = "finite and above 0"
_FROM_ZERO = "finite and 0 or more"
_GAIN = "finite and above 1"
_ACUTE = "above 0 and below 90 deg"
_LOW = _in("low", "in", "finite")
_HIGH = _in("high", "in", "finite")
_SPAN = _in("span", "ft", _POSITIVE)
_PULSES = _in("pulses", "1", "a whole number from 1")
_PER_LENGTH = _in("pulses_per_length", "pulses/ft", _POSITIVE)
_CHAIN = _in("speed", "ft/min", _POSITIVE)
_WIRE = _in("resistance_per_length", "ohm/kft", _POSITIVE)
_CAPACITANCE = _in("capacitance", "uF", _POSITIVE)
_LENS = _in("lens_diameter", "in", _POSITIVE)
_EXCESS_GAIN = _in("excess_gain", "x", _GAIN)
_DISTANCE = _in("distance", "ft", _POSITIVE)
_HALF_ANGLE = _in("half_angle", "deg", _ACUTE)

_TRIANGLES = "similar triangles (Euclid, Elements VI.2)"
_RIGHT = "right triangle (Euclid, Elements I.47)"
_SEGMENT = "area of a circular segment"
_OHM = "Ohm's law"
_DECAY = "exponential discharge of a capacitor through a resistor"
_DEFINITION = "by definition"

_TABLE = (
    Published(
        "beam_height", beam.beam_height,
        (_LOW, _HIGH, _SPAN, _in("at", "ft", "from 0 to span")),
        (_out("height", "in"),), _TRIANGLES,
        "Height of the beam's axis at a level distance from the low eye.",
    ),
    Published(
        "beam_slope", beam.beam_slope, (_LOW, _HIGH, _SPAN),
        (_out("angle", "deg"), _out("length", "ft")), _RIGHT,
        "Angle of the beam above horizontal, and length along it.",
    ),
    Published(
        "beam_position", beam.beam_position,
        (_LOW, _in("high", "in", "finite and different from low"), _SPAN,
         _in("height", "in", "between the two eyes")),
        (_out("at", "ft"),), _TRIANGLES,
        "Level distance from the low eye at which the axis has that height.",
    ),
    Published(
        "blocked_spans", structured.blocked_spans,
        (
            _structure("emitter", "m", "three numbers [x, y, z] in m"),
            _structure("receiver", "m", "three numbers [x, y, z] in m, apart from the emitter"),
            _structure("pieces", "m", "a list of {profile: [[x, z], …] convex, from_y, to_y}"),
            dataclasses.replace(_in("offset_y", "in", "finite"), optional=True),
        ),
        (Result("spans", d.LENGTH, unit("m"), structure=True),),
        "Minkowski difference of a segment and a convex polygon, cut by the axis of travel",
        "Positions of the vehicle's origin along x at which the beam's axis is blocked.",
    ),
    Published(
        "edge_shift", aperture.edge_shift, (_LENS, _EXCESS_GAIN), (_out("shift", "in"),), _SEGMENT,
        "How far past the axis a straight opaque edge has come when the output switches.",
    ),
    Published(
        "minimum_object", aperture.minimum_object, (_LENS, _EXCESS_GAIN), (_out("width", "in"),), _SEGMENT,
        "Least width of an opaque strap across the lens that switches the output.",
    ),
    Published(
        "spot_width", signal.spot_width, (_HALF_ANGLE, _DISTANCE), (_out("width", "in"),), _RIGHT,
        "Width of the emitted cone at a distance.",
    ),
    Published(
        "aim_angle", signal.aim_angle, (_in("offset", "in", "finite"), _DISTANCE), (_out("angle", "deg"),), _RIGHT,
        "Pointing error that puts the axis off by an offset at a distance.",
    ),
    Published(
        "excess_gain_at", signal.excess_gain_at,
        (_in("reference_gain", "x", _POSITIVE), _in("reference_distance", "ft", _POSITIVE), _DISTANCE),
        (_out("excess_gain", "x"),), "inverse-square law (Kepler, Astronomiae Pars Optica, 1604)",
        "Excess gain at another distance.",
    ),
    Published(
        "light_loss_tolerated", signal.light_loss_tolerated, (_EXCESS_GAIN,), (_out("share", "%"),),
        "MHI (Material Handling Industry) glossary, 'Excess gain'",
        "Share of the light that may be lost before the output switches.",
    ),
    Published(
        "fog_transmission", signal.fog_transmission,
        (_in("visibility", "ft", _POSITIVE), _DISTANCE, _in("contrast", "1", "0.05 or 0.02")),
        (_out("share", "%"),), "Koschmieder's law, as in the lighting definitions of the IES",
        "Share of the light that a path through fog lets pass.",
    ),
    Published(
        "vehicle_length", conveyor.vehicle_length, (_PULSES, _PER_LENGTH),
        (_out("length", "ft"), _out("shortest", "ft"), _out("longest", "ft")),
        "counting: the true length lies strictly within one pulse of the count",
        "Length that a count of pulses stands for, with strict bounds.",
    ),
    Published(
        "pulse_rate", conveyor.pulse_rate, (_CHAIN, _PER_LENGTH), (_out("frequency", "Hz"),), _DEFINITION,
        "Pulse frequency of a moving conveyor.",
    ),
    Published(
        "input_limit", conveyor.input_limit,
        (_in("on_delay", "ms", _POSITIVE), _in("off_delay", "ms", _POSITIVE)), (_out("frequency", "Hz"),),
        _DEFINITION, "Highest pulse frequency that an input with these delays passes.",
    ),
    Published(
        "length_error", conveyor.length_error,
        (_CHAIN, _in("on_delay", "ms", _FROM_ZERO), _in("off_delay", "ms", _FROM_ZERO)),
        (_out("error", "in"),), _DEFINITION,
        "Measured minus true length when both edges come late and nothing is corrected.",
    ),
    Published(
        "walker_time", timers.walker_time,
        (_in("depth", "in", _POSITIVE), _in("speed", "ft/s", _POSITIVE)), (_out("time", "s"),), _DEFINITION,
        "Time for which a walker blocks the beam.",
    ),
    Published(
        "longest_off_delay", timers.longest_off_delay, (_in("gap", "ft", _POSITIVE), _CHAIN),
        (_out("time", "s"),), _DEFINITION,
        "Time below which an off-delay must stay to keep two vehicles apart.",
    ),
    Published(
        "bridge_time", timers.bridge_time, (_in("length", "in", _POSITIVE), _CHAIN), (_out("time", "s"),),
        _DEFINITION, "Least off-delay that bridges a hole in a vehicle.",
    ),
    Published(
        "timer", structured.timer,
        (_word("kind", "TON", "TOF", "TP"), _in("preset", "s", _FROM_ZERO),
         _structure("spans", "s", "a sorted list of [on, off] pairs in s")),
        (Result("spans", d.TIME, unit("s"), structure=True),), "timing diagrams of IEC 61131-3",
        "Spans at which the output Q of a timer is on.",
    ),
    Published(
        "voltage_drop", electrical.voltage_drop,
        (_in("current", "mA", _FROM_ZERO), _in("length", "ft", _POSITIVE), _WIRE), (_out("drop", "V"),), _OHM,
        "Voltage lost in a two-wire run, there and back.",
    ),
    Published(
        "short_distance", electrical.short_distance, (_in("loop_resistance", "ohm", _POSITIVE), _WIRE),
        (_out("distance", "ft"),), _OHM, "Distance to a dead short between two conductors.",
    ),
    Published(
        "discharge_time", electrical.discharge_time,
        (_in("resistance", "ohm", _POSITIVE), _CAPACITANCE, _in("from_voltage", "V", _POSITIVE),
         _in("to_voltage", "V", "above 0 and at most from_voltage")),
        (_out("time", "s"),), _DECAY, "Time for a capacitor to discharge through a resistor.",
    ),
    Published(
        "largest_bleed_resistor", electrical.largest_bleed_resistor,
        (_CAPACITANCE, _in("from_voltage", "V", _POSITIVE),
         _in("to_voltage", "V", "above 0 and below from_voltage"), _in("time", "s", _POSITIVE)),
        (_out("resistance", "ohm"),), _DECAY, "Largest resistor that discharges a capacitor within a time.",
    ),
    Published(
        "stored_energy", electrical.stored_energy, (_CAPACITANCE, _in("voltage", "V", _FROM_ZERO)),
        (_out("energy", "J"),), "energy of a charged capacitor", "Energy in a charged capacitor.",
    ),
    Published(
        "lockout_check", structured.lockout_check,
        (
            _structure("sources", "1", "a list of names of energy sources"),
            _structure("steps", "1", "a list of {act, source?, person?} with texts"),
            _word("order", "strict", "tolerant", optional=True),
        ),
        (Result("valid", d.PLAIN, unit("1"), structure=True), Result("broken", d.PLAIN, unit("1"), structure=True)),
        "29 CFR 1910.147(d); tolerant: 29 CFR 1910.333(b)(2)",
        "Whether the steps lock out these energy sources in a right order, and every rule they break.",
    ),
)  # fmt: skip

PUBLISHED: Mapping[str, Published] = {one.name: one for one in _TABLE}
