"""An act that was not done, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from trainer.sites.said import Said


@dataclass(frozen=True)
class Refused:
    """Every reason, each a key of the sentences; `wait_until` when it is a matter of time.

    said: what is wrong in this one case and how to mend it, where the sentences cannot know
    """

    reasons: tuple[str, ...]
    wait_until: datetime | None = None
    said: Said | None = None
