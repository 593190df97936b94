"""How often something may be asked for from one address: so many times within a while."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True)
class Pace:
    """At most so many within a while."""

    most: int
    within: timedelta

    def recent(self, earlier: Sequence[datetime], now: datetime) -> list[datetime]:
        """Those of the earlier times that still count; a clock that was set back makes none count for longer."""
        return [at for at in earlier if timedelta(0) <= now - at < self.within]

    def allows(self, earlier: Sequence[datetime], now: datetime) -> bool:
        """Whether one more is allowed now."""
        return len(self.recent(earlier, now)) < self.most


# Checking a certificate costs a millisecond; whoever checks a drawer full of them by hand stays below this.
CHECKS = Pace(most=30, within=timedelta(minutes=1))
