"""Which texts about a person can be taken out, and which stay because they are evidence and hold no name."""

from __future__ import annotations

from sqlalchemy import ColumnElement, Table, select
from sqlalchemy.orm import Session

from trainer.records.export import THROUGH
from trainer.records.tables import Base

# What was written about a person, or by them freely: emptied when they are forgotten. The log keeps digests of it.
BLANKED: dict[str, tuple[str, ...]] = {
    "appeal": ("grounds", "pack"),
    "appeal_step": ("reason",),
    "bench_given": ("note",),
    "certificate": ("credential", "withdrawn_reason"),
    "certificate_change": ("reason",),
    "decision": ("reason", "overlap_reason"),
    "drill": ("answer",),
    "exam_allowance": ("reason",),
    "exam_pause": ("reason",),
    "exam_rescore": ("reason",),
    "forget_proposal": ("reason",),
    "legal_hold": ("reason", "lifted_reason"),
    "lesson_read": ("own_bay",),
    "observer_qualification": ("grounds", "ended_reason"),
    "cut_judge": ("qualification",),
    "own_question_step": ("note",),
    "practical": ("note", "remarks"),
    "practical_look": ("reason",),
    "practical_picture": ("jpeg",),
    "practical_second": ("note", "remarks"),
    "question_flag": ("note",),
    "signed_again": ("credential",),
}
# Texts that are read as JSON are emptied to an object without members.
JSON = frozenset({("appeal", "pack"), ("practical", "remarks"), ("practical_second", "remarks")})
# Texts of the program's own making in tables about people, and answers as typed: they prove what was asked, answered
# and scored. A person who types a name into an answer writes it into the record log, for ever; the exam's page says so.
STAYS: dict[str, tuple[str, ...]] = {
    "bench_act": ("document",),
    "bench_given": ("fixed",),
    "bench_run": ("fixed",),
    "certificate_change": ("taken",),
    "exam": ("form", "result"),
    "exam_answer": ("answer",),
    "exam_key_sheet": ("sheet",),
    "exam_look": ("detail",),
    "exam_rescore": ("marks", "keys", "result"),
    "own_question_photo": ("jpeg",),
    "own_question_text": ("text",),
    "practical": ("steps", "device_times"),
    "practical_second": ("steps", "device_times"),
    "question_flag": ("reasons",),
    "skill_standing": ("card",),
}


def take_out(db: Session, person_id: int) -> int:
    """Empty every text about a person in every table; gives how many rows were touched. One statement a table."""
    touched = 0
    for name, columns in BLANKED.items():
        table = Base.metadata.tables.get(name)
        if table is None:
            continue
        empty = {one: _nothing(table, one) for one in columns if one in table.c}
        result = db.execute(table.update().where(_about(table, person_id)).values(empty))
        touched += int(result.rowcount)  # type: ignore[attr-defined]
    return touched


def _nothing(table: Table, column: str) -> str | None:
    if table.c[column].nullable:
        return None
    return "{}" if (table.name, column) in JSON else ""


def _about(table: Table, person_id: int) -> ColumnElement[bool]:
    if table.name in THROUGH:
        column, parent = THROUGH[table.name]
        return table.c[column].in_(select(parent.c.id).where(parent.c.person_id == person_id))
    return table.c.person_id == person_id
