"""Searches for a better place that run beside the pages: one a person and pair, a few at a time, kept for an hour."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count
from typing import Literal

from trainer.sites.placing.results import Found, Judged, Progress

Key = tuple[int, str]  # person and pair
State = Literal["running", "stopped", "broken", "done"]
Steps = Callable[[], Iterator[Progress]]
Beside = Callable[[Callable[[], None]], None]

KEPT = timedelta(hours=1)
MOST_RUNNING = 2
MOST_KEPT = 64


@dataclass(frozen=True)
class Shown:
    """How a search stands at one moment."""

    state: State
    share: float = 0.0
    best: Judged | None = None
    found: Found | None = None


@dataclass
class Running:
    """One search. number: no other has the same; sheet: the version it reads; looked_at: when somebody last asked."""

    number: int
    sheet: int
    year: int
    looked_at: datetime
    shown: Shown = Shown("running")
    lock: threading.Lock = field(default_factory=threading.Lock)
    ended: threading.Event = field(default_factory=threading.Event)

    def stop(self) -> None:
        """Have it stop at its next step; what is done or broken stays so."""
        with self.lock:
            if self.shown.state == "running":
                self.shown = Shown("stopped")

    def go(self, steps: Steps) -> None:
        """Take step after step until it is done or stopped."""
        asked = steps()
        try:
            for progress in asked:
                if not self._take(progress):
                    break
        except Exception:  # whatever broke it, the page must say so
            logging.getLogger(__name__).exception("a search for a better place broke off")
            with self.lock:
                self.shown = Shown("broken")
        finally:
            self.ended.set()

    def _take(self, progress: Progress) -> bool:
        """Note a step; False where the search was stopped meanwhile."""
        with self.lock:
            if self.shown.state != "running":
                return False
            best = progress.best or self.shown.best
            state: State = "running" if progress.found is None else "done"
            self.shown = Shown(state, progress.share, best, progress.found)
            return True


@dataclass
class Searches:
    """All searches of this process."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    kept: dict[Key, Running] = field(default_factory=dict)
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def of(self, key: Key, now: datetime) -> Running | None:
        """A person's search for a pair, if it is kept."""
        with self.lock:
            self._forget(now)
            found = self.kept.get(key)
            if found is not None:
                found.looked_at = now
            return found

    def begin(self, key: Key, sheet: tuple[int, int], steps: Steps, now: datetime, beside: Beside) -> bool:
        """Begin a search in place of an earlier one; False where too many run. sheet: its version, the sun's year."""
        with self.lock:
            self._forget(now)
            earlier = self.kept.pop(key, None)
            if earlier is not None:
                earlier.stop()
            if sum(one.shown.state == "running" for one in self.kept.values()) >= MOST_RUNNING:
                return False
            one = Running(next(self.numbers), *sheet, looked_at=now)
            self.kept[key] = one
        beside(lambda: one.go(steps))
        return True

    def _forget(self, now: datetime) -> None:
        """Drop what nobody has asked for in an hour, and the oldest where too many are kept."""
        by_age = sorted(self.kept, key=lambda key: self.kept[key].looked_at)
        surplus = max(0, len(by_age) - MOST_KEPT + 1)
        for at, key in enumerate(by_age):
            if at < surplus or now - self.kept[key].looked_at >= KEPT:
                self.kept.pop(key).stop()
