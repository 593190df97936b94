"""What the functions of seeing ask of their inputs: beams, lenses and vehicles."""

import numpy as np

from tests.solver.refusals.rules import (
    ABOVE_ONE,
    ACUTE,
    FINITE,
    Rule,
    above,
    above_zero,
    at_least,
    between,
    case,
    from_zero,
    one_of,
)
from trainer.solver import aperture, beam, finite_beam, vehicles

M = above_zero("m")
AT = between("from 0 m to span", 0.0, 3.6)
_CLASSES = one_of("passenger_car", "suv", "van", "pickup")

CASES = [
    case(beam.beam_height, low=(0.15, FINITE), high=(0.76, FINITE), span=(3.6, M), at=(1.2, AT)),
    case(beam.beam_slope, low=(0.15, FINITE), high=(0.76, FINITE), span=(3.6, M)),
    case(
        beam.beam_position,
        low=(0.15, Rule("finite")),
        high=(0.76, Rule("finite", then=Rule("different from low", (0.15,)))),
        span=(3.6, M),
        height=(0.4, between("between low and high", 0.15, 0.76)),
    ),
    case(aperture.edge_shift, lens_diameter=(0.02, M), excess_gain=(5.0, ABOVE_ONE)),
    case(aperture.minimum_object, lens_diameter=(0.02, M), excess_gain=(5.0, ABOVE_ONE)),
    case(aperture.strap_share, lens_diameter=(0.02, M), width=(0.005, from_zero("m", 1.0))),
    case(finite_beam.dark_travel, lens_diameter=(0.02, M), excess_gain=(5.0, ABOVE_ONE), width=(0.019, M)),
    case(
        aperture.uncovered_share,
        lens_diameter=(0.02, M),
        shift=(0.004, between("within half the lens diameter of the axis", -0.01, 0.01)),
    ),
    case(
        aperture.effective_beam_diameter,
        emitter_lens=(0.02, M),
        receiver_lens=(0.03, M),
        span=(3.6, M),
        at=(1.2, AT),
    ),
    case(vehicles.in_bumper_zone, height=(0.45, from_zero("m"))),
    case(vehicles.bumper_rule_covers, vehicle_class=("suv", _CLASSES)),
    case(
        vehicles.nose_limit_height,
        radius=(0.3, above_zero("m")),
        angle=(0.3, Rule(ACUTE.allowed, ACUTE.bad, (1e-9,))),
        ahead=(0.8, at_least("at least radius*tan(angle/2)", 0.3 * np.tan(0.15))),
    ),
    case(
        vehicles.tangent_angle,
        radius=(0.3, M),
        ahead=(0.8, above("finite and above radius", 0.3)),
        height=(0.2, from_zero("m")),
    ),
    case(
        vehicles.breakover_angle,
        radius=(0.3, M),
        behind_front=(1.3, above("finite and above radius", 0.3)),
        before_rear=(1.4, above("finite and above radius", 0.3)),
        height=(0.2, from_zero("m")),
    ),
    case(
        vehicles.off_road,
        arrays=False,
        approach=(0.5, above_zero("rad")),
        breakover=(0.3, above_zero("rad")),
        departure=(0.4, above_zero("rad")),
        running_clearance=(0.2, M),
        axle_clearance=(0.2, M),
    ),
    case(vehicles.footprint, track=(1.6, M), wheelbase=(2.8, M)),
    case(
        vehicles.overall_length,
        front_overhang=(0.9, from_zero("m")),
        wheelbase=(2.8, M),
        rear_overhang=(1.0, from_zero("m")),
    ),
]

SENTENCES = []
