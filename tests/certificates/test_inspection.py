from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.certificates.whole import ANA, MIA, RAY, TOM
from trainer.certificates.impartiality import Threat, judge_threat, review_overdue
from trainer.certificates.inspection import Inspection, is_overdue, judge_inspection, next_due

TODAY = date(2026, 3, 2)
DAY = timedelta(days=1)
HERE = frozenset({ANA, MIA, RAY, TOM})
DONE = Inspection(TODAY, RAY, frozenset({ANA, TOM}), frozenset({ANA}), inspector_authorized=True)


def judged(one=DONE, role="manager"):
    return judge_inspection(one, role, HERE, TODAY)


def test_an_authorized_employee_who_did_not_use_it_inspects():
    assert judged() == ()


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        # 29 CFR 1910.147(c)(6)(i)(A): by an authorized employee other than those using the procedure.
        ({"used": frozenset({ANA, RAY}), "included": HERE}, "inspection.inspector_used"),
        ({"inspector_authorized": False}, "inspection.inspector_not_authorized"),
        ({"used": frozenset()}, "inspection.nobody_used"),
        ({"used": frozenset({MIA})}, "inspection.used_not_included"),
        ({"included": frozenset({ANA, 99})}, "site.other"),
        ({"inspected_on": TODAY + DAY}, "inspection.future"),
        ({"inspected_on": TODAY - 367 * DAY}, "inspection.too_long_ago"),
    ],
)
def test_each_thing_alone_refuses_it(how, reason):
    assert judged(replace(DONE, **how)) == (reason,)


def test_it_needs_employees_and_a_right():
    nobody = replace(DONE, included=frozenset(), used=frozenset())
    assert judged(nobody) == ("inspection.nobody_included", "inspection.nobody_used")
    assert judged(role="learner") == ("inspection.no_right",)


def test_overdue_once_twelve_months_have_passed():
    # 29 CFR 1910.147(c)(6)(i): at least annually; that twelve months is the limit is our reading.
    assert is_overdue(None, TODAY)
    assert next_due(date(2024, 2, 29)) == date(2025, 2, 28)
    assert not is_overdue(date(2025, 3, 2), TODAY)
    assert is_overdue(date(2025, 3, 1), TODAY)


WRITTEN = Threat("Bonus for every pass.", "The bonus is paid by cars washed.", True, TODAY + 30 * DAY)


@pytest.mark.parametrize(
    ("how", "reasons"),
    [
        ({}, ()),
        ({"threat": " "}, ("threat.nothing_said",)),
        ({"treatment": ""}, ("threat.no_treatment",)),
        ({"owner_is_here": False}, ("threat.no_owner",)),
        ({"review_on": TODAY}, ("threat.review_past",)),
        ({"review_on": TODAY + 366 * DAY}, ("threat.review_far",)),
        ({"review_on": TODAY, "closed": True}, ()),
    ],
)
def test_what_an_entry_must_say(how, reasons):
    assert judge_threat(replace(WRITTEN, **how), "manager", TODAY) == reasons


def test_only_a_manager_keeps_the_register():
    assert judge_threat(WRITTEN, "trainer", TODAY) == ("threat.no_right",)


def test_a_review_is_overdue_the_day_after():
    assert not review_overdue(TODAY, False, TODAY)
    assert review_overdue(TODAY - DAY, False, TODAY)
    assert not review_overdue(TODAY - DAY, True, TODAY)
