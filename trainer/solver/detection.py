"""What one pair of eyes, or two stacked pairs, make of a whole vehicle as it rolls past."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from trainer.solver.beam import Span, Spans, Sweep, sweep, sweep_and_passes, union
from trainer.solver.bodies import Body
from trainer.solver.crossing import Truths
from trainer.solver.finite_beam import switched
from trainer.solver.numbers import BadInput, Floats, Numbers, require_from_zero
from trainer.solver.switching import two_eyes

_FOOT = 0.3048
SHORTEST_BED = 4.5 * _FOOT  # m, inside: from memory
LONGEST_BED = (
    9.5 * _FOOT
)  # m, an 8 ft bed with its tailgate, the lean of the cab's window and a hitch: from memory
LONGEST_TONGUE = 6 * _FOOT  # m, with the hitch: from memory


@dataclass(frozen=True)
class Detection:
    """What a pair makes of a body, for many placements at once: arrays of one shape (...).

    seen: whether the output switches at all; all errors and holes are NaN where it does not
    count: number of separate dark spans
    nose_error: how far the true nose is past the pair's line when the output first switches [m]; positive is late
    tail_error: how far the true tail is past the line when it clears for good [m]; negative lets go too early
    length_error: measured length minus true length [m], tail_error - nose_error
    longest_hole: longest travel within the vehicle for which the output is clear [m], 0 where there is none
    passes_under, passes_over: not seen, and the axis runs below or above everything that stands in its way
    dark: the spans themselves
    """

    seen: Truths
    count: npt.NDArray[np.int64]
    nose_error: Floats
    tail_error: Floats
    length_error: Floats
    longest_hole: Floats
    passes_under: Truths
    passes_over: Truths
    dark: Sweep


def detect(
    emitter: npt.ArrayLike,
    receiver: npt.ArrayLike,
    body: Body,
    offset_y: Numbers = 0.0,
    *,
    lens_diameter: Numbers | None = None,
    excess_gain: Numbers | None = None,
) -> Detection:
    """What a pair of eyes makes of a body.

    emitter, receiver: lens centres [x, y, z] in bay axes [m], shape (..., 3), finite, apart
    body: the vehicle
    offset_y: how far its centre line is from y = 0 [m], shape (...)
    lens_diameter [m], above 0, and excess_gain, above 1: both or neither. Without them the axis switches at the edge
    itself; with them the finite beam does, see finite_beam.switched: edges upright, beam square to the travel, no
    hysteresis. A strong signal switches late: spans shrink, holes grow, straps narrower than minimum_object are
    not seen.
    The pair's line stands midway between its lenses. All inputs broadcast. Raises BadInput.
    """
    if (lens_diameter is None) != (excess_gain is None):
        raise BadInput("excess_gain", excess_gain, "given together with lens_diameter")
    found, run = sweep_and_passes(emitter, receiver, body.pieces, offset_y)
    if lens_diameter is not None and excess_gain is not None:
        found = switched(found, lens_diameter, excess_gain)
    line = _line(emitter, receiver)
    nose_error, tail_error = found.first + body.nose - line, found.last + body.tail - line
    return Detection(
        seen=found.seen,
        count=found.count,
        nose_error=nose_error,
        tail_error=tail_error,
        length_error=tail_error - nose_error,
        longest_hole=found.longest_hole,
        passes_under=~found.seen & run.under,
        passes_over=~found.seen & run.over,
        dark=found,
    )


def _line(emitter: npt.ArrayLike, receiver: npt.ArrayLike) -> Floats:
    """x midway between the two lenses [m]."""
    middle: Floats = np.add(emitter, receiver)[..., 0] / 2
    return np.asarray(middle)


@dataclass(frozen=True)
class Pair:
    """Lens centres [x, y, z] of one pair in bay axes [m]."""

    emitter: Sequence[float]
    receiver: Sequence[float]


def behind_nose(pair: Pair, body: Body, offset_y: float = 0.0) -> Spans:
    """Where a pair's axis is blocked, as distances behind the true nose at the pair's line [m]. Raises BadInput."""
    shift = body.nose - float(_line(pair.emitter, pair.receiver))
    spans = sweep(pair.emitter, pair.receiver, body.pieces, offset_y).spans()
    return tuple((first + shift, last + shift) for first, last in spans)


def profile(low: Pair, high: Pair, body: Body, offset_y: float = 0.0, logic: str = "and_not") -> Spans:
    """Where two stacked pairs together give a signal, as distances behind the true nose [m].

    low, high: the pairs; each is read against its own line, so a distance between the pairs along x is put right, as
        a controller does by pulses
    body, offset_y: the vehicle, and how far its centre line is from y = 0 [m]
    logic: how the two are joined, see switching.two_eyes: and_not (low blocked, high clear), and, or
    Raises BadInput.
    """
    return joined(behind_nose(low, body, offset_y), behind_nose(high, body, offset_y), logic)


def joined(first: Spans, second: Spans, logic: str) -> Spans:
    """Where two signals, on over spans, together are on. Raises BadInput."""
    cuts = sorted({end for span in (*first, *second) for end in span})
    return union([part for part in pairwise(cuts) if two_eyes(logic, _on(first, part), _on(second, part))])


def _on(spans: Spans, part: Span) -> bool:
    """Whether a part that no span's end cuts lies in one of them."""
    return any(first <= part[0] and part[1] <= last for first, last in spans)


@dataclass(frozen=True)
class OpenBed:
    """An open bed as two pairs see it: start and end behind the nose and length [m].

    bridged: something low, such as a trailer's tongue, goes on from the bed to something tall: the end is not the bed's
    """

    start: float
    end: float
    length: float
    bridged: bool


def open_bed(
    low: Pair,
    high: Pair,
    body: Body,
    offset_y: float = 0.0,
    *,
    shortest_bed: float = SHORTEST_BED,
    longest_bed: float = LONGEST_BED,
    longest_tongue: float = LONGEST_TONGUE,
) -> OpenBed | None:
    """The longest open bed that two stacked pairs see, or None.

    low, high, body, offset_y: as profile
    shortest_bed, longest_bed: lengths between which a span counts as a bed [m], 0 or more
    longest_tongue: longest way from a tail to the trailer behind it [m], 0 or more
    The rule: a bed is a span of low blocked and high clear that begins where a span with both blocked (the cab) ends,
    and is from shortest_bed to longest_bed long. A hood has no cab before it; a hitch, a rack and a sedan's deck are
    too short; behind a clear gap nothing is a bed; a tongue with a low trailer behind it is too long. Where the span
    runs on into another with both blocked, it may be the tongue of a tall trailer: a tongue's length is then taken
    off first. What two pairs cannot tell: a roof that the high pair only just meets looks like a cab with a bed
    behind it, so does the box on a car's roof, and a flat cover level with the rails looks like an open bed. So the
    low pair belongs above hitches and tongues and below a bed's rails, the high one above the rails and level with no
    roof that comes often. Raises BadInput.
    """
    require_from_zero("longest_bed", longest_bed, "m")
    require_from_zero("shortest_bed", shortest_bed, "m")
    require_from_zero("longest_tongue", longest_tongue, "m")
    tall = profile(low, high, body, offset_y, "and")
    tails, noses = {last for _, last in tall}, {first for first, _ in tall}
    beds = [
        OpenBed(first, last, last - first, bridged=last in noses)
        for first, last in profile(low, high, body, offset_y)
        if first in tails
    ]
    fit = [bed for bed in beds if shortest_bed <= bed.length - longest_tongue * bed.bridged <= longest_bed]
    return max(fit, key=lambda bed: bed.length, default=None)
