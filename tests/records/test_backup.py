"""Backups: whole, consistent while people write, restored into either kind of database, refused when broken."""

import hashlib
import json
from pathlib import Path

import pytest
from sqlalchemy import inspect, select, text

from tests.cast import MONDAY, make_cast
from trainer.acts.learning import read_lesson
from trainer.acts.measuring import note_measurement
from trainer.records import backup as backup_module
from trainer.records import log
from trainer.records.backup import BackupError, restore_backup, write_backup
from trainer.records.database import Database
from trainer.records.migrate import require_current, upgrade
from trainer.records.queries import people
from trainer.records.tables import Base
from trainer.sites.measuring import Taken


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    with made.database.reading() as db:
        ana = people.member(db, made.ana)
    for name in ("one", "two"):
        read_lesson(made.database, member=ana, lesson=name, own_bay="ñ = 3", now=MONDAY)
    half_done = Taken("measured", "11' 10 1/2\"")
    note_measurement(
        made.database,
        site_id=made.site,
        by=made.tom,
        field="bay.width",
        taken=half_done,
        revision=0,
        now=MONDAY,
    )
    yield made
    made.database.dispose()


def everything(database):
    with database.reading() as db:
        return {
            table.name: [tuple(row) for row in db.execute(select(table).order_by(*table.primary_key.columns))]
            for table in Base.metadata.sorted_tables
        }


def test_a_backup_restores_every_row_into_sqlite(cast, tmp_path):
    done = write_backup(cast.database, tmp_path / "copy")
    other = Database(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    assert restore_backup(other, tmp_path / "copy") == done
    assert everything(other) == everything(cast.database)
    other.dispose()


@pytest.fixture
def empty_postgresql(postgresql_server):
    name = postgresql_server.make_database()
    yield postgresql_server.url(name)
    postgresql_server.drop_database(name)


def test_a_backup_of_either_restores_into_postgresql_and_goes_on(cast, tmp_path, empty_postgresql):
    write_backup(cast.database, tmp_path / "copy")
    other = Database(empty_postgresql)
    restore_backup(other, tmp_path / "copy")
    assert everything(other) == everything(cast.database)
    with other.reading() as db:
        ana = people.member(db, cast.ana)
    read_lesson(other, member=ana, lesson="three", own_bay="", now=MONDAY)
    with other.reading() as db:
        assert log.verify(db).flaws == ()
    other.dispose()


def test_what_is_written_meanwhile_is_not_half_in_it(cast, tmp_path, monkeypatch):
    real = backup_module._plain
    with cast.database.reading() as db:
        ana = people.member(db, cast.ana)
    written = []

    def writes_once(value):
        if not written:
            written.append(True)
            read_lesson(cast.database, member=ana, lesson="meanwhile", own_bay="", now=MONDAY)
        return real(value)

    monkeypatch.setattr(backup_module, "_plain", writes_once)
    before = len(everything(cast.database)["lesson_read"])
    done = write_backup(cast.database, tmp_path / "copy")
    assert written and done.log_entries == before
    other = Database(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    restore_backup(other, tmp_path / "copy")
    assert len(everything(other)["lesson_read"]) == before
    other.dispose()


def older_backup(cast, path):
    """The backup that the first program would have written of the same people; gives the tables that it knew."""
    write_backup(cast.database, path)
    lines = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    before = Database(f"sqlite:///{path}.before")
    upgrade(before, "0001")
    tables = inspect(before.engine)
    then = {name: {one["name"] for one in tables.get_columns(name)} for name in tables.get_table_names()}
    kept = [line for line in lines[:-1] if line.get("table", "person") in then]
    kept[0]["revision"] = "0001"
    for line in kept[1:]:
        line["row"] = {name: value for name, value in line["row"].items() if name in then[line["table"]]}
    before.dispose()
    text = "".join(backup_module._line(line) for line in kept)
    end = {"end": True, "lines": len(kept), "sha256": hashlib.sha256(text.encode()).hexdigest()}
    path.write_text(text + backup_module._line(end), "utf-8")
    return set(then)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_backup_of_an_older_program_restores_and_is_brought_up_to_date(cast, tmp_path, kind, request):
    then = older_backup(cast, tmp_path / "copy")
    sqlite = f"sqlite:///{tmp_path / 'new.sqlite3'}"
    other = Database(sqlite if kind == "sqlite" else request.getfixturevalue("empty_postgresql"))
    restore_backup(other, tmp_path / "copy")
    require_current(other)
    later = {name: [] for name in everything(cast.database) if name not in then}
    wanted = everything(cast.database) | later
    assert everything(other) == wanted
    other.dispose()


@pytest.mark.parametrize("spoil", ["cut", "changed", "empty", "other"])
def test_a_broken_backup_is_refused_and_nothing_is_written(cast, tmp_path, spoil):
    path: Path = tmp_path / "copy"
    write_backup(cast.database, path)
    whole = path.read_text("utf-8")
    spoiled = {"cut": whole[: len(whole) // 2], "changed": whole.replace("Ana Ruiz", "Ann Ruiz"), "empty": ""}
    path.write_text(spoiled.get(spoil, '{"a": 1}\n{"b": 2}\n'), "utf-8")
    other = Database(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    with pytest.raises(BackupError, match="no whole backup"):
        restore_backup(other, path)
    with other.reading() as db:
        assert db.scalar(text("SELECT count(*) FROM sqlite_master")) == 0
    other.dispose()


def test_a_database_in_use_is_never_overwritten(cast, tmp_path):
    write_backup(cast.database, tmp_path / "copy")
    before = everything(cast.database)
    with pytest.raises(BackupError, match="not empty"):
        restore_backup(cast.database, tmp_path / "copy")
    assert everything(cast.database) == before


def test_a_log_that_does_not_hold_is_not_backed_up_over_a_good_copy(cast, tmp_path):
    write_backup(cast.database, tmp_path / "copy")
    good = (tmp_path / "copy").read_bytes()
    with cast.database.writing() as db:
        db.execute(text("UPDATE log_entry SET kind = 'x' WHERE seq = 1"))
    with pytest.raises(BackupError, match="does not hold"):
        write_backup(cast.database, tmp_path / "copy")
    assert (tmp_path / "copy").read_bytes() == good
    assert [one.name for one in tmp_path.iterdir() if one.name.endswith(".part")] == []
