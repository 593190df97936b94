"""What is on record about cabinets, exams sat, practicals, certificates and acts, as pages and paper read it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from trainer.certificates.states import CertificateState, Change, Standing, standing, withdrawal


@dataclass(frozen=True)
class CabinetPlace:
    """A cabinet, the machine it feeds and the site it stands on."""

    id: int
    key: str
    name: str
    machine_id: int
    machine: str
    site_id: int
    site: str
    time_zone: str


@dataclass(frozen=True)
class MachinePlace:
    """A machine of a site."""

    id: int
    key: str
    name: str
    site_id: int


@dataclass(frozen=True)
class ExamSat:
    """One sitting as the decision page shows it; `result` is the text in force, with the areas.

    rescored_at: when a newer key was last applied; lowers: whether by that key it would not be passed
    """

    public_id: str
    scheme: str
    scheme_version: int
    started_at: datetime
    submitted_at: datetime | None
    right: int | None
    passed: bool | None
    result: str | None
    valid_until: datetime | None
    rescored_at: datetime | None = None
    lowers: bool = False


@dataclass(frozen=True)
class PracticalSigned:
    """One signed practical.

    marks, remarks, device_times: by the step's id; the times are a claim of the observer's own device
    """

    public_id: str
    person_public_id: str
    person: str
    machine: str
    scheme: str
    scheme_version: int
    observer: str
    marks: Mapping[str, str]
    note: str
    passed: bool
    signed_at: datetime
    remarks: Mapping[str, str] = field(default_factory=dict)
    device_times: Mapping[str, str] = field(default_factory=dict)
    filled_offline: bool = False


@dataclass(frozen=True)
class CertificateHeld:
    """One certificate as its public page shows it; `credential` is the signed text, as it was issued."""

    public_id: str
    person_id: int
    person_public_id: str
    person: str
    site_id: int
    site: str
    time_zone: str
    cabinet_id: int
    cabinet: str
    machine: str
    scheme: str
    scheme_version: int
    effective_at: datetime
    expires_at: datetime
    decided_by: str
    credential: str
    changes: tuple[Change, ...] = ()

    def standing(self, now: datetime) -> Standing:
        """Where it stands at `now`."""
        return standing(self.effective_at, self.expires_at, self.changes, now)

    def state(self, now: datetime) -> CertificateState:
        """The state at `now`."""
        return self.standing(now).state

    @property
    def withdrawn(self) -> Change | None:
        """The change that withdrew it, if any."""
        return withdrawal(self.changes)


def runs_out_within(held: CertificateHeld, now: datetime, days: int) -> bool:
    """Whether a certificate that counts now, for all or for less, runs out within so many days."""
    return held.state(now) in ("active", "reduced") and held.expires_at <= now + timedelta(days=days)


@dataclass(frozen=True)
class Logged:
    """One entry of the record log; `by` and `about` are public ids as they stand in it."""

    seq: int
    at: datetime
    kind: str
    by: str
    about: str
    record: str
    hash: str
