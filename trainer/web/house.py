"""What every page reaches for: the installation's parts, the moment, the person, the site's numbers."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from flask import current_app, g

from trainer.access.members import Member
from trainer.config import Config
from trainer.records.database import Database
from trainer.records.queries import people
from trainer.sites.reading import read_sheet
from trainer.sites.values import site_values

if TYPE_CHECKING:
    from trainer.exams.scheme import Scheme
    from trainer.language.lessons import Lessons
    from trainer.language.loading import Bank
    from trainer.records.database import Session
    from trainer.sites.sheet import SiteSheet

Clock = Callable[[], datetime]
Work = Callable[[], None]


def in_a_thread(work: Work) -> None:
    """Have a piece of work done beside the pages; it does not hold up the program's end."""
    threading.Thread(target=work, daemon=True).start()


@dataclass(frozen=True)
class House:
    """One running installation."""

    config: Config
    database: Database
    bank: Bank
    lessons: Lessons
    schemes: Mapping[str, Scheme]
    clock: Clock
    beside: Callable[[Work], None] = in_a_thread

    def key_for(self, purpose: str) -> bytes:
        """A key of its own for each purpose: whoever learns one learns neither the secret nor another."""
        return self.config.key_for(purpose)

    def sheet(self, site_id: int, version: int) -> SiteSheet:
        """A site's sheet at a version; what makes the task of a bench again needs this."""
        with self.database.reading() as db:
            return _sheet_of(people.sheet_version(db, site_id, version), site_id).sheet

    def site_values(self, site_id: int, version: int) -> Mapping[str, float]:
        """A site's named values [SI] as its sheet had them at a version; what replays an instance needs this."""
        with self.database.reading() as db:
            return _sheet_of(people.sheet_version(db, site_id, version), site_id).values


@dataclass(frozen=True)
class SheetInForce:
    """A site's sheet, its version and its named values in SI."""

    version: int
    sheet: SiteSheet
    values: Mapping[str, float]


def house() -> House:
    """The installation that serves this request."""
    return cast(House, current_app.extensions["stringline"])


def reading() -> AbstractContextManager[Session]:
    """A session for queries."""
    return house().database.reading()


def now() -> datetime:
    """The moment of this request; the same all through it."""
    if "now" not in g:
        g.now = house().clock()
    return cast(datetime, g.now)


def me() -> Member:
    """The person who is signed in; only called behind a guard."""
    return cast(Member, g.member)


def key_for(purpose: str) -> bytes:
    """A key of its own for each purpose, from the secret of the installation that serves this request."""
    return house().key_for(purpose)


def my_sheet(db: Session, version: int | None = None) -> SheetInForce:
    """My site's sheet: the one in force, or a version that an instance was drawn with."""
    site_id = me().site_id
    saved = (
        people.sheet_in_force(db, site_id) if version is None else people.sheet_version(db, site_id, version)
    )
    return _sheet_of(saved, site_id)


def _sheet_of(saved: people.SavedSheet | None, site_id: int) -> SheetInForce:
    if saved is None:
        raise LookupError(f"site {site_id} has no such sheet")
    return _parsed(saved.site_id, saved.version, saved.text)


@lru_cache(maxsize=64)
def _parsed(site_id: int, version: int, text: str) -> SheetInForce:
    sheet = read_sheet(text, f"sheet {version} of site {site_id}")
    return SheetInForce(version, sheet, site_values(sheet))
