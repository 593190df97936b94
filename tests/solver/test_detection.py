"""What a pair makes of a whole body: errors at nose and tail, holes, and the profile that two pairs see."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.aperture import edge_shift
from trainer.solver.beam import Piece, blocked_spans
from trainer.solver.bodies import BODIES, Body, body, with_hitch, with_hitch_rack, with_trailer
from trainer.solver.detection import Pair, behind_nose, detect, joined, open_bed, profile
from trainer.solver.measures import box as rectangle
from trainer.solver.numbers import BadInput
from trainer.solver.switching import two_eyes

BOX = Body(
    "box", "van", (Piece(((0.0, 0.2), (0.0, 1.4), (-4.0, 1.4), (-4.0, 0.2)), -0.9, 0.9),), -0.8, -3.2, 0.3
)


def level(height, x=0.0):
    return Pair((x, -2.0, height), (x, 2.0, height))


def test_a_square_beam_measures_a_box_exactly():
    found = detect((1.0, -2, 0.5), (1.0, 2, 0.5), BOX)
    assert found.seen and found.count == 1
    assert (found.nose_error, found.tail_error, found.length_error, found.longest_hole) == (0, 0, 0, 0)


def test_a_strong_signal_switches_late_at_both_ends():
    shift = edge_shift(0.02, 10.0)
    found = detect((0, -2, 0.5), (0, 2, 0.5), BOX, lens_diameter=0.02, excess_gain=10.0)
    assert found.nose_error == pytest.approx(shift)
    assert found.tail_error == pytest.approx(-shift)
    assert found.length_error == pytest.approx(-2 * shift)


def test_a_beam_below_or_above_everything_passes_and_one_beside_does_not():
    heights = np.array([0.1, 0.2, 0.8, 1.4, 1.5])
    ends = np.stack([np.zeros(5), np.full(5, 2.0), heights], axis=-1)
    found = detect(ends * [1, -1, 1], ends, BOX)
    assert found.seen.tolist() == [False, True, True, True, False]
    assert found.passes_under.tolist() == [True, False, False, False, False]
    assert found.passes_over.tolist() == [False, False, False, False, True]
    assert np.isnan(found.nose_error).tolist() == (~found.seen).tolist()
    beside = detect((0, -2, 0.1), (0, -1, 0.1), BOX)
    assert not (beside.seen or beside.passes_under or beside.passes_over)


def test_placements_offsets_and_gains_broadcast():
    ends = np.full((7, 1, 1, 3), (0.0, 2.0, 0.3))
    ends[:, 0, 0, 2] += np.linspace(0, 1.5, 7)
    found = detect(
        ends * [1, -1, 1], ends, body("sedan"), np.linspace(-0.2, 0.2, 5)[:, None],
        lens_diameter=0.02, excess_gain=np.array([1.5, 5.0, 50.0]),
    )  # fmt: skip
    for array in (
        found.seen,
        found.count,
        found.nose_error,
        found.length_error,
        found.longest_hole,
        found.passes_over,
    ):
        assert array.shape == (7, 5, 3)


def test_a_distance_between_the_pairs_along_travel_is_put_right():
    pickup = body("pickup")
    together = profile(level(1.0), level(1.6), pickup)
    apart = profile(level(1.0, x=0.3), level(1.6, x=-0.5), pickup)
    assert np.allclose(together, apart, atol=1e-12)


ends = st.lists(st.integers(0, 20), max_size=8, unique=True).map(sorted)


@given(first=ends, second=ends, logic=st.sampled_from(["and", "or", "and_not"]))
def test_two_signals_join_by_the_truth_table_at_every_distance(first, second, logic):
    one, other = (tuple(zip(row[0::2], row[1::2], strict=False)) for row in (first, second))
    found = joined(one, other, logic)
    for at in np.arange(-0.25, 21, 0.5):  # never on an end
        on = [any(begin < at < end for begin, end in spans) for spans in (one, other, found)]
        assert on[2] == two_eyes(logic, on[0], on[1])
    assert all(before[1] < after[0] for before, after in pairwise(found))


def test_a_profile_is_the_joined_spans_of_both_pairs():
    low, high = behind_nose(level(1.0), body("pickup")), behind_nose(level(1.6), body("pickup"))
    for logic in ("and", "or", "and_not"):
        assert profile(level(1.0), level(1.6), body("pickup"), logic=logic) == joined(low, high, logic)


@pytest.mark.parametrize("name", BODIES)
def test_errors_are_the_first_and_last_touch_against_the_line_between_skewed_lenses(name):
    vehicle = body(name)
    found = detect((0.4, -2, 0.3), (-0.2, 2, 0.7), vehicle, 0.1)
    spans = blocked_spans([0.4, -2, 0.3], [-0.2, 2, 0.7], vehicle.pieces, 0.1)
    assert found.nose_error == pytest.approx(spans[0][0] - 0.1)
    assert found.tail_error == pytest.approx(spans[-1][1] - vehicle.length - 0.1)
    assert found.length_error == pytest.approx(spans[-1][1] - spans[0][0] - vehicle.length)
    assert found.count == len(spans)


HEIGHTS = [(low, high) for low in (0.7, 0.85, 1.0) for high in (1.55, 1.6)]


@pytest.mark.parametrize(("low", "high"), HEIGHTS)
def test_of_the_whole_catalogue_only_pickups_with_an_open_bed_show_one(low, high):
    # The high pair level with no roof and above every rail; a box on a roof cannot be told from a cab, see below.
    found = {name for name, vehicle in BODIES.items() if open_bed(level(low), level(high), vehicle)}
    assert found - {"sedan_roof_box"} == {"pickup", "pickup_hitch_rack", "lifted_pickup"}
    bed = open_bed(level(low), level(high), body("pickup"))
    assert bed.end == pytest.approx(5.8)
    # 1.97 m inside, 0.08 m of tailgate, and at most 0.12 m by which the cab's window leans.
    assert 1.97 + 0.08 < bed.length < 1.97 + 0.08 + 0.12
    assert bed.length == bed.end - bed.start and not bed.bridged


def test_two_pairs_cannot_tell_a_box_on_a_roof_from_a_cab():
    assert open_bed(level(0.85), level(1.55), body("sedan_roof_box")) is not None
    assert open_bed(level(0.85), level(1.55), body("sedan")) is None


@pytest.mark.parametrize(
    "name", [name for name in BODIES if not set(name.split("_")) & {"pickup", "trailer", "box"}]
)
@pytest.mark.parametrize("trailer", [{}, {"tongue": 0.9}, {"tongue": 1.5, "box_length": 4.0}])
@pytest.mark.parametrize("high", [1.15, 1.55])
def test_a_low_pair_that_sees_hitch_tongue_and_tray_takes_none_of_them_for_a_bed(name, trailer, high):
    # At 0.48 m the low pair meets tongue and tray; the trailer's box, 1.2 m tall, is above one high pair only.
    for vehicle in (with_hitch(body(name)), with_hitch_rack(body(name)), with_trailer(body(name), **trailer)):
        assert open_bed(level(0.48), level(high), vehicle) is None


def test_a_bed_before_a_tall_trailer_is_found_and_said_to_be_bridged():
    tongue = Piece(rectangle(-5.7, -7.3, 0.6, 0.7), -0.05, 0.05)
    trailer = Piece(rectangle(-7.3, -9.8, 0.5, 2.0), -0.7, 0.7)
    tall = replace(body("pickup"), pieces=(*body("pickup").pieces, tongue, trailer))
    bed = open_bed(level(0.65), level(1.6), tall)
    assert bed.bridged and bed.end == pytest.approx(7.3)
    assert open_bed(level(0.65), level(1.6), tall, longest_tongue=3.0) is None


def test_the_longest_of_several_beds_is_taken():
    load = Piece(rectangle(-4.6, -4.7, 0.9, 1.7), -0.5, 0.5)
    loaded = replace(body("pickup"), pieces=(*body("pickup").pieces, load))
    bed = open_bed(level(1.0), level(1.6), loaded, shortest_bed=0.3)
    assert (bed.start, bed.end) == pytest.approx((4.7, 5.8))


def test_refusals():
    with pytest.raises(BadInput, match="together with lens_diameter"):
        detect((0, -2, 0.5), (0, 2, 0.5), BOX, lens_diameter=0.02)
    with pytest.raises(BadInput, match="shortest_bed"):
        open_bed(level(0.5), level(1.5), BODIES["sedan"], shortest_bed=-1.0)
    with pytest.raises(BadInput, match="longest_bed"):
        open_bed(level(0.5), level(1.5), BODIES["sedan"], longest_bed=float("nan"))
    with pytest.raises(BadInput, match="longest_tongue"):
        open_bed(level(0.5), level(1.5), BODIES["sedan"], longest_tongue=-1.0)
    with pytest.raises(BadInput, match="logic"):
        profile(level(0.5), level(1.5), BODIES["sedan"], logic="nor")
