"""Writes that share a transaction: on disk when they return, alone in their failures, one chain with the rest."""

import sqlite3
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import event, func, select

from tests.cast import MONDAY
from trainer.records import log
from trainer.records.database import Database, DatabaseError
from trainer.records.migrate import upgrade
from trainer.records.tables import LogEntry


@pytest.fixture
def database(database_url):
    made = Database(database_url)
    upgrade(made)
    yield made
    made.dispose()


def append(name):
    def work(db):
        log.append(db, at=MONDAY, kind="test", by=name, about="b", facts={})
        return name

    return work


def kept(database):
    with database.reading() as db:
        assert log.verify(db).flaws == ()
        return set(db.scalars(select(LogEntry.by)))


def at_once(database, works):
    """Do them all while a writer holds the turn, so that they wait together."""
    commits = []
    event.listen(database.engine, "commit", lambda _: commits.append(1))
    with ThreadPoolExecutor(len(works)) as pool:
        with database._my_turn():
            waiting = [pool.submit(database.write_together, work) for work in works]
            while len(database._gathered._waiting) < len(works):
                threading.Event().wait(0.001)
            before = len(commits)
        results = [one.exception() or one.result() for one in waiting]
    return results, len(commits) - before


def test_whoever_waits_together_is_written_together(database):
    names = [f"n{number}" for number in range(8)]
    results, commits = at_once(database, [append(name) for name in names])
    assert results == names
    assert kept(database) == set(names)
    assert commits == 1


def test_one_that_fails_takes_nobody_along(database):
    def breaks(db):
        append("lost")(db)
        raise ValueError("mine alone")

    results, _ = at_once(database, [append("a"), breaks, append("b")])
    assert (results[0], results[2]) == ("a", "b")
    assert isinstance(results[1], ValueError)
    assert kept(database) == {"a", "b"}


def test_what_returned_is_there_for_everybody_else(database):
    for number in range(5):
        database.write_together(append(f"n{number}"))
        assert len(kept(database)) == number + 1


def test_alone_and_together_are_one_chain(database):
    def alone(name):
        with database.writing() as db:
            append(name)(db)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda n: database.write_together(append(f"t{n}")), range(20)))
        list(pool.map(lambda n: alone(f"a{n}"), range(20)))
    assert len(kept(database)) == 40
    with database.reading() as db:
        assert db.scalar(select(func.max(LogEntry.seq))) == 40


def test_a_database_that_is_held_elsewhere_is_told_to_each(tmp_path):
    made = Database(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    upgrade(made)
    event.listen(made.engine, "connect", lambda c, _record: c.execute("PRAGMA busy_timeout = 50"))
    made.dispose()
    holder = sqlite3.connect(tmp_path / "wash.sqlite3", isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with ThreadPoolExecutor(3) as pool:
        for one in [pool.submit(made.write_together, append(str(n))) for n in range(3)]:
            assert isinstance(one.exception(), DatabaseError)
    holder.execute("ROLLBACK")
    holder.close()
    assert made.write_together(append("after")) == "after"
    made.dispose()
