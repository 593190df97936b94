"""Which pairs light each other's receivers: by angles in the plane, and for a whole site in space."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_acute,
    require_finite,
)
from trainer.solver.signal import beam_share


def crosstalk_margin(
    spacing: Numbers,
    distance: Numbers,
    emitter_half_angle: Numbers,
    receiver_half_angle: Numbers,
    tilt: Numbers,
) -> Numbers:
    """How far a neighbour's receiver is outside this pair's light [rad]; above 0 means no crosstalk.

    spacing: between the two parallel pairs [m], above 0
    distance: between the lenses of a pair [m], above 0
    emitter_half_angle, receiver_half_angle: of this emitter and the neighbour's receiver [rad], 0 to π/2
    tilt: how far each of the two heads is turned away from the other pair [rad], 0 to below π/2
    The neighbour's receiver is lit only when it stands in the emitter's cone and the emitter stands in its field of
    view, so the larger of the two margins counts. With emitter and receiver of the neighbour on swapped sides the two
    heads stand side by side and face the same way; for that, and for any other placing, see crosstalk_between.
    Light reflected by walls or vehicles is left out. Reasoned from the cones; no published source.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("spacing", spacing, "m")
    require_above_zero("distance", distance, "m")
    require_acute("emitter_half_angle", emitter_half_angle)
    require_acute("receiver_half_angle", receiver_half_angle)
    tilts = as_floats("tilt", tilt)
    require("tilt", tilt, (tilts >= 0) & (tilts < np.pi / 2), "from 0 to below pi/2 rad")
    margin: Numbers = (
        np.arctan2(spacing, distance) + tilt - np.minimum(emitter_half_angle, receiver_half_angle)
    )
    return margin


@dataclass(frozen=True)
class Head:
    """An emitter or a receiver.

    place: of its lens [x, y, z] in bay axes [m], shape (..., 3), finite
    axis: where it points, a direction of any length above 0, shape (..., 3)
    half_angle: of its cone or field of view [rad], above 0 and below π/2, shape (...)
    Raises BadInput.
    """

    place: npt.ArrayLike
    axis: npt.ArrayLike
    half_angle: Numbers

    def __post_init__(self) -> None:
        _three("place", self.place)
        length = np.linalg.norm(_three("axis", self.axis), axis=-1)
        require("axis", length, length > 0, "a direction, not all 0")
        require_acute("half_angle", self.half_angle)

    def off_axis(self, way: Floats) -> Floats:
        """Angle between its axis and a direction [rad], exact for small angles and for those near π too."""
        axis = np.asarray(self.axis)
        turn = np.linalg.norm(np.cross(axis, way), axis=-1)
        angle: Floats = np.arctan2(turn, np.sum(axis * way, axis=-1))
        return angle


def _three(name: str, value: npt.ArrayLike) -> Floats:
    place = as_floats(name, value)
    if place.ndim == 0 or place.shape[-1] != 3:
        raise BadInput(name, value, "three numbers [x, y, z]")
    require_finite(name, place)
    return place


@dataclass(frozen=True)
class Crosstalk:
    """What one emitter does to one receiver.

    margin: how far the receiver is outside the light [rad]; below 0 each head stands in the other's cone
    emitter_off, receiver_off: angle between each head's axis and the line to the other head [rad], 0 to π
    distance: between the two heads [m]
    share: light over what two heads in line at that distance would have; a beam-pattern assumption, see beam_share
    """

    margin: Floats
    emitter_off: Floats
    receiver_off: Floats
    distance: Floats
    share: Floats


def crosstalk_between(emitter: Head, receiver: Head) -> Crosstalk:
    """What an emitter anywhere does to a receiver anywhere else.

    Light comes in only where each head stands in the other's cone, so the larger of the two margins counts.
    Reflected light is left out. Heads broadcast. Raises BadInput. Reasoned from the cones; no published source.
    """
    way = np.subtract(receiver.place, emitter.place)
    distance = np.linalg.norm(way, axis=-1)
    require("distance", distance, distance > 0, "above 0 m between emitter and receiver")
    emitter_off, receiver_off = emitter.off_axis(way), receiver.off_axis(-way)
    patterns = beam_share(emitter_off, emitter.half_angle) * beam_share(receiver_off, receiver.half_angle)
    return Crosstalk(
        margin=np.maximum(emitter_off - emitter.half_angle, receiver_off - receiver.half_angle),
        emitter_off=emitter_off,
        receiver_off=receiver_off,
        distance=distance,
        share=np.asarray(patterns),
    )


@dataclass(frozen=True)
class AimedPair:
    """A pair: its name, its heads, and the excess gain on its own beam, above 0."""

    name: str
    emitter: Head
    receiver: Head
    excess_gain: float

    def __post_init__(self) -> None:
        require_above_zero("excess_gain", self.excess_gain)


def well_aimed(
    name: str,
    emitter: Sequence[float],
    receiver: Sequence[float],
    half_angles: tuple[float, float],
    excess_gain: float,
) -> AimedPair:
    """A pair whose heads point at each other.

    emitter, receiver: places of the lenses [x, y, z] in bay axes [m], apart
    half_angles: of the emitted cone and of the receiver's field of view [rad], above 0 and below π/2
    excess_gain: on its own beam, above 0
    Raises BadInput.
    """
    way = _three("receiver", receiver) - _three("emitter", emitter)
    return AimedPair(
        name, Head(emitter, way, half_angles[0]), Head(receiver, -way, half_angles[1]), excess_gain
    )


@dataclass(frozen=True)
class Disturbance:
    """What one pair's emitter does to another pair's receiver.

    emitter, receiver: names of the two pairs
    margin: [rad], see Crosstalk; below 0 the receiver stands in the light
    gain: excess gain that this light alone gives the receiver; from 1 up it holds the receiver lit, whatever stands
        in its own beam. By the inverse square and the beam-pattern assumption of beam_share, which lets some light
        past the half-angle: a strong pair may hold a receiver lit that has a small margin
    relative: that gain over the receiver's own
    """

    emitter: str
    receiver: str
    margin: float
    gain: float
    relative: float

    @property
    def in_light(self) -> bool:
        """Whether each head stands in the other's cone."""
        return self.margin < 0

    @property
    def holds_lit(self) -> bool:
        """Whether the light would hold the receiver lit while its own beam is blocked."""
        return self.gain >= 1


def site_crosstalk(pairs: Sequence[AimedPair]) -> tuple[Disturbance, ...]:
    """What every pair's emitter does to every other pair's receiver, the strongest light first.

    Receivers are taken to be alike. Raises BadInput. Reasoned from the cones; no published source.
    """
    found = [_disturbance(one, other) for one, other in permutations(pairs, 2)]
    return tuple(sorted(found, key=lambda one: (-one.gain, one.margin)))


def _disturbance(one: AimedPair, other: AimedPair) -> Disturbance:
    seen = crosstalk_between(one.emitter, other.receiver)
    own = crosstalk_between(one.emitter, one.receiver)
    gain = float(one.excess_gain * (own.distance / seen.distance) ** 2 * seen.share / own.share)
    return Disturbance(one.name, other.name, float(seen.margin), gain, gain / other.excess_gain)
