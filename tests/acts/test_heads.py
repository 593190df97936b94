"""Heads of the record log: signed at a certificate and once a day, and checked against the log."""

from datetime import timedelta

import pytest

from tests.cast import MONDAY
from trainer.acts.heads import sign_daily, sign_head
from trainer.acts.transaction import act
from trainer.certificates.credential import public_key_of
from trainer.records import heads, log
from trainer.records.database import Database
from trainer.records.migrate import upgrade
from trainer.records.tables import SigningKeyKept
from trainer.records.tree import leaf_hash, proves_growth, proves_inclusion

DAY = timedelta(days=1)
KEY = bytes(range(32))
OURS = {public_key_of(KEY)}


@pytest.fixture
def database(database_url):
    made = Database(database_url)
    upgrade(made)
    with (
        made.writing() as db
    ):  # a key whose first use is no news, so that each test counts its own entries alone
        db.add(SigningKeyKept(public_key=public_key_of(KEY), from_at=MONDAY, address=""))
    yield made
    made.dispose()


def grow(database, count=1, now=MONDAY):
    with act(database, now) as this:
        for _ in range(count):
            this.log("lesson.read", by="a-1", about="a-1", lesson="x")


def sign(database, now=MONDAY):
    with act(database, now) as this:
        return sign_head(this, KEY)


def flaws(database, trusted=OURS):
    with database.reading() as db:
        return [(flaw.seq, flaw.why) for flaw in heads.verify_heads(db, trusted).flaws]


def change(database, statement):
    with database.writing() as db:
        db.connection().exec_driver_sql(statement)


@pytest.fixture
def grown(database):
    for count in (1, 2, 5, 1):
        grow(database, count)
        sign(database)
    return database


def test_heads_follow_the_log_in_steps(grown):
    with grown.reading() as db:
        kept = heads.kept_heads(db)
        assert [(one.number, one.size) for one in kept] == [(1, 1), (2, 3), (3, 8), (4, 9)]
        assert kept[-1].head == log.verify(db).head
        assert heads.newest_head(db) == kept[-1]
    assert flaws(grown) == []
    others = flaws(grown, {"z6MkOther"})
    assert {number for number, why in others if "not this installation's" in why} == {1, 2, 3, 4}


def test_a_head_over_nothing_new_is_the_one_that_stands(database):
    assert sign(database) is None
    grow(database)
    first = sign(database)
    assert sign(database, MONDAY + DAY) == first
    with database.reading() as db:
        assert len(heads.kept_heads(db)) == 1


def test_a_head_and_its_act_stand_or_fall_together(database):
    with pytest.raises(ZeroDivisionError), act(database, MONDAY) as this:
        this.log("lesson.read", by="a-1", about="a-1", lesson="x")
        sign_head(this, KEY)
        raise ZeroDivisionError
    with database.reading() as db:
        assert heads.kept_heads(db) == []


def test_the_daily_head_is_signed_once_a_day_and_only_when_something_came(database):
    assert sign_daily(database, KEY, MONDAY) is None
    grow(database)
    assert sign_daily(database, KEY, MONDAY).size == 1
    assert sign_daily(database, KEY, MONDAY + 2 * DAY) is None
    grow(database, now=MONDAY + timedelta(hours=1))
    assert sign_daily(database, KEY, MONDAY + DAY - timedelta(seconds=1)) is None
    assert sign_daily(database, KEY, MONDAY + DAY).size == 2


def test_a_head_from_a_clock_that_ran_ahead_does_not_put_off_the_next(database):
    grow(database)
    sign_daily(database, KEY, MONDAY + 400 * DAY)
    grow(database)
    assert sign_daily(database, KEY, MONDAY).size == 2


CHANGES = [
    ("UPDATE log_entry SET record = replace(record, '\"x\"', '\"y\"') WHERE seq = 3", (2, "first 3")),
    ("UPDATE log_entry SET record = replace(record, '\"x\"', '\"y\"') WHERE seq = 9", (4, "first 9")),
    ("UPDATE log_entry SET hash = 'zz' WHERE seq = 8", (3, "first 8")),
    ("DELETE FROM log_entry WHERE seq = 9", (4, "which the log does not have")),
    ("DELETE FROM log_head WHERE number = 3", (4, "head 3 is missing")),
    ("DELETE FROM log_head WHERE number = 1", (2, "head 1 is missing")),
    ("UPDATE log_head SET root = head WHERE number = 2", (2, "signature")),
    ("UPDATE log_head SET head = root WHERE number = 2", (2, "signature")),
    ("UPDATE log_head SET size = 4 WHERE number = 2", (2, "signature")),
    ("UPDATE log_head SET size = 12 WHERE number = 2", (3, "the head before it 12")),
    ("UPDATE log_head SET \"key\" = 'z6Mk' WHERE number = 2", (2, "not this installation's")),
    ("UPDATE log_head SET signature = 'z1' WHERE number = 2", (2, "signature")),
    ("UPDATE log_head SET signature = 'no' WHERE number = 2", (2, "signature")),
    ("UPDATE log_head SET signature = 'z1'", (4, "signature")),
]


def test_every_change_is_named_with_its_head(grown):
    for statement, (number, why) in CHANGES:
        # A reading session throws away what it changed, so that all stand on one database.
        with grown.reading() as db:
            db.connection().exec_driver_sql(statement)
            found = heads.verify_heads(db, OURS).flaws
        assert [flaw for flaw in found if flaw.seq == number and why in flaw.why], statement
    assert flaws(grown) == []


def test_a_log_written_anew_with_a_chain_that_holds_shows_against_the_heads(grown):
    # The owner of the database can reckon every hash again; what was signed before does not follow.
    change(grown, "DELETE FROM log_entry")
    grow(grown, 9, MONDAY + DAY)
    with grown.reading() as db:
        assert log.verify(db).flaws == ()
    assert {number for number, _ in flaws(grown)} == {1, 2, 3, 4}


def test_every_entry_is_proved_under_the_newest_head(grown):
    grow(grown)
    with grown.reading() as db:
        for seq in range(1, 10):
            shown = heads.prove_entry(db, seq)
            leaf = leaf_hash(shown.record.encode())
            steps = [bytes.fromhex(one) for one in shown.proof]
            assert leaf.hex() == shown.leaf
            assert proves_inclusion(leaf, seq - 1, shown.head.size, steps, bytes.fromhex(shown.head.root))
        assert heads.prove_entry(db, 10) is None, "it came after the newest head"
        assert heads.prove_entry(db, 0) is None


def test_growth_is_proved_between_any_two_heads(grown):
    with grown.reading() as db:
        for earlier, later in ((1, 2), (1, 4), (2, 3), (3, 3)):
            old, new, steps = heads.prove_growth(db, earlier, later)
            proof = [bytes.fromhex(one) for one in steps]
            assert proves_growth(old.size, new.size, proof, bytes.fromhex(old.root), bytes.fromhex(new.root))
        assert heads.prove_growth(db, 1, 5) is None and heads.prove_growth(db, 2, 1) is None


def test_peaks_that_were_damaged_are_reckoned_anew(grown):
    change(grown, "UPDATE log_head SET peaks = 'no' WHERE number = 4")
    grow(grown)
    sign(grown)
    assert flaws(grown) == []


def test_the_first_use_of_a_key_lies_under_the_head_that_it_signs(database):
    other = bytes(range(1, 33))
    grow(database)
    with act(database, MONDAY) as this:
        assert sign_head(this, other).size == 2


def test_a_retired_key_signs_no_head(database):
    grow(database)
    change(database, "UPDATE signing_key SET until_at = from_at")
    assert sign(database) is None and sign_daily(database, KEY, MONDAY) is None
