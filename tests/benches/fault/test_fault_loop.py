"""What a loop says under each fault, against truth tables, wire tables and the rule of lockout."""

from itertools import pairwise

import pytest

from tests.benches.fault.fault_cast import DARK, SHEET, make
from trainer.benches.fault import words
from trainer.benches.fault.faults import hypotheses, repair_of
from trainer.benches.fault.loop import FAULTS, PAIRS, SAYS, SYMPTOMS, Loop, can_make, parts_of
from trainer.benches.fault.loop_tests import TESTS, TOLD
from trainer.solver.switching import appearance

OPERATES = ("light", "dark")
EVERY = [
    (one, symptom, operate)
    for operate in OPERATES
    for symptom in SYMPTOMS
    for one in FAULTS + PAIRS
    if can_make(one, symptom, operate)
]
# The same faults under the names of the solver's truth table of both modes.
IN_THE_TABLE = {
    "open_wire": "supply_lost",
    "dead_head": "emitter_dead",
    "dirty_lens": "dirty_lens",
    "misaligned": "misaligned",
    "crosstalk": "stray_light",
}


@pytest.mark.parametrize("operate", OPERATES)
@pytest.mark.parametrize(("ours", "theirs"), IN_THE_TABLE.items())
def test_a_fault_makes_the_symptom_to_which_its_mode_fails(operate, ours, theirs):
    # Truth table of light and dark operate: common practice, no source. In light operate every one of them but stray
    # light reads as a vehicle; in dark operate a lost supply hides one.
    symptom = {"present": "always", "absent": "never"}[appearance(operate, theirs).direction]
    other = {"always": "never", "never": "always"}[symptom]
    assert can_make(ours, symptom, operate) and not can_make(ours, other, operate)


@pytest.mark.parametrize(
    ("fault_id", "operate", "signal", "cover", "volts"),
    [
        # Worked by hand from the way of the light and of the current, path clear.
        ("dirty_lens", "light", "weak", "out_out", "right"),
        ("dirty_lens", "dark", "weak", "lit_lit", "right"),
        ("dead_head", "light", "zero", "out_out", "right"),
        ("wrong_mode", "light", "full", "out_lit", "right"),
        ("wrong_mode", "dark", "full", "lit_out", "right"),
        ("dead_input", "light", "full", "lit_out", "right"),
        ("open_wire", "light", "dark", "out_out", "none"),
        ("low_supply", "light", "dark", "out_out", "low"),
    ],
)
def test_readings_of_an_eye_that_always_says_vehicle(fault_id, operate, signal, cover, volts):
    loop = Loop(frozenset({fault_id}), "always", operate)
    assert (SAYS["signal"](loop), SAYS["cover"](loop), SAYS["volts"](loop)) == (signal, cover, volts)


def test_lamp_and_word_differ_only_where_the_fault_lies_behind_the_output():
    behind = {"short", "wet_plug", "dead_input"}
    for one, symptom, operate in EVERY:
        loop = Loop(parts_of(one), symptom, operate)
        if SAYS["compare"](loop) == "differ":
            assert parts_of(one) & behind, (one, symptom, operate)
        elif one == "dead_input":
            raise AssertionError((symptom, operate))


def test_a_fuse_blows_by_a_short_alone_and_takes_the_supply_with_it():
    for one, symptom, operate in EVERY:
        loop = Loop(parts_of(one), symptom, operate)
        if SAYS["fuse"](loop) == "blown":
            assert "short" in parts_of(one)
            assert (SAYS["volts"](loop), SAYS["signal"](loop)) == ("none", "dark")


@pytest.mark.parametrize("level", [1, 2, 3])
def test_faults_that_no_test_of_a_level_tells_apart_have_one_repair(level):
    asked = make(level).tests
    for operate in OPERATES:
        for symptom in SYMPTOMS:
            alike = {}
            for one in hypotheses(level, True):
                if can_make(one, symptom, operate):
                    loop = Loop(parts_of(one), symptom, operate)
                    alike.setdefault(tuple(SAYS[test](loop) for test in asked), set()).add(repair_of(one))
            assert all(len(repairs) == 1 for repairs in alike.values()), (operate, symptom)


def test_at_level_1_a_dead_head_and_a_wrong_one_look_alike():
    task = make(1, eye="entry", fault="dead_head")
    dead, wrong = (task.hypotheses.index(one) for one in ("dead_head", "wrong_head"))
    assert all(row[dead] == row[wrong] for row in task.outcomes)


def test_everything_a_test_can_say_has_its_words():
    said = {(test, SAYS[test](Loop(parts_of(one), s, o))) for one, s, o in EVERY for test in SAYS}
    assert said <= {(test, key) for test, keys in TOLD.items() for key in keys}
    assert set(TESTS) == set(SAYS) == set(TOLD)


def test_a_sound_loop_reads_what_the_wire_table_says():
    # 22 AWG copper: 16.14 ohm per 1000 ft at 20 °C (NBS copper wire tables). 220 ft there and back: 7.10 ohm; a head
    # that draws 60 mA loses 0.43 V of 24 V on it.
    read = make(2, eye="entry").readings
    assert read.ohms == pytest.approx(2 * 220 * 16.14 / 1000, abs=0.05)
    assert read.volts == pytest.approx(24 - 0.06 * 2 * 220 * 16.14 / 1000, abs=0.05)
    assert read.low < read.least <= read.volts
    assert 0 < read.short < read.ohms


@pytest.mark.parametrize("language", ["en", "es"])
def test_locking_out_is_told_in_the_order_of_the_rule(language):
    # 29 CFR 1910.147(d), 2015 edition read, "in the following sequence": (2) shutdown, (3) isolation, (4) locks,
    # (5) stored energy, (6) verification; employees are told before, (c)(9).
    steps = {
        "en": ("told", "shut down", "isolated", "locks", "stored energy", "measured dead"),
        "es": ("avisada", "parada", "aislada", "candados", "energía guardada", "sin voltaje"),
    }[language]
    text = words.LOCKED_OUT.in_(language)
    assert all(text.index(first) < text.index(then) for first, then in pairwise(steps))


def test_minutes_of_isolating_grow_with_the_sources_of_energy():
    one = next(source for source in SHEET.energy_sources if source.machine == SHEET.cabinets[0].machine)
    fewer = SHEET.__class__(**{**SHEET.__dict__, "energy_sources": (one,)})
    assert make(2, sheet=fewer).isolation < make(2).isolation


def test_a_dark_operate_wash_has_tasks_too():
    symptoms = {make(2, seed=str(i), sheet=DARK).symptom for i in range(30)}
    assert symptoms == set(SYMPTOMS)
