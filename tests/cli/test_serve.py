import contextlib
import errno
import os
import pwd
import re
import signal
import socket
import sqlite3
import stat
import subprocess
import sys
import tempfile
import threading
import urllib.request
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from trainer.cli import main, serve
from trainer.config import SETTINGS
from trainer.records import database as database_module
from trainer.records.database import Database, DatabaseError
from trainer.sites.reading import demo_text

PASSWORD = "plumb bob and line\n"
COMMAND = [sys.executable, "-c", "from trainer.cli import main; main()"]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty folder as the current one, without a setting."""
    for setting in SETTINGS:
        monkeypatch.delenv(setting.name, raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def command(*words, typed=None):
    return CliRunner().invoke(main, words, input=typed)


def refused(*words, typed=None):
    """The line that a command is refused with: one line, status 2, no traceback."""
    result = command(*words, typed=typed)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    [line] = result.stderr.splitlines()
    assert line.startswith("stringline: ")
    return line.removeprefix("stringline: ")


def database_file(folder):
    return folder / "site-data" / "stringline.sqlite3"


def test_prepare_makes_what_is_missing_for_its_owner_alone(folder):
    assert command("prepare").exit_code == 0
    data = folder / "site-data"
    assert sorted(path.name for path in data.iterdir() if "-" not in path.suffix) == [
        "secret", "signing-key", "stringline.sqlite3",
    ]  # fmt: skip
    assert stat.S_IMODE(data.stat().st_mode) == 0o700
    for path in data.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name
    assert re.fullmatch(r"[0-9a-f]{64}\n", (data / "secret").read_text())
    assert (data / "secret").read_text() != (data / "signing-key").read_text()


def test_prepare_again_changes_nothing(folder):
    command("prepare")
    before = (
        (folder / "site-data" / "secret").read_bytes(),
        (folder / "site-data" / "signing-key").read_bytes(),
    )
    result = command("prepare")
    assert result.exit_code == 0
    assert "made" not in result.output.replace("was made", "")
    after = (
        (folder / "site-data" / "secret").read_bytes(),
        (folder / "site-data" / "signing-key").read_bytes(),
    )
    assert after == before


def test_a_lost_secret_is_not_silently_replaced_beside_old_records(folder):
    command("prepare")
    (folder / "site-data" / "secret").unlink()
    assert "already holds records" in refused("prepare")
    assert not (folder / "site-data" / "secret").exists()


def test_run_without_a_secret(folder):
    line = refused("run")
    assert line.startswith("STRINGLINE_SECRET_FILE: there is no file site-data/secret.")
    assert "stringline prepare" in line


def test_run_with_a_secret_that_is_none(folder):
    command("prepare")
    (folder / "site-data" / "secret").write_text("not hex\n")
    assert "cannot be read as hex digits" in refused("run")
    (folder / "site-data" / "secret").write_text("abcd\n")
    assert "holds 2 bytes, not 32" in refused("run")


def test_run_without_a_database_makes_none(folder):
    command("prepare")
    database_file(folder).unlink()
    assert "there are no records yet. Run `stringline prepare`" in refused("run")
    assert not database_file(folder).exists()


def test_run_where_the_folder_of_the_database_is_missing(folder, monkeypatch):
    command("prepare")
    monkeypatch.setenv("DATABASE_URL", "sqlite:///nowhere/x.sqlite3")
    assert refused("run").startswith("nowhere/x.sqlite3: its folder does not exist.")


def test_run_with_a_file_that_is_no_database(folder):
    command("prepare")
    database_file(folder).write_bytes(b"this was never a database, it is a shopping list\n" * 200)
    line = refused("run")
    assert "not a database" in line
    assert "backup" in line


def test_run_with_tables_of_another_program(folder):
    command("prepare")
    with contextlib.closing(sqlite3.connect(database_file(folder))) as db:
        db.execute("UPDATE alembic_version SET version_num = '0000'")
        db.commit()
    assert "its tables are at 0000" in refused("run")
    assert "made by another program" in refused("prepare")


def test_run_with_an_address_that_is_none(folder, monkeypatch):
    command("prepare")
    monkeypatch.setenv("DATABASE_URL", "not an address")
    assert refused("run").startswith("DATABASE_URL: it is not a database address.")


def test_run_where_the_database_server_is_not_there(folder, monkeypatch):
    command("prepare")
    monkeypatch.setenv("DATABASE_URL", f"postgresql+psycopg://nobody@/nothing?host={folder}")
    assert "Start the database server, or check DATABASE_URL." in refused("run")


def test_prepare_while_another_program_holds_the_database(folder, monkeypatch):
    command("prepare")
    usual = database_module._set_pragmas

    def impatient(connection, record):
        usual(connection, record)
        connection.execute("PRAGMA busy_timeout=20")

    monkeypatch.setattr(database_module, "_set_pragmas", impatient)
    with contextlib.closing(sqlite3.connect(database_file(folder), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert "Another program holds it." in refused("prepare")


def test_run_with_a_setting_that_does_not_exist_or_does_not_fit(folder, monkeypatch):
    monkeypatch.setenv("STRINGLINE_PROT", "8020")
    assert refused("run").startswith("STRINGLINE_PROT: there is no such setting.")
    monkeypatch.delenv("STRINGLINE_PROT")
    command("prepare")
    monkeypatch.setenv("STRINGLINE_PORT", "70000")
    assert refused("run") == "STRINGLINE_PORT: I read '70000'. It must be a whole number from 1 to 65535."


def test_run_where_another_program_listens(folder):
    command("prepare")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        line = refused("run", "--port", str(port))
    assert line.startswith(f"127.0.0.1:{port}: another program listens there.")


@pytest.mark.parametrize(
    ("number", "mend"),
    [
        (errno.EADDRNOTAVAIL, "--host 127.0.0.1 serves this machine alone"),
        (errno.EACCES, "Choose a port above 1023"),
    ],
)
def test_run_at_an_address_that_cannot_be_had(folder, monkeypatch, number, mend):
    command("prepare")

    def refuse(*_, **__):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(serve.waitress, "create_server", refuse)
    assert mend in refused("run", "--port", "80")


def test_prepare_where_the_folder_cannot_be_made(folder, monkeypatch):
    (folder / "a-file").write_text("")
    monkeypatch.setenv("STRINGLINE_DATA_FOLDER", "a-file/data")
    assert refused("prepare").startswith("a-file/data: not a directory.")


@contextlib.contextmanager
def as_nobody():
    """For a while be somebody who may not write here: root may write anywhere."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(pwd.getpwnam("nobody").pw_uid)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def shut_folder(monkeypatch):
    """A current folder that everybody may look into and nobody but root may write."""
    with tempfile.TemporaryDirectory(dir="/tmp") as made:
        monkeypatch.chdir(made)
        yield Path(made)
        Path(made).chmod(0o755)


def test_prepare_in_a_folder_that_may_not_be_written(folder, shut_folder):
    shut_folder.chmod(0o555)
    with as_nobody():
        line = refused("prepare")
    assert line == "site-data: permission denied. Check that it is there and that this user may write."


def test_a_database_that_may_not_be_written_says_who_must_be_given_the_right(folder, shut_folder):
    with contextlib.closing(sqlite3.connect("old.sqlite3")) as db:
        db.execute("CREATE TABLE one (number INTEGER)")
    Path("old.sqlite3").chmod(0o444)
    shut_folder.chmod(0o555)
    with (
        as_nobody(),
        pytest.raises(DatabaseError) as caught,
        Database("sqlite:///old.sqlite3").writing() as db,
    ):
        db.execute(text("INSERT INTO one VALUES (1)"))
    assert caught.value.where == "sqlite:///old.sqlite3"
    assert "this user" in caught.value.mend


def test_a_site_and_its_first_person_are_added_and_listed(folder):
    command("prepare")
    (folder / "wash.yaml").write_text(demo_text())
    assert command("site", "add", "wash.yaml").stdout == "site 1: Plumb Lane Wash\n"
    words = ("user", "add", "Lee Sand", "--sign-in", "lee", "--role", "administrator", "--password-stdin")
    result = command(*words, "--site", "1", typed=PASSWORD)
    assert result.stdout == "enrolled Lee Sand as administrator; they sign in as lee\n"
    assert "already has that sign-in name" in refused(*words, "--site", "1", typed=PASSWORD)
    assert "There are: 1 Plumb Lane Wash." in refused(*words, "--site", "2", typed=PASSWORD)
    assert "already a site" in refused("site", "add", "wash.yaml")


def test_the_password_itself_is_not_stored(folder):
    command("prepare")
    (folder / "wash.yaml").write_text(demo_text())
    command("site", "add", "wash.yaml")
    command(
        "user", "add", "Lee Sand", "--sign-in", "lee", "--role", "administrator", "--site", "1", "--password-stdin",
        typed=PASSWORD,
    )  # fmt: skip
    with contextlib.closing(sqlite3.connect(database_file(folder))) as db:
        [(stored,)] = db.execute("SELECT password_hash FROM person").fetchall()
    assert stored.startswith("$argon2id$")
    assert "plumb" not in stored


def test_a_weak_password_and_a_missing_sheet_are_refused(folder):
    command("prepare")
    assert refused("site", "add", "no.yaml").startswith("no.yaml: no such file or directory.")
    (folder / "wash.yaml").write_text(demo_text())
    command("site", "add", "wash.yaml")
    line = refused(
        "user", "add", "Lee Sand", "--sign-in", "lee", "--role", "administrator", "--site", "1", "--password-stdin",
        typed="short\n",
    )  # fmt: skip
    assert "too short" in line


def test_a_sheet_with_faults_names_every_place(folder):
    command("prepare")
    (folder / "wash.yaml").write_text("name: Plumb Lane Wash\nbay: {width: wide}\n")
    result = command("site", "add", "wash.yaml")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert all(line.startswith("stringline: wash.yaml:") for line in result.stderr.splitlines())


@pytest.mark.kill
def test_run_serves_the_door_and_stops_when_told(folder):
    command("prepare")
    program = subprocess.Popen(
        [*COMMAND, "run", "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=folder,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    try:
        line = program.stdout.readline()
        address = re.search(r"http://\S+", line)[0]
        with urllib.request.urlopen(f"{address}/sign-in") as answer:
            assert answer.status == 200
            assert b"Stringline" in answer.read()
            assert "waitress" not in str(answer.headers).lower()
    finally:
        program.send_signal(signal.SIGTERM)
        _, said = program.communicate(timeout=20)
    assert program.returncode == 0
    assert "Traceback" not in said


class FakeHouse:
    """Just what the sweeper looks at."""

    bank, schemes = None, {}
    clock = staticmethod(lambda: datetime(2026, 3, 2, tzinfo=UTC))
    database = "the records"

    def key_for(self, purpose):
        return purpose.encode()

    def site_values(self, site_id, version):
        return {}

    def sheet(self, site_id, version):
        raise AssertionError("no exam was closed, so no sheet is asked for")


def test_the_sweeper_goes_on_after_a_failure_and_stops_when_told(monkeypatch, caplog):
    stopping, calls = threading.Event(), []

    def close(database, tools, now):
        calls.append((database, tools.secret, now))
        if len(calls) == 1:
            raise RuntimeError("the records were away")
        stopping.set()
        return ["exam-1"]

    monkeypatch.setattr(serve, "close_overdue", close)
    caplog.set_level("INFO")
    serve.sweep(FakeHouse(), stopping, seconds=0.001)
    assert calls == [("the records", b"instances", FakeHouse.clock())] * 2
    assert "could not be closed" in caplog.text
    assert "closed exam exam-1" in caplog.text


def test_the_sweep_takes_out_photos_that_no_question_names(monkeypatch):
    stopping, asked = threading.Event(), []

    def drop(database, now):
        asked.append((database, now))
        stopping.set()
        return 1

    monkeypatch.setattr(serve, "drop_photos", drop)
    serve.sweep_photos(SimpleNamespace(database="records", clock=lambda: "now"), stopping, seconds=0)
    assert asked == [("records", "now")]
