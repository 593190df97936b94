"""When a beam of finite width switches, against integration of the light that a lens receives."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from shapely import Point, box, union_all

from trainer.solver.aperture import edge_shift, minimum_object, strap_share
from trainer.solver.beam import Sweep
from trainer.solver.finite_beam import dark_travel, switched
from trainer.solver.numbers import BadInput

LENS = 0.02


def axis(*spans):
    """A sweep of one placement with these spans."""
    firsts, lasts = np.array(spans).T
    return Sweep(firsts, lasts)


def open_light(place, spans, lens=LENS):
    """Share of a disc that spans leave open, by integration over its chords (unit radius, share of pi)."""
    radius = lens / 2
    inside = [(max((place - last) / radius, -1), min((place - first) / radius, 1)) for first, last in spans]
    covered = sum(quad(lambda u: 2 * np.sqrt(1 - u * u), a, b, epsabs=1e-13)[0] for a, b in inside if a < b)
    return 1 - covered / np.pi


@pytest.mark.parametrize("gain", [1.2, 1.5, 2.0, 5.0, 50.0, 400.0])
@pytest.mark.parametrize("width", [0.02, 0.025, 0.5])
def test_a_wide_span_shrinks_by_the_shift_at_each_end(gain, width):
    shift = edge_shift(LENS, gain)
    ((first, last),) = switched(axis((1.0, 1.0 + width)), LENS, gain).spans()
    assert (first, last) == pytest.approx((1 + shift, 1 + width - shift), abs=1e-12)
    assert first <= last


@pytest.mark.parametrize("gain", [1.2, 1.5, 5.0, 50.0])
@pytest.mark.parametrize("more", [0.0001, 0.01, 0.2, 0.6, 0.99])
def test_a_narrow_strap_is_dark_for_a_short_travel(gain, more):
    least = minimum_object(LENS, gain)
    width = least + more * (LENS - least)
    ((first, last),) = switched(axis((1.0, 1.0 + width)), LENS, gain).spans()
    middle = 1 + width / 2
    expected = brentq(
        lambda at: open_light(at, [(1.0, 1.0 + width)]) - 1 / gain,
        middle,
        middle + width / 2 + LENS,
        xtol=1e-15,
    )
    assert last == pytest.approx(expected, abs=1e-10)
    assert middle - first == pytest.approx(last - middle, abs=1e-12)
    assert last - first <= width - 2 * edge_shift(LENS, gain) + 1e-12


@pytest.mark.parametrize("gain", [1.2, 1.5, 5.0, 50.0])
def test_a_strap_below_the_minimum_object_is_never_dark_and_one_above_is(gain):
    least = float(minimum_object(LENS, gain))
    found = switched(axis((1.0, 1 + least * 0.999)), LENS, gain)
    assert not found.seen and found.spans() == () and np.isnan(found.first)
    assert switched(axis((1.0, 1 + least * 1.001)), LENS, gain).seen


def test_a_strap_just_wide_enough_is_dark_for_far_less_than_its_width():
    # With a gain of 10 the strap of least width covers 90 % at the axis alone. Near there the covered share falls
    # with the square of the travel, so that a strap wider by a thousandth is dark for a travel of about
    # the square root of that.
    width = float(minimum_object(LENS, 10.0)) * 1.001
    ((first, last),) = switched(axis((0.0, width)), LENS, 10.0).spans()
    assert 0 < last - first < 0.1 * width


@pytest.mark.parametrize("gain", [5.0, 50.0])
@pytest.mark.parametrize("slit", [0.0005, 0.002, 0.01, 0.019])
def test_a_slit_is_a_hole_only_where_it_lets_enough_light_through(gain, slit):
    spans = ((0.0, 1.0), (1.0 + slit, 2.0))
    found = switched(axis(*spans), LENS, gain)
    through = 1 - 2 * (
        0.5 - strap_share(LENS, slit) / 2
    )  # at the axis the slit leaves open what a strap would cover
    assert (found.count == 2) == (through > 1 / gain)
    if found.count == 2:
        middle = 1 + slit / 2
        expected = brentq(lambda at: open_light(at, spans) - 1 / gain, middle - LENS, middle, xtol=1e-15)
        assert found.spans()[0][1] == pytest.approx(expected, abs=1e-10)
        assert found.longest_hole == pytest.approx(2 * (middle - expected), abs=1e-10)


widths = st.floats(0.0005, 0.03)


@settings(max_examples=60)
@given(
    parts=st.lists(st.tuples(widths, widths), min_size=1, max_size=4),
    gain=st.floats(1.05, 100),
)
def test_many_edges_in_the_lens_add_up_as_polygons_do(parts, gain):
    """Dark and clear are looked at on a fine row of places, with a disc and strips of shapely."""
    ends = np.cumsum([length for part in parts for length in part])
    spans = [(float(last - width), float(last)) for last, (_, width) in zip(ends[1::2], parts, strict=True)]
    found = switched(axis(*spans), LENS, gain).spans()
    lens = Point(0, 0).buffer(LENS / 2, quad_segs=256)
    for place in np.linspace(-0.01, spans[-1][1] + 0.01, 61):
        strips = union_all([box(place - last, -1, place - first, 1) for first, last in spans])
        left = lens.difference(strips).area / lens.area
        if abs(left - 1 / gain) > 2e-3:  # a polygon of 1024 sides is no disc
            assert any(first <= place <= last for first, last in found) == (left < 1 / gain)


@given(gain=st.floats(1.01, 1e4), hole=st.floats(0.021, 1), length=st.floats(0.021, 3))
def test_a_stronger_signal_only_ever_shortens_what_is_dark(gain, hole, length):
    spans = ((0.0, length), (length + hole, 2 * length + hole))
    weak, strong = (switched(axis(*spans), LENS, one) for one in (gain, gain * 1.5))
    assert strong.first >= weak.first and strong.last <= weak.last
    assert strong.longest_hole >= weak.longest_hole


def test_placements_that_are_crowded_and_not_agree_with_each_alone():
    rng = np.random.default_rng(11)
    ends = np.sort(rng.uniform(0, 0.2, (8, 3000)), axis=0)
    ends[2:, ::3] = np.nan
    many = Sweep(ends[0::2], ends[1::2])
    gain = rng.uniform(1.1, 30, 3000)
    found = switched(many, LENS, gain)
    for index in range(0, 3000, 61):
        alone = switched(Sweep(many.firsts[:, index], many.lasts[:, index]), LENS, gain[index])
        assert found.spans(index) == alone.spans()


def test_lens_and_gain_broadcast_against_the_placements():
    found = switched(axis((0.0, 1.0), (1.005, 2.0)), np.array([[0.01], [0.02]]), np.array([1.5, 5.0, 50.0]))
    assert found.seen.shape == (2, 3)
    for index in np.ndindex(2, 3):
        lens, gain = (0.01, 0.02)[index[0]], (1.5, 5.0, 50.0)[index[1]]
        assert found.spans(*index) == switched(axis((0.0, 1.0), (1.005, 2.0)), lens, gain).spans()


def test_what_is_never_seen_stays_unseen_and_bad_gains_are_refused():
    nothing = Sweep(np.full((1, 4), np.nan), np.full((1, 4), np.nan))
    assert not switched(nothing, LENS, 5.0).seen.any()
    bad = [(0.0, 5.0), (LENS, 1.0), (LENS, float("nan"))]
    for lens, gain in bad:
        with pytest.raises(BadInput):
            switched(nothing, lens, gain)


@given(gain=st.floats(1.01, 1e3), width=st.floats(1e-4, 0.5), lens=st.floats(0.005, 0.05))
def test_dark_travel_from_the_minimum_object_to_the_width_of_the_lens_and_on(gain, width, lens):
    travel = dark_travel(lens, gain, width)
    least = minimum_object(lens, gain)
    if width >= lens:
        assert travel == pytest.approx(width - 2 * edge_shift(lens, gain), abs=1e-12)
    elif abs(width - least) > 1e-9:
        assert (travel > 0) == (width > least)
        assert travel <= max(width - 2 * edge_shift(lens, gain), 0) + 1e-12


def test_dark_travel_broadcasts_and_refuses():
    assert dark_travel(0.02, np.array([2.0, 5.0]), np.array([[0.1], [0.2], [0.3]])).shape == (3, 2)
    assert isinstance(dark_travel(0.02, 5.0, 0.1), float)
    with pytest.raises(BadInput, match="width"):
        dark_travel(0.02, 5.0, 0.0)
