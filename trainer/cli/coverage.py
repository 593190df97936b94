"""What `stringline check` finds of schemes: gaps between skills, lessons and questions, and stale job analyses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from trainer.documents import DocumentError, Faults
from trainer.exams.matrix import Gap, Orphan, Row, matrix
from trainer.exams.reading import load_schemes
from trainer.exams.scheme import Scheme
from trainer.language.lessons import Lessons
from trainer.language.loading import SCHEMES_FOLDER, Bank

LACKS: Mapping[Gap, str] = {
    "no_lesson": "No lesson teaches it. Add it to `skills` of a lesson in both languages.",
    "no_question": "No question asks it. Write a family or a fixed question for it.",
    "asked_nowhere": "No scheme covers it. Add it to an area of a scheme, or take the skill out.",
}


def coverage_findings(content: Path, bank: Bank, lessons: Lessons, faults: Faults, today: date) -> list[str]:
    """Every gap, one sentence each; faults of the schemes' own files are noted beside."""
    folder = content / "questions" / SCHEMES_FOLDER
    if not folder.is_dir():
        return []
    try:
        schemes = load_schemes(folder).values()
    except DocumentError as error:
        faults.extend(error.faults)
        return []
    found = matrix(bank, lessons, tuple(schemes))
    return [
        *(said for row in found.rows for said in _row(row)),
        *(_orphan(one) for one in found.orphans),
        *stale_findings(schemes, today),
    ]


def stale_findings(schemes: Iterable[Scheme], today: date) -> list[str]:
    """The schemes whose job analysis is past its review day."""
    return [
        f"The job analysis of scheme {one.id} was to be reviewed by {one.analysis.review_by.isoformat()}. "
        "Rate its tasks again, write the days and raise the version."
        for one in schemes
        if one.analysis is not None and one.analysis.is_stale(today)
    ]


def _row(row: Row) -> list[str]:
    return [f"Skill {row.skill}: {LACKS[gap]}" for gap in row.gaps]


def _orphan(one: Orphan) -> str:
    return f"The {one.what} {one.name} names the skill {one.skill}, which stands in no list. Use one of skills.yaml."
