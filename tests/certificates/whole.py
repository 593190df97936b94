"""Evidence with nothing missing, from which each test takes one thing away."""

from dataclasses import replace
from datetime import UTC, datetime

from trainer.certificates.decision import Terms
from trainer.certificates.permission import Evidence
from trainer.certificates.states import Change

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)
SIGNED = datetime(2026, 3, 1, 15, tzinfo=UTC)
UNTIL = datetime(2028, 2, 20, 15, tzinfo=UTC)
TERMS = Terms(months=24, time_zone="America/Chicago")
ANA, TOM, MIA, RAY = 1, 2, 3, 4

OPEN = Evidence(
    person_id=ANA, person_public_id="p-ana", person="Ana Ruiz", left_at=None, trained_by_id=TOM,
    trained_by="Tom Becker", cabinet_id=7, cabinet="Main cabinet", machine_id=5, machine="Conveyor",
    scheme="eye-technician", exam_id=11, exam_scheme="eye-technician", exam_passed=True, exam_valid_until=UNTIL,
    practical_id=21, practical_machine_id=5, practical_passed=True, practical_signed_at=SIGNED,
    observed_by_id=TOM, observed_by="Tom Becker", decision_public_id="d-1", decision_exam_id=11,
    decision_practical_id=21, decision_observer_id=TOM, granted=True, decided_by_id=MIA, decided_by="Mia Okafor",
    decided_at=NOW, certificate_public_id="c-1", effective_at=NOW, expires_at=UNTIL,
)  # fmt: skip

READY = replace(
    OPEN, decision_public_id=None, decision_exam_id=None, decision_practical_id=None, decision_observer_id=None,
    granted=None, decided_by_id=None, decided_by=None, decided_at=None, certificate_public_id=None,
    effective_at=None, expires_at=None,
)  # fmt: skip

WITHDRAWN = Change("k-1", "withdrawn", "by_manager", SIGNED, SIGNED, reason="Opened it live.")
SUSPENDED = Change("k-2", "suspended", "by_manager", SIGNED, SIGNED, reason="An incident is looked into.")
CHANGED = Change("k-3", "suspended", "change.machine", NOW, SIGNED, reason="New drive.")
