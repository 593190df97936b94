"""What the law asks of devices, people and records: both sides of each line."""

from datetime import date

import pytest

from trainer.solver.energy_control import (
    CONTROLLING,
    ISOLATING,
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
from trainer.solver.numbers import BadInput


def test_devices_that_isolate_and_devices_that_only_control():
    assert all(isolates(device) for device in ISOLATING)
    assert not any(isolates(device) for device in CONTROLLING)
    with pytest.raises(BadInput):
        isolates("hope")


def test_twelve_months_are_counted_by_the_calendar():
    assert not inspection_overdue(date(2025, 3, 1), date(2026, 3, 1))
    assert inspection_overdue(date(2025, 3, 1), date(2026, 3, 2))
    assert not inspection_overdue(date(2024, 2, 29), date(2025, 2, 28))
    assert inspection_overdue(date(2024, 2, 29), date(2025, 3, 1))


def test_the_inspector_is_authorized_and_no_user():
    assert may_inspect("Ines", {"Ines", "Tom"}, {"Tom"})
    assert not may_inspect("Tom", {"Ines", "Tom"}, {"Tom"})
    assert not may_inspect("Eve", {"Ines", "Tom"}, {"Tom"})


def test_records_say_what_they_lack():
    assert missing_training_fields({"name"}) == ("dates",)
    assert missing_training_fields({"name", "dates", "score"}) == ()
    assert missing_inspection_fields({"date", "inspector"}) == ("machine", "employees")


def test_plugs_locks_testers_and_retraining():
    assert plug_exempt(True, True) and not plug_exempt(False, True)
    assert without_own_lock(["Ines", "Tom"], {"Ines"}) == ("Tom",)
    assert not must_prove_tester(600.0)
    assert retraining_due(["procedure_changed"]) and not retraining_due([])
    with pytest.raises(BadInput):
        retraining_due(["a_year_passed"])
