"""Where the beam runs, what blocks it and when the lens switches."""

from __future__ import annotations

import dataclasses

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    ACUTE,
    EXCESS_GAIN,
    FROM_ZERO,
    HIGH,
    LENS,
    LOW,
    POSITIVE,
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
from trainer.solver import aperture, beam, finite_beam, vehicles

WIDTH = number("width", "in", POSITIVE)
TIRE_RADIUS = number("radius", "in", POSITIVE)
TANGENT = "tangent to the tyre's static loaded radius arc, 49 CFR 523.2 (2015 edition)"

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
        "beam_across", beam.beam_across,
        (LOW, HIGH, SPAN, number("width", "in", "above 0 and at most span"),
         number("offset", "in", "finite; the car stands wholly between the eyes")),
        (result("lowest", "in"), result("highest", "in")), TRIANGLES,
        "Lowest and highest height of the beam's axis over a car's width; offset of the car from the middle of the "
        "span, towards the high eye.",
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
    Published(
        "dark_travel", finite_beam.dark_travel, (LENS, EXCESS_GAIN, WIDTH), (result("travel", "in"),),
        "area of a disc between two chords",
        "How far a vehicle rolls while an upright strap keeps the output switched; 0 for a strap that is never seen.",
    ),
    Published(
        "uncovered_share", aperture.uncovered_share,
        (LENS, number("shift", "in", "from minus to plus half the lens diameter")), (result("share", "%"),), SEGMENT,
        "Share of the lens that stays uncovered when a straight edge has come so far past its centre.",
    ),
    Published(
        "strap_share", aperture.strap_share, (LENS, number("width", "in", FROM_ZERO)), (result("share", "%"),), SEGMENT,
        "Share of the lens that a straight strap across its centre covers.",
    ),
    Published(
        "effective_beam_diameter", aperture.effective_beam_diameter,
        (number("emitter_lens", "in", POSITIVE), number("receiver_lens", "in", POSITIVE), SPAN,
         number("at", "ft", "from 0 to span, from the emitter")),
        (result("diameter", "in"),), "the rod of light from lens to lens; " + TRIANGLES,
        "Diameter of the effective beam at a distance from the emitter.",
    ),
    Published(
        "nose_limit_height", vehicles.nose_limit_height,
        (TIRE_RADIUS, number("angle", "deg", ACUTE), number("ahead", "in", "at least radius*tan(angle/2)")),
        (result("height", "in"),), TANGENT,
        "Height below which nothing may hang so far ahead of the front wheel's centre, or behind the rear one's, for "
        "an approach or departure angle.",
    ),
    Published(
        "tangent_angle", vehicles.tangent_angle,
        (TIRE_RADIUS, number("ahead", "in", "above radius"), number("height", "in", FROM_ZERO)),
        (result("angle", "deg"),), TANGENT,
        "Approach or departure angle that one point of a vehicle's underside allows.",
    ),
    Published(
        "footprint", vehicles.footprint, (number("track", "in", POSITIVE), number("wheelbase", "in", POSITIVE)),
        (result("area", "ft2"),), "49 CFR 523.2 (2015 edition)",
        "Footprint of a vehicle, rounded as the regulation rounds it: to 0.1 in and 0.1 ft².",
    ),
)  # fmt: skip
