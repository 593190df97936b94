"""What is kept of benches: its order, its statements, in the backup, in the export, in a database of before."""

from contextlib import contextmanager
from datetime import UTC, timedelta

import pytest
from sqlalchemy import event, select, text

from tests.cast import MONDAY, make_cast
from trainer.records.backup import restore_backup, write_backup
from trainer.records.database import Database
from trainer.records.export import exported_tables
from trainer.records.migrate import require_current, upgrade
from trainer.records.queries import benches as queries
from trainer.records.tables import Base, BenchAct, BenchGiven, BenchRun, Person

HOUR = timedelta(hours=1)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    yield made
    made.database.dispose()


def make_run(cast, public_id, person=None, **facts):
    """A stored run; with `points` one that has ended an hour later."""
    usual = {
        "bench": "beam", "version": 1, "fixed": '{"level":"1"}', "system": "us", "sheet_version": 1,
        "digest": "0" * 64, "lesson": None, "started_at": MONDAY,
    }  # fmt: skip
    if "points" in facts:
        failed = facts.setdefault("failed", False)
        facts = {"ended_at": MONDAY + HOUR, "passed": facts["points"] >= 80 and not failed, **facts}
    with cast.database.writing() as db:
        row = BenchRun(public_id=public_id, person_id=person or cast.ana, **{**usual, **facts})
        db.add(row)
        db.flush()
        return row.id


def make_given(cast, public_id, person=None, **facts):
    usual = {
        "site_id": cast.site, "given_by_id": cast.tom, "bench": "beam", "fixed": '{"level":"2"}', "note": "ñ",
        "sheet_version": 1, "given_at": MONDAY,
    }  # fmt: skip
    with cast.database.writing() as db:
        row = BenchGiven(public_id=public_id, person_id=person or cast.ana, **{**usual, **facts})
        db.add(row)
        db.flush()
        return row.id


def make_acts(cast, run, count):
    """Acts stored with the last one first, so that their order is not that of their rows."""
    with cast.database.writing() as db:
        for number in range(count, 0, -1):
            db.add(BenchAct(run_id=run, number=number, document=f'{{"n":{number}}}', received_at=MONDAY))
            db.flush()


@contextmanager
def counted(database):
    """The queries that reach the database, beside the transaction's own."""
    said: list[str] = []
    event.listen(database.engine, "before_cursor_execute", record := lambda *args: said.append(args[2]))
    yield said
    event.remove(database.engine, "before_cursor_execute", record)
    said[:] = [one for one in said if one.startswith("SELECT")]


def asked(cast, query, *arguments, statements=1):
    with cast.database.reading() as db, counted(cast.database) as said:
        found = query(db, *arguments)
    assert len(said) == statements, said
    return found


def ids(found):
    return [one.public_id for one in found]


def test_a_run_comes_with_its_acts_in_order_by_two_statements(cast):
    make_acts(cast, make_run(cast, "one", points=85), 12)
    make_acts(cast, make_run(cast, "two"), 3)
    kept = asked(cast, queries.run, "one", statements=2)
    assert kept.acts == tuple(f'{{"n":{number}}}' for number in range(1, 13))
    assert (kept.facts.played, kept.facts.points, kept.facts.passed) == (12, 85, True)
    assert kept.facts.ended_at == MONDAY + HOUR and kept.facts.ended_at.tzinfo is UTC
    assert asked(cast, queries.run, "none") is None


def test_lists_are_newest_first_one_statement_and_within_their_person_and_site(cast):
    for number in range(5):
        make_run(cast, f"a{number}", started_at=MONDAY + number * HOUR)
    make_run(cast, "t", cast.tom, started_at=MONDAY + 9 * HOUR)
    make_run(cast, "o", cast.otto, started_at=MONDAY + 9 * HOUR)
    assert ids(asked(cast, queries.runs_of, cast.ana)) == ["a4", "a3", "a2", "a1", "a0"]
    assert ids(asked(cast, queries.runs_of, cast.ana, 2)) == ["a4", "a3"]
    assert ids(asked(cast, queries.site_runs, cast.site, 3)) == ["t", "a4", "a3"]
    assert ids(asked(cast, queries.site_runs, cast.other_site)) == ["o"]
    with cast.database.writing() as db:
        db.get_one(Person, cast.ana).left_at = MONDAY
    assert ids(asked(cast, queries.site_runs, cast.site)) == ["t"]


def test_the_open_run_is_the_newest_of_practice_or_of_the_task(cast):
    task = make_given(cast, "g")
    make_run(cast, "old"), make_run(cast, "new", started_at=MONDAY + HOUR)
    make_run(cast, "ended", points=10, started_at=MONDAY + 2 * HOUR)
    make_run(cast, "other", bench="delay", started_at=MONDAY + 2 * HOUR)
    make_run(cast, "task", given_id=task)
    assert asked(cast, queries.open_run, cast.ana, "beam").public_id == "new"
    assert asked(cast, queries.open_run, cast.ana, "beam", task).public_id == "task"
    assert asked(cast, queries.open_run, cast.tom, "beam") is None


def test_the_best_points_are_those_of_ended_runs_that_did_not_fail(cast):
    make_run(cast, "a", points=62), make_run(cast, "b", points=91), make_run(cast, "c", points=70)
    make_run(cast, "d", points=99, failed=True), make_run(cast, "e")
    make_run(cast, "f", bench="delay", points=0), make_run(cast, "g", bench="aiming")
    make_run(cast, "h", cast.tom, points=100)
    assert asked(cast, queries.best_points, cast.ana) == {"beam": 91, "delay": 0}


def test_given_tasks_stand_newest_first_with_how_far_they_are_in_one_statement(cast):
    tried = make_given(cast, "tried")
    make_given(cast, "new", given_at=MONDAY + HOUR, due_at=MONDAY + 9 * HOUR)
    make_given(cast, "back", given_at=MONDAY + 2 * HOUR, withdrawn_at=MONDAY + 3 * HOUR)
    make_given(cast, "tom's", cast.tom, given_at=MONDAY - HOUR)
    make_run(cast, "a", given_id=tried, points=95, failed=True)
    make_run(cast, "b", given_id=tried, points=81, ended_at=MONDAY + 5 * HOUR)
    make_run(cast, "c", given_id=tried, points=93, ended_at=MONDAY + 7 * HOUR)
    make_run(cast, "d", given_id=tried), make_run(cast, "not of it", points=100)
    new, done = asked(cast, queries.given_to, cast.ana)
    assert (new.public_id, new.runs, new.best, new.passed_at, new.open_run) == ("new", 0, None, None, None)
    assert (done.public_id, done.runs, done.best, done.open_run) == ("tried", 3, 93, "d")
    assert done.passed_at == MONDAY + 5 * HOUR and done.passed_at.tzinfo is UTC
    assert (done.person, done.given_by, done.options) == ("Ana Ruiz", "Tom Becker", {"level": "2"})
    assert ids(asked(cast, queries.given_by_site, cast.site)) == ["back", "new", "tried", "tom's"]
    assert asked(cast, queries.given_by_site, cast.other_site) == []
    assert asked(cast, queries.given_task, "back").withdrawn_at == MONDAY + 3 * HOUR
    assert asked(cast, queries.given_task, "none") is None


def filled(cast):
    task = make_given(cast, "g", due_at=MONDAY + HOUR)
    make_acts(cast, make_run(cast, "one", points=85, given_id=task, lesson="beam.height"), 4)
    make_acts(cast, make_run(cast, "two", cast.otto), 2)


def rows(database):
    with database.reading() as db:
        return {
            name: [tuple(row) for row in db.execute(select(table).order_by(table.c.id))]
            for name, table in Base.metadata.tables.items()
            if name.startswith("bench_")
        }


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_backup_keeps_runs_acts_and_tasks_and_work_goes_on(cast, tmp_path, kind, request):
    filled(cast)
    write_backup(cast.database, tmp_path / "copy")
    sqlite = f"sqlite:///{tmp_path / 'new.sqlite3'}"
    other = Database(sqlite if kind == "sqlite" else request.getfixturevalue("another_postgresql"))
    restore_backup(other, tmp_path / "copy")
    kept = rows(other)
    assert kept == rows(cast.database)
    assert {name: len(found) for name, found in kept.items()} == {
        "bench_given": 1, "bench_run": 2, "bench_act": 6,
    }  # fmt: skip
    with other.writing() as db:
        db.add(BenchAct(run_id=2, number=3, document="{}", received_at=MONDAY))
    with other.reading() as db:
        assert len(queries.run(db, "two").acts) == 3
    other.dispose()


@pytest.fixture
def another_postgresql(postgresql_server):
    name = postgresql_server.make_database()
    yield postgresql_server.url(name)
    postgresql_server.drop_database(name)


def test_a_site_gets_its_own_runs_acts_and_tasks(cast):
    filled(cast)
    with cast.database.reading() as db:
        ours, theirs = (dict(exported_tables(db, site)) for site in (cast.site, cast.other_site))
    assert [row["public_id"] for row in ours["bench_run"]] == ["one"]
    assert sorted(row["number"] for row in ours["bench_act"]) == [1, 2, 3, 4]
    assert [row["note"] for row in ours["bench_given"]] == ["ñ"]
    assert [row["public_id"] for row in theirs["bench_run"]] == ["two"]
    assert (len(theirs["bench_act"]), theirs["bench_given"]) == (2, [])


def test_a_database_of_before_benches_is_brought_up_to_date_and_keeps_its_people(database_url):
    database = Database(database_url)
    upgrade(database, "0002")
    with database.writing() as db:
        db.execute(text("INSERT INTO site (id, name, time_zone) VALUES (1, 'Plumb Lane Wash', 'UTC')"))
    upgrade(database)
    require_current(database)
    with database.reading() as db:
        assert db.scalar(text("SELECT name FROM site")) == "Plumb Lane Wash"
    assert rows(database) == {"bench_given": [], "bench_run": [], "bench_act": []}
    database.dispose()
