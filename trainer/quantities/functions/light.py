"""How much light arrives."""

from __future__ import annotations

from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    ACUTE,
    DEFINITION,
    DISTANCE,
    EXCESS_GAIN,
    FROM_ZERO,
    HALF_ANGLE,
    POSITIVE,
    RIGHT,
    Published,
    number,
    result,
    structure,
    word,
)
from trainer.solver import crosstalk, signal

_GAIN = number("excess_gain", "x", POSITIVE)
_VISIBILITY = number("visibility", "ft", POSITIVE)
_CONTRAST = number("contrast", "1", "0.05 or 0.02")
_THICKNESS = number("thickness", "mm", FROM_ZERO)
_SHARE = "from 0 to 1"
_KOSCHMIEDER = "Koschmieder's law, as in the lighting definitions of the IES"
_CONES = "reasoned from the two cones; no published source"
_BELL = "a bell curve with half the light at the half-angle: an assumption, common practice, no source"
_ROWS = "'Use excess gain to choose an optical sensor', Instrumentation & Control (South Africa), July 2018"
_POINT = "three numbers [x, y, z] in m"

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
        (_VISIBILITY, DISTANCE, _CONTRAST), (result("share", "%"),), _KOSCHMIEDER,
        "Share of the light that a path through fog lets pass.",
    ),
    Published(
        "required_excess_gain", signal.required_excess_gain, (word("environment", *signal.REQUIRED_EXCESS_GAIN),),
        (result("excess_gain", "x"),), _ROWS,
        "Excess gain to plan for in such surroundings; rows other than clean hold dirt, water and fog already.",
    ),
    Published(
        "gain_for_fog", signal.gain_for_fog, (number("required", "x", POSITIVE), _VISIBILITY, DISTANCE, _CONTRAST),
        (result("excess_gain", "x"),), _KOSCHMIEDER,
        "Excess gain to have in clear air, so that the required one is left in fog.",
    ),
    Published(
        "signal_left", signal.signal_left,
        (_GAIN, number("lens_loss", "%", _SHARE), number("transmission", "%", _SHARE)), (result("excess_gain", "x"),),
        DEFINITION, "Excess gain left when each lens takes a share and the way between lets a share pass.",
    ),
    Published(
        "aged_gain", signal.aged_gain,
        (_GAIN, number("ageing", "%", "a share from 0 to below 1"), number("years", "1", FROM_ZERO)),
        (result("excess_gain", "x"),), "exponential decay, as IES TM-21 projects the light of diodes: from memory",
        "Excess gain of a pair whose emitter loses the same share of its light each year.",
    ),
    Published(
        "beam_share", signal.beam_share, (number("off_axis", "deg", "from 0 to 180 deg"), HALF_ANGLE),
        (result("share", "%"),), _BELL, "Share of the light on its axis that a head sends or takes at an angle off it.",
    ),
    Published(
        "water_film_transmission", structured.water_film_transmission,
        (_THICKNESS, word("wavelength", *structured.WAVELENGTHS)), (result("share", "%"),),
        "water absorption of PROSPECT-D (Féret et al., Remote Sensing of Environment, 2017)",
        "Share of the light that a clear film of water does not absorb.",
    ),
    Published(
        "fresnel_loss", signal.fresnel_loss, (number("index", "1", "finite and 1 or more"),), (result("share", "%"),),
        "Fresnel's equations", "Share of the light that one face between air and a medium reflects, straight on.",
    ),
    Published(
        "decibels", signal.decibels, (number("ratio", "x", POSITIVE),), (result("level", "1"),), DEFINITION,
        "A ratio of powers in decibels.",
    ),
    Published(
        "crosstalk_margin", crosstalk.crosstalk_margin,
        (number("spacing", "in", POSITIVE), DISTANCE, number("emitter_half_angle", "deg", ACUTE),
         number("receiver_half_angle", "deg", ACUTE), number("tilt", "deg", "from 0 to below 90 deg")),
        (result("margin", "deg"),), _CONES,
        "How far a parallel pair's receiver is outside this pair's light; above 0 means no crosstalk.",
    ),
    Published(
        "crosstalk_between", structured.crosstalk_between,
        (structure("emitter", "m", _POINT), structure("emitter_axis", "m", f"{_POINT}, a direction"),
         structure("receiver", "m", f"{_POINT}, apart from the emitter"),
         structure("receiver_axis", "m", f"{_POINT}, a direction"),
         number("emitter_half_angle", "deg", ACUTE), number("receiver_half_angle", "deg", ACUTE)),
        (result("margin", "deg"), result("emitter_off", "deg"), result("receiver_off", "deg"), result("share", "%")),
        f"margin: {_CONES}; share: {_BELL}",
        "What an emitter anywhere does to a receiver anywhere; a margin below 0 means crosstalk.",
    ),
)  # fmt: skip
