"""A person as the rules and pages see them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Role = Literal["learner", "trainer", "manager", "administrator"]
ROLES: tuple[Role, ...] = ("learner", "trainer", "manager", "administrator")


@dataclass(frozen=True)
class Member:
    """One person of one site; `session_number` goes up when every open session must end."""

    id: int
    public_id: str
    site_id: int
    site_name: str
    time_zone: str
    name: str
    sign_in_name: str
    role: Role
    language: Literal["en", "es"]
    system: Literal["us", "metric"]
    session_number: int
    trained_by_id: int | None
    left_at: datetime | None
