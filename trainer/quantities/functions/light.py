"""How much light arrives."""

from __future__ import annotations

from trainer.quantities.functions.entries import (
    DISTANCE,
    EXCESS_GAIN,
    HALF_ANGLE,
    POSITIVE,
    RIGHT,
    Published,
    number,
    result,
)
from trainer.solver import signal

TABLE = (
    Published(
        "spot_width", signal.spot_width, (HALF_ANGLE, DISTANCE), (result("width", "in"),), RIGHT,
        "Width of the emitted cone at a distance.",
    ),
    Published(
        "aim_angle", signal.aim_angle, (number("offset", "in", "finite"), DISTANCE), (result("angle", "deg"),), RIGHT,
        "Pointing error that puts the axis off by an offset at a distance.",
    ),
    Published(
        "excess_gain_at", signal.excess_gain_at,
        (number("reference_gain", "x", POSITIVE), number("reference_distance", "ft", POSITIVE), DISTANCE),
        (result("excess_gain", "x"),), "inverse-square law (Kepler, Astronomiae Pars Optica, 1604)",
        "Excess gain at another distance.",
    ),
    Published(
        "light_loss_tolerated", signal.light_loss_tolerated, (EXCESS_GAIN,), (result("share", "%"),),
        "MHI (Material Handling Industry) glossary, 'Excess gain'",
        "Share of the light that may be lost before the output switches.",
    ),
    Published(
        "fog_transmission", signal.fog_transmission,
        (number("visibility", "ft", POSITIVE), DISTANCE, number("contrast", "1", "0.05 or 0.02")),
        (result("share", "%"),), "Koschmieder's law, as in the lighting definitions of the IES",
        "Share of the light that a path through fog lets pass.",
    ),
)  # fmt: skip
