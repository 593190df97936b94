"""`verify-log`, `backup`, `restore`, `export` as they are typed."""

import csv
import json

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from tests.cast import MONDAY, make_cast
from trainer import verifier
from trainer.acts.learning import read_lesson
from trainer.cli import main
from trainer.cli.preparing import make_key
from trainer.cli.tables import csv_cell, write_csv
from trainer.records.log import chain_hash
from trainer.records.queries import people


@pytest.fixture
def cast(tmp_path):
    made = make_cast(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    with made.database.reading() as db:
        ana, otto = people.member(db, made.ana), people.member(db, made.otto)
    for who in (ana, otto, ana):
        read_lesson(made.database, member=who, lesson=f"of {who.id}", own_bay="=1+2", now=MONDAY)
    yield made
    made.database.dispose()


@pytest.fixture
def run(cast, tmp_path):
    env = {"DATABASE_URL": f"sqlite:///{tmp_path / 'wash.sqlite3'}", "STRINGLINE_DATA_FOLDER": str(tmp_path)}
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words], env=env)


def test_verify_log_says_the_head_and_finds_a_change(cast, run):
    good = run("verify-log")
    assert good.exit_code == 0 and "2 entries" in good.stdout
    head = good.stdout.split()[-1]
    assert run("verify-log", "--head", head).exit_code == 0
    assert run("verify-log", "--head", "ab" * 32).exit_code == 1
    with cast.database.writing() as db:
        db.execute(text("UPDATE log_entry SET kind = 'x' WHERE seq = 2"))
    bad = run("verify-log")
    assert bad.exit_code == 1 and "entry 2" in bad.stdout


def test_backup_and_restore(run, tmp_path, cast):
    copied = run("backup", tmp_path / "copy")
    assert copied.exit_code == 0, copied.output
    env = {"DATABASE_URL": f"sqlite:///{tmp_path / 'new.sqlite3'}", "STRINGLINE_DATA_FOLDER": str(tmp_path)}
    restored = CliRunner().invoke(main, ["restore", str(tmp_path / "copy")], env=env)
    assert restored.exit_code == 0, restored.output
    assert restored.stdout.split()[-1] == copied.stdout.split()[-1]
    again = CliRunner().invoke(main, ["restore", str(tmp_path / "copy")], env=env)
    assert again.exit_code == 2 and "not empty" in again.stderr and "Traceback" not in again.stderr


def test_export_holds_the_site_and_nobody_elses(run, tmp_path, cast):
    assert run("export", "--site", cast.site, tmp_path / "out").exit_code == 0
    read = {path.name: path.read_text("utf-8") for path in (tmp_path / "out").iterdir()}
    everyone = json.loads(read["person.json"])
    assert {one["name"] for one in everyone} >= {"Ana Ruiz", "Tom Becker"}
    assert "Otto" not in "".join(read.values())
    assert "password_hash" not in everyone[0] and "argon2" not in "".join(read.values())
    assert len(json.loads(read["lesson_read.json"])) == 1


def test_each_exported_log_entry_can_be_checked_by_itself(run, tmp_path, cast):
    run("export", "--site", cast.site, tmp_path / "out")
    entries = json.loads((tmp_path / "out" / "record_log.json").read_text("utf-8"))
    assert len(entries) == 1
    for one in entries:
        assert chain_hash(bytes.fromhex(one["previous"]), one["record"].encode()).hex() == one["hash"]


def test_no_cell_of_an_export_is_a_formula(run, tmp_path, cast):
    run("export", "--site", cast.site, tmp_path / "out")
    with (tmp_path / "out" / "lesson_read.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["own_bay"] for row in rows] == ["'=1+2"]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_cells_that_a_spreadsheet_would_run_are_disarmed(start, tmp_path):
    # OWASP, "CSV Injection": these first characters; the example =1+2";=1+2 stays one field when it is read again.
    assert csv_cell(f"{start}1+2") == f"'{start}1+2"
    write_csv(tmp_path / "one.csv", [{"cell": f'{start}1+2";{start}1+2', "number": -3}])
    with (tmp_path / "one.csv").open(newline="", encoding="utf-8") as file:
        assert list(csv.reader(file))[1] == [f"'{start}1+2\";{start}1+2", "-3"]


def test_the_published_cells_stay_one_harmless_field(tmp_path):
    # OWASP, "CSV Injection": its two examples, and what they must become in a quoted field.
    published = {'=1+2";=1+2': '"\'=1+2"";=1+2"', "=1+2'\" ;,=1+2": '"\'=1+2\'"" ;,=1+2"'}
    for given, written in published.items():
        write_csv(tmp_path / "one.csv", [{"cell": given}])
        whole = (tmp_path / "one.csv").read_bytes().decode()
        assert whole.split("\r\n")[1] == written
        assert list(csv.reader(whole.splitlines()))[1] == [f"'{given}"]


def test_evidence_is_written_whole_into_a_new_folder_and_checks(run, tmp_path, cast):
    for name in ("secret", "signing-key"):
        make_key(tmp_path / name)
    with cast.database.writing() as db:
        db.execute(
            text("DELETE FROM observer_qualification")
        )  # the cast's own were never written into the log
    out = tmp_path / "out"
    done = run("export", "--site", cast.site, "--evidence", out)
    assert done.exit_code == 0, done.output
    assert "log entries" in done.stdout and not out.with_name("out.part").exists()
    report = verifier.verify(out)
    assert report.faults == [] and dict(report.holds)["chain.ok"]["entries"] >= 2
    again = run("export", "--site", cast.site, "--evidence", out)
    assert again.exit_code == 2 and "Name a new folder" in again.stderr


@pytest.mark.parametrize("words", [("export", "--site", "99"), ("backup",)])
def test_what_cannot_be_written_is_one_clear_line(run, tmp_path, words):
    blocked = tmp_path / "blocked"
    blocked.write_text("a file where a folder is wanted")
    failed = run(*words, blocked / "inside")
    assert failed.exit_code == 2 and "Traceback" not in failed.output
    assert len(failed.stderr.strip().splitlines()) == 1
