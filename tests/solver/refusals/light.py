"""What the functions of light ask of their inputs: excess gain, fog, films, aim."""

import numpy as np

from tests.solver.refusals.rules import (
    ABOVE_ONE,
    ACUTE,
    FINITE,
    PART,
    SHARE,
    Rule,
    above_zero,
    at_least,
    between,
    case,
    from_zero,
    one_of,
    sentence,
)
from trainer.solver import crosstalk, signal, signal_budget

M, PLAIN = above_zero("m"), above_zero()
CONTRAST = Rule("0.05 or 0.02", (0.5, 0.03), (0.05, 0.02))
OFF_AXIS = between("from 0 to pi rad", 0.0, np.pi)
TILT = Rule("from 0 to below pi/2 rad", (-1e-9, np.pi / 2), (0.0, np.pi / 2 - 1e-9))
WAVELENGTH = Rule("650, 850, 880, 940 or 1450 nm", (652e-9, 850e-9 * (1 + 5e-6), 0.0), (650e-9, 1450e-9))

CASES = [
    case(signal.excess_gain_at, reference_gain=(3.0, PLAIN), reference_distance=(11.0, M), distance=(3.0, M)),
    case(signal.light_loss_tolerated, excess_gain=(5.0, ABOVE_ONE)),
    case(
        signal.required_excess_gain,
        environment=("clean", one_of("clean", "slightly_dirty", "moderately_dirty", "very_dirty")),
    ),
    case(signal.contrast, clear=(30.0, PLAIN), blocked=(0.1, PLAIN)),
    case(signal.decibels, ratio=(3.0, PLAIN)),
    case(signal.fog_transmission, visibility=(10.0, M), distance=(3.6, M), contrast=(0.05, CONTRAST)),
    case(signal.koschmieder_extinction, visibility=(10.0, M), contrast=(0.05, CONTRAST)),
    case(signal.kruse_extinction, visibility=(50.0, M), wavelength=(8e-7, M)),
    case(signal.kim_extinction, visibility=(50.0, M), wavelength=(8e-7, M)),
    case(signal.path_loss_decibels, extinction=(0.1, above_zero("per m")), distance=(3.6, M)),
    case(signal.fresnel_loss, index=(1.33, at_least("finite and 1 or more", 1.0))),
    case(signal.spot_width, half_angle=(0.026, ACUTE), distance=(3.6, M)),
    case(signal.aim_angle, offset=(0.02, FINITE), distance=(3.0, M)),
    case(
        signal.aim_tolerance,
        distance=(3.0, M),
        emitter_half_angle=(0.03, ACUTE),
        receiver_half_angle=(0.04, ACUTE),
    ),
    case(
        signal.pair_lit,
        distance=(3.0, M),
        emitter_half_angle=(0.03, ACUTE),
        receiver_half_angle=(0.04, ACUTE),
        offset=(0.01, FINITE),
        tilt=(0.01, FINITE),
    ),
    case(signal.beam_share, off_axis=(0.02, OFF_AXIS), half_angle=(0.03, ACUTE)),
    case(signal.aged_gain, excess_gain=(10.0, PLAIN), ageing=(0.06, PART), years=(3.0, from_zero())),
    case(signal.signal_left, excess_gain=(10.0, PLAIN), lens_loss=(0.3, SHARE), transmission=(0.6, SHARE)),
    case(
        signal.gain_for_fog,
        required=(1.5, PLAIN),
        visibility=(10.0, M),
        distance=(3.6, M),
        contrast=(0.05, CONTRAST),
    ),
    case(signal.film_transmission, thickness=(5e-4, from_zero("m")), absorption=(18.0, from_zero("per m"))),
    case(signal_budget.Aim, arrays=False, off=(0.02, OFF_AXIS), half_angle=(0.03, ACUTE)),
    case(
        signal.water_film_transmission,
        arrays=False,
        thickness=(5e-4, from_zero("m")),
        wavelength=(
            880e-9,
            WAVELENGTH,
        ),
    ),
    case(
        crosstalk.crosstalk_margin,
        spacing=(0.2, M),
        distance=(3.0, M),
        emitter_half_angle=(0.03, ACUTE),
        receiver_half_angle=(0.04, ACUTE),
        tilt=(0.01, TILT),
    ),
]

DARK = {"start": 40.0, "distance": 3.7}


def _budget(words, **changed):
    return sentence(signal_budget.signal_budget, words, **{**DARK, **changed})


def _weather(words, **changed):
    return _budget(words, weather=signal_budget.Weather(**changed))


SENTENCES = [
    _budget("distance is 0; it must be finite and above 0 m", distance=0.0),
    _budget("start is 0; it must be finite and above 0", start=0.0),
    _budget("reference_gain is 0; it must be finite and above 0", start=signal_budget.Reference(0.0, 18.0)),
    _budget(
        "reference_distance is 0; it must be finite and above 0 m", start=signal_budget.Reference(3.0, 0.0)
    ),
    _budget(
        "environment is 'muddy'; it must be one of clean, slightly_dirty, moderately_dirty, very_dirty",
        environment="muddy",
    ),
    _budget("ageing is 1; it must be a share from 0 to below 1", ageing=1.0),
    _budget("years is -1; it must be finite and 0 or more", years=-1.0),
    _weather("dirt is 1; it must be a share from 0 to below 1", dirt=1.0),
    _weather("water is -0.1; it must be a share from 0 to below 1", water=-0.1),
    _weather("visibility is 0; it must be finite and above 0 m", visibility=0.0),
    _weather("contrast is 0.04; it must be 0.05 or 0.02", visibility=9.0, contrast=0.04),
    *[
        _budget(
            f"{name} is {value:g}; it must be left out: very_dirty already counts dirt, water and fog",
            environment="very_dirty",
            weather=signal_budget.Weather(**{name: value}),
        )
        for name, value in (("dirt", 0.1), ("water", 0.2), ("visibility", 9.0))
    ],
]
