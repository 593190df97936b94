"""Commands for people who write content: check every question and lesson, draw an instance to look at."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from hashlib import sha256
from math import isinf
from pathlib import Path

import click

from trainer.benches.catalogue import benches
from trainer.cli.coverage import coverage_findings, known_slips
from trainer.documents import DocumentError, Faults, Place
from trainer.language.admission import Reader, slip_values
from trainer.language.auditing import SAMPLES, Audit, audit
from trainer.language.draws import Instance, NoInstance, draw
from trainer.language.lesson_checks import check_lesson
from trainer.language.lessons import Lesson, Lessons, load_readable_lessons
from trainer.language.loading import content_folder, load_question, load_readable, missing_photos
from trainer.language.prose import plain_text
from trainer.language.questions import NumberTask, Question
from trainer.language.reading_level import level
from trainer.language.rendering import answer_html, show, worked
from trainer.quantities.dimensions import Language, System
from trainer.quantities.writing import write_quantity
from trainer.sites import demo_sheet, read_sheet, site_values
from trainer.sites.sheet import SiteSheet

FOUND, BAD_USE = 1, 2
_site = click.option(
    "--site", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="A site sheet."
)


@click.command()
@_site
@click.option(
    "--samples", default=SAMPLES, show_default=True, help="Draws of a family that is too large to prove."
)
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day a job analysis must still hold; today when left out.",
)
@click.argument("paths", nargs=-1, type=click.Path(exists=True, path_type=Path))
def check(site: Path | None, samples: int, on: datetime | None, paths: Sequence[Path]) -> None:
    """Check questions, lessons and schemes: every fault with its place, every gap, every family's audit.

    Without PATH the built-in content is checked, with a site's numbers (the invented demo wash when none is given).
    PATH is a question file, a folder of question files, or a folder that holds `questions` and `lessons`.
    """
    values = site_values(_sheet(site))
    faults, findings = 0, 0
    for path in paths or [content_folder()]:
        questions, lessons, gaps, found = _load(path, (on or datetime.now(UTC)).date())
        faults += found
        findings += _print_findings(gaps)
        for question in questions:
            findings += _report(question, audit(question, values, samples))
        findings += _report_lessons(lessons)
        _totals(questions, lessons)
    if faults or findings:
        click.echo(f"{faults} faults, {findings} findings.")
        sys.exit(FOUND)


def _sheet(path: Path | None) -> SiteSheet:
    if path is None:
        return demo_sheet()
    try:
        return read_sheet(path.read_text(encoding="utf-8"), path.name)
    except DocumentError as error:
        click.echo(str(error), err=True)
        sys.exit(BAD_USE)


def _load(path: Path, today: date) -> tuple[list[Question], Lessons, list[str], int]:
    """What can be read at a path, the gaps between its parts, and how many faults; each fault is printed."""
    faults, gaps = Faults(), list[str]()
    if (path / "questions").is_dir():
        bank = load_readable(path / "questions", faults)
        questions = list(bank.by_id.values())
        lessons = load_readable_lessons(path / "lessons", bank, faults)
        known_slips(path, bank, faults)
        gaps = coverage_findings(path, bank, lessons, faults, today)
    else:
        files = sorted(path.rglob("*.yaml")) if path.is_dir() else [path]
        questions = [one for one in (_read(file, faults) for file in files) if one is not None]
        lessons = Lessons({})
    for fault in faults.all:
        click.echo(str(fault))
    return questions, lessons, gaps, len(faults)


def _read(path: Path, faults: Faults) -> Question | None:
    try:
        question = load_question(path.read_text(encoding="utf-8"), path.name)
        faults.extend(missing_photos(question, _photos_beside(path, question)))
        return question
    except DocumentError as error:
        faults.extend(error.faults)
    except (OSError, UnicodeDecodeError):
        faults.add(Place(path.name, 1, 1), "The file cannot be read as UTF-8 text.", "Save it as UTF-8.")
    return None


def _photos_beside(path: Path, question: Question) -> list[str]:
    """The photo that a question names, where it lies beside the file and is that very one."""
    if question.photo is None:
        return []
    photo = path.with_name(f"{question.photo.sha256}.jpg")
    return [sha256(photo.read_bytes()).hexdigest()] if photo.is_file() else []


def _report(question: Question, found: Audit) -> int:
    """Print a family's line and every finding; fixed questions have a line only when something is found."""
    if question.is_family:
        click.echo(_line(found))
    elif found.findings:
        click.echo(question.id)
    return _print_findings(found.findings)


def _line(found: Audit) -> str:
    sure = f"{'proved' if found.proved else 'sampled'} {found.draws:,}"
    slip = f"closest slip {found.closest} at {_tolerances(found.tolerances)}" if found.closest else "no slip"
    return f"{found.question:44} {sure:>15}  drawn again {found.rejected:6.1%}  {slip}"


def _tolerances(number: float) -> str:
    return "any distance, exact answer" if isinf(number) or number > 1e6 else f"{number:.1f} tolerances"


def _report_lessons(lessons: Lessons) -> int:
    count = 0
    for lesson in lessons.by_id.values():
        findings = [*check_lesson(lesson), *_unknown_benches(lesson)]
        grade, ease = level(lesson.pages["en"], "en"), level(lesson.pages["es"], "es")
        words = lesson.pages["en"].words
        click.echo(f"{lesson.id:44} {words:4} words  reads at grade {grade:4.1f}, Spanish ease {ease:4.1f}")
        count += _print_findings(findings)
    return count


def _unknown_benches(lesson: Lesson) -> list[str]:
    """Benches that a lesson shows and nobody has built."""
    named = {name for page in lesson.pages.values() for name in page.benches}
    return [
        f"There is no bench `{name}`; there are {', '.join(benches())}."
        for name in sorted(named - set(benches()))
    ]


def _print_findings(findings: Iterable[str]) -> int:
    count = 0
    for finding in findings:
        click.echo(f"    {finding}")
        count += 1
    return count


def _totals(questions: Sequence[Question], lessons: Lessons) -> None:
    families = sum(question.is_family for question in questions)
    fixed = len(questions) - families
    click.echo(
        f"{families} families, {fixed} fixed questions, {len(lessons.by_id)} lessons in two languages."
    )


@click.command("draw")
@click.argument("family")
@click.option(
    "--seed", default="1", show_default=True, help="Any text; the same seed draws the same numbers."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--system", type=click.Choice(["us", "metric"]), default="us", show_default=True)
@_site
def draw_instance(family: str, seed: str, language: Language, system: System, site: Path | None) -> None:
    """Draw an instance of FAMILY, an id or a file, and print question, answer, steps and slips."""
    question = _find(family)
    try:
        instance = draw(question, site_values(_sheet(site)), b"stringline draw", seed, system)
    except NoInstance as none:
        click.echo(str(none), err=True)
        sys.exit(FOUND)
    for line in _told(instance, language):
        click.echo(line)


def _find(family: str) -> Question:
    path = Path(family)
    try:
        if path.suffix == ".yaml" and path.is_file():
            return load_question(path.read_text(encoding="utf-8"), path.name)
        topic, _, name = family.partition(".")
        inside = content_folder() / "questions" / topic / f"{name}.yaml"
        if not family.replace(".", "").replace("_", "").isalnum() or not inside.is_file():
            click.echo(f"{family} is neither a question's id nor a file.", err=True)
            sys.exit(BAD_USE)
        return load_question(inside.read_text(encoding="utf-8"), inside.name)
    except DocumentError as error:
        click.echo(str(error), err=True)
        sys.exit(FOUND)


def _told(instance: Instance, language: Language) -> Iterable[str]:
    shown = show(instance, language)
    if shown.caution:
        yield f"[{shown.caution.word}] {plain_text(shown.caution.html)}"
    yield plain_text(shown.ask)
    for part in shown.parts:
        yield f"  ({part.id}) {plain_text(part.html)}"
    for part in shown.targets:
        yield f"      → ({part.id}) {plain_text(part.html)}"
    if shown.hint:
        yield plain_text(shown.hint)
    if shown.figure:
        numbers = ", ".join(f"{name} {value:.6g}" for name, value in shown.figure.numbers.items())
        yield f"Figure {shown.figure.name} with {numbers} (SI)"
    if shown.photo:
        yield f"Photo {shown.photo.sha256[:12]}: {shown.photo.shows}"
    yield f"= {plain_text(answer_html(instance, language))}"
    yield from (f"  {at}. {plain_text(step)}" for at, step in enumerate(worked(instance, language), 1))
    yield from _slips(instance, language)


def _slips(instance: Instance, language: Language) -> Iterable[str]:
    task = instance.question.task
    if not isinstance(task, NumberTask):
        return
    values = slip_values(task, Reader(instance.values, instance.system))
    for slip in task.slips:
        number = write_quantity(values[slip.id], task.units[instance.system], language)
        because = slip.because[language].html(instance.values, language, instance.system)
        yield f"  slip {slip.id}: {number}: {plain_text(because)}"
