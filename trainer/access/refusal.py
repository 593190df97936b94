"""An act about signing in or an account that was not done, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Refused:
    """Every reason, each a key of the sentences; `wait_until` when it is a matter of time."""

    reasons: tuple[str, ...]
    wait_until: datetime | None = None
