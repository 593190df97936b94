"""`stringline statistics`: which questions misbehave at a site, and how far its exams can be trusted."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime

import click

from trainer.cli.records import opened
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.exams.question_review import Review, look, review_document
from trainer.exams.reading import load_schemes
from trainer.exams.review_reasons import why
from trainer.exams.review_telling import VERDICTS, how_right, scheme_lines
from trainer.exams.scheme import Scheme
from trainer.language.lessons import load_lessons
from trainer.language.loading import SCHEMES_FOLDER, content_folder, load_bank
from trainer.learning.teller import Teller
from trainer.quantities.dimensions import Language
from trainer.records.queries.people import sites
from trainer.records.queries.questions import bank_at
from trainer.records.queries.statistics import material, on_trial
from trainer.statistics.flags import Verdict

TOLD: tuple[Verdict, ...] = ("out", "watch")


@click.command()
@click.argument("site", type=int)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--every", is_flag=True, help="Print every question, not only those that misbehave.")
@click.option("--json", "as_json", is_flag=True, help="Print plain values instead of sentences.")
def statistics(site: int, language: Language, every: bool, as_json: bool) -> None:
    """Print how the questions of SITE, its number, hold up: what misbehaves and why, and how far exams can be trusted.

    It looks and flags nothing; the program itself looks once a day and flags. Answers of exams count as far as the
    program has looked at them. Exit status 2 when there is no such site.
    """
    with clear_refusals(), opened() as database, database.snapshot() as db:
        known = dict(sites(db))
        if site not in known:
            raise RefusedError(f"There is no site {site}; there are {', '.join(map(str, known)) or 'none'}.")
        schemes = load_schemes(content_folder() / "questions" / SCHEMES_FOLDER)
        bank, now = bank_at(db, load_bank(), site, pilots=False), datetime.now(UTC)
        seen = look(material(db, site, bank, now), bank, on_trial(db, site), schemes, now)
    if as_json:
        click.echo(json.dumps(review_document(seen), indent=1))
        return
    click.echo(known[site])
    for line in _lines(seen, schemes, Teller(language, bank, load_lessons(bank=bank), {}), every=every):
        click.echo(line)


def _lines(seen: Review, schemes: dict[str, Scheme], to: Teller, *, every: bool) -> Iterator[str]:
    for verdict, title in VERDICTS.items():
        mine = [one for one in seen.questions if one.judgement.judged.verdict == verdict]
        yield ""
        yield f"{title.say(to.language)}: {len(mine)}"
        for one in mine if every or verdict in TOLD else ():
            yield f"- {one.question}, {how_right(one, to)}"
            for reason in one.judgement.judged.reasons:
                yield "  " + " ".join(why(reason, to))
    for scheme in seen.schemes:
        yield ""
        yield schemes[scheme.scheme].title.say(to.language)
        yield from (f"- {line}" for line in scheme_lines(scheme, to))
