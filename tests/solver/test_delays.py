"""Delay regions against trying every demand on the eye's own rule, and against a brute search of settings."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from trainer.solver.delays import DEMANDS, DelayWindow, Demand, delay_region, delay_window, recommended_delays
from trainer.solver.numbers import BadInput
from trainer.solver.timers import debounce

INCH = 0.0254
# The demo wash's chain, 9 in/s, and what its entry eye has to do.
SPEED, TOLERANCE = 9 * INCH, 0.03
WALKER, SPRAY = Demand("ignore", 0.5702, "walker"), Demand("ignore", 0.3, "spray")
HOLE, GAP = Demand("bridge", 3 * INCH, "hole"), Demand("keep_apart", 36 * INCH, "gap")
NOSE, LENGTH = Demand("nose", 6 * INCH, "nose"), Demand("length", 4 * INCH, "length")
ALL = [WALKER, SPRAY, HOLE, GAP, NOSE, LENGTH]

kinds = st.sampled_from(DEMANDS)
least_and_most = {
    "ignore": (0, 256), "count": (12, 256), "bridge": (0, 80), "keep_apart": (12, 256), "nose": (5, 100),
    "length": (0, 80),
}  # fmt: skip
amounts = {kind: st.integers(*ends).map(lambda n: n / 256) for kind, ends in least_and_most.items()}
demands = kinds.flatmap(lambda kind: st.builds(Demand, st.just(kind), amounts[kind]))


def is_met(demand, on_delay, off_delay, speed):
    """Whether an eye with these delays does what is asked at one chain speed, by the traces it gives."""
    amount, long = demand.amount, on_delay + 3.0
    if demand.kind == "ignore":
        return amount == 0 or debounce(on_delay, off_delay, [[5, 5 + amount]]) == ()
    if demand.kind == "nose":
        (output,) = debounce(on_delay, off_delay, [[0, long]])
        return output[0] * speed <= amount
    if demand.kind == "length":
        (output,) = debounce(on_delay, off_delay, [[0, long]])
        return abs((output[1] - output[0] - long) * speed) <= amount
    time = amount / speed
    if demand.kind == "count":
        return len(debounce(on_delay, off_delay, [[0, time]])) == 1
    two = [[0, long], [long + time, 2 * long + time]] if time else [[0, long]]
    return len(debounce(on_delay, off_delay, two)) == (1 if demand.kind == "bridge" else 2)


@given(
    asked=st.lists(demands, max_size=6),
    tolerance=st.sampled_from([0.0, 0.03, 0.1]),
    on=st.floats(0, 2),
    off=st.floats(0, 2),
)
@settings(max_examples=400, deadline=None)
def test_a_setting_is_in_the_region_when_an_eye_with_it_does_what_is_asked_at_both_speeds(
    asked, tolerance, on, off
):
    region = delay_region(asked, 0.25, tolerance)
    assume(abs(region.slack(on, off)) > 1e-6)
    ends = (0.25 * (1 - tolerance), 0.25 * (1 + tolerance))
    unmet = [one for one in asked if not all(is_met(one, on, off, speed) for speed in ends)]
    assert list(region.broken(on, off)) == unmet
    assert region.holds(on, off) == (not unmet)


@given(asked=st.lists(demands, max_size=6), tolerance=st.sampled_from([0.0, 0.05]))
@settings(max_examples=150, deadline=None)
def test_the_polygon_is_the_region(asked, tolerance):
    # Brute force: a grid of settings, each asked of the half-planes and of the polygon's own corners.
    region = delay_region(asked, 0.25, tolerance, longest=3.0)
    on, off = np.meshgrid(np.linspace(0.003, 2.9, 40), np.linspace(0.007, 2.9, 40))
    grid = np.array([on.ravel(), off.ravel()]).T
    slack = np.array([region.slack(*one) for one in grid])
    if region.empty:
        assert (slack < 1e-9).all()
        return
    if len(region.corners) < 3:
        return
    start = np.array(region.corners)
    along = np.roll(start, -1, axis=0) - start
    lefts = along[:, 0] * (grid[:, None, 1] - start[:, 1]) - along[:, 1] * (grid[:, None, 0] - start[:, 0])
    distance = (lefts / np.hypot(*along.T)).min(axis=1)
    sure = np.abs(distance) > 1e-9
    assert ((distance > 0) == (slack > 0))[sure].all()
    assert slack[distance > 1e-9] == pytest.approx(distance[distance > 1e-9], abs=1e-9)


@given(asked=st.lists(demands, min_size=1, max_size=6))
@settings(max_examples=200, deadline=None)
def test_a_conflict_is_as_small_as_can_be_and_an_open_region_has_a_setting(asked):
    region = delay_region(asked, 0.25, 0.02)
    assert region.empty == bool(region.conflict) == (region.recommended is None)
    if not region.empty:
        assert region.holds(*region.recommended)
        return
    assert delay_region(region.conflict, 0.25, 0.02).empty
    for i in range(len(region.conflict)):
        rest = [*region.conflict[:i], *region.conflict[i + 1 :]]
        assert not delay_region(rest, 0.25, 0.02).empty


@given(asked=st.lists(demands, max_size=6))
@settings(max_examples=60, deadline=None)
def test_no_setting_has_more_slack_than_the_recommended_one(asked):
    region = delay_region(asked, 0.25, 0.02, longest=3.0)
    if region.empty:
        return
    best = region.slack(*region.recommended)
    corners = np.array(region.corners)
    random = np.random.default_rng(3)
    for share in random.dirichlet(np.full(len(corners), 0.7), 200):
        assert region.slack(*(share @ corners)) <= best + 1e-9


def test_the_entry_eye_by_hand():
    # At 9 in/s and 3 % either way: 8.73 and 9.27 in/s.
    region = delay_region(ALL, SPEED, TOLERANCE)
    assert not region.empty
    least_on, most_on = 0.5702, 6 / 9.27
    least_off, band = 3 / 8.73, 4 / 9.27
    expected = {
        (least_on, least_off), (most_on, least_off), (most_on, most_on + band), (least_on, least_on + band)
    }  # fmt: skip
    assert {(round(on, 9), round(off, 9)) for on, off in region.corners} == {
        (round(on, 9), round(off, 9)) for on, off in expected
    }
    assert [one.name for one in region.binding] == ["walker", "hole", "nose", "length"]
    assert region.conflict == ()
    assert region.holds(0.6, 0.5)
    assert not region.holds(0.55, 0.5)
    assert region.broken(0.7, 5.0) == (GAP, NOSE, LENGTH)
    assert region.nearest(0.575, 0.5) is WALKER
    assert region.slack(0.6, 0.5) == pytest.approx(0.6 - 0.5702)


def test_the_edges_name_what_binds_there_and_go_round():
    region = delay_region(ALL, SPEED, TOLERANCE)
    assert [edge.start for edge in region.edges] == list(region.corners)
    assert [edge.end for edge in region.edges] == [*region.corners[1:], region.corners[0]]
    assert [[one.name for one in edge.demands] for edge in region.edges] == [
        ["hole"],
        ["nose"],
        ["length"],
        ["walker"],
    ]


def test_what_is_swallowed_closes_its_edge_and_what_must_show_opens_it():
    # 1 in/s makes inches seconds. As long as the on-delay does not count, as long as the off-delay is bridged.
    show = [Demand("count", 2 * INCH), Demand("keep_apart", 3 * INCH)]
    region = delay_region([Demand("ignore", 1.0), Demand("bridge", 1 * INCH), *show], INCH)
    assert region.holds(1.0, 1.0)
    assert not region.holds(2.0, 1.0)
    assert region.holds(1.999, 2.999)
    assert not region.holds(1.0, 3.0)
    assert {edge.demands[0].kind: edge.is_open for edge in region.edges} == {
        "ignore": False, "count": True, "bridge": False, "keep_apart": True
    }  # fmt: skip


def test_two_demands_that_only_touch():
    walker, nose, block = Demand("ignore", 0.6), Demand("nose", 0.15), Demand("count", 0.15)
    segment = delay_region([walker, nose, HOLE, GAP], 0.25)
    assert [on for on, _ in segment.corners] == pytest.approx([0.6, 0.6])
    assert segment.recommended == pytest.approx((0.6, (3 * INCH + 36 * INCH) / 2 / 0.25))
    assert segment.holds(*segment.recommended)
    assert segment.slack(*segment.recommended) == pytest.approx(0)
    assert [edge.demands for edge in segment.edges] == [(walker, nose)]
    assert delay_region([walker, block], 0.25).conflict == (walker, block)
    point = delay_region([walker, nose, Demand("length", 0.0), HOLE], 0.25)
    (corner,) = point.corners
    assert corner == pytest.approx((0.6, 0.6))
    assert point.recommended == pytest.approx((0.6, 0.6))


def test_three_demands_of_which_any_two_hold():
    walker, length, gap = Demand("ignore", 0.8), Demand("length", 0.05), Demand("keep_apart", 0.1)
    assert delay_region([SPRAY, walker, length, gap], 0.25).conflict == (walker, length, gap)
    assert delay_region([SPRAY, NOSE, walker, length, gap], 0.25).conflict == (NOSE, walker)
    assert all(not delay_region(two, 0.25).empty for two in ([walker, length], [walker, gap], [length, gap]))


def test_a_demand_that_no_delay_can_meet_stands_alone():
    parked = Demand("ignore", 12.0, "parked")
    assert delay_region([GAP, parked], SPEED).conflict == (parked,)


def test_scanning_takes_two_scans_from_what_must_show():
    region = delay_region(ALL, SPEED, TOLERANCE, scan_time=0.01)
    on, off = np.array(region.corners).T
    assert (on.min(), on.max()) == pytest.approx((0.5702, 6 / 9.27 - 0.02))
    assert (off.min(), off.max()) == pytest.approx((3 / 8.73, 6 / 9.27 - 0.02 + 4 / 9.27 - 0.02))
    assert delay_region([Demand("count", INCH)], SPEED, scan_time=0.06).conflict


def test_no_demand_leaves_all_that_can_be_set():
    region = delay_region([], 0.25, longest=4.0)
    assert region.corners == ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    assert region.recommended == pytest.approx((2.0, 2.0))
    assert region.nearest(0.1, 1.0) is None
    assert region.binding == ()


@pytest.mark.parametrize(
    ("kind", "amount"), [("forget", 1.0), ("ignore", -1.0), ("count", 0.0), ("nose", np.nan), ("length", "much")]
)  # fmt: skip
def test_a_demand_is_refused(kind, amount):
    with pytest.raises(BadInput):
        Demand(kind, amount)


@pytest.mark.parametrize(
    ("inputs", "name"),
    [
        ({"speed": 0.0}, "speed"),
        ({"tolerance": 1.0}, "tolerance"),
        ({"scan_time": -1.0}, "scan_time"),
        ({"longest": 0.0}, "longest"),
    ],
)
def test_a_region_is_refused(inputs, name):
    with pytest.raises(BadInput) as refused:
        delay_region(**{"demands": ALL, "speed": SPEED, **inputs})
    assert refused.value.name == name


windows = {
    "walker": st.floats(0.05, 0.8),
    "bridge": st.floats(0, 0.5),
    "gap": st.floats(0.3, 3),
    "nose_error": st.floats(0.02, 0.4),
    "speed": st.floats(0.05, 0.5),
    "tolerance": st.floats(0, 0.2),
}


@given(**windows)
@settings(deadline=None)
def test_the_window_is_the_region_of_four_demands(walker, bridge, gap, nose_error, speed, tolerance):
    window = delay_window(walker, bridge, gap, nose_error, speed, tolerance)
    kept = [Demand("keep_apart", gap), Demand("nose", nose_error)]
    four = [Demand("ignore", walker), Demand("bridge", bridge), *kept]
    region = delay_region(four, speed, tolerance, longest=100.0)
    assert window.open == (not region.empty)
    if region.empty:
        return
    on, off = np.array(region.corners).T
    assert (on.min(), on.max()) == pytest.approx((window.on_delay_least, window.on_delay_most))
    assert (off.min(), off.max()) == pytest.approx((window.off_delay_least, window.off_delay_most))
    best = recommended_delays(walker, bridge, gap, nose_error, speed, tolerance)
    assert (best.on_delay, best.off_delay) == pytest.approx(region.recommended, abs=1e-6)
    assert best.slack == pytest.approx(region.slack(*region.recommended), abs=1e-9)


def test_where_nothing_fits_the_short_one_is_named():
    with pytest.raises(BadInput) as refused:
        recommended_delays(0.6, 0.1, 0.9, 0.1, 0.25, 0.0)
    assert refused.value.name == "nose_error"
    with pytest.raises(BadInput) as refused:
        recommended_delays(0.3, 1.0, 0.9, 0.1, 0.25, 0.0)
    assert refused.value.name == "gap"


def test_outside_the_window_a_demand_fails():
    window = delay_window(walker=0.6, bridge=0.1, gap=0.9, nose_error=0.2, speed=0.25, tolerance=0.0)
    assert window.open
    assert window.holds(0.7, 1.0)
    assert not window.holds(0.5, 1.0)
    assert not window.holds(0.9, 1.0)
    assert not window.holds(0.7, 0.3)
    assert not window.holds(0.7, 3.6)
    assert not delay_window(0.6, 0.1, 0.9, 0.1, 0.25, 0.0).open


def test_the_edges_of_a_window():
    window = DelayWindow(0.1, 0.2, 0.3, 0.4)
    assert window.holds(0.1, 0.3) and window.holds(0.2, 0.3) and window.open
    # The off-delay that just bridges is allowed, the one that just keeps two cars apart no more.
    assert not window.holds(0.2, 0.4)
    assert not window.holds(0.0999, 0.3)
    assert not window.holds(0.2001, 0.3)
    assert not window.holds(0.1, 0.2999)
    assert DelayWindow(0.2, 0.2, 0.3, 0.4).open
    assert not DelayWindow(0.1, 0.2, 0.4, 0.4).open
    for delays, name in ((("long", 0.3), "on_delay"), ((0.1, "long"), "off_delay")):
        with pytest.raises(BadInput, match=f"^{name} is 'long'; it must be a number$"):
            window.holds(*delays)
