"""What beams in space, bodies and measures of a tape must be."""

import dataclasses

import numpy as np

from tests.solver.refusals.rules import (
    ABOVE_ONE,
    ANY,
    FINITE,
    Rule,
    above_zero,
    between,
    case,
    from_zero,
    sentence,
)
from trainer.solver import beam, bodies, crosstalk, detection, finite_beam, measures

M = above_zero("m")
NAN = float("nan")
SQUARE = ((0.0, 0.2), (0.0, 1.0), (-2.0, 1.0), (-2.0, 0.2))
PIECE = beam.Piece(SQUARE, -0.9, 0.9)
EYES = {"emitter": (0.0, -1.8, 0.4), "receiver": (0.0, 1.8, 0.5)}
PAIR = detection.Pair(EYES["emitter"], EYES["receiver"])
SEDAN = bodies.BODIES["sedan"]
TAPED = {
    "length": 4.85, "height": 1.45, "width": 1.80, "wheelbase": 2.80, "front_overhang": 0.95, "ground_clearance": 0.16,
    "front_bumper_bottom": 0.26, "front_bumper_top": 0.64, "rear_bumper_bottom": 0.36, "rear_bumper_top": 0.90,
    "hood_height": 0.93, "hood_length": 1.25, "windshield_run": 0.85, "rear_run": 0.75, "deck_length": 0.45,
    "deck_height": 0.99, "tire_radius": 0.31,
}  # fmt: skip
BED = {
    "deck_length": 0.0,
    "bed_length": 1.5,
    "bed_floor": 0.6,
    "bed_rail": 1.0,
    "hood_length": 0.9,
    "rear_run": 0.1,
}

# Measures that may be anything that goes with the others: their own rule comes first.
_RULES = {name: from_zero("m") if name == "deck_length" else above_zero("m") for name in TAPED}


def _measured(**values):
    return measures.Measures(**{**TAPED, **values})


def _bed(**values):
    return measures.Measures(**{**TAPED, **BED, **values})


CASES = [
    case(
        measures.Measures,
        arrays=False,
        **{name: (value, Rule(_RULES[name].allowed, _RULES[name].bad)) for name, value in TAPED.items()},
    ),
    case(
        beam.beam_across,
        low=(0.3, FINITE),
        high=(0.6, FINITE),
        span=(3.6, above_zero("m")),
        width=(1.8, above_zero("m", 3.0, then=Rule("at most span", (3.601,)))),
        offset=(0.1, between("such that the car is between the lenses", -0.9, 0.9)),
    ),
    case(
        beam.Piece,
        arrays=False,
        profile=(SQUARE, ANY),
        from_y=(-0.9, Rule("finite", good=(-1e3,))),
        to_y=(0.9, Rule("finite", good=(-0.9 + 1e-9,), then=Rule("above from_y", (-0.9, -1.0)))),
    ),
    case(
        finite_beam.dark_travel,
        lens_diameter=(0.02, M),
        excess_gain=(5.0, ABOVE_ONE),
        width=(0.05, above_zero("m", 0.001)),
    ),
    case(bodies.with_hitch, arrays=False, body=(SEDAN, ANY), reach=(0.25, above_zero("m", 0.1))),
    case(bodies.with_hitch_rack, arrays=False, body=(SEDAN, ANY), depth=(0.6, above_zero("m", 0.1))),
    case(bodies.stretched, arrays=False, body=(SEDAN, ANY), length=(4.6, above_zero("m", 0.5))),
    case(bodies.with_roof_box, arrays=False, body=(SEDAN, ANY), length=(1.9, above_zero("m", 0.9))),
    case(
        bodies.with_trailer,
        arrays=False,
        body=(SEDAN, ANY),
        tongue=(1.2, above_zero("m", 0.5)),
        box_length=(2.5, above_zero("m", 0.9)),
    ),
    case(
        crosstalk.AimedPair,
        arrays=False,
        name=("a", ANY),
        emitter=(None, ANY),
        receiver=(None, ANY),
        excess_gain=(5.0, above_zero("", 0.5)),
    ),
    case(
        detection.open_bed,
        arrays=False,
        low=(PAIR, ANY),
        high=(PAIR, ANY),
        body=(SEDAN, ANY),
        offset_y=(0.0, FINITE),
        shortest_bed=(1.2, from_zero("m", 1.0)),
        longest_tongue=(1.8, from_zero("m", 1.0)),
    ),
]


def _sights(words, **changed):
    """The refusal of each function that takes eyes."""
    calls = (
        (beam.blocked_interval, {"piece": PIECE}),
        (beam.sweep, {"pieces": (PIECE,)}),
        (beam.passes, {"pieces": (PIECE,)}),
        (beam.sweep_and_passes, {"pieces": (PIECE,)}),
        (beam.blocked_spans, {"pieces": (PIECE,)}),
        (detection.detect, {"body": SEDAN}),
    )
    return [sentence(call, words, **{**EYES, **given, **changed}) for call, given in calls]


def _piece(words, profile):
    return sentence(beam.Piece, words, profile=profile, from_y=-0.9, to_y=0.9)


def _tape(words, **changed):
    return sentence(_measured, words, **changed)


def _pickup(words, **changed):
    return sentence(_bed, words, **changed)


def _body(words, **changed):
    fields = {one.name: getattr(SEDAN, one.name) for one in dataclasses.fields(SEDAN)}
    return sentence(bodies.Body, words, **{**fields, **changed})


def _moved(by_x=0.0, by_z=0.0):
    profile = tuple((x + by_x, z + by_z) for x, z in SQUARE)
    return (beam.Piece(profile, -0.9, 0.9),)


SMALL = {"pieces": (PIECE,), "front_axle": -0.5, "rear_axle": -1.5}
_BETWEEN = "it must be between front_axle and tail"

SENTENCES = [
    *_sights("emitter is [0.0, 1.0]; it must be a point [x, y, z]", emitter=(0.0, 1.0)),
    *_sights("receiver is [0.0, 1.0]; it must be a point [x, y, z]", receiver=(0.0, 1.0)),
    *_sights("emitter is 3; it must be a point [x, y, z]", emitter=3.0),
    *_sights("emitter is 'here'; it must be a number", emitter="here"),
    *_sights("receiver is 'there'; it must be a number", receiver="there"),
    *_sights("emitter is nan; it must be finite", emitter=(0.0, NAN, 0.4)),
    *_sights("receiver is inf; it must be finite", receiver=(0.0, 1.8, np.inf)),
    *_sights("offset_y is nan; it must be finite", offset_y=NAN),
    *_sights("offset_y is 'aside'; it must be a number", offset_y="aside"),
    *_sights("receiver is [0.0, -1.8, 0.4]; it must be apart from the emitter", receiver=EYES["emitter"]),
    _piece("profile is ((0, 0), (1, 1)); it must be three or more corners [x, z]", ((0, 0), (1, 1))),
    _piece("profile is (1, 2, 3); it must be three or more corners [x, z]", (1, 2, 3)),
    _piece(
        "profile is ((1, 2, 3),) * 3; it must be three or more corners [x, z]".replace(
            "((1, 2, 3),) * 3", "((1, 2, 3), (1, 2, 3), (1, 2, 3))"
        ),
        ((1, 2, 3),) * 3,
    ),
    _piece("profile is inf; it must be finite", ((0, 0), (1, 1), (0, np.inf))),
    _piece(
        "profile is ((0, 0), (1, 1), (2, 2)); it must be convex, with an area, its corners in order",
        ((0, 0), (1, 1), (2, 2)),
    ),
    _piece("profile is 'round'; it must be a number", "round"),
    sentence(
        beam.sweep(**EYES, pieces=(PIECE,), offset_y=np.zeros((2, 3))).spans,
        "index is (); it must be one number for each of 2 axes",
    ),
    _tape("wheelbase is 3.9; it must be below length less front_overhang", wheelbase=3.9),
    _tape("front_bumper_bottom is 0.159; it must be at least ground_clearance", front_bumper_bottom=0.159),
    _tape("rear_bumper_bottom is 0.159; it must be at least ground_clearance", rear_bumper_bottom=0.159),
    _tape("front_bumper_top is 0.26; it must be above front_bumper_bottom", front_bumper_top=0.26),
    _tape("rear_bumper_top is 0.36; it must be above rear_bumper_bottom", rear_bumper_top=0.36),
    _tape("hood_height is 0.639; it must be at least front_bumper_top", hood_height=0.639),
    _tape("height is 0.99; it must be above hood_height and deck_height", height=0.99),
    _tape("height is 1.45; it must be above hood_height and deck_height", hood_height=1.45),
    _tape("height is 1.45; it must be above the wheels", tire_radius=0.725),
    _tape("tire_radius is 0.08; it must be more than half of ground_clearance", tire_radius=0.08),
    _tape(
        "hood_length is 2.8; it must be such that a roof is left before the rear window, the deck and the bed",
        hood_length=2.8,
    ),
    _pickup("bed_floor is 0.36; it must be above rear_bumper_bottom", bed_floor=0.36),
    _pickup("bed_rail is 0.6; it must be above bed_floor and below height", bed_rail=0.6),
    _pickup("bed_rail is 1.45; it must be above bed_floor and below height", bed_rail=1.45),
    _pickup("bed_length is -1; it must be finite and 0 m or more", bed_length=-1.0),
    _body("pieces is (); it must be one piece or more", pieces=()),
    _body("pieces is 0.1; it must be such that the nose is at x = 0 m", pieces=_moved(by_x=0.1)),
    _body("pieces is -0.1; it must be from the ground up, z 0 m or more", pieces=_moved(by_z=-0.3)),
    _body("front_axle is 0; it must be between nose and tail", **{**SMALL, "front_axle": 0.0}),
    _body("front_axle is -2; it must be between nose and tail", **{**SMALL, "front_axle": -2.0}),
    _body(f"rear_axle is -0.5; {_BETWEEN}", **{**SMALL, "rear_axle": -0.5}),
    _body(f"rear_axle is -2; {_BETWEEN}", **{**SMALL, "rear_axle": -2.0}),
    _body("tire_radius is 0; it must be finite and above 0 m", tire_radius=0.0),
    _body(
        "vehicle_class is 'sled'; it must be one of passenger_car, suv, van, pickup",
        vehicle_class="sled",
    ),
    sentence(
        detection.behind_nose,
        "emitter is nan; it must be finite",
        pair=detection.Pair((0, NAN, 0), (0, 1, 1)),
        body=SEDAN,
    ),
    sentence(
        detection.detect,
        "excess_gain is None; it must be given together with lens_diameter",
        **EYES,
        body=SEDAN,
        lens_diameter=0.02,
    ),
    sentence(
        detection.detect,
        "excess_gain is 5; it must be given together with lens_diameter",
        **EYES,
        body=SEDAN,
        excess_gain=5.0,
    ),
    sentence(
        detection.profile,
        "logic is 'xor'; it must be one of and, or, and_not",
        low=PAIR,
        high=PAIR,
        body=SEDAN,
        logic="xor",
    ),
    *[
        sentence(
            finite_beam.switched,
            words,
            axis=beam.sweep(**EYES, pieces=(PIECE,)),
            **{"lens_diameter": 0.02, "excess_gain": 5.0, **changed},
        )
        for words, changed in (
            ("lens_diameter is 0; it must be finite and above 0 m", {"lens_diameter": 0.0}),
            ("excess_gain is 1; it must be finite and above 1", {"excess_gain": 1.0}),
        )
    ],
    sentence(bodies.body, f"name is 'sled'; it must be one of {', '.join(bodies.BODIES)}", name="sled"),
]


def _head(words, **changed):
    return sentence(
        crosstalk.Head, words, **{"place": (0, 0, 1), "axis": (0, 1, 0), "half_angle": 0.03, **changed}
    )


HEAD = crosstalk.Head((0, 0, 1), (0, 1, 0), 0.03)
SENTENCES += [
    _head("place is (0, 1); it must be three numbers [x, y, z]", place=(0, 1)),
    _head("place is 1; it must be three numbers [x, y, z]", place=1.0),
    _head("place is nan; it must be finite", place=(0, 1, NAN)),
    _head("place is 'here'; it must be a number", place="here"),
    _head("axis is inf; it must be finite", axis=(0, 1, np.inf)),
    _head("axis is (0, 1); it must be three numbers [x, y, z]", axis=(0, 1)),
    _head("axis is 0; it must be a direction, not all 0", axis=(0, 0, 0)),
    _head("half_angle is 0; it must be above 0 and below pi/2 rad", half_angle=0.0),
    sentence(
        crosstalk.crosstalk_between,
        "distance is 0; it must be above 0 m between emitter and receiver",
        emitter=HEAD,
        receiver=HEAD,
    ),
    *[
        sentence(
            crosstalk.well_aimed,
            words,
            **{"name": "a", **EYES, "half_angles": (0.03, 0.04), "excess_gain": 5.0, **changed},
        )
        for words, changed in (
            ("receiver is (0, 1); it must be three numbers [x, y, z]", {"receiver": (0, 1)}),
            ("emitter is (0, 1); it must be three numbers [x, y, z]", {"emitter": (0, 1)}),
            ("half_angle is 2; it must be above 0 and below pi/2 rad", {"half_angles": (2.0, 0.04)}),
            ("half_angle is 3; it must be above 0 and below pi/2 rad", {"half_angles": (0.03, 3.0)}),
            ("excess_gain is 0; it must be finite and above 0", {"excess_gain": 0.0}),
        )
    ],
]
