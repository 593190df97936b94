"""The command `stringline`; each module of this room holds one group of commands."""

import click

from trainer.cli.calc import calc
from trainer.cli.certificates import verify_certificate
from trainer.cli.content import check, draw_instance
from trainer.cli.coverage import coverage
from trainer.cli.heads import heads, prove_entry, prove_growth
from trainer.cli.keys import keys
from trainer.cli.learning import learning
from trainer.cli.people import site, user
from trainer.cli.preparing import prepare
from trainer.cli.records import backup, export, restore, verify_log
from trainer.cli.serve import run
from trainer.cli.simulate import simulate
from trainer.cli.statistics import statistics
from trainer.cli.survey import survey


@click.group()
def main() -> None:
    """Teach, practise and certify work on photo-eyes of a conveyor wash."""


main.add_command(calc)
main.add_command(prepare)
main.add_command(run)
main.add_command(site)
main.add_command(user)
main.add_command(check)
main.add_command(coverage)
main.add_command(draw_instance)
main.add_command(survey)
main.add_command(simulate)
main.add_command(learning)
main.add_command(statistics)
main.add_command(verify_certificate)
main.add_command(keys)
main.add_command(verify_log)
main.add_command(heads)
main.add_command(prove_entry)
main.add_command(prove_growth)
main.add_command(backup)
main.add_command(restore)
main.add_command(export)
