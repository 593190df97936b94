"""`stringline simulate`: how often a scheme passes those who are not up to it, and fails those who are."""

from __future__ import annotations

import json
from pathlib import Path

import click

from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.exams.forms import shortfalls
from trainer.exams.reading import load_schemes, read_scheme
from trainer.exams.scheme import Scheme
from trainer.exams.simulated import simulate as simulated
from trainer.exams.simulated_telling import document, tell
from trainer.language.loading import SCHEMES_FOLDER, Bank, content_folder, load_bank
from trainer.quantities.dimensions import Language


@click.command()
@click.argument("scheme")
@click.option("--learners", type=click.IntRange(1, 1_000_000), default=10_000, show_default=True)
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same result."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print plain values instead of sentences.")
def simulate(scheme: str, learners: int, seed: int, language: Language, as_json: bool) -> None:
    """Try SCHEME, an id or a scheme's file, on invented learners: false passes and false fails, by number of tries.

    A model, not data. Nothing is stored. Exit status 2 when the scheme cannot be read or no form can be made.
    """
    with clear_refusals():
        bank = load_bank()
        tried = _scheme(scheme, bank)
        found = simulated(tried, bank, learners=learners, seed=seed)
    if as_json:
        click.echo(json.dumps(document(found), indent=1))
        return
    critical = any(area.critical for area in tried.areas)
    for line in tell(found, tried.title, language, critical=critical, demanded=tried.mastery != "none"):
        click.echo(line)


def _scheme(named: str, bank: Bank) -> Scheme:
    path = Path(named)
    if path.suffix == ".yaml":
        found = read_scheme(path.read_text(encoding="utf-8"), path.name)
    else:
        schemes = load_schemes(content_folder() / "questions" / SCHEMES_FOLDER)
        if named not in schemes:
            raise RefusedError(f"There is no scheme {named}; there are {', '.join(schemes)}. Or name a file.")
        found = schemes[named]
    unknown = [skill for skill in found.skills if skill not in bank.skills]
    if unknown:
        raise RefusedError(f"{named}: there is no skill {', '.join(unknown)}. Use those of skills.yaml.")
    short = shortfalls(found, bank)
    if short:
        raise RefusedError(
            f"{named}: too few questions in {', '.join(one.area for one in short)}. Lower `items`, or write more."
        )
    return found
