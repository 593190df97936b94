"""Permission, practicals and certificates in words, for the pages of trainers, managers and the public."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from trainer.acts.sentences import SENTENCES
from trainer.certificates.facts import ExamSat, Logged, PracticalSigned
from trainer.certificates.permission import Evidence, Permission, Waiting, cabinet_permission, waiting_for
from trainer.certificates.states import Cause, CertificateState, ChangeKind
from trainer.exams.scoring import read_result
from trainer.web.benches import RunLine, run_line
from trainer.web.dates import moment_words
from trainer.web.house import house
from trainer.web.words import Later, gettext, language

if TYPE_CHECKING:
    from trainer.exams.scheme import Scheme
    from trainer.records.queries.benches import BenchFacts

LAPSE_DAYS = 60
STATES: dict[CertificateState, Later] = {
    "active": Later("Active: it counts now"),
    "not_yet": Later("It does not count yet"),
    "suspended": Later("Suspended: it does not count until the suspension is lifted"),
    "reduced": Later("Reduced: it counts, but not for everything it was issued for"),
    "expired": Later("Expired: it no longer counts"),
    "withdrawn": Later("Withdrawn: it does not count and never will again"),
}
CAUSES: dict[Cause, Later] = {
    "by_manager": Later("a manager's decision"),
    "change.machine": Later("the machine changed"),
    "change.procedure": Later("the lockout procedure changed"),
}
CHANGES: dict[ChangeKind, Later] = {
    "suspended": Later("Suspended"),
    "lifted": Later("Suspension lifted"),
    "reduced": Later("Reduced"),
    "withdrawn": Later("Withdrawn"),
}
# Whoever stands in the log without being a person of this site.
OTHERS = {
    "system": Later("The program"),
    "nobody": Later("Nobody signed in"),
    "address": Later("an address"),
}


def cabinet_scheme() -> Scheme:
    """The scheme that opens cabinets; an installation without one is set up wrong."""
    return next(one for one in house().schemes.values() if one.opens_cabinet)


def say(keys: Iterable[str], **facts: object) -> list[str]:
    """Sentences in the language of this request."""
    return [SENTENCES[key].say(language(), **facts) for key in keys]


@dataclass(frozen=True)
class PersonLine:
    """One person at one cabinet: whether they may open it, until when, or why not and what they wait for."""

    evidence: Evidence
    may_open: bool
    until: str
    why: tuple[str, ...]
    waits: Waiting


def person_line(permission: Permission, now: datetime) -> PersonLine:
    """The line of one permission."""
    e = permission.evidence
    until = moment_words(e.expires_at) if permission.may_open and e.expires_at else ""
    return PersonLine(e, permission.may_open, until, tuple(say(permission.missing)), waiting_for(e, now))


def person_lines(evidence: Sequence[Evidence], now: datetime) -> list[PersonLine]:
    """The lines of everyone, in their order."""
    return [person_line(cabinet_permission(e, now), now) for e in evidence]


@dataclass(frozen=True)
class AreaLine:
    """One area of a sat exam."""

    title: str
    right: int
    items: int
    critical: bool


@dataclass(frozen=True)
class ExamLine:
    """One sitting in words; again: that it was scored again, and what that means for a pass, or empty."""

    when: str
    outcome: str
    right: int | None
    items: int | None
    until: str
    areas: tuple[AreaLine, ...]
    again: str = ""


def exam_line(sat: ExamSat, scheme: Scheme) -> ExamLine:
    """A sitting, with what was done in each area."""
    result = read_result(json.loads(sat.result)) if sat.result else None
    titles = {area.id: area.title.say(language()) for area in scheme.areas}
    areas = [
        AreaLine(titles.get(one.id, one.id), one.right, one.items, one.critical)
        for one in (result.areas if result else ())
    ]
    return ExamLine(
        when=moment_words(sat.submitted_at or sat.started_at),
        outcome=_exam_outcome(sat),
        right=sat.right,
        items=result.items if result else None,
        until=moment_words(sat.valid_until) if sat.valid_until else "",
        areas=tuple(areas),
        again=_scored_again(sat),
    )


def _scored_again(sat: ExamSat) -> str:
    if sat.rescored_at is None:
        return ""
    said = (
        gettext("Scored again on %(when)s after a key was corrected: by that key it would not be passed.")
        if sat.lowers
        else gettext("Scored again on %(when)s after a key was corrected.")
    )
    return said % {"when": moment_words(sat.rescored_at)}


def _exam_outcome(sat: ExamSat) -> str:
    if sat.submitted_at is None:
        return gettext("Still open")
    if sat.passed is None:
        return gettext("Counts neither way")
    return "✓ " + gettext("Passed") if sat.passed else "✗ " + gettext("Not passed")


@dataclass(frozen=True)
class StepLine:
    """One step of a signed practical; marked_at: the moment that the observer's own device told, if it told one."""

    text: str
    critical: bool
    mark: str
    remark: str = ""
    marked_at: str = ""

    @property
    def met(self) -> bool:
        """Whether it counts as met: what was not seen does not."""
        return self.mark == "met"


@dataclass(frozen=True)
class PracticalLine:
    """A signed practical in words.

    benches: the runs that the observer showed with it
    hidden: whether its marks are hidden from me, because I could be its second observer
    """

    signed: PracticalSigned
    when: str
    outcome: str
    steps: tuple[StepLine, ...]
    not_met: int
    benches: tuple[RunLine, ...] = ()
    hidden: bool = False


def practical_line(
    signed: PracticalSigned, schemes: Mapping[str, Scheme], runs: Sequence[BenchFacts] = ()
) -> PracticalLine:
    """A practical with its steps as they read today; a step that is no longer in the scheme keeps its id."""
    scheme = schemes.get(signed.scheme)
    known = {step.id: step for step in scheme.practical.steps} if scheme and scheme.practical else {}
    steps = [
        StepLine(
            known[step].text.say(language()) if step in known else step,
            step in known and known[step].critical,
            mark,
            signed.remarks.get(step, ""),
            moment_words(datetime.fromisoformat(at)) if (at := signed.device_times.get(step)) else "",
        )
        for step, mark in signed.marks.items()
    ]
    outcome = "✓ " + gettext("Practical passed") if signed.passed else "✗ " + gettext("Practical not passed")
    return PracticalLine(
        signed,
        moment_words(signed.signed_at),
        outcome,
        tuple(steps),
        sum(not one.met for one in steps),
        tuple(run_line(one) for one in runs),
    )


@dataclass(frozen=True)
class LogLine:
    """One entry of the log in words."""

    seq: int
    when: str
    who: str
    about: str
    said: str
    hash: str


def log_line(entry: Logged, names: Mapping[str, str], site: str) -> LogLine:
    """An entry with its names put in; the names stand outside the log."""
    facts: dict[str, Any] = json.loads(entry.record)["facts"]
    sentence = SENTENCES.get(f"log.{entry.kind}")
    about = "" if entry.about == entry.by else _named(entry.about, names, site)
    return LogLine(
        entry.seq, moment_words(entry.at), _named(entry.by, names, site), about,
        sentence.say(language(), **facts) if sentence else entry.kind, entry.hash,
    )  # fmt: skip


def _named(public_id: str, names: Mapping[str, str], site: str) -> str:
    if public_id.startswith("site:"):
        return site
    other = OTHERS.get(public_id)
    return names.get(public_id) or (str(other) if other else gettext("somebody no longer on record"))
