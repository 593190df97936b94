"""A vehicle that stands off the center line is seen as one on it by lenses that were moved the other way."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.solver.beam import Piece, passes, sweep, sweep_and_passes
from trainer.solver.bodies import BODIES
from trainer.solver.detection import Pair, detect, open_bed, profile

HALF = 1.8288  # m; half of a bay of 12 ft

heights = st.floats(0.05, 2.6)
offsets = st.floats(-0.3, 0.3)
names = st.sampled_from(sorted(BODIES))


def lenses(low, high, moved=0.0):
    return (0.1, -HALF - moved, low), (0.0, HALF - moved, high)


@settings(max_examples=80, deadline=None)
@given(low=heights, high=heights, offset=offsets, name=names)
def test_what_a_pair_detects(low, high, offset, name):
    body = BODIES[name]
    off = detect(*lenses(low, high), body, offset)
    on = detect(*lenses(low, high, offset), body)
    for fact in ("seen", "count", "passes_under", "passes_over"):
        assert getattr(off, fact) == getattr(on, fact), fact
    for fact in ("nose_error", "tail_error", "length_error", "longest_hole"):
        assert getattr(off, fact) == pytest.approx(getattr(on, fact), abs=1e-9, nan_ok=True), fact


def pair(low, high, moved=0.0):
    return Pair(*lenses(low, high, moved))


@settings(max_examples=60, deadline=None)
@given(offset=offsets, name=st.sampled_from(["pickup", "lifted_pickup", "pickup_hitch_rack", "sedan"]))
def test_what_two_pairs_make_of_a_bed(offset, name):
    body = BODIES[name]
    low, high = (0.3, 0.55), (1.4, 1.6)
    both = pair(*low), pair(*high)
    moved = pair(*low, offset), pair(*high, offset)
    assert np.allclose(profile(*both, body, offset), profile(*moved, body), atol=1e-9)
    found, other = open_bed(*both, body, offset), open_bed(*moved, body)
    assert (found is None) == (other is None)
    if found is not None and other is not None:
        assert (found.start, found.end) == pytest.approx((other.start, other.end), abs=1e-9)


def plate(low, high, from_y, to_y):
    return Piece(((0.0, low), (0.0, high), (-1.0, high), (-1.0, low)), from_y, to_y)


def under_and_over(pieces, low, high, offset):
    """By the heights at both ends of each piece's lateral span: similar triangles."""

    def at(y):
        return low + (high - low) * (y + HALF) / (2 * HALF)

    below, above = [], []
    for piece in pieces:
        ends = [at(piece.from_y + offset), at(piece.to_y + offset)]
        floor, top = (chosen(z for _, z in piece.profile) for chosen in (min, max))
        below.append(max(ends) < floor)
        above.append(min(ends) > top)
    return all(below), all(above)


@settings(max_examples=200, deadline=None)
@given(
    low=heights, high=heights, offset=offsets,
    sizes=st.lists(
        st.tuples(st.floats(0.1, 1.4), st.floats(0.1, 1.2), st.floats(-1.3, 0.6), st.floats(0.1, 0.7)),
        min_size=1, max_size=3,
    ),
)  # fmt: skip
def test_passing_under_or_over_is_passing_every_piece(low, high, offset, sizes):
    pieces = [plate(z, z + tall, y, y + wide) for z, tall, y, wide in sizes]
    emitter, receiver = (0.0, -HALF, low), (0.0, HALF, high)
    found = passes(emitter, receiver, pieces, offset)
    assert (bool(found.under), bool(found.over)) == under_and_over(pieces, low, high, offset)
    swept, run = sweep_and_passes(emitter, receiver, pieces, offset)
    assert (run.under, run.over) == (found.under, found.over)
    assert np.array_equal(swept.firsts, sweep(emitter, receiver, pieces, offset).firsts, equal_nan=True)


def test_many_placements_and_lanes_at_once_have_the_shape_of_all():
    emitter = np.array([[[0.0, -HALF, 0.2]], [[0.0, -HALF, 2.4]]])
    receiver = np.array([0.0, HALF, 2.4])
    pieces = [plate(0.3, 1.2, -0.9, 0.9)]
    lanes = np.array([-0.2, 0.0, 0.2])
    for found in (passes(emitter, receiver, pieces, lanes), passes(receiver, emitter, pieces, lanes)):
        assert found.under.shape == found.over.shape == (2, 3)
    assert passes(emitter, receiver, pieces, lanes).over.tolist() == [[False] * 3, [True] * 3]
    alone = passes((0.0, -HALF, 2.0), receiver, pieces)
    assert (alone.under.shape, bool(alone.over)) == ((), True)


def test_a_piece_that_the_beam_touches_is_not_passed():
    level = (0.0, -HALF, 1.2), (0.0, HALF, 1.2)
    touched = [plate(0.3, 1.2, -0.9, 0.9)]
    assert not passes(*level, touched).over
    assert not passes(*level, [plate(1.2, 1.9, -0.9, 0.9)]).under
    assert passes((0.0, -HALF, 1.2001), (0.0, HALF, 1.2001), touched).over
