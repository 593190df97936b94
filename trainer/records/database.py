"""One database: SQLite or PostgreSQL, how it is opened, read and written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from sqlite3 import Connection as SqliteConnection
from threading import Lock
from typing import Any, TypeVar

from sqlalchemy import Connection, create_engine, event, text
from sqlalchemy.engine import Engine, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.exc import DatabaseError as SqlDatabaseError
from sqlalchemy.orm import Session

from trainer.records.together import Together

# Pages name the session's type from here; SQLAlchemy itself is named in records and acts alone.
__all__ = ["Database", "DatabaseError", "Session"]

# One number that every installation uses for its log's lock; PostgreSQL's advisory locks are per database.
LOG_LOCK = 7_206_962
PATIENCE = 15.0  # how long one writer waits for another [s]
T = TypeVar("T")


class DatabaseError(RuntimeError):
    """A database that cannot be used: where it is, what is wrong, what to do."""

    def __init__(self, where: str, wrong: str, mend: str) -> None:
        super().__init__(f"{where}: {wrong} {mend}")
        self.where, self.wrong, self.mend = where, wrong, mend


class Database:
    """Opens sessions: `reading` never writes, `writing` holds the write lock from its first moment."""

    def __init__(self, url: str) -> None:
        self.engine = _make_engine(url)
        self.is_sqlite = self.engine.dialect.name == "sqlite"
        self.where = self.engine.url.render_as_string(hide_password=True)
        named = self.engine.url.database
        self.file = Path(named) if self.is_sqlite and named and named != ":memory:" else None
        self._writer = self.engine.execution_options(stringline_writes=True)
        # SQLite needs no word for it: without our BEGIN each statement stands alone.
        alone = {} if self.is_sqlite else {"isolation_level": "AUTOCOMMIT"}
        self._glancer = self.engine.execution_options(stringline_glances=True, **alone)
        self._turn = Lock()
        self._gathered = Together(self._my_turn, self._open)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session for queries; whatever it changed is thrown away."""
        with self._clear_errors(), Session(self.engine, expire_on_commit=False) as session:
            yield session
            session.rollback()

    @contextmanager
    def glance(self) -> Iterator[Connection]:
        """A connection for one statement that reads: without a transaction around it, it costs half."""
        with self._clear_errors(), self._glancer.connect() as connection:
            yield connection

    @contextmanager
    def snapshot(self) -> Iterator[Session]:
        """A session that sees one state of the records throughout, whatever people write meanwhile."""
        with self.reading() as session:
            if not self.is_sqlite:
                session.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY"))
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that commits on a clean exit. Writers come one after another: the log is one chain."""
        with self._my_turn(), self._open() as session:
            yield session

    def write_together(self, work: Callable[[Session], T]) -> T:
        """Do a short piece of work in a transaction that it may share with others that wait; see `Together.do`."""
        return self._gathered.do(work)

    @contextmanager
    def _my_turn(self) -> Iterator[None]:
        """One writer of this process at a time: the database's own waiting is slow and knows no order.

        Whoever waits too long goes on, and the database says what is wrong.
        """
        mine = self._turn.acquire(timeout=PATIENCE)
        try:
            yield
        finally:
            if mine:
                self._turn.release()

    @contextmanager
    def _open(self) -> Iterator[Session]:
        with self._clear_errors(), Session(self._writer, expire_on_commit=False) as session, session.begin():
            if not self.is_sqlite:
                session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": LOG_LOCK})
            yield session

    def dispose(self) -> None:
        """Close every connection."""
        self.engine.dispose()

    @contextmanager
    def _clear_errors(self) -> Iterator[None]:
        try:
            yield
        except SqlDatabaseError as error:
            # SQLite says with the plain class that a file is no database or is damaged.
            if isinstance(error, OperationalError) or type(error) is SqlDatabaseError:
                raise _explained(self.where, error) from error
            raise


def _make_engine(url: str) -> Engine:
    try:
        parsed = make_url(url)
    except ArgumentError:
        raise DatabaseError(
            "DATABASE_URL",
            "it is not a database address.",
            "Write sqlite:///FILE or postgresql+psycopg://USER@HOST/NAME.",
        ) from None
    if parsed.get_backend_name() == "postgresql":
        return create_engine(parsed.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    if parsed.get_backend_name() != "sqlite":
        raise DatabaseError(
            "DATABASE_URL", f"I do not know {parsed.get_backend_name()}.", "Use SQLite or PostgreSQL."
        )
    if parsed.database and parsed.database != ":memory:" and not Path(parsed.database).parent.is_dir():
        raise DatabaseError(
            parsed.database, "its folder does not exist.", "Make the folder, or set STRINGLINE_DATA_FOLDER."
        )
    engine = create_engine(parsed, connect_args={"timeout": PATIENCE})
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_pragmas(connection: SqliteConnection, _record: Any) -> None:
    # The driver's own BEGIN comes too late for a writer, so it is switched off and _begin sends it.
    connection.isolation_level = None
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=15000"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    options = connection.get_execution_options()
    if not options.get("stringline_glances", False):
        writes = options.get("stringline_writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _explained(where: str, error: DBAPIError) -> DatabaseError:
    said = str(error.orig).strip().splitlines()[0] if str(error.orig).strip() else type(error.orig).__name__
    mends = {
        "locked": "Another program holds it. Stop that program, or try again in a moment. Nothing was written.",
        "full": "The disk is full. Free some space and try again. Nothing was written.",
        "readonly": "Give this user the right to write the file and its folder.",
        "unable to open": "Check that the folder exists and that this user may write in it.",
        "not a database": "Check DATABASE_URL, or put back a backup of the file.",
        "malformed": "The file is damaged. Keep a copy of it and put back a backup.",
        "no such table": "Run `stringline prepare` to bring the database up to date.",
        "does not exist": "Run `stringline prepare`, or check the name in DATABASE_URL.",
        "refused": "Start the database server, or check DATABASE_URL.",
        "connection": "Start the database server, or check DATABASE_URL.",
    }
    mend = next((mend for word, mend in mends.items() if word in said), "Nothing was written; try again.")
    return DatabaseError(where, f"{said}.", mend)
