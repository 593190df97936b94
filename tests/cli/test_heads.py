"""`heads`, `prove-entry`, `prove-growth` and what `verify-log` says of heads, as they are typed."""

import hashlib
import json
from datetime import timedelta

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from tests.cast import MONDAY
from trainer.acts.heads import sign_head
from trainer.acts.transaction import act
from trainer.certificates.credential import public_key_of
from trainer.cli import main
from trainer.records.database import Database
from trainer.records.migrate import upgrade
from trainer.records.tables import SigningKeyKept

KEY = bytes(range(32))


@pytest.fixture
def database(tmp_path):
    made = Database(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    upgrade(made)
    with (
        made.writing() as db
    ):  # a key whose first use is no news, so that each test counts its own entries alone
        db.add(SigningKeyKept(public_key=public_key_of(KEY), from_at=MONDAY, address=""))
    for minute, count in enumerate((3, 2)):
        with act(made, MONDAY + timedelta(minutes=minute)) as this:
            for number in range(count):
                this.log("lesson.read", by="a-1", about="a-1", lesson=f"ñ{number}")
            sign_head(this, KEY)
    yield made
    made.dispose()


@pytest.fixture
def run(database, tmp_path):
    env = {"DATABASE_URL": f"sqlite:///{tmp_path / 'wash.sqlite3'}", "STRINGLINE_DATA_FOLDER": str(tmp_path)}
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words], env=env)


def root_by(shown) -> str:
    """RFC 9162, section 2.1.3.2, written out apart from the code under test."""
    fn, sn, r = (
        shown["seq"] - 1,
        shown["head"]["size"] - 1,
        hashlib.sha256(b"\0" + shown["record"].encode()).digest(),
    )
    for p in map(bytes.fromhex, shown["proof"]):
        if fn % 2 == 1 or fn == sn:
            r = hashlib.sha256(b"\1" + p + r).digest()
            while fn % 2 == 0 and fn:
                fn, sn = fn // 2, sn // 2
        else:
            r = hashlib.sha256(b"\1" + r + p).digest()
        fn, sn = fn // 2, sn // 2
    return r.hex()


def test_heads_are_listed(run):
    assert [line.split()[0] for line in run("heads").stdout.splitlines()] == ["1", "2", "2"]
    kept = json.loads(run("heads", "--json").stdout)
    assert [(one["number"], one["size"]) for one in kept] == [(1, 3), (2, 5)]


def test_every_entry_can_be_proved_to_somebody_who_holds_only_a_head(run):
    heads = json.loads(run("heads", "--json").stdout)
    for seq in range(1, 6):
        shown = json.loads(run("prove-entry", seq).stdout)
        assert json.loads(shown["record"])["seq"] == seq
        assert shown["head"] == heads[-1] and root_by(shown) == heads[-1]["root"]
    grown = json.loads(run("prove-growth", 1, 2).stdout)
    assert [grown["earlier"], grown["later"]] == heads and grown["proof"]


@pytest.mark.parametrize(
    "words", [("prove-entry", 6), ("prove-entry", 0), ("prove-growth", 1, 3), ("prove-growth", 2, 1)]
)
def test_what_no_head_counts_is_one_clear_line(run, words):
    refused = run(*words)
    assert (
        refused.exit_code == 2 and "stringline heads" in refused.stderr and "Traceback" not in refused.output
    )


def test_verify_log_checks_heads_and_keys(run, database):
    good = run("verify-log")
    assert good.exit_code == 0 and "2 signed heads hold, keys: z6Mk" in good.stdout
    key = good.stdout.split("keys: ")[1].split()[0]
    assert run("verify-log", "--key", key).exit_code == 0
    other = run("verify-log", "--key", "z6MkOther")
    assert other.exit_code == 1 and "head 1: it is signed with a key" in other.stdout
    with database.writing() as db:
        db.execute(text("DELETE FROM log_entry WHERE seq = 5"))
    cut = run("verify-log")
    assert (
        cut.exit_code == 1
        and "head 2: it counts 5 entries" in cut.stdout
        and "entry" not in cut.stdout.split("head")[0]
    )


def test_a_clock_that_was_set_back_is_told_and_is_no_flaw(run, database):
    for back in (timedelta(seconds=30), timedelta(hours=2)):
        with act(database, MONDAY - back) as this:
            this.log("lesson.read", by="a-1", about="a-1", lesson="x")
    told = run("verify-log")
    assert told.exit_code == 0
    assert [line.split(":")[0] for line in told.stdout.splitlines() if "clock" in line] == [
        "entry 6",
        "entry 7",
    ]
