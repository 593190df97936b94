"""`stringline keys`: listed, changed, changed after a break, signed again."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from click.testing import CliRunner

from tests.acts.certified import Way
from tests.cast import make_cast
from trainer.certificates.credential import public_key_of
from trainer.cli import main
from trainer.records.database import Database
from trainer.records.queries import certifying

NOW = datetime.now(UTC)


@pytest.fixture
def installation(tmp_path, monkeypatch):
    """A prepared installation with one certificate of today, and a way to run commands on it."""
    folder = tmp_path / "site"
    monkeypatch.setenv("STRINGLINE_DATA_FOLDER", str(folder))
    monkeypatch.setenv("STRINGLINE_ADDRESS", "https://wash.example/")
    assert run("prepare").exit_code == 0
    cast = make_cast(f"sqlite:///{folder / 'stringline.sqlite3'}")
    way = Way(cast, NOW - timedelta(hours=1), key=key_in(folder / "signing-key"))
    way.exam(), way.practical(), way.decide()
    cast.database.dispose()
    return folder


def run(*words):
    return CliRunner().invoke(main, list(words))


def key_in(path):
    return bytes.fromhex(path.read_text().strip())


def certificates(folder):
    database = Database(f"sqlite:///{folder / 'stringline.sqlite3'}")
    with database.reading() as db:
        found = certifying.certificates_of(db, 2)
    database.dispose()
    return found


def verify(folder, tmp_path, *more):
    file, kept = tmp_path / "certificate.json", tmp_path / "keys.json"
    file.write_text(certificates(folder)[0].credential)
    kept.write_text(run("keys", "list", "--json").stdout)
    return run("verify-certificate", str(file), "--keys", str(kept), *more)


def test_the_key_in_use_is_marked(installation):
    done = run("keys", "list")
    assert done.exit_code == 0
    assert public_key_of(key_in(installation / "signing-key")) in done.stdout
    assert "(in use)" in done.stdout


def test_a_new_key_takes_the_place_of_the_old_and_old_certificates_still_verify(installation, tmp_path):
    old = key_in(installation / "signing-key")
    done = run("keys", "new")
    assert (done.exit_code, done.stderr) == (0, "")
    new = key_in(installation / "signing-key")
    assert new != old
    assert public_key_of(new) in done.stdout
    retired = next(installation.glob("signing-key.retired-*"))
    assert key_in(retired) == old
    assert (installation / "signing-key").stat().st_mode & 0o077 == 0
    lines = run("keys", "list").stdout.splitlines()
    assert lines[0].startswith(public_key_of(new)) and lines[0].endswith("(in use)")
    assert lines[1].startswith(public_key_of(old)) and " until " in lines[1]
    assert verify(installation, tmp_path).exit_code == 0


def test_a_lost_key_ends_its_certificates_until_they_are_signed_again(installation, tmp_path):
    assert run("keys", "new", "--compromised-since", "2026-01-01T00:00:00Z").exit_code == 0
    done = verify(installation, tmp_path)
    assert done.exit_code == 1
    assert "Others may have had its key since 2026-01-01T00:00:00Z" in done.stdout
    done = run("keys", "sign-again")
    assert (done.exit_code, done.stdout.splitlines()[-1]) == (0, "1 certificates signed again")
    assert verify(installation, tmp_path).exit_code == 0


def test_a_change_that_broke_off_before_the_files_were_moved_is_finished(installation):
    old = (installation / "signing-key").read_text()
    assert run("keys", "new").exit_code == 0
    new = (installation / "signing-key").read_text()
    # As it stood when the records knew and the files did not.
    next(installation.glob("signing-key.retired-*")).rename(installation / "signing-key")
    (installation / "signing-key.new").write_text(new)
    assert (installation / "signing-key").read_text() == old
    assert run("keys", "new").exit_code == 0
    assert (installation / "signing-key").read_text() == new
    assert len(json.loads(run("keys", "list", "--json").stdout)["keys"]) == 2


def test_a_retired_key_put_back_changes_nothing_and_says_so(installation):
    old = (installation / "signing-key").read_text()
    run("keys", "new")
    (installation / "signing-key").write_text(old)
    done = run("keys", "new")
    assert done.exit_code == 2
    assert "was retired" in done.stderr
    assert run("keys", "sign-again").exit_code == 2


@pytest.mark.parametrize(
    ("since", "said"),
    [("soon", "not a moment"), ("2026-01-01", "no time zone"), ("2999-01-01T00:00:00Z", "in the future")],
)
def test_a_moment_that_cannot_be_is_refused_and_the_key_stays(installation, since, said):
    before = (installation / "signing-key").read_text()
    done = run("keys", "new", "--compromised-since", since)
    assert done.exit_code == 2
    assert said in done.stderr
    assert (installation / "signing-key").read_text() == before
