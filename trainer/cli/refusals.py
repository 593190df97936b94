"""What goes wrong on the command line, in one clear line on standard error, exit status 2, no traceback."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Any

import click

from trainer.config import ConfigError
from trainer.documents import DocumentError
from trainer.records.database import DatabaseError


class RefusedError(click.ClickException):
    """A command that cannot be carried out: where, what is wrong, what to do."""

    exit_code = 2

    def show(self, file: IO[Any] | None = None) -> None:
        """One line a reason."""
        for line in self.message.splitlines():
            click.echo(f"stringline: {line}", file=file, err=file is None)


@contextmanager
def clear_refusals() -> Iterator[None]:
    """Turn what the rooms below raise into lines that name the place and the mend."""
    try:
        yield
    except (ConfigError, DatabaseError, DocumentError) as error:
        raise RefusedError(str(error)) from error
    except OSError as error:
        where = error.filename or "the system"
        raise RefusedError(
            f"{where}: {(error.strerror or str(error)).lower()}. Check that it is there and that this user may write."
        ) from error
