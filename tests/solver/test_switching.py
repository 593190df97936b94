"""Truth of both modes, what each fault looks like, and pairing of outputs and inputs."""

import itertools

import pytest

from trainer.solver.numbers import BadInput
from trainer.solver.switching import (
    FAULTS,
    OPERATES,
    Appearance,
    appearance,
    input_on,
    looks_alike,
    open_bed,
    operate_of,
    output_fits_input,
    output_on,
    reads_off,
    reads_on,
    reads_vehicle,
    supply_fits_input,
    two_eyes,
)


def test_truth_of_both_modes():
    assert output_on("light", lit=True) and not output_on("light", lit=False)
    assert output_on("dark", lit=False) and not output_on("dark", lit=True)
    assert (operate_of("NO"), operate_of("NC")) == ("dark", "light")


@pytest.mark.parametrize(
    ("operate", "fault", "direction"),
    [
        ("light", "none", "healthy"),
        ("light", "dirty_lens", "present"),
        ("light", "misaligned", "present"),
        ("light", "emitter_dead", "present"),
        ("light", "supply_lost", "present"),
        ("light", "output_wire_cut", "present"),
        ("light", "output_stuck_on", "absent"),
        ("light", "stray_light", "absent"),
        ("dark", "none", "healthy"),
        ("dark", "dirty_lens", "present"),
        ("dark", "misaligned", "present"),
        ("dark", "emitter_dead", "present"),
        ("dark", "supply_lost", "absent"),
        ("dark", "output_wire_cut", "absent"),
        ("dark", "output_stuck_on", "present"),
        ("dark", "stray_light", "absent"),
    ],
)
def test_fail_direction(operate, fault, direction):
    assert appearance(operate, fault).direction == direction


def test_a_healthy_eye_tells_the_truth_in_both_modes():
    for operate, blocked in itertools.product(OPERATES, (False, True)):
        assert reads_vehicle(operate, input_on(operate, blocked)) == blocked


def test_no_mode_fails_one_way_for_every_fault():
    for operate in OPERATES:
        directions = {appearance(operate, fault).direction for fault in FAULTS if fault != "none"}
        assert directions == {"present", "absent"}


def test_faults_that_look_alike():
    assert looks_alike("light", "dirty_lens") == (
        "misaligned",
        "emitter_dead",
        "supply_lost",
        "output_wire_cut",
    )
    assert looks_alike("dark", "supply_lost") == ("output_wire_cut", "stray_light")


def test_two_eyes_find_an_open_bed():
    cases = list(itertools.product((False, True), repeat=2))
    assert [open_bed(*case) for case in cases] == [False, False, True, False]
    assert [two_eyes("or", *case) for case in cases] == [False, True, True, True]
    assert [two_eyes("and", *case) for case in cases] == [False, False, False, True]


def test_pairing():
    assert output_fits_input("sourcing", "sinking") and not output_fits_input("sinking", "sinking")
    assert supply_fits_input("dc", "dc") and not supply_fits_input("ac", "dc")


def test_between_the_bands_nothing_is_sure():
    assert not reads_on("1", 12.0) and not reads_off("1", 12.0)
    assert reads_on("3", 12.0)
    assert list(reads_on("1", [24.0, 31.0, 14.9])) == [True, False, False]


@pytest.mark.parametrize(
    "call",
    [
        lambda: output_on("bright", True),
        lambda: operate_of("SPDT"),
        lambda: input_on("light", True, "gremlins"),
        lambda: two_eyes("xor", True, True),
        lambda: output_fits_input("PNP", "sinking"),
        lambda: supply_fits_input("dc", "mains"),
        lambda: reads_on("2", 24.0),
        lambda: reads_off("1", float("nan")),
    ],
)
def test_unknown_words_are_refused(call):
    with pytest.raises(BadInput):
        call()


@pytest.mark.parametrize(
    ("operate", "fault", "shown"),
    [
        ("light", "none", Appearance(True, False, "healthy")),
        ("dark", "none", Appearance(False, True, "healthy")),
        ("light", "output_stuck_on", Appearance(True, True, "absent")),
        ("dark", "supply_lost", Appearance(False, False, "absent")),
        ("dark", "dirty_lens", Appearance(True, True, "present")),
    ],
)
def test_a_fault_is_shown_with_the_input_clear_and_blocked(operate, fault, shown):
    assert appearance(operate, fault) == shown
