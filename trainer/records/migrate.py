"""Brings a database to the newest tables; Alembic set up in code so that an installed wheel can do it too."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config as AlembicConfig
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

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
        command.upgrade(config, revision)


def require_current(database: Database) -> None:
    """Refuse a database whose tables are older or newer than this program. Raises DatabaseError."""
    newest = ScriptDirectory.from_config(alembic_config()).get_current_head()
    with database.reading() as session:
        current = MigrationContext.configure(session.connection()).get_current_revision()
    if current != newest:
        raise DatabaseError(
            database.where,
            f"its tables are at {current or 'nothing'}, this program needs {newest}.",
            "Run `stringline prepare` (it keeps what is there); make a backup first.",
        )
