"""How much light arrives: range, dirt, fog, water, age and aim."""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Flags,
    Floats,
    Numbers,
    alike,
    as_floats,
    require,
    require_above_one,
    require_above_zero,
    require_acute,
    require_between,
    require_finite,
    require_from_zero,
    require_one_of,
    require_part,
    require_share,
)

# 'Use excess gain to choose an optical sensor', Instrumentation & Control (South Africa), July 2018.
REQUIRED_EXCESS_GAIN = {
    "clean": 1.5,
    "slightly_dirty": 5.0,
    "moderately_dirty": 10.0,
    "very_dirty": 50.0,
}

# Pure water, 1/m; PROSPECT-D coefficients (Féret et al. 2017), as the package prosail carries them.
WATER_ABSORPTION = {650e-9: 0.3315, 850e-9: 4.199, 880e-9: 5.298, 940e-9: 18.18, 1450e-9: 3054.0}

# Share of its light that an infrared emitter loses in a year of service: half in 100,000 h, from memory.
AGEING = 1 - 0.5 ** (8766 / 100_000)

FOG_CONTRASTS = (0.05, 0.02)


def excess_gain_at(reference_gain: Numbers, reference_distance: Numbers, distance: Numbers) -> Numbers:
    """Excess gain at another distance, by the inverse square.

    reference_gain: excess gain at the reference distance, above 0
    reference_distance, distance: between the lenses [m], above 0
    Does not hold so near that the emitter's cone no longer fills the receiver's lens.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: inverse-square law (Kepler, Astronomiae Pars Optica, 1604).
    """
    require_above_zero("reference_gain", reference_gain)
    require_above_zero("reference_distance", reference_distance, "m")
    require_above_zero("distance", distance, "m")
    return reference_gain * (reference_distance / distance) ** 2


def light_loss_tolerated(excess_gain: Numbers) -> Numbers:
    """Share of the light that may be lost before the output switches, 1 − 1/EG.

    excess_gain: above 1. Broadcasts. Raises BadInput.
    Source: MHI (Material Handling Industry) glossary, 'Excess gain': a gain of two stands half the lens obscured.
    """
    require_above_one("excess_gain", excess_gain)
    return (excess_gain - 1) / excess_gain


def required_excess_gain(environment: str) -> float:
    """Excess gain to plan for: clean, slightly_dirty, moderately_dirty or very_dirty surroundings.

    The table counts dirt on the lenses; its last row already holds fog and mist. Raises BadInput.
    Source: 'Use excess gain to choose an optical sensor', Instrumentation & Control (South Africa), July 2018.
    """
    require_one_of("environment", environment, tuple(REQUIRED_EXCESS_GAIN))
    return REQUIRED_EXCESS_GAIN[environment]


def contrast(clear: Numbers, blocked: Numbers) -> Numbers:
    """Light received with a clear path over light received blocked, both as excess gain above 0; broadcasts."""
    require_above_zero("clear", clear)
    require_above_zero("blocked", blocked)
    return clear / blocked


def decibels(ratio: Numbers) -> Numbers:
    """A ratio of powers, above 0, in decibels, 10·log10; broadcasts."""
    require_above_zero("ratio", ratio)
    level: Numbers = 10 * np.log10(ratio)
    return level


def fog_transmission(visibility: Numbers, distance: Numbers, contrast: Numbers) -> Numbers:
    """Share of the light that a path through fog lets pass, contrast^(distance/visibility).

    visibility: meteorological visibility [m], above 0
    distance: path [m], above 0
    contrast: 0.05 or 0.02, the contrast at which the visibility was defined; the two conventions differ by an exponent
    of 1.3, so it must be said
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Koschmieder's law, as in the lighting definitions of the IES.
    """
    require_above_zero("visibility", visibility, "m")
    require_above_zero("distance", distance, "m")
    share: Numbers = _require_contrast(contrast) ** (distance / visibility)
    return share


def _require_contrast(contrast: Numbers) -> Floats:
    values = as_floats("contrast", contrast)
    return require("contrast", values, np.isin(values, FOG_CONTRASTS), "0.05 or 0.02")


def koschmieder_extinction(visibility: Numbers, contrast: Numbers) -> Numbers:
    """Extinction of fog [1/m], −ln(contrast)/visibility; visibility [m] above 0, contrast 0.05 or 0.02; broadcasts.

    Source: Koschmieder's law, as in the lighting definitions of the IES.
    """
    require_above_zero("visibility", visibility, "m")
    extinction: Numbers = -np.log(_require_contrast(contrast)) / visibility
    return extinction


def kruse_extinction(visibility: Numbers, wavelength: Numbers) -> Numbers:
    """Extinction of haze [1/m] by Kruse's rule, (3.91/V)(λ/550 nm)^−q, 2 % convention.

    visibility: [m], above 0
    wavelength: [m], above 0
    q is 1.6 above 50 km, 1.3 from 6 to 50 km, 0.585·V^(1/3) (V in km) below. Made for haze: in fog the loss hardly
    depends on the wavelength (Pierce et al., SPIE 4530, 2001), so prefer kim_extinction there.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Kruse, McGlauchlin and McQuistan, Elements of Infrared Technology, 1962, as restated in later papers.
    """
    km = require_above_zero("visibility", visibility, "m") / 1000
    require_above_zero("wavelength", wavelength, "m")
    q = np.where(km > 50, 1.6, np.where(km >= 6, 1.3, 0.585 * np.cbrt(km)))
    extinction: Numbers = 3.91 / visibility * (wavelength / 550e-9) ** -q
    return extinction


def kim_extinction(visibility: Numbers, wavelength: Numbers) -> Numbers:
    """Extinction of fog and haze [1/m] by Kim's rule: Kruse's with q = 0 in fog below 500 m.

    visibility: [m], above 0
    wavelength: [m], above 0
    q is 1.6 above 50 km, 1.3 from 6 to 50 km, 0.16 V + 0.34 from 1 to 6, V − 0.5 from 0.5 to 1 (V in km), 0 below.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Kim, McArthur and Korevaar, Proc. SPIE 4214, 2001.
    """
    km = require_above_zero("visibility", visibility, "m") / 1000
    require_above_zero("wavelength", wavelength, "m")
    rules = [km > 50, km >= 6, km >= 1, km >= 0.5]
    q = np.select(rules, [np.full_like(km, 1.6), np.full_like(km, 1.3), 0.16 * km + 0.34, km - 0.5], 0.0)
    extinction: Numbers = 3.91 / visibility * (wavelength / 550e-9) ** -q
    return extinction


def path_loss_decibels(extinction: Numbers, distance: Numbers) -> Numbers:
    """Loss over a path [dB], 10·log10(e)·σ·d; extinction [1/m] and distance [m] above 0; broadcasts."""
    require_above_zero("extinction", extinction, "per m")
    require_above_zero("distance", distance, "m")
    loss: Numbers = 10 * np.log10(np.e) * extinction * distance
    return loss


def water_film_transmission(thickness: Numbers, wavelength: float) -> Numbers:
    """Share of the light that a clear water film does not absorb, exp(−k·thickness).

    thickness: [m], 0 or more
    wavelength: one of 650e-9, 850e-9, 880e-9, 940e-9, 1450e-9 m
    Absorption only: drops, foam and dried film scatter, and that costs far more. Broadcasts over thickness.
    Raises BadInput. Source: water absorption of PROSPECT-D (Féret et al., Remote Sensing of Environment, 2017).
    """
    require_from_zero("thickness", thickness, "m")
    length = as_floats("wavelength", wavelength)
    known = [key for key in WATER_ABSORPTION if np.isclose(length, key, rtol=1e-6, atol=0)]
    if not known:
        raise BadInput("wavelength", length, "650, 850, 880, 940 or 1450 nm")
    return film_transmission(thickness, WATER_ABSORPTION[known[0]])


def fresnel_loss(index: Numbers) -> Numbers:
    """Share of light reflected at one face between air and a medium, straight on, ((n − 1)/(n + 1))².

    index: refractive index, 1 or more. Broadcasts. Raises BadInput. Source: Fresnel's equations.
    """
    indices = as_floats("index", index)
    require("index", index, np.isfinite(indices) & (indices >= 1), "finite and 1 or more")
    return ((index - 1) / (index + 1)) ** 2


def spot_width(half_angle: Numbers, distance: Numbers) -> Numbers:
    """Width of the emitted cone at a distance [m].

    half_angle: between axis and edge of the cone [rad], above 0 and below π/2
    distance: [m], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: right triangle.
    """
    require_acute("half_angle", half_angle)
    require_above_zero("distance", distance, "m")
    width: Numbers = 2 * distance * np.tan(half_angle)
    return width


def aim_angle(offset: Numbers, distance: Numbers) -> Numbers:
    """Pointing error [rad] that puts the axis off by an offset [m, finite] at a distance [m, above 0]; broadcasts.

    Source: right triangle; 49 CFR 571.108 S10.18.8.1 prints pairs of it.
    """
    require_finite("offset", offset)
    require_above_zero("distance", distance, "m")
    angle: Numbers = np.arctan2(offset, distance)
    return angle


@dataclass(frozen=True)
class AimTolerance:
    """How far a pair may be off and stay lit: emitter's spot off the receiver [m], receiver's own tilt [rad]."""

    offset: Numbers
    tilt: Numbers


def aim_tolerance(
    distance: Numbers, emitter_half_angle: Numbers, receiver_half_angle: Numbers
) -> AimTolerance:
    """How far off each head of a pair may point before the receiver goes dark.

    distance: between the lenses [m], above 0
    emitter_half_angle: half-angle of the emitted cone [rad], above 0 and below π/2
    receiver_half_angle: half-angle of the receiver's field of view [rad], above 0 and below π/2
    Both must hold at once: each head is aimed for itself. Reasoned from the cones; no published source.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    far = require_above_zero("distance", distance, "m")
    cone = require_acute("emitter_half_angle", emitter_half_angle)
    view = require_acute("receiver_half_angle", receiver_half_angle)
    return AimTolerance(*alike(far * np.tan(cone), view))


def pair_lit(
    distance: Numbers,
    emitter_half_angle: Numbers,
    receiver_half_angle: Numbers,
    offset: Numbers,
    tilt: Numbers,
) -> Flags:
    """Whether a pair stays lit with the spot off by `offset` [m] and the receiver's own axis off by `tilt` [rad].

    Other inputs as aim_tolerance; offset and tilt finite, either sign. Broadcasts. Raises BadInput.
    """
    require_finite("offset", offset)
    require_finite("tilt", tilt)
    allowed = aim_tolerance(distance, emitter_half_angle, receiver_half_angle)
    lit: Flags = (np.abs(offset) < allowed.offset) & (np.abs(tilt) < allowed.tilt)
    return lit


def beam_share(off_axis: Numbers, half_angle: Numbers) -> Numbers:
    """Share of the light on its axis that a head sends, or takes, at an angle off its axis, 2^−(off/half)².

    off_axis: [rad], 0 to π
    half_angle: [rad], above 0 and below π/2
    An assumption: the beam pattern is a bell curve with half the light at the half-angle. Where a head's own pattern
    is known, trust that. Inputs broadcast; the result, from 0 to 1, has their broadcast shape. Raises BadInput.
    Common practice for narrow beams, no source.
    """
    angles = require_between("off_axis", off_axis, 0, np.pi, "from 0 to pi rad")
    share: Numbers = 2.0 ** -((angles / require_acute("half_angle", half_angle)) ** 2)
    return share


def aged_gain(excess_gain: Numbers, ageing: Numbers, years: Numbers) -> Numbers:
    """Excess gain of a pair whose emitter loses the same share of its light each year, gain·(1 − ageing)^years.

    excess_gain: when new, above 0; ageing: share lost in a year, from 0 to below 1; years: 0 or more
    AGEING is a share to plan with. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Exponential decay is how the light of diodes is projected (IES TM-21): from memory.
    """
    require_above_zero("excess_gain", excess_gain)
    left = 1 - require_part("ageing", ageing)
    require_from_zero("years", years)
    return excess_gain * left**years


def signal_left(excess_gain: Numbers, lens_loss: Numbers, transmission: Numbers) -> Numbers:
    """Excess gain left behind dirty lenses and fog, gain·(1 − loss)²·transmission.

    excess_gain: of the clean pair in clear air, above 0
    lens_loss: share of the light that dirt or water on one lens takes, from 0 to 1; both lenses have it
    transmission: share that the way between them lets pass, from 0 to 1; see fog_transmission
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("excess_gain", excess_gain)
    passed = 1 - require_share("lens_loss", lens_loss)
    require_share("transmission", transmission)
    return excess_gain * passed**2 * transmission


def gain_for_fog(required: Numbers, visibility: Numbers, distance: Numbers, contrast: Numbers) -> Numbers:
    """Excess gain to have in clear air, so that the required one is left in fog.

    required: excess gain to be left, above 0. The table's row for very dirty places holds fog already: take a row above
    it. Other inputs as fog_transmission. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Koschmieder's law, as in the lighting definitions of the IES.
    """
    require_above_zero("required", required)
    return required / fog_transmission(visibility, distance, contrast)


def film_transmission(thickness: Numbers, absorption: Numbers) -> Numbers:
    """Share of the light that a clear film does not absorb, exp(−absorption·thickness).

    thickness: [m], 0 or more; absorption: of what it is made of [1/m], 0 or more; WATER_ABSORPTION has water's
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: law of Beer and Lambert.
    """
    thick = require_from_zero("thickness", thickness, "m")
    share: Numbers = np.exp(-thick * require_from_zero("absorption", absorption, "per m"))
    return share
