"""Lockout orders, devices, locks and records against 29 CFR 1910.147 and .333, 2015 edition."""

from datetime import date, timedelta

import pytest

from trainer.figures.drawing import describe
from trainer.solver.energy_control import (
    RETRAINING_REASONS,
    inspection_overdue,
    isolates,
    may_inspect,
    missing_inspection_fields,
    missing_training_fields,
    must_prove_tester,
    plug_exempt,
    retraining_due,
    without_own_lock,
)
from trainer.solver.lockout import GIVING_BACK, TRIAL_RUN, count_orders, lockout_check, trial_run_check
from trainer.solver.procedures import Step, right_orders

ACTS = {
    "P": "prepare",
    "N": "notify",
    "S": "shut_down",
    "I": "isolate",
    "L": "lock",
    "D": "release",
    "V": "verify",
    "W": "work",
}


def check(letters, order="strict"):
    return lockout_check(["electric"], [Step(ACTS[letter]) for letter in letters], order)


def test_c109_the_order_of_the_rule_is_right():
    # 29 CFR 1910.147(d), "in the following sequence", with (c)(9) before the lock goes on.
    assert check("NPSILDVW").valid
    assert check("PSINLDVW").valid


@pytest.mark.parametrize(
    ("language", "row", "told"),
    [
        ("en", ["know", "stop", "isolate", "lock", "release", "verify", "work"], "before lock"),
        (
            "es",
            ["conocer", "parar", "aislar", "candado", "liberar", "verificar", "trabajar"],
            "antes de candado",
        ),
    ],
)
def test_the_drawing_of_the_steps_has_them_in_the_order_of_the_rule(language, row, told):
    # 29 CFR 1910.147(d)(1) to (6), then the work; (c)(9): told before the controls are applied.
    said = describe("lockout_steps", {}, language, "us").text
    places = [said.index(word) for word in row]
    assert places == sorted(places)
    assert told in said


@pytest.mark.parametrize(
    ("letters", "clause"),
    [
        # 29 CFR 1910.147(d)(5)(i): stored energy is relieved after the locks are on; (d)(6): verified before work.
        pytest.param("PSINLVDW", "(d)(5)(i)", id="C110"),
        # (c)(9): affected employees are told before the controls are applied.
        pytest.param("PSILNDVW", "(c)(9)", id="C111"),
        # (d)(4) before (d)(5).
        pytest.param("NPSIDLVW", "(d)(4)(i)", id="C112-strict"),
        # (d)(2) before (d)(3): a machine is shut down before its disconnect is opened.
        pytest.param("NPISLDVW", "(d)(2)", id="isolate-before-shut-down"),
        # (d)(6) before work begins.
        pytest.param("NPSILDWV", "(d)(6)", id="work-before-verify"),
    ],
)
def test_a_wrong_order_is_refused_with_its_clause(letters, clause):
    verdict = check(letters)
    assert not verdict.valid
    assert f"29 CFR 1910.147{clause}" in {fault.clause for fault in verdict.broken}


def test_c112_the_electrical_rule_lets_stored_energy_go_first():
    # 29 CFR 1910.333(b)(2), "in the order presented": release of stored energy stands before lock and tag.
    assert check("NPSIDLVW", "tolerant").valid
    assert check("NPSILDVW", "tolerant").valid


@pytest.mark.parametrize(("order", "count"), [("strict", 4), ("tolerant", 9)])
def test_c113_number_of_right_orders(order, count):
    # Linear extensions of P<S<I<L<D<V<W with N<L (1910.147(d), (c)(9)): N goes into one of four places. With L and D
    # free: 4 orders where L comes first, 5 where D does.
    assert count_orders(order) == count


def test_c114_two_orders_of_giving_back():
    # 29 CFR 1910.147(e): inspect the area and check people, in either order; remove; tell; start.
    assert sorted(right_orders(GIVING_BACK)) == [
        ("check_people", "inspect_area", "remove", "notify", "start"),
        ("inspect_area", "check_people", "remove", "notify", "start"),
    ]


def test_c115_one_order_of_a_test_run():
    # 29 CFR 1910.147(f)(1)(i) to (v).
    right = ("clear_tools", "clear_people", "remove", "energize_and_test", "reapply")
    assert list(right_orders(TRIAL_RUN)) == [right]
    assert trial_run_check(["air"], [Step(act) for act in right]).valid
    assert not trial_run_check(["air"], [Step(act) for act in (right[1], right[0], *right[2:])]).valid


def test_c116_training_certificate():
    # 29 CFR 1910.147(c)(7)(iv): "each employee's name and dates of training".
    assert set(missing_training_fields(())) == {"name", "dates"}


def test_c117_inspection_certificate():
    # 29 CFR 1910.147(c)(6)(ii): machine, date of inspection, employees included, person performing it.
    assert set(missing_inspection_fields(())) == {"machine", "date", "employees", "inspector"}


def test_c118_inspection_at_least_annually():
    # 29 CFR 1910.147(c)(6)(i). Counting twelve months by the calendar is our reading of "at least annually".
    last = date(2025, 5, 14)
    assert not inspection_overdue(last, last + timedelta(days=365))
    assert inspection_overdue(last, last + timedelta(days=366))


def test_c119_nobody_inspects_the_procedure_they_use():
    # 29 CFR 1910.147(c)(6)(i)(A): an authorized employee other than the ones utilizing the procedure.
    assert not may_inspect("Ana", authorized={"Ana", "Luis"}, users={"Ana"})
    assert may_inspect("Luis", authorized={"Ana", "Luis"}, users={"Ana"})


@pytest.mark.parametrize(
    ("device", "does"),
    [
        ("emergency_stop", False),
        ("push_button", False),
        ("selector_switch", False),
        ("control_circuit_device", False),
        ("disconnect", True),
        ("breaker", True),
        ("line_valve", True),
        ("block", True),
    ],
)
def test_c120_buttons_do_not_isolate(device, does):
    # 29 CFR 1910.147(b), 'Energy isolating device': "Push buttons, selector switches and other control circuit type
    # devices are not energy isolating devices". An emergency stop is such a button.
    assert isolates(device) is does


@pytest.mark.parametrize(
    ("unplugged", "own_control", "exempt"),
    [(True, True, True), (True, False, False), (False, True, False), (False, False, False)],
)
def test_c121_a_plug_in_another_room_is_not_exempt(unplugged, own_control, exempt):
    # 29 CFR 1910.147(a)(2)(iii)(A): unplugged, and the plug under the exclusive control of the employee at work.
    assert plug_exempt(unplugged, own_control) is exempt


def test_c122_four_workers_need_four_locks():
    # 29 CFR 1910.147(f)(3)(ii)(D): each authorized employee affixes a personal device.
    workers = ["Ana", "Luis", "Rosa", "Tom"]
    assert without_own_lock(workers, {"Ana", "Luis", "Rosa"}) == ("Tom",)
    steps = [Step(ACTS[letter]) for letter in "NPSI"]
    steps += [Step("lock", None, who) for who in workers[:3]]
    steps += [Step("release"), Step("verify"), *(Step("work", None, who) for who in workers)]
    broken = lockout_check(["electric"], steps).broken
    assert [(fault.step, fault.clause) for fault in broken] == [(12, "29 CFR 1910.147(f)(3)(ii)(D)")]


@pytest.mark.parametrize(("volts", "must"), [(24, False), (480, False), (600, False), (601, True)])
def test_c123_proving_the_tester(volts, must):
    # 29 CFR 1910.333(b)(2)(iv)(B): over 600 volts, nominal, checked immediately before and after the test.
    assert must_prove_tester(volts) is must


def test_c124_retraining_follows_events_not_the_calendar():
    # 29 CFR 1910.147(c)(7)(iii): change of job, of machine or process hazard, of procedure; inspection or belief of a
    # gap.
    assert len(RETRAINING_REASONS) == 5
    assert all(retraining_due([reason]) for reason in RETRAINING_REASONS)
    assert not retraining_due([])
