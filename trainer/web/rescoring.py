"""Whom a newer key of a site's question touches, scoring their exams again, and what they are told of it."""

from __future__ import annotations

import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, HiddenField, PasswordField, TextAreaField
from wtforms.validators import UUID, InputRequired

from trainer.access.refusal import Refused
from trainer.acts import rescoring as acts
from trainer.acts.signature import Signature
from trainer.acts.touched import Touched, TouchedExam, touched_by
from trainer.certificates.facts import CertificateHeld
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import rescoring as queries
from trainer.web.cabinet_words import STATES
from trainer.web.callers import address
from trainer.web.dates import day_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.open_exams import scheme_title, tools
from trainer.web.places import open_to_me
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext, ngettext
from trainer.web.writing import mine

if TYPE_CHECKING:
    from trainer.exams.rescoring import Scored
    from trainer.exams.scoring import Mark
    from trainer.exams.sitting import Sitting
    from trainer.records.database import Session
    from trainer.records.queries.questions import OwnOne
    from trainer.records.queries.rescoring import Rescore

page = Blueprint("rescoring", __name__)

Refusal = tuple[str, int] | tuple[str, int, dict[str, str]]
MARKS: dict[Mark | None, Later] = {
    "right": Later("✓ right"),
    "wrong": Later("✗ wrong"),
    "unreadable": Later("✗ could not be read"),
    None: Later("✗ no answer"),
}


class RescoreForm(Form):
    """What is signed; newer: the text that the person has before them."""

    form_id = HiddenField("", [UUID()])
    newer = HiddenField("")
    reason = TextAreaField(Later("What was wrong, and why exams are scored again"))
    password = PasswordField(
        Later("Your password, as your signature"), [InputRequired(Later("Fill this in."))]
    )


@dataclass(frozen=True)
class TouchedLine:
    """One exam that is touched, in words; each pair is what is in force and what would be.

    held: address and words of each certificate that rests on it
    """

    person: str
    exam: str
    answer: str
    marks: tuple[str, str]
    scores: tuple[str, str]
    lowers: bool
    own: bool
    held: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class PastLine:
    """One act of scoring again, in words."""

    when: str
    words: str
    reason: str


@dataclass(frozen=True)
class ToldLine:
    """What became of one exam of mine, in words."""

    href: str
    title: str
    when: str
    what: str
    reason: str
    before: str
    after: str
    lowers: bool
    may_appeal: bool
    unread: bool


@page.get("/questions/<name>/touched")
@needs("review")
def touched(name: str) -> str:
    """Whose exams an older text of this question was in, and what its newest key would make of them."""
    form = RescoreForm(form_id=str(uuid.uuid4()))
    one = mine(name)
    with reading() as db:
        found = touched_by(db, one, me().site_id, tools(house()))
        form.newer.data = found.fingerprint if found else ""
        return render_template("rescoring/touched.html", refused=(), form=form, **_shown(db, one, found))


@page.post("/questions/<name>/rescore")
@needs("review")
def rescore(name: str) -> Response | Refusal:
    """Score what is touched again, signed with my password; my own exam is left for somebody else."""
    one, form = mine(name), RescoreForm(request.form)
    asked = acts.Rescoring(
        form.form_id.data or "", name, request.form.get("how", ""), form.newer.data or "", form.reason.data or ""
    )  # fmt: skip
    good = form.validate()
    done = (
        acts.rescore(
            house().database, asked, Signature(me().id, form.password.data or "", address()),
            tools=tools(house()), now=now(),
        )
        if good
        else Refused(())
    )  # fmt: skip
    if isinstance(done, Refused):
        with reading() as db:
            found = touched_by(db, one, me().site_id, tools(house()))
            return refusal_page("rescoring/touched.html", done, form=form, **_shown(db, one, found))
    flash(gettext("Scored again. Everybody whose exam changed is told on their first page."))
    return redirect(url_for("rescoring.touched", name=name), 303)


@page.post("/exams/<public_id>/rescored")
@needs("sit")
def seen(public_id: str) -> Response:
    """I have read what became of my exam."""
    if not acts.acknowledge(house().database, member=me(), exam=public_id, now=now()):
        abort(404)
    return redirect(url_for("examine.result", public_id=public_id), 303)


def _shown(db: Session, one: OwnOne, found: Touched | None) -> dict[str, object]:
    exams, cannot = (found.exams, found.cannot) if found else ((), ())
    return {
        "one": one, "name": one.name, "found": found, "lines": [_line(each) for each in exams],
        "others": [_line(each) for each in cannot], "past": _past(db, one.name),
        "may_rescore": _others(exams), "may_count_right": _others(cannot),
        "waits": sum(each.person_id == me().id for each in (*_sittings(exams), *_sittings(cannot))),
    }  # fmt: skip


def _sittings(exams: Sequence[TouchedExam]) -> list[Sitting]:
    return [each.sitting for each in exams]


def _others(exams: Sequence[TouchedExam]) -> int:
    """How many of these I may decide about."""
    return sum(each.person_id != me().id for each in _sittings(exams))


def _line(one: TouchedExam) -> TouchedLine:
    sitting = one.sitting
    ended = sitting.ended_at or sitting.started_at
    after = one.changed[one.slot.number]
    return TouchedLine(
        person=one.person,
        exam=f"{scheme_title(sitting.scheme)}, {day_words(ended)}",
        answer=one.given.text if one.given is not None and one.given.text else "",
        marks=(str(MARKS[one.compared.before]), str(MARKS[after])),
        scores=(_scored(one.now), _scored(one.then)),
        lowers=one.then.lowers,
        own=sitting.person_id == me().id,
        held=tuple(map(_held, one.certificates)),
    )


def _scored(one: Scored) -> str:
    return _stood(one.result.right, one.result.items, passed=one.passed)


def _held(one: CertificateHeld) -> tuple[str, str]:
    to = "manage.certificate" if open_to_me("manage.certificate") else "prove.certificate"
    return url_for(to, public_id=one.public_id), f"{one.cabinet}: {STATES[one.state(now())]}"


def _past(db: Session, name: str) -> list[PastLine]:
    """What was decided about this question's exams before, newest first."""
    acts_: dict[str, list[Rescore]] = {}
    for one in queries.rescores_of_question(db, me().site_id, name):
        acts_.setdefault(one.act, []).append(one)
    return [
        PastLine(
            day_words(rows[0].at),
            ngettext("%(by)s scored %(num)d exam again", "%(by)s scored %(num)d exams again", len(rows))
            % {"by": rows[0].by, "num": len(rows)},
            rows[0].reason,
        )
        for rows in reversed(acts_.values())
    ]


def lowered(db: Session) -> list[tuple[str, str]]:
    """For a manager: words and address of each certificate that rests on a pass which a newer key would not give.

    Until somebody has decided: suspended it, even for a while, reduced or withdrawn it, or granted another.
    """
    return [
        (
            gettext("%(name)s at %(cabinet)s: the certificate rests on a pass that a corrected key would not give")
            % {"name": held.person, "cabinet": held.cabinet},
            url_for("manage.certificate", public_id=held.public_id),
        )
        for held in queries.lowered_at_site(db, me().site_id)
        if held.state(now()) not in ("expired", "withdrawn")
    ]  # fmt: skip


def notices(db: Session) -> list[ToldLine]:
    """For the person's first page: what became of their exams and they have not said that they have read."""
    exams: dict[str, list[Rescore]] = {}
    for one in queries.rescores_of_person(db, me().id):
        exams.setdefault(one.exam, []).append(one)
    told = [
        (one, line) for again in exams.values() for one, line in zip(again, _told(db, again), strict=True)
    ]
    return [line for one, line in told if one.seen_at is None]


def of_exam(sitting: Sitting) -> list[ToldLine]:
    """For the page of a result: everything that became of this exam since its close, oldest first."""
    with reading() as db:
        again = queries.rescores_of(db, [sitting.id]).get(sitting.id, [])
        return _told(db, again) if again else []


def _told(db: Session, again: Sequence[Rescore]) -> list[ToldLine]:
    """The re-scores of one exam of mine, oldest first, each beside what stood before it."""
    right, passed, _ = exam_queries.result_at_close(db, again[0].exam_id)
    lines = []
    for one in again:
        items = json.loads(one.result)["items"]
        lines.append(
            ToldLine(
                href=url_for("examine.result", public_id=one.exam), title=scheme_title(one.scheme),
                when=day_words(one.at), what=_what(one), reason=one.reason,
                before=_stood(right or 0, items, passed=bool(passed)),
                after=_stood(one.right, items, passed=one.passed),
                lowers=one.lowers, may_appeal=one.lowers or not one.passed, unread=one.seen_at is None,
            )
        )  # fmt: skip
        right, passed = one.right, one.passed
    return lines


def _stood(right: int, items: int, *, passed: bool) -> str:
    said = (
        gettext("%(right)s of %(items)s right, passed")
        if passed
        else gettext("%(right)s of %(items)s right, not passed")
    )
    return said % {"right": right, "items": items}


def _what(one: Rescore) -> str:
    """What changed; which question it was stays unsaid, as everywhere."""
    if one.how == "right":
        return gettext("A question was not asked well. It counts as right for everybody who had it.")
    if "right" in one.changed.values():
        return gettext(
            "The key to a question was wrong. Your answer had been taken as wrong, and it was right."
        )
    return gettext("The key to a question was wrong. Your answer had been taken as right, and it was not.")
