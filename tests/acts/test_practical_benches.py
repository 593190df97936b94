"""Bench runs shown with a practical: whose, how many, kept, logged, in the backup and the export."""

import json
from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.acts.certified import ALL_MET, CRITICAL, Way, new_id
from tests.cast import MONDAY, make_cast
from tests.records.test_benches_queries import make_run
from trainer.access.refusal import Refused
from trainer.acts.sentences import SENTENCES
from trainer.certificates.decision import MOST_BENCHES
from trainer.records.backup import restore_backup, write_backup
from trainer.records.database import Database
from trainer.records.export import exported_tables
from trainer.records.migrate import upgrade
from trainer.records.queries import benches as queries
from trainer.records.tables import LogEntry, Practical, PracticalBench

HOUR = timedelta(hours=1)


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


def run(way, person=None, points=90, **facts):
    """An ended run of a bench; gives its public id."""
    public_id = new_id()
    make_run(way.cast, public_id, person, points=points, **facts)
    return public_id


def shown(way, practical):
    with way.cast.database.reading() as db:
        return [one.public_id for one in queries.runs_of_practical(db, practical)]


def signed(way):
    with way.cast.database.reading() as db:
        records = db.scalars(select(LogEntry.record).where(LogEntry.kind.startswith("practical.")))
        return [json.loads(one)["facts"] for one in records]


def test_runs_that_were_ticked_are_kept_and_named_in_the_log(way):
    older, newer = run(way), run(way, ended_at=MONDAY + 2 * HOUR)
    run(way)
    practical = way.practical(benches=(older, newer))
    assert shown(way, practical) == [newer, older]
    assert signed(way)[0]["benches"] == [older, newer]
    for language in ("en", "es"):
        assert SENTENCES["log.practical.passed"].say(language, **signed(way)[0])


def test_a_practical_needs_none(way):
    run(way)
    practical = way.practical()
    assert (shown(way, practical), signed(way)[0]["benches"]) == ([], [])


def test_a_bench_replaces_no_step(way):
    best = run(way, points=100)
    way.practical(benches=(best,), marks={**ALL_MET, CRITICAL: "not_met"})
    with way.cast.database.reading() as db:
        assert db.scalars(select(Practical.passed)).one() is False
    lacking = {step: mark for step, mark in ALL_MET.items() if step != CRITICAL}
    assert way.practical(benches=(best,), marks=lacking) == Refused(("practical.unanswered",))


def test_a_poor_run_may_be_shown_too(way):
    poor = run(way, points=12, failed=True)
    assert shown(way, way.practical(benches=(poor,))) == [poor]


def test_runs_of_others_open_ones_and_unknown_ones_are_refused(way):
    mine, toms = run(way), run(way, way.cast.tom)
    going_on = new_id()
    make_run(way.cast, going_on)
    not_theirs = Refused(("practical.bench_not_theirs",))
    assert way.practical(benches=(mine, toms)) == not_theirs
    assert way.practical(benches=(run(way, way.cast.otto),)) == not_theirs
    for unknown in (new_id(), "", "\0", "\ud800", "x" * 5000):
        assert way.practical(benches=(unknown,)) == not_theirs
    assert way.practical(benches=(mine, going_on)) == Refused(("practical.bench_open",))
    both = Refused(("practical.bench_not_theirs", "practical.bench_open"))
    assert way.practical(benches=(toms, going_on)) == both
    assert signed(way) == []


def test_more_than_ten_are_refused_and_one_ticked_twice_is_one(way):
    ten = [run(way) for _ in range(MOST_BENCHES)]
    assert MOST_BENCHES == 10
    assert way.practical(benches=(*ten, run(way))) == Refused(("practical.too_many_benches",))
    practical = way.practical(benches=(*ten, ten[0]))
    assert sorted(shown(way, practical)) == sorted(ten)


def test_a_double_click_keeps_them_once(way):
    once, mine = new_id(), run(way)
    assert way.practical(public_id=once, benches=(mine,)) == way.practical(public_id=once, benches=(mine,))
    with way.cast.database.reading() as db:
        assert len(db.scalars(select(PracticalBench.id)).all()) == 1


def test_one_run_may_support_two_practicals(way):
    mine = run(way)
    for machine in (way.cast.conveyor, way.cast.dryer):
        assert shown(way, way.practical(machine=machine, benches=(mine,))) == [mine]


def test_a_person_s_ended_runs_come_newest_first(way):
    runs = [run(way, ended_at=MONDAY + hours * HOUR) for hours in (3, 1, 2)]
    make_run(way.cast, new_id())
    run(way, way.cast.tom)
    with way.cast.database.reading() as db:
        assert [one.public_id for one in queries.ended_runs(db, way.cast.ana, 2)] == [runs[0], runs[2]]


def test_backup_and_export_hold_them(way, tmp_path):
    mine = run(way)
    practical = way.practical(benches=(mine,))
    write_backup(way.cast.database, tmp_path / "copy")
    other = Database(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    restore_backup(other, tmp_path / "copy")
    with other.reading() as db:
        assert [one.public_id for one in queries.runs_of_practical(db, practical)] == [mine]
        ours = dict(exported_tables(db, way.cast.site))["practical_bench"]
        theirs = dict(exported_tables(db, way.cast.other_site))["practical_bench"]
    assert (len(ours), theirs) == (1, [])
    other.dispose()


def test_a_database_of_before_gets_the_table(tmp_path):
    database = Database(f"sqlite:///{tmp_path / 'old.sqlite3'}")
    upgrade(database, "0003")
    upgrade(database)
    with database.reading() as db:
        assert db.scalars(select(PracticalBench)).all() == []
    database.dispose()
