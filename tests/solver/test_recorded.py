"""Counts of recorded traces against an eye that is stepped by a fine clock, and against a controller's own scans."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from trainer.solver.delays import Demand, delay_region
from trainer.solver.numbers import BadInput
from trainer.solver.recorded import (
    MOST_BLOCKS,
    Cell,
    CountMap,
    count_map,
    fewest_wrong,
    scanned,
    scanned_count,
    what_counts,
)
from trainer.solver.timers import ScannedTimer, debounce


@st.composite
def traces(draw, most=14, longest=9):
    """Blocks with whole-second edges, sorted and apart."""
    edges = np.cumsum(draw(st.lists(st.integers(1, longest), max_size=most)))
    return [[int(on), int(off)] for on, off in zip(edges[::2], edges[1::2], strict=False)]


def on_at(spans, moment):
    return any(on <= moment < off for on, off in spans)


def stepped(on_delay, off_delay, spans):
    """Vehicles that an eye tells whose clock steps by quarter seconds, each step looked at in its middle."""
    output, since, count = False, 0, 0
    for step in range(4 * 160):
        blocked = on_at(spans, step / 4 + 0.125)
        since = since + 1 if blocked != output else 0
        if since > 4 * (off_delay if output else on_delay):
            output, since = blocked, 0
            count += output
    return count


@given(on=st.integers(0, 20), off=st.integers(0, 20), spans=traces())
@settings(deadline=None)
def test_a_count_is_that_of_a_stepped_eye(on, off, spans):
    # Half seconds: every edge of what is counted falls on a step of the clock.
    found = what_counts(on / 2, off / 2, spans)
    assert found.count == stepped(on / 2, off / 2, spans)
    assert len(found.belongs) == len(spans)
    for i, (on_, off_) in enumerate(found.outputs):
        own = [spans[k] for k, owner in enumerate(found.belongs) if owner == i]
        assert (own[0][0] + on / 2, own[-1][1] + off / 2) == (on_, off_)


def test_a_walker_before_and_between_two_cars():
    # Walker alone, car with a hole, walker in the gap, car: the second walker comes too late to join the two cars.
    spans = [[0, 0.4], [10, 14], [14.3, 20], [22, 22.4], [24, 33]]
    found = what_counts(0.6, 0.5, spans)
    assert found.outputs == ((10.6, 20.5), (24.6, 33.5))
    assert found.belongs == (None, 0, 0, None, 1)
    assert what_counts(0.3, 2.0, spans).count == 2
    # Counted himself, he holds the output on till the second car comes; shorter, and he is one more.
    assert what_counts(0.3, 1.9, spans).belongs == (0, 1, 1, 2, 2)
    assert what_counts(0.3, 1.5, spans).count == 4


@given(spans=traces(), on=st.floats(0.01, 12), off=st.floats(0.01, 40))
@settings(deadline=None)
def test_the_map_says_what_the_eye_does_for_every_setting(spans, on, off):
    found = count_map(spans)
    truth = what_counts(on, off, spans).count
    inside = [
        (count, cell)
        for count in np.unique(found.counts).tolist()
        for cell in found.cells(count)
        if cell.on_from <= on < cell.on_below and cell.off_from <= off < cell.off_below
    ]
    assert [count for count, _ in inside] == [truth]


@given(spans=traces(most=8, longest=4))
@settings(max_examples=40, deadline=None)
def test_the_edges_of_cells_are_closed_where_they_begin_and_open_where_they_end(spans):
    # Whole-second settings all lie on edges.
    found = count_map(spans)
    for on in range(6):
        for off in range(8):
            i = np.searchsorted(found.on_delays, on, side="right") - 1
            j = np.searchsorted(found.off_delays, off, side="right") - 1
            assert found.counts[i, j] == len(debounce(on, off, spans))


def test_settings_for_a_count_need_not_hang_together():
    # By hand: walker 0.4 s, gap 2 s, car 6 s, gap 1 s, walker 0.4 s, gap 1 s, car 6 s. Two is right where the walkers
    # are ignored and the off-delay is too short for the second one; and by two wrongs, where a walker counts and
    # the other joins the cars.
    spans = [[0, 0.4], [2.4, 8.4], [9.4, 9.8], [10.8, 16.8]]
    assert count_map(spans).cells(2) == (Cell(0.0, 0.4, 1.0, 2.0), Cell(0.4, 6.0, 0.0, 1.0))
    assert count_map(spans).cells(7) == ()


def test_the_nearest_count_where_none_is_right():
    spans = [[0, 5], [6, 11]]
    assert fewest_wrong(spans, 3) == (2, (Cell(0.0, 5.0, 0.0, 1.0),))
    assert fewest_wrong(spans, 1) == (1, (Cell(0.0, 5.0, 1.0, np.inf),))
    assert fewest_wrong([], 2) == (0, (Cell(0.0, np.inf, 0.0, np.inf),))


class ScannedEye:
    """Two IEC timers as a controller runs them: an on-delay that starts the output, an off-delay that ends it."""

    def __init__(self, on_delay, off_delay):
        self.on_timer, self.off_timer = ScannedTimer("TON", on_delay), ScannedTimer("TON", off_delay)
        self.output = False

    def scan(self, now, blocked):
        came = self.on_timer.scan(now, blocked and not self.output)
        went = self.off_timer.scan(now, not blocked and self.output)
        if came or went:
            self.output = came
            # A timer's input falls in the same scan: the next block or clearing starts it anew.
            self.on_timer.scan(now, False)
            self.off_timer.scan(now, False)
        return self.output


@given(
    spans=traces(most=10),
    on=st.integers(1, 30),
    off=st.integers(1, 30),
    scan=st.sampled_from([2, 3, 5]),
    phase=st.integers(0, 19),
)
@example(spans=[[1, 4]], on=10, off=10, scan=5, phase=0)
@settings(max_examples=200, deadline=None)
def test_scanning_is_what_two_timers_in_a_controller_do(spans, on, off, scan, phase):
    # Times in quarter seconds; each reading lies off every edge by an eighth, so that none is a matter of rounding.
    scan_time, first = scan / 4, (phase % scan) / 4 + 0.125
    eye, count, before = ScannedEye(on / 4, off / 4), 0, False
    for reading in range(int(170 / scan_time)):
        now = first + reading * scan_time
        output = eye.scan(now, on_at(spans, now))
        count += output and not before
        before = output
    found = scanned_count(on / 4, off / 4, spans, scan_time)
    assert found.least <= count <= found.most


@given(spans=traces(most=10), on=st.integers(1, 30), off=st.integers(1, 30), scan=st.sampled_from([2, 3, 5]))
@settings(max_examples=100, deadline=None)
def test_both_ends_of_a_scanned_count_come_about(spans, on, off, scan):
    scan_time = scan / 4
    for delays_in in ("controller", "eye"):
        found = scanned_count(on / 4, off / 4, spans, scan_time, delays_in)
        counts = set()
        for phase in np.arange(0.0625, scan_time, 0.125):
            if delays_in == "eye":
                counts.add(len(scanned(scan_time, phase, debounce(on / 4, off / 4, spans))))
            else:
                whole = [np.ceil(one / scan) * scan_time for one in (on, off)]
                counts.add(len(debounce(*whole, scanned(scan_time, phase, spans))))
        assert (min(counts), max(counts)) == (found.least, found.most)


@given(spans=traces(), scan=st.floats(0.1, 3), phase=st.floats(0, 3))
def test_every_edge_is_read_up_to_one_scan_late(spans, scan, phase):
    seen = scanned(scan, phase, spans)
    for on, off in seen:
        assert any(-1e-6 <= on - start < scan + 1e-6 for start, _ in spans)
        assert any(-1e-6 <= off - end < scan + 1e-6 for _, end in spans)
    finest = scanned(0.001, 0.0, spans)
    assert np.ravel(finest) == pytest.approx(np.ravel(spans))


@given(
    walker=st.floats(0.1, 0.8),
    car=st.floats(1.0, 3.0),
    hole=st.floats(0.05, 0.4),
    gap=st.floats(0.3, 1.5),
    scan=st.sampled_from([0.01, 0.05, 0.1]),
    start=st.floats(0, 1),
    delays_in=st.sampled_from(["controller", "eye"]),
)
@settings(max_examples=200, deadline=None)
def test_a_region_with_scans_holds_wherever_the_readings_fall(walker, car, hole, gap, scan, start, delays_in):
    # At 1 m/s metres are seconds: the recommended setting and every corner, drawn in by a hair.
    asked = [
        Demand("ignore", walker), Demand("count", car), Demand("bridge", hole), Demand("keep_apart", gap)
    ]  # fmt: skip
    region = delay_region(asked, 1.0, scan_time=scan)
    if region.empty:
        return
    far = start + 30
    spans = [
        [start, start + walker], [far, far + car], [far + car + hole, far + 2 * car + hole],
        [far + 2 * car + hole + gap, far + 3 * car + hole + gap],
    ]  # fmt: skip
    corners = 0.999 * np.array(region.corners) + 0.001 * np.array(region.recommended)
    for on, off in [region.recommended, *corners.tolist()]:
        if region.holds(on, off):
            found = scanned_count(on, off, spans, scan, delays_in)
            assert (found.least, found.most) == (2, 2)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: what_counts(-1, 0, [[0, 1]]), "on_delay"),
        (lambda: what_counts(0, 0, [[1, 0]]), "spans"),
        (lambda: count_map([[2 * i, 2 * i + 1] for i in range(MOST_BLOCKS + 1)]), "spans"),
        (lambda: scanned(0.0, 0.0, [[0, 1]]), "scan_time"),
        (lambda: scanned_count(0.1, np.nan, [[0, 1]], 0.01), "off_delay"),
        (lambda: scanned_count(0.1, 0.1, [[0, 1]], 0.01, "cabinet"), "delays_in"),
        (lambda: fewest_wrong([[0, 1]], 1.5), "wanted"),
    ],
)
def test_refuses_and_names_the_input(call, name):
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.name == name


def test_rows_and_columns_begin_at_the_lengths_and_gaps_of_a_trace():
    # Blocks of 0.25, 0.5 and 0.125 s; from end to start 0.75, 0.0625 and, past the middle one, 1.3125 s.
    found = count_map([[0.0, 0.25], [1.0, 1.5], [1.5625, 1.6875]])
    assert found.on_delays.tolist() == [0, 0.125, 0.25, 0.5]
    assert found.off_delays.tolist() == [0, 0.0625, 0.75, 1.3125]


def test_three_runs_in_a_row_are_three_cells():
    columns = np.arange(6.0)
    found = CountMap(np.array([0.0]), columns, np.array([[1, 2, 1, 2, 1, 2]]))
    assert [(one.off_from, one.off_below) for one in found.cells(1)] == [(0, 1), (2, 3), (4, 5)]
    assert [(one.off_from, one.off_below) for one in found.cells(2)] == [(1, 2), (3, 4), (5, np.inf)]


def test_a_hundred_blocks_may_be_mapped():
    assert count_map([[n, n + 0.5] for n in range(100)]).counts.max() == 100
