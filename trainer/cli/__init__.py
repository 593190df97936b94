"""The command `stringline`; each module of this room holds one group of commands."""

import click

from trainer.cli.calc import calc


@click.group()
def main() -> None:
    """Teach, practise and certify work on photo-eyes of a conveyor wash."""


main.add_command(calc)
