"""How long each class of record is kept, what a legal hold stops, and when a person may be forgotten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import unmet
from trainer.certificates.states import months_later
from trainer.exams.scheme import Text


@dataclass(frozen=True)
class RecordClass:
    """One class of records: what is in it, how many months it is kept after what; months None: for ever."""

    id: str
    title: Text
    holds: Text
    months: int | None
    after: Text
    source: Text


_PRACTICE = Text("common practice, no source", "práctica común, sin fuente")
PERMISSION_MONTHS = 36
LEARNING_MONTHS = 6

SCHEDULE = (
    RecordClass(
        "permission",
        Text("Permission", "Permiso"),
        Text(
            "Exams with every answer, practicals, decisions, certificates, appeals, and the name they stand under.",
            "Exámenes con cada respuesta, prácticas, decisiones, certificados, apelaciones y el nombre en ellos.",
        ),
        PERMISSION_MONTHS,
        Text(
            "after the person left and the last of these ran out",
            "después de que la persona dejó el sitio y venció lo último",
        ),
        _PRACTICE,
    ),
    RecordClass(
        "learning",
        Text("Learning", "Aprendizaje"),
        Text(
            "Lessons read, drills, benches, where the person stands on each skill.",
            "Lecciones leídas, ejercicios, bancos de práctica, avance en cada habilidad.",
        ),
        LEARNING_MONTHS,
        Text("after the person left", "después de que la persona dejó el sitio"),
        _PRACTICE,
    ),
    RecordClass(
        "log",
        Text("Record log", "Registro"),
        Text(
            "Every act that counts: numbers in place of names, digests in place of notes, exam answers as typed.",
            "Cada acto que cuenta: números en lugar de nombres, hashes en lugar de notas, respuestas de examen como se "
            "escribieron.",
        ),
        None,
        Text("", ""),
        Text(
            "needed to show that nothing was changed; it holds no name",
            "necesario para mostrar que nada se cambió; no contiene nombres",
        ),
    ),
)


@dataclass(frozen=True)
class Kept:
    """What decides whether a person may be forgotten.

    records_end: when the last exam, practical or certificate ran out; None where there is none
    holds: how many legal holds lie on the person or on the whole site
    """

    left_at: datetime | None
    records_end: datetime | None
    holds: int
    forgotten: bool
    time_zone: str


def kept_until(k: Kept) -> datetime | None:
    """Until when the schedule keeps the person's name; None while they are employed."""
    if k.left_at is None:
        return None
    learning = months_later(k.left_at, LEARNING_MONTHS, k.time_zone)
    if k.records_end is None:
        return learning
    return max(learning, months_later(max(k.left_at, k.records_end), PERMISSION_MONTHS, k.time_zone))


def keeping_reasons(k: Kept, now: datetime) -> tuple[str, ...]:
    """Every reason why the person cannot be forgotten now."""
    until = kept_until(k)
    return unmet(
        {
            "forget.done": not k.forgotten,
            "forget.employed": k.left_at is not None,
            "forget.kept": until is None or now >= until,
            "forget.hold": k.holds == 0,
        }
    )


def judge_proposal(k: Kept, role: Role, reason: str, *, own: bool, now: datetime) -> tuple[str, ...]:
    """Every reason why this person cannot propose it."""
    return (
        *unmet(
            {
                "forget.no_right": may(role, "enrol"),
                "forget.own": not own,
                "forget.no_reason": bool(reason.strip()),
            }
        ),
        *keeping_reasons(k, now),
    )


def judge_carrying_out(
    k: Kept, role: Role, *, own: bool, proposed: bool, open_: bool, now: datetime
) -> tuple[str, ...]:
    """Every reason why this person cannot carry it out; whoever proposed it may not (four eyes)."""
    return (
        *unmet(
            {
                "forget.not_administrator": may(role, "administer"),
                "forget.own": not own,
                "forget.same_person": not proposed,
                "forget.closed": open_,
            }
        ),
        *keeping_reasons(k, now),
    )


def judge_hold(role: Role, reason: str, *, open_: bool = True) -> tuple[str, ...]:
    """Every reason why this person cannot place a hold, or lift one that is still open."""
    return unmet(
        {
            "hold.no_right": may(role, "enrol"),
            "hold.lifted": open_,
            "hold.no_reason": bool(reason.strip()),
        }
    )
