"""Where the beam runs, what blocks it and when the lens switches."""

from __future__ import annotations

import dataclasses

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    EXCESS_GAIN,
    HIGH,
    LENS,
    LOW,
    RIGHT,
    SEGMENT,
    SPAN,
    TRIANGLES,
    Published,
    Result,
    number,
    result,
    structure,
)
from trainer.quantities.units import unit
from trainer.solver import aperture, beam

TABLE = (
    Published(
        "beam_height", beam.beam_height,
        (LOW, HIGH, SPAN, number("at", "ft", "from 0 to span")),
        (result("height", "in"),), TRIANGLES,
        "Height of the beam's axis at a level distance from the low eye.",
    ),
    Published(
        "beam_slope", beam.beam_slope, (LOW, HIGH, SPAN),
        (result("angle", "deg"), result("length", "ft")), RIGHT,
        "Angle of the beam above horizontal, and length along it.",
    ),
    Published(
        "beam_position", beam.beam_position,
        (LOW, number("high", "in", "finite and different from low"), SPAN,
         number("height", "in", "between the two eyes")),
        (result("at", "ft"),), TRIANGLES,
        "Level distance from the low eye at which the axis has that height.",
    ),
    Published(
        "blocked_spans", structured.blocked_spans,
        (
            structure("emitter", "m", "three numbers [x, y, z] in m"),
            structure("receiver", "m", "three numbers [x, y, z] in m, apart from the emitter"),
            structure("pieces", "m", "a list of {profile: [[x, z], …] convex, from_y, to_y}"),
            dataclasses.replace(number("offset_y", "in", "finite"), optional=True),
        ),
        (Result("spans", d.LENGTH, unit("m"), structure=True),),
        "Minkowski difference of a segment and a convex polygon, cut by the axis of travel",
        "Positions of the vehicle's origin along x at which the beam's axis is blocked.",
    ),
    Published(
        "edge_shift", aperture.edge_shift, (LENS, EXCESS_GAIN), (result("shift", "in"),), SEGMENT,
        "How far past the axis a straight opaque edge has come when the output switches.",
    ),
    Published(
        "minimum_object", aperture.minimum_object, (LENS, EXCESS_GAIN), (result("width", "in"),), SEGMENT,
        "Least width of an opaque strap across the lens that switches the output.",
    ),
)  # fmt: skip
