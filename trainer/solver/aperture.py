"""How much of a round lens is covered by an edge or a strap, and when that switches the output."""

import numpy as np

from trainer.solver.numbers import (
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_one,
    require_above_zero,
    require_between,
    require_from_zero,
)


def edge_shift(lens_diameter: Numbers, excess_gain: Numbers) -> Numbers:
    """How far past the beam's axis a straight opaque edge has come when the output switches [m].

    lens_diameter: diameter of the round aperture [m], above 0
    excess_gain: light received over light needed, clear path, above 1
    The output switches when the uncovered share of the area is 1/excess_gain. The result is negative before the axis
    (gain below 2), 0 at 2, and nears half the diameter as the gain grows: a strong signal switches late.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: area of a circular segment, r²(φ − sin φ)/2.
    """
    diameter = require_above_zero("lens_diameter", lens_diameter, "m")
    gain = require_above_one("excess_gain", excess_gain)
    late = np.where(gain >= 2, 1.0, -1.0)
    smaller_share = np.where(gain >= 2, 1 / gain, (gain - 1) / gain)
    return diameter / 2 * late * _chord_distance(smaller_share)


def _chord_distance(share: Floats) -> Floats:
    """Distance of a chord from the centre, in radii, that cuts off a share of a disc; share above 0, at most 1/2.

    Newton on φ − sin φ = 2π·share, which is convex and rising on (0, π]: from the cube-root start, which lies at
    or left of the root, the first step lands at or right of it and all later ones come down to it. The root is
    never above 1.19 times the start, so the clip only guards against rounding at very small shares.
    """
    wanted = 2 * np.pi * share
    start = np.cbrt(6 * wanted)
    angle = start
    for _ in range(12):
        step = (angle - np.sin(angle) - wanted) / (2 * np.sin(angle / 2) ** 2)
        angle = np.clip(angle - step, start, np.minimum(1.19 * start, np.pi))
    return np.asarray(np.where(share == 0.5, 0.0, np.cos(angle / 2)))


def uncovered_share(lens_diameter: Numbers, shift: Numbers) -> Numbers:
    """Share of a round aperture that stays uncovered when a straight edge has come `shift` past its centre.

    lens_diameter: diameter [m], above 0
    shift: how far past the centre the edge stands [m], from minus to plus half the diameter
    Inputs broadcast; the result, from 0 to 1, has their broadcast shape. Raises BadInput.
    Source: area of a circular segment.
    """
    radius = require_above_zero("lens_diameter", lens_diameter, "m") / 2
    place = as_floats("shift", shift) / radius
    require("shift", shift, np.abs(place) <= 1, "within half the lens diameter of the axis")
    return open_share(place)


def open_share(place: Floats) -> Floats:
    """Share of a disc beyond a straight edge at a place, in radii from the centre, from -1 (all) to 1 (none)."""
    half_angle = np.arccos(place)
    share: Floats = (half_angle - place * np.sqrt((1 - place) * (1 + place))) / np.pi
    return share


def strap_share(lens_diameter: Numbers, width: Numbers) -> Numbers:
    """Share of a round aperture that a straight strap across its centre covers.

    lens_diameter: diameter [m], above 0
    width: width of the strap [m], 0 or more; wider than the lens covers all of it
    Inputs broadcast; the result, from 0 to 1, has their broadcast shape. Raises BadInput.
    Source: a disc without its two equal circular segments.
    """
    diameter = require_above_zero("lens_diameter", lens_diameter, "m")
    half = np.minimum(require_from_zero("width", width, "m") / diameter, 1.0)
    share: Numbers = 2 / np.pi * (np.arcsin(half) + half * np.sqrt((1 - half) * (1 + half)))
    return share


def minimum_object(lens_diameter: Numbers, excess_gain: Numbers) -> Numbers:
    """Least width of an opaque strap across a round aperture that switches the output [m].

    lens_diameter: diameter of the effective beam [m], above 0
    excess_gain: light received over light needed, clear path, above 1
    The strap covers the middle strip as it passes the axis; the output switches when the share left open, two equal
    segments, is 1/excess_gain. Hysteresis is left out: a real eye needs a little more.
    Inputs broadcast; the result, above 0 and below the diameter, has their broadcast shape. Raises BadInput.
    Source: area of a circular segment; each of the two has half of the share.
    """
    diameter = require_above_zero("lens_diameter", lens_diameter, "m")
    return diameter * _chord_distance(0.5 / require_above_one("excess_gain", excess_gain))


def effective_beam_diameter(
    emitter_lens: Numbers, receiver_lens: Numbers, span: Numbers, at: Numbers
) -> Numbers:
    """Diameter of the effective beam, the rod of light from lens to lens, at a distance from the emitter [m].

    emitter_lens, receiver_lens: lens diameters [m], above 0
    span: distance between the lenses [m], above 0
    at: distance from the emitter [m], 0 to span
    Equal lenses give their own diameter everywhere: the emitted cone is far wider, but an object in it and outside the
    rod blocks nothing. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("emitter_lens", emitter_lens, "m")
    require_above_zero("receiver_lens", receiver_lens, "m")
    require_above_zero("span", span, "m")
    share = require_between("at", at, 0, span, "from 0 m to span") / span
    return emitter_lens * (1 - share) + receiver_lens * share
