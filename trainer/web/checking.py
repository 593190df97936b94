"""Checking: whether every question holds with the numbers of the sheet in force; it runs beside the pages."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

from flask import Blueprint, Flask, current_app, redirect, render_template, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.acts.measuring import keep_check
from trainer.language.auditing import audit
from trainer.language.generator import generator
from trainer.language.loading import Bank
from trainer.records.database import Session
from trainer.records.queries import measuring as queries
from trainer.records.queries.measuring import Checked
from trainer.records.queries.questions import asked_at
from trainer.web import words
from trainer.web.dates import moment_words
from trainer.web.guards import needs
from trainer.web.house import House, house, me, my_sheet, reading
from trainer.web.words import gettext, ngettext

page = Blueprint("checking", __name__)

Key = tuple[int, int]  # site and sheet version
_NAME = "stringline.checks"


@dataclass
class Checks:
    """The checks that run in this process: how many questions each has gone through."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    running: dict[Key, int] = field(default_factory=dict)

    def begin(self, key: Key) -> bool:
        """Whether a check may begin: not while the same one runs."""
        with self.lock:
            if key in self.running:
                return False
            self.running[key] = 0
            return True

    def end(self, key: Key) -> None:
        """The check is over, kept or broken off."""
        with self.lock:
            self.running.pop(key, None)


@dataclass(frozen=True)
class Failing:
    """A question that does not hold here, and what was found, in the audit's own words."""

    id: str
    skill: str
    findings: tuple[str, ...]


def set_up(app: Flask) -> None:
    """Give the application its list of running checks."""
    app.extensions[_NAME] = Checks()


def checks() -> Checks:
    """The checks that run in this process."""
    found: Checks = current_app.extensions[_NAME]
    return found


def check_later(version: int) -> None:
    """Begin to check every question with a version of my site's sheet."""
    one, running, key = house(), checks(), (me().site_id, version)
    if running.begin(key):
        one.beside(lambda: _check(one, running, key))


def _check(one: House, running: Checks, key: Key) -> None:
    site, version = key
    try:
        values = one.site_values(site, version)
        with one.database.reading() as db:
            bank = asked_at(db, one.bank, site)
        audits = []
        for question in bank.by_id.values():
            audits.append(audit(question, values))
            running.running[key] += 1
        keep_check(one.database, site_id=site, version=version, bank=bank, audits=audits, now=one.clock())
    finally:
        running.end(key)


def check_where_changed(one: House) -> list[Key]:
    """Check the questions of each site again that other code than this has checked; gives site and sheet version."""
    with one.database.reading() as db:
        stale = queries.checked_by_another(db, generator())
    for key in stale:
        running = Checks()
        running.begin(key)
        _check(one, running, key)
    return stale


@page.get("/sheet/questions")
@needs("author")
def questions() -> str:
    """Whether every question holds with the numbers in force."""
    with reading() as db:
        version = my_sheet(db).version
        checked = queries.sheet_check(db, me().site_id, version)
        bank = asked_at(db, house().bank, me().site_id)
    gone = checks().running.get((me().site_id, version))
    return render_template(
        "checking/questions.html",
        version=version,
        checked=checked,
        gone=gone,
        total=len(bank.by_id),
        failing=_failing(checked, bank) if checked else [],
        checked_at=moment_words(checked.checked_at) if checked else "",
    )


@page.post("/sheet/questions")
@needs("author")
def check() -> AnyResponse:
    """Check every question with the numbers in force."""
    with reading() as db:
        version = my_sheet(db).version
    check_later(version)
    return redirect(url_for("checking.questions"), 303)


def standing_words(db: Session, version: int) -> str:
    """How the questions hold with a version of my site's sheet, in one sentence. Seven statements at most."""
    if (me().site_id, version) in checks().running:
        return gettext("The questions are being checked with these numbers.")
    checked = queries.sheet_check(db, me().site_id, version)
    if checked is None:
        return gettext("The questions have not been checked with these numbers yet.")
    failing = len(_failing(checked, asked_at(db, house().bank, me().site_id)))
    if not failing:
        return gettext("All %(total)s questions hold with these numbers.") % {"total": checked.questions}
    return ngettext(
        "%(count)s of %(total)s questions does not hold with these numbers.",
        "%(count)s of %(total)s questions do not hold with these numbers.",
        failing,
    ) % {"count": failing, "total": checked.questions}


def _failing(checked: Checked, bank: Bank) -> list[Failing]:
    language = words.language()
    known = ((bank.find(id_), findings) for id_, findings in checked.findings.items())
    return [
        Failing(one.id, bank.skill(one.skill).title[language], findings)
        for one, findings in known
        if one is not None and one.fingerprint == checked.fingerprints[one.id]
    ]
