"""The record log: it grows in order, and no change of any entry goes unseen."""

from datetime import timedelta

import pytest

from tests.cast import MONDAY
from trainer.records import log
from trainer.records.database import Database
from trainer.records.migrate import upgrade


@pytest.fixture
def database(database_url):
    made = Database(database_url)
    upgrade(made)
    with made.writing() as db:
        for i in range(5):
            log.append(
                db, at=MONDAY + timedelta(minutes=i), kind="test", by="a", about="b", facts={"n": i, "é": "ñ"}
            )
    yield made
    made.dispose()


def flaws(database):
    with database.reading() as db:
        return [(flaw.seq, flaw.why) for flaw in log.verify(db).flaws]


def change(database, statement):
    with database.writing() as db:
        db.connection().exec_driver_sql(statement)


def test_an_untouched_log_holds(database):
    with database.reading() as db:
        report = log.verify(db)
        assert report.entries == 5 and report.flaws == ()
        assert log.holds(db, report.head) and not log.holds(db, "ab" * 32)


@pytest.mark.parametrize(
    ("statement", "seq"),
    [
        ("UPDATE log_entry SET record = replace(record, '\"n\":2', '\"n\":3') WHERE seq = 3", 3),
        ("UPDATE log_entry SET record = 'no json' WHERE seq = 3", 3),
        ("UPDATE log_entry SET kind = 'other' WHERE seq = 3", 3),
        ("UPDATE log_entry SET \"by\" = 'c' WHERE seq = 3", 3),
        ("UPDATE log_entry SET about = 'c' WHERE seq = 3", 3),
        ("UPDATE log_entry SET at = (SELECT at FROM log_entry WHERE seq = 1) WHERE seq = 3", 3),
        ("UPDATE log_entry SET hash = 'zz' WHERE seq = 3", 3),
        ("DELETE FROM log_entry WHERE seq = 3", 4),
        ("DELETE FROM log_entry WHERE seq = 1", 2),
        ("UPDATE log_entry SET seq = 9 WHERE seq = 5", 9),
    ],
)
def test_every_change_is_named_with_its_entry(database, statement, seq):
    change(database, statement)
    assert seq in {number for number, _ in flaws(database)}


def test_a_log_that_was_cut_at_its_end_shows_against_a_noted_head(database):
    with database.reading() as db:
        noted = log.verify(db).head
    change(database, "DELETE FROM log_entry WHERE seq = 5")
    assert flaws(database) == []
    with database.reading() as db:
        assert not log.holds(db, noted)


def test_an_act_that_fails_leaves_no_entry(database):
    with pytest.raises(ZeroDivisionError), database.writing() as db:
        log.append(db, at=MONDAY, kind="test", by="a", about="b", facts={})
        raise ZeroDivisionError
    with database.reading() as db:
        assert log.verify(db).entries == 5
