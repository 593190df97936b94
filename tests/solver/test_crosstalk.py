"""Neighbours' light: angles by unit vectors instead of arctangents, the whole site turned about, cures that cure."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from trainer.solver.crosstalk import (
    AimedPair,
    Head,
    crosstalk_between,
    crosstalk_margin,
    site_crosstalk,
    well_aimed,
)
from trainer.solver.numbers import BadInput

HALF = np.radians(1.5)
places = st.tuples(*[st.floats(-4, 4)] * 3)
axes = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda axis: np.linalg.norm(axis) > 0.1)
halves = st.floats(0.01, 0.5)


def head(place, axis, half_angle=HALF):
    return Head(place, axis, half_angle)


def test_spacing_and_tilt_keep_neighbours_apart():
    close = crosstalk_margin(0.05, 3.6, 0.03, 0.05, 0.0)
    assert close < 0
    assert crosstalk_margin(0.20, 3.6, 0.03, 0.05, 0.0) > 0
    assert crosstalk_margin(0.05, 3.6, 0.03, 0.05, 0.02) == pytest.approx(close + 0.02)


@given(
    spacing=st.floats(0.02, 2),
    distance=st.floats(1, 6),
    emitted=st.floats(0.01, 0.3),
    seen=st.floats(0.01, 0.3),
)
def test_crosstalk_is_light_in_the_cone_and_the_cone_in_sight(spacing, distance, emitted, seen):
    # Unit vectors instead of arctangents: emitter at 0 looks along y, the neighbour's receiver looks back.
    ray = np.array([spacing, distance]) / np.hypot(spacing, distance)
    off_emitter, off_receiver = np.arccos(ray @ [0, 1]), np.arccos(-ray @ [0, -1])
    lit = off_emitter < emitted and off_receiver < seen
    margin = crosstalk_margin(spacing, distance, emitted, seen, 0.0)
    assert abs(margin) < 1e-7 or lit == (margin < 0)


@given(
    spacing=st.floats(0.02, 2),
    distance=st.floats(1, 6),
    emitted=st.floats(0.01, 0.3),
    seen=st.floats(0.01, 0.3),
    tilt=st.floats(0, 0.2),
)
def test_in_the_plane_both_ways_of_asking_agree(spacing, distance, emitted, seen, tilt):
    turned = [-np.sin(tilt), np.cos(tilt), 0]
    mirrored = [np.sin(tilt), -np.cos(tilt), 0]
    found = crosstalk_between(head([0, 0, 1], turned, emitted), head([spacing, distance, 1], mirrored, seen))
    assert found.margin == pytest.approx(crosstalk_margin(spacing, distance, emitted, seen, tilt), abs=1e-12)


@given(one=places, other=places, points=axes, looks=axes, emitted=halves, seen=halves)
def test_in_space_the_angles_are_those_of_unit_vectors(one, other, points, looks, emitted, seen):
    way = np.subtract(other, one)
    assume(np.linalg.norm(way) > 0.05)

    def degrees_off(axis, towards):
        return np.arccos(np.clip(axis @ towards / np.linalg.norm(axis) / np.linalg.norm(towards), -1, 1))

    found = crosstalk_between(head(one, points, emitted), head(other, looks, seen))
    assert found.emitter_off == pytest.approx(degrees_off(np.array(points), way), abs=1e-6)
    assert found.receiver_off == pytest.approx(degrees_off(np.array(looks), -way), abs=1e-6)
    in_both = found.emitter_off < emitted and found.receiver_off < seen
    assert in_both == (found.margin < 0)


@given(one=places, other=places, points=axes, looks=axes, turn=st.floats(-3, 3), shift=places)
def test_a_site_turned_and_moved_is_the_same_site(one, other, points, looks, turn, shift):
    assume(np.linalg.norm(np.subtract(other, one)) > 0.05)
    c, s = np.cos(turn), np.sin(turn)
    about = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ np.array([[1, 0, 0], [0, c, s], [0, -s, c]])
    before = crosstalk_between(head(one, points), head(other, looks))
    after = crosstalk_between(
        head(about @ one + shift, about @ points), head(about @ other + shift, about @ looks)
    )
    assert after.margin == pytest.approx(before.margin, abs=1e-9)
    assert after.distance == pytest.approx(before.distance)
    assert after.share == pytest.approx(before.share, rel=1e-6, abs=1e-12)


def two_pairs(spacing, *, swapped=False, lift=0.0):
    """Two level pairs side by side across a 3.6 m bay."""
    first = well_aimed("first", [0, 0, 0.5], [0, 3.6, 0.5], (HALF, HALF), 40.0)
    ends = ([spacing, 0, 0.5 + lift], [spacing, 3.6, 0.5 + lift])
    return [first, well_aimed("second", *(ends[::-1] if swapped else ends), (HALF, HALF), 20.0)]


def test_the_stronger_pair_disturbs_the_weaker_one_more():
    # 3 in apart at 3.6 m is 1.21°, inside the cones of 1.5°.
    worst, other = site_crosstalk(two_pairs(0.0762))
    assert (worst.emitter, worst.receiver) == ("first", "second")
    off = np.arctan2(0.0762, 3.6)
    assert worst.margin == other.margin == pytest.approx(off - HALF)
    shrunk = np.cos(off) ** 2 * 2 ** (-2 * (off / HALF) ** 2)
    assert (worst.gain, other.gain) == pytest.approx((40 * shrunk, 20 * shrunk))
    assert (worst.relative, other.relative) == pytest.approx((2 * shrunk, shrunk / 2))
    assert worst.in_light
    assert worst.holds_lit


def test_swapping_sides_and_spacing_cure_it():
    swapped = site_crosstalk(two_pairs(0.0762, swapped=True))
    assert [one.margin for one in swapped] == pytest.approx([np.pi / 2 - HALF] * 2)
    assert not any(one.in_light or one.holds_lit for one in swapped)
    # Past the half-angle a strong pair may still reach the neighbour, by the assumed pattern; farther off it does not.
    near, far = (site_crosstalk(two_pairs(spacing))[0] for spacing in (0.12, 0.3))
    assert not near.in_light
    assert near.holds_lit
    assert not far.holds_lit


def test_a_pair_that_is_badly_aimed_gave_its_gain_with_that_aim():
    # The measured gain of 40 holds the loss by its own aim, so straight ahead the emitter gives twice as much.
    off = [np.sin(HALF), np.cos(HALF), 0]
    first, second = two_pairs(np.tan(HALF) * 3.6)
    askew = AimedPair("askew", Head(first.emitter.place, off, HALF), first.receiver, 40.0)
    onto = next(one for one in site_crosstalk([askew, second]) if one.emitter == "askew")
    assert onto.gain == pytest.approx(40 * 2 * np.cos(HALF) ** 2 / 2)


def test_arrays_of_places_broadcast():
    spacing = np.array([0.05, 0.1, 0.4])
    ends = np.stack([spacing, np.full(3, 3.6), np.full(3, 0.5)], axis=-1)
    found = crosstalk_between(head([0, 0, 0.5], [0, 1, 0]), head(ends, [0, -1, 0]))
    assert found.margin.shape == found.share.shape == (3,)
    assert found.margin == pytest.approx(crosstalk_margin(spacing, 3.6, HALF, HALF, 0.0))


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: head([0, 0], [0, 1, 0]), "place"),
        (lambda: head([0, 0, np.nan], [0, 1, 0]), "place"),
        (lambda: head([0, 0, 0], [0, 0, 0]), "axis"),
        (lambda: head([0, 0, 0], [0, 1, 0], 2.0), "half_angle"),
        (lambda: crosstalk_between(head([1, 2, 3], [0, 1, 0]), head([1, 2, 3], [0, 1, 0])), "distance"),
        (lambda: well_aimed("x", [0, 0, 0], [0, 0, 0], (HALF, HALF), 3.0), "axis"),
        (lambda: well_aimed("x", [0, 0, 0], [0, 1, 0], (HALF, HALF), 0.0), "excess_gain"),
    ],
)
def test_what_is_no_head_is_refused(make, name):
    with pytest.raises(BadInput) as refused:
        make()
    assert refused.value.name == name


def test_three_pairs_disturb_each_other_two_by_two():
    third = well_aimed("third", [0.4, 0, 0.5], [0.4, 3.6, 0.5], (HALF, HALF), 30.0)
    found = site_crosstalk([*two_pairs(0.0762), third])
    names = {(one.emitter, one.receiver) for one in found}
    assert len(found) == 6
    assert names == {
        (a, b) for a in ("first", "second", "third") for b in ("first", "second", "third") if a != b
    }
