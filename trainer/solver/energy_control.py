"""What 29 CFR 1910.147 and subpart S ask of devices, people, locks and records (2015 edition)."""

from collections.abc import Collection, Iterable
from datetime import date

from trainer.solver.numbers import require_from_zero, require_one_of

# 29 CFR 1910.147(b), 'energy isolating device', and what it says is none.
ISOLATING = ("disconnect", "breaker", "line_valve", "block")
CONTROLLING = ("push_button", "emergency_stop", "selector_switch", "key_switch", "control_circuit_device")

# 29 CFR 1910.147(c)(7)(iv) and (c)(6)(ii): what each certificate must hold.
TRAINING_RECORD = ("name", "dates")
INSPECTION_RECORD = ("machine", "date", "employees", "inspector")

# 29 CFR 1910.147(c)(7)(iii): what makes retraining due; no interval of time does.
RETRAINING_REASONS = (
    "job_changed",
    "hazard_changed",
    "procedure_changed",
    "inspection_found_gap",
    "gap_believed",
)


def isolates(device: str) -> bool:
    """Whether a device can isolate energy; a button, selector or emergency stop only controls. Raises BadInput.

    Source: 29 CFR 1910.147(b), 'energy isolating device'.
    """
    require_one_of("device", device, ISOLATING + CONTROLLING)
    return device in ISOLATING


def plug_exempt(unplugged: bool, plug_in_own_control: bool) -> bool:
    """Whether cord-and-plug equipment is outside lockout: unplugged, and the plug in that worker's sole control.

    Source: 29 CFR 1910.147(a)(2)(iii)(A).
    """
    return unplugged and plug_in_own_control


def without_own_lock(workers: Iterable[str], lock_owners: Collection[str]) -> tuple[str, ...]:
    """Everyone at work in a group who has no lock of their own on the box.

    Source: 29 CFR 1910.147(f)(3)(ii)(D).
    """
    return tuple(worker for worker in workers if worker not in lock_owners)


def must_prove_tester(nominal_voltage: float) -> bool:
    """Whether the tester must be proved right before and after the test: above 600 V [V, 0 or more].

    Other rules ask for it at every voltage; do it always. Raises BadInput. Source: 29 CFR 1910.333(b)(2)(iv)(B).
    """
    require_from_zero("nominal_voltage", nominal_voltage, "V")
    return nominal_voltage > 600


def missing_training_fields(fields: Collection[str]) -> tuple[str, ...]:
    """What a training certificate still lacks. Source: 29 CFR 1910.147(c)(7)(iv)."""
    return tuple(field for field in TRAINING_RECORD if field not in fields)


def missing_inspection_fields(fields: Collection[str]) -> tuple[str, ...]:
    """What the certificate of a procedure's inspection still lacks. Source: 29 CFR 1910.147(c)(6)(ii)."""
    return tuple(field for field in INSPECTION_RECORD if field not in fields)


def inspection_overdue(last: date, today: date) -> bool:
    """Whether a procedure's inspection is overdue: twelve months have passed since the last one.

    The rule says at least annually; counting twelve months is our reading. Source: 29 CFR 1910.147(c)(6)(i).
    """
    end_of_february = (last.month, last.day) == (2, 29)
    due = last.replace(year=last.year + 1, day=28 if end_of_february else last.day)
    return today > due


def may_inspect(inspector: str, authorized: Collection[str], users: Collection[str]) -> bool:
    """Whether a person may inspect a procedure: authorized, and not using that procedure.

    Source: 29 CFR 1910.147(c)(6)(i)(A).
    """
    return inspector in authorized and inspector not in users


def retraining_due(reasons: Iterable[str]) -> bool:
    """Whether retraining is due: for any listed reason; never for time alone. Raises BadInput.

    reasons: job_changed, hazard_changed, procedure_changed, inspection_found_gap, gap_believed
    Source: 29 CFR 1910.147(c)(7)(iii).
    """
    given = tuple(reasons)
    for reason in given:
        require_one_of("reasons", reason, RETRAINING_REASONS)
    return bool(given)
