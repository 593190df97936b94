"""The beam's line, and blocked spans against an oracle that knows nothing of our method."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, MultiPoint, box

from trainer.solver.beam import (
    Piece,
    beam_across,
    beam_height,
    beam_position,
    beam_slope,
    blocked_interval,
    blocked_spans,
    passes,
    sweep,
    union,
)
from trainer.solver.numbers import BadInput

RECTANGLE = ((0.0, 0.2), (0.0, 1.4), (-4.0, 1.4), (-4.0, 0.2))


def test_height_and_position_undo_each_other():
    at = np.linspace(0, 3.6, 7)
    height = beam_height(0.15, 0.76, 3.6, at)
    assert np.allclose(beam_position(0.15, 0.76, 3.6, height), at, atol=1e-12)
    assert beam_height(0.15, 0.76, 3.6, 3.6) == 0.76


def test_slope_of_a_falling_beam_is_negative():
    slope = beam_slope(0.76, 0.15, 3.6)
    assert slope.angle == pytest.approx(-np.arctan(0.61 / 3.6))
    assert slope.length == pytest.approx(np.hypot(0.61, 3.6))


def test_a_level_beam_has_no_single_position():
    with pytest.raises(BadInput, match=r"high is 0\.5; it must be different from low"):
        beam_position(0.5, 0.5, 3.6, 0.5)


def test_a_square_beam_is_blocked_for_the_length_of_a_box():
    spans = blocked_spans([1.0, -2, 0.5], [1.0, 2, 0.5], [Piece(RECTANGLE, -0.9, 0.9)])
    assert spans == ((1.0, 5.0),)


def test_a_beam_above_the_roof_or_beside_the_vehicle_is_free():
    piece = Piece(RECTANGLE, -0.9, 0.9)
    assert blocked_spans([0, -2, 1.5], [0, 2, 1.5], [piece]) == ()
    assert blocked_spans([0, -2, 0.5], [0, -1, 0.5], [piece]) == ()
    assert blocked_spans([0, 2, 0.5], [0, 3, 0.5], [piece], 2.5) == ((0, 4),)


def test_a_skewed_beam_is_blocked_only_by_the_part_within_the_vehicle():
    # In plan the beam gains 0.5 m in x per metre across: over y from -0.9 to 0.9 it runs from x = 0.55 to 1.45.
    spans = blocked_spans([0, -2, 0.5], [2, 2, 0.5], [Piece(RECTANGLE, -0.9, 0.9)])
    assert spans[0] == pytest.approx((0.55, 5.45))
    assert len(spans) == 1


def test_an_array_of_lane_offsets_gives_an_array_of_spans():
    piece = Piece(RECTANGLE, -0.9, 0.9)
    offsets = np.array([[-0.3, 0.0], [0.3, 9.0]])
    spans = blocked_spans([0, -2, 0.1], [0, 2, 0.6], [piece], offsets)
    assert spans.shape == (2, 2)
    for index in np.ndindex(2, 2):
        assert spans[index] == blocked_spans([0, -2, 0.1], [0, 2, 0.6], [piece], float(offsets[index]))
    assert spans[1, 1] == ()


def test_touching_spans_are_one():
    assert union([(2, 3), (0, 1), (1, 2), (5, 6), (np.nan, np.nan)]) == ((0, 3), (5, 6))


@pytest.mark.parametrize(
    ("profile", "said"),
    [
        (((0, 0), (1, 1)), "three or more"),
        (((0, 0), (2, 0), (0.4, 0.4), (0, 2)), "convex"),
        (((0, 0), (1, 1), (2, 2)), "convex"),
        (((0, 0), (1, 1), (1, 0), (0, 1)), "convex"),
        # A star of five points turns the same way at every corner, but is not convex.
        (tuple((float(np.cos(a)), float(np.sin(a))) for a in 0.8 * np.pi * np.arange(5)), "convex"),
        (((0, 0), (1, 0), (1, float("nan"))), "finite"),
    ],
)
def test_a_profile_must_be_convex_and_finite(profile, said):
    with pytest.raises(BadInput, match=said):
        Piece(profile, -1, 1)


def test_lenses_must_be_points_apart():
    piece = Piece(RECTANGLE, -0.9, 0.9)
    with pytest.raises(BadInput, match="apart from the emitter"):
        blocked_spans([0, 0, 1], [0, 0, 1], [piece])
    with pytest.raises(BadInput, match=r"a point \[x, y, z\]"):
        blocked_spans([0, 0], [0, 0, 1], [piece])
    with pytest.raises(BadInput, match="offset_y is nan"):
        blocked_spans([0, 0, 1], [0, 3, 1], [piece], float("nan"))


coordinates = st.floats(-3, 3).map(lambda value: round(value, 3))


@st.composite
def pieces(draw):
    points = draw(st.lists(st.tuples(coordinates, coordinates), min_size=3, max_size=9))
    hull = MultiPoint(points).convex_hull
    assume(hull.geom_type == "Polygon" and hull.area > 0.01)
    from_y = draw(coordinates)
    return Piece(tuple(hull.exterior.coords[:-1]), from_y, from_y + draw(st.floats(0.05, 3)))


def oracle(emitter, receiver, piece, offset):
    """Ends of the blocked interval: shapely clips the beam in two views and cuts the hull of all differences."""
    (x1, y1, z1), (x2, y2, z2) = emitter, receiver
    strip = box(-99, piece.from_y + offset, 99, piece.to_y + offset)
    plan = LineString([(x1, y1), (x2, y2)]).intersection(strip)
    view = LineString([(z1, y1), (z2, y2)]).intersection(strip)
    if plan.is_empty or view.is_empty:
        return None
    ends = zip(sorted(plan.coords, key=lambda c: c[1]), sorted(view.coords, key=lambda c: c[1]), strict=True)
    differences = [(x - px, z - pz) for (x, _), (z, _) in ends for px, pz in piece.profile]
    cut = MultiPoint(differences).convex_hull.intersection(LineString([(-99, 0), (99, 0)]))
    return None if cut.is_empty else (cut.bounds[0], cut.bounds[2])


@given(
    piece=pieces(),
    emitter=st.tuples(coordinates, coordinates, coordinates),
    receiver=st.tuples(coordinates, coordinates, coordinates),
    offset=coordinates,
)
def test_blocked_interval_agrees_with_shapely(piece, emitter, receiver, offset):
    assume(abs(emitter[1] - receiver[1]) > 0.01)
    assume(emitter[0] != receiver[0] and emitter[2] != receiver[2])
    expected = oracle(emitter, receiver, piece, offset)
    first, last = blocked_interval(emitter, receiver, piece, offset)
    if expected is None or expected[1] - expected[0] < 1e-6:
        # Shapely's clip rounds, so a beam that only touches may fall on either side.
        assert np.isnan(first) or last - first < 1e-4
    elif np.isnan(first):
        assert expected[1] - expected[0] < 1e-6
    else:
        assert (first, last) == pytest.approx(expected, abs=1e-7)


@given(parts=st.lists(pieces(), min_size=1, max_size=4), x=coordinates, low=coordinates, high=coordinates)
def test_spans_are_sorted_disjoint_and_miss_no_blocked_position(parts, x, low, high):
    emitter, receiver = np.array([x, -2.5, low]), np.array([0.3, 2.5, high])
    spans = blocked_spans(list(emitter), list(receiver), parts)
    assert all(first <= last for first, last in spans)
    assert all(before[1] < after[0] for before, after in pairwise(spans))
    beam = emitter + np.linspace(0, 1, 801)[:, None] * (receiver - emitter)
    for position in np.linspace(-7, 7, 57):
        inside = any(first <= position <= last for first, last in spans)
        margin = min((abs(position - end) for span in spans for end in span), default=9)
        assert inside or not sampled_block(beam, parts, position) or margin < 1e-9


def sampled_block(beam, parts, position):
    """Whether any of many points along the beam lies strictly within a piece of the vehicle at a position."""
    x, y, z = beam[:, 0] - position, beam[:, 1], beam[:, 2]
    for piece in parts:
        corners = np.array(piece.profile)
        edges = np.roll(corners, -1, axis=0) - corners
        turn = edges[:, 0, None] * (z - corners[:, 1, None]) - edges[:, 1, None] * (x - corners[:, 0, None])
        within = (
            ((turn > 1e-9).all(axis=0) | (turn < -1e-9).all(axis=0)) & (y > piece.from_y) & (y < piece.to_y)
        )
        if within.any():
            return True
    return False


@given(
    piece=pieces(),
    start=st.tuples(coordinates, coordinates),
    end=st.tuples(coordinates, coordinates),
    across=st.floats(0.05, 0.95),
    flat=st.sampled_from(["along", "level", "upright", "square"]),
)
def test_beams_along_level_upright_and_square_agree_with_shapely(piece, start, end, across, flat):
    (x1, z1), (x2, z2) = start, end
    low, high = piece.from_y, piece.to_y
    y1, y2 = low + across * (high - low), low + across**2 * (high - low)
    if flat == "along":  # both lenses at one y: nothing is clipped, and nothing may be divided by
        y2 = y1
    if flat in ("level", "square"):
        z2 = z1
    if flat in ("upright", "square"):
        x2 = x1
    assume((x1, y1, z1) != (x2, y2, z2))
    differences = [(x - px, z - pz) for x, z in ((x1, z1), (x2, z2)) for px, pz in piece.profile]
    cut = MultiPoint(differences).convex_hull.intersection(LineString([(-99, 0), (99, 0)]))
    first, last = blocked_interval((x1, y1, z1), (x2, y2, z2), piece)
    if cut.is_empty or cut.bounds[2] - cut.bounds[0] < 1e-6:
        assert np.isnan(first) or last - first < 1e-4
    else:
        assert (first, last) == pytest.approx((cut.bounds[0], cut.bounds[2]), abs=1e-7)


@given(
    parts=st.lists(pieces(), max_size=5),
    heights=st.lists(st.tuples(coordinates, coordinates), min_size=1, max_size=4),
    offsets=st.lists(coordinates, min_size=1, max_size=3),
)
def test_a_sweep_is_the_union_of_every_pieces_interval_in_every_placement(parts, heights, offsets):
    low, high = np.array(heights).T
    emitter = np.stack([np.zeros_like(low), np.full_like(low, -2.5), low], axis=-1)[:, np.newaxis]
    receiver = np.stack([np.full_like(low, 0.4), np.full_like(low, 2.5), high], axis=-1)[:, np.newaxis]
    found = sweep(emitter, receiver, parts, np.array(offsets))
    merged = found.merged()
    for index in np.ndindex(len(heights), len(offsets)):
        ends = emitter[index[0], 0], receiver[index[0], 0]
        intervals = [blocked_interval(*ends, piece, offsets[index[1]]) for piece in parts]
        expected = union([(float(first), float(last)) for first, last in intervals])
        assert found.spans(*index) == merged.spans(*index) == expected
        assert found.count[index] == merged.count[index] == len(expected)
        assert found.seen[index] == bool(expected)
        if expected:
            holes = [after[0] - before[1] for before, after in pairwise(expected)]
            assert (found.first[index], found.last[index]) == (expected[0][0], expected[-1][1])
            assert found.longest_hole[index] == max(holes, default=0)
            firsts, lasts = merged.firsts[:, *index], merged.lasts[:, *index]
            assert tuple(zip(firsts, lasts, strict=True))[: len(expected)] == expected
            assert np.isnan(firsts[len(expected) :]).all()
        else:
            assert np.isnan([found.first[index], found.last[index], found.longest_hole[index]]).all()


def test_a_sweep_asks_for_one_index_an_axis():
    found = sweep(np.zeros((3, 1, 3)), [0, 2, 0.5], [Piece(RECTANGLE, -0.9, 0.9)], np.zeros(2))
    assert found.seen.shape == (3, 2)
    with pytest.raises(BadInput, match="one number for each of 2 axes"):
        found.spans(1)


def test_a_beam_passes_under_or_over_only_what_stands_in_its_way():
    tall, low = Piece(RECTANGLE, -0.9, 0.9), Piece(((0, 0), (0, 0.1), (-1, 0.1), (-1, 0)), 0.9, 1.1)
    assert passes([0, -2, 0.1], [0, 0.5, 0.15], [tall, low]).under
    assert not passes([0, -2, 0.15], [0, 2, 0.15], [tall, low]).under  # the low piece stands below it
    assert not passes([0, -2, 0.2], [0, 2, 0.2], [tall]).under  # it touches
    assert passes([0, -2, 1.5], [0, 2, 1.6], [tall, low]).over
    assert not passes([0, 3, 0.1], [0, 2, 0.1], [tall, low]).under
    assert not passes([0, -2, 0.1], [0, 2, 0.1], []).under


def test_a_beam_along_travel_beside_the_vehicle_is_free():
    piece = Piece(RECTANGLE, -0.9, 0.9)
    assert blocked_spans([0, 1.0, 0.5], [3, 1.0, 0.5], [piece]) == ()
    assert blocked_spans([0, 0.5, 0.5], [3, 0.5, 0.5], [piece]) == ((0, 7),)


@given(
    low=st.floats(0, 1),
    high=st.floats(0, 2),
    span=st.floats(2, 5),
    width=st.floats(0.1, 2),
    aside=st.floats(-1, 1),
)
def test_across_a_car_the_beam_is_lowest_and_highest_where_a_fine_row_of_points_is(
    low, high, span, width, aside
):
    offset = aside * (span - width) / 2
    found = beam_across(low, high, span, width, offset)
    at = np.clip(np.linspace(-width / 2, width / 2, 33) + span / 2 + offset, 0, span)
    heights = beam_height(low, high, span, at)
    assert (found.lowest, found.highest) == pytest.approx((heights.min(), heights.max()), abs=1e-12)


def test_a_car_must_stand_between_the_lenses():
    with pytest.raises(BadInput, match="width is 4; it must be at most span"):
        beam_across(0.1, 0.7, 3.6, 4.0, 0.0)
    with pytest.raises(BadInput, match=r"offset is 1; it must be such that the car is between"):
        beam_across(0.1, 0.7, 3.6, 1.8, 1.0)
