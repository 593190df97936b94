"""Gaps between skills, lessons, questions, slips and schemes, stale job analyses, and `stringline coverage`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path

import click

from trainer.cli.refusals import clear_refusals
from trainer.documents import DocumentError, Faults
from trainer.exams.matrix import Gap, Orphan, Row, matrix
from trainer.exams.reading import load_schemes
from trainer.exams.scheme import Scheme
from trainer.language.known_slips import KnownSlip, load_known_slips
from trainer.language.lessons import Lessons, load_lessons
from trainer.language.loading import SCHEMES_FOLDER, Bank, content_folder, load_bank

LEVELS = (1, 2, 3)
MOST_SKILLS = 2  # of one lesson: a lesson teaches one thing, or two that belong together
SLIPS_FILE = "slips.yaml"
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


def known_slips(content: Path, bank: Bank, faults: Faults) -> tuple[KnownSlip, ...]:
    """The list of slips beside the questions; none where there is no list. Its faults are noted."""
    path = content / "questions" / SLIPS_FILE
    if not path.is_file():
        return ()
    try:
        return load_known_slips(path.read_text(encoding="utf-8"), f"questions/{SLIPS_FILE}", bank)
    except DocumentError as error:
        faults.extend(error.faults)
        return ()


@click.command()
def coverage() -> None:
    """Print how well each skill is covered: its lessons, its questions at each level, its slips.

    A lesson of three or more skills is marked +; a slip that no question knows is named.
    """
    with clear_refusals():
        bank, faults = load_bank(), Faults()
        lessons = load_lessons(bank=bank)
        slips = known_slips(content_folder(), bank, faults)
        faults.raise_if_any()
    click.echo(f"{'skill':34} lesson                              level 1  2  3   slips")
    for skill in bank.skills:
        click.echo(_covered(skill, bank, lessons, [one for one in slips if one.skill == skill]))
        for one in slips:
            if one.skill == skill and not one.told_by:
                click.echo(f"    no question knows: {one.slip}")


def _covered(skill: str, bank: Bank, lessons: Lessons, slips: Sequence[KnownSlip]) -> str:
    taught = " ".join(one.id + "+" * (len(one.skills) > MOST_SKILLS) for one in lessons.of_skill(skill))
    counts = [sum(one.level == level for one in bank.of_skill(skill)) for level in LEVELS]
    told = sum(bool(one.told_by) for one in slips)
    return f"{skill:34} {taught:41} {counts[0]:3}{counts[1]:3}{counts[2]:3} {told:4} of {len(slips)}"
