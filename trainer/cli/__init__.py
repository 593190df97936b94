"""The command `stringline`; each module of this room holds one group of commands."""

import click


@click.group()
def main() -> None:
    """Teach, practise and certify work on photo-eyes of a conveyor wash."""
