"""`stringline heads`, `prove-entry`, `prove-growth`: what signed heads of the record log show, as JSON to hand on."""

from __future__ import annotations

import json
from dataclasses import asdict

import click

from trainer.cli.records import opened
from trainer.cli.refusals import RefusedError
from trainer.records.heads import kept_heads
from trainer.records.heads import prove_entry as entry_proof
from trainer.records.heads import prove_growth as growth_proof


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of a table.")
def heads(*, as_json: bool) -> None:
    """List every signed head of the record log, oldest first."""
    with opened() as database, database.reading() as db:
        kept = kept_heads(db)
    if as_json:
        click.echo(json.dumps([asdict(one) for one in kept], indent=1))
        return
    for one in kept:
        click.echo(f"{one.number:>6}  {one.at}  {one.size:>8} entries  root {one.root}")
    click.echo(f"{len(kept)} heads")


@click.command("prove-entry")
@click.argument("seq", type=int)
def prove_entry(seq: int) -> None:
    """Print what shows that entry SEQ stands in the record log: the entry, the path to the root, the signed head.

    Whoever holds it needs no other entry. Source: RFC 6962, section 2.1.1.
    """
    with opened() as database, database.reading() as db:
        shown = entry_proof(db, seq)
    if shown is None:
        raise RefusedError(
            f"SEQ {seq}: no signed head counts such an entry. See `stringline heads`; one is signed each day."
        )
    click.echo(json.dumps(asdict(shown), ensure_ascii=False, indent=1))


@click.command("prove-growth")
@click.argument("earlier", type=int)
@click.argument("later", type=int)
def prove_growth(earlier: int, later: int) -> None:
    """Print what shows that head number LATER holds every entry of head number EARLIER unchanged.

    Source: RFC 6962, section 2.1.2.
    """
    with opened() as database, database.reading() as db:
        shown = growth_proof(db, earlier, later)
    if shown is None:
        raise RefusedError(
            f"{earlier} {later}: name two kept heads, the earlier one first. See `stringline heads`."
        )
    old, new, proof = shown
    click.echo(json.dumps({"earlier": asdict(old), "later": asdict(new), "proof": proof}, indent=1))
