"""What a pair makes of a whole body: errors at nose and tail, holes, and the profile that two pairs see."""

import numpy as np
import pytest

from trainer.solver.aperture import edge_shift
from trainer.solver.beam import Piece
from trainer.solver.bodies import BODIES, Body, body, with_hitch, with_trailer
from trainer.solver.detection import Pair, behind_nose, detect, open_bed, profile
from trainer.solver.numbers import BadInput

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


def test_two_pairs_join_as_a_truth_table_at_every_distance():
    low, high = behind_nose(level(1.0), body("pickup")), behind_nose(level(1.6), body("pickup"))
    both, either = (profile(level(1.0), level(1.6), body("pickup"), logic=logic) for logic in ("and", "or"))
    assert both == high and either == low


def test_a_pickup_shows_an_open_bed_and_a_hitch_or_a_tongue_does_not():
    low, high = level(0.48), level(1.3)
    bed = open_bed(level(1.0), level(1.6), body("pickup"))
    assert bed is not None and not bed.bridged
    assert 1.8 < bed.length < 2.6 and bed.end == pytest.approx(5.8)
    for plain in ("sedan", "suv", "van"):
        for vehicle in (body(plain), with_hitch(body(plain)), with_trailer(body(plain))):
            assert open_bed(low, high, vehicle) is None
    behind = open_bed(low, high, with_trailer(body("pickup"), box_length=3.0))
    assert behind is None or behind.start < 4.5


def test_refusals():
    with pytest.raises(BadInput, match="together with lens_diameter"):
        detect((0, -2, 0.5), (0, 2, 0.5), BOX, lens_diameter=0.02)
    with pytest.raises(BadInput, match="shortest_bed"):
        open_bed(level(0.5), level(1.5), BODIES["sedan"], shortest_bed=-1.0)
