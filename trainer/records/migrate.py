"""Brings a database to the newest tables; Alembic set up in code so that an installed wheel can do it too."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config as AlembicConfig
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.util import CommandError

from trainer.records.database import Database, DatabaseError

FOLDER = Path(__file__).parent / "migrations"


def alembic_config() -> AlembicConfig:
    """Alembic's settings, without a file."""
    config = AlembicConfig()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    return config


def upgrade(database: Database, revision: str = "head") -> None:
    """Bring the tables to `revision`; safe to repeat."""
    with database.writing() as session:
        config = alembic_config()
        config.attributes["connection"] = session.connection()
        try:
            command.upgrade(config, revision)
        except CommandError as error:
            raise DatabaseError(
                database.where,
                f"its tables were made by another program ({error}).",
                "Use the program that made it.",
            ) from error


def revision_of(database: Database) -> str | None:
    """At which revision the tables are; None when there are none. Looking makes no file."""
    if database.file is not None and not database.file.exists():
        return None
    with database.reading() as session:
        return MigrationContext.configure(session.connection()).get_current_revision()


def require_current(database: Database) -> None:
    """Refuse a database whose tables are older or newer than this program. Raises DatabaseError."""
    newest, current = ScriptDirectory.from_config(alembic_config()).get_current_head(), revision_of(database)
    if current is None:
        raise DatabaseError(
            database.where, "there are no records yet.", "Run `stringline prepare` once to make the tables."
        )
    if current != newest:
        raise DatabaseError(
            database.where,
            f"its tables are at {current}, this program needs {newest}.",
            "Run `stringline prepare` (it keeps what is there); make a backup first.",
        )
