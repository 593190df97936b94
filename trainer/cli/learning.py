"""`stringline learning`: what a site's people learned, in words or as plain values."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime

import click

from trainer.cli.records import opened
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.exams.reading import load_schemes
from trainer.language.lessons import load_lessons
from trainer.language.loading import SCHEMES_FOLDER, content_folder, load_bank
from trainer.learning.learned import learned
from trainer.learning.learned_document import document
from trainer.learning.learned_telling import tell
from trainer.learning.teller import Teller
from trainer.quantities.dimensions import Language
from trainer.records.queries.learned import history
from trainer.records.queries.people import sites
from trainer.records.queries.questions import bank_at
from trainer.sites.survey.report import Section


@click.command()
@click.argument("site", type=int)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print plain values instead of sentences.")
def learning(site: int, language: Language, as_json: bool) -> None:
    """Print what the people of SITE, its number, learned: gain, forgetting beside the forecast, time to mastery,
    which lesson comes before which slip.

    Nobody is named. Exit status 2 when there is no such site.
    """
    with clear_refusals(), opened() as database, database.snapshot() as db:
        known = dict(sites(db))
        if site not in known:
            raise RefusedError(f"There is no site {site}; there are {', '.join(map(str, known)) or 'none'}.")
        bank, past = bank_at(db, load_bank(), site, pilots=True), history(db, site)
        lessons = load_lessons(bank=bank)
        found = learned(past, bank, lessons, datetime.now(UTC))
    if as_json:
        click.echo(json.dumps(document(found), indent=1))
        return
    schemes = load_schemes(content_folder() / "questions" / SCHEMES_FOLDER)
    exams = {one.id: one.title.say(language) for one in schemes.values()}
    click.echo(known[site])
    for section in tell(found, Teller(language, bank, lessons, exams)):
        for line in _lines(section):
            click.echo(line)


def _lines(section: Section) -> Iterator[str]:
    yield ""
    yield section.title
    yield from (f"- {note}" for note in section.notes)
    for table in section.tables:
        yield f"  {' | '.join(table.heads)}"
        yield from (f"  {' | '.join(row)}" for row in table.rows)
