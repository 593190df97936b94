"""Timers in continuous time against a scanned timer and against the plain meaning of each block."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.timers import (
    KINDS,
    ScannedTimer,
    bridge_time,
    debounce,
    elapsed,
    longest_off_delay,
    timer,
    walker_time,
)


@st.composite
def signals(draw):
    """On spans with whole-second edges, sorted and apart."""
    lengths = draw(st.lists(st.integers(1, 9), max_size=16))
    edges = np.cumsum(lengths)
    return [[int(on), int(off)] for on, off in zip(edges[::2], edges[1::2], strict=False)]


def on_at(spans, moment):
    return any(on <= moment < off for on, off in spans)


@given(kind=st.sampled_from(KINDS), preset=st.integers(1, 8), spans=signals())
@example(kind="TP", preset=2, spans=[[0, 1], [2, 3]])  # an edge at the very end of a pulse is lost
def test_a_scanned_timer_tells_the_same(kind, preset, spans):
    scanned, expected = ScannedTimer(kind, preset), timer(kind, preset, spans)
    for now in range(180):
        seen = scanned.scan(now, on_at(spans, now))
        assert seen == on_at(expected, now)
        assert scanned.elapsed == elapsed(kind, preset, spans, now)


@given(preset=st.integers(1, 8), spans=signals())
def test_on_and_off_delay_mean_what_they_say(preset, spans):
    on_delay, off_delay = timer("TON", preset, spans), timer("TOF", preset, spans)
    for half in range(180):
        moment = half + 0.5
        past = [on_at(spans, moment - back) for back in range(preset + 1)]
        assert on_at(on_delay, moment) == all(past)
        assert on_at(off_delay, moment) == any(past)


@given(preset=st.integers(1, 8), spans=signals())
def test_every_pulse_is_exactly_as_long_as_the_preset_and_starts_at_an_edge(preset, spans):
    pulses = timer("TP", preset, spans)
    rises = {on for on, _ in spans}
    assert all(on in rises and off - on == preset for on, off in pulses)
    free = [on for on in rises if not any(start <= on <= end for start, end in pulses)]
    assert free == []


def test_spans_that_touch_are_one_signal():
    assert timer("TON", 1.5, [[0, 1], [1, 2]]) == ((1.5, 2.0),)
    assert timer("TP", 1.5, [[0, 1], [1, 2]]) == ((0.0, 1.5),)
    assert timer("TOF", 0.5, []) == ()


def test_a_preset_of_nought_passes_the_signal():
    assert timer("TON", 0, [[1, 2]]) == timer("TOF", 0, [[1, 2]]) == ((1, 2),)
    assert timer("TP", 0, [[1, 2]]) == ()


def test_an_input_of_exactly_the_preset_shows_nothing():
    assert timer("TON", 1, [[0, 1], [3, 4.5]]) == ((4, 4.5),)


def test_an_array_of_presets_gives_an_array_of_spans():
    outputs = timer("TON", np.array([[0.5], [2.0]]), [[0, 1]])
    assert outputs.shape == (2, 1)
    assert (outputs[0, 0], outputs[1, 0]) == (((0.5, 1.0),), ())


@pytest.mark.parametrize(
    ("kind", "preset", "spans", "name"),
    [
        ("TOX", 1, [[0, 1]], "kind"),
        ("TON", -1, [[0, 1]], "preset"),
        ("TON", float("nan"), [[0, 1]], "preset"),
        ("TON", 1, [[1, 0]], "spans"),
        ("TON", 1, [[0, 2], [1, 3]], "spans"),
        ("TON", 1, [[2, 3], [0, 1]], "spans"),
        ("TON", 1, [[0, float("inf")]], "spans"),
        ("TON", 1, [0, 1], "spans"),
    ],
)
def test_timer_refuses(kind, preset, spans, name):
    with pytest.raises(BadInput) as refused:
        timer(kind, preset, spans)
    assert refused.value.name == name


@given(on_delay=st.integers(0, 5), off_delay=st.integers(0, 5), spans=signals())
def test_debounce_agrees_with_a_step_by_step_eye(on_delay, off_delay, spans):
    held, output, since = debounce(on_delay, off_delay, spans), False, 0
    # Half-second cells: a cell is one side or the other throughout; `since` counts cells that differ from the output.
    for cell in range(400):
        moment = cell / 2 + 0.25
        blocked = on_at(spans, moment)
        since = since + 1 if blocked != output else 0
        if since > 2 * (on_delay if not output else off_delay):
            output, since = blocked, 0
        assert output == on_at(held, moment)


def test_times_from_lengths_and_speeds():
    assert walker_time(0.3, 1.2) == pytest.approx(0.25)
    assert longest_off_delay(0.9, 0.25) == bridge_time(0.9, 0.25) == pytest.approx(3.6)
