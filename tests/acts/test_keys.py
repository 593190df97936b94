"""Keys that take turns, on both databases: kept, changed, refused; certificates signed again; places in the lists."""

import json
from datetime import timedelta

import pytest

from tests.acts.certified import KEY, Way
from tests.cast import make_cast
from trainer.access.refusal import Refused
from trainer.acts.keys import KeyChange, change_key, keep_key, list_url, sign_again
from trainer.certificates.credential import public_key_of, verify_credential
from trainer.certificates.keys import SigningKey, verify_by_time, whole_second
from trainer.certificates.status_list import FEWEST
from trainer.records import log
from trainer.records.queries import certifying, keys
from trainer.records.tables import Certificate, LogEntry, SigningKeyKept, StatusPlace

NEW = bytes(range(1, 33))
PUBLIC, NEW_PUBLIC = public_key_of(KEY), public_key_of(NEW)
ADDRESS = "https://wash.example"


@pytest.fixture
def way(database_url):
    way = Way(make_cast(database_url))
    yield way
    way.cast.database.dispose()


def certify(way, person=None):
    way.exam(person), way.practical(person)
    decision = way.decide(person)
    assert isinstance(decision, str)
    return held(way, person)


def held(way, person=None):
    with way.cast.database.reading() as db:
        return certifying.certificates_of(db, person or way.cast.ana)[0]


def kept(way):
    with way.cast.database.reading() as db:
        return keys.signing_keys(db)


def logged(way, kind):
    with way.cast.database.reading() as db:
        return [json.loads(e.record)["facts"] for e in db.query(LogEntry).filter_by(kind=kind)]


def change(way, since=None, old=PUBLIC, new=NEW_PUBLIC):
    return change_key(way.cast.database, KeyChange(old, new, since), way.tick())


def test_the_first_signature_keeps_the_key_and_a_second_one_changes_nothing(way):
    one = certify(way)
    assert [key.public_key for key in kept(way)] == [PUBLIC]
    assert logged(way, "key.first") == [{"key": PUBLIC}]
    assert verify_by_time(json.loads(one.credential), kept(way)).good


def test_keeping_the_key_at_start_notes_the_address_of_its_lists(way):
    assert keep_key(way.cast.database, KEY, ADDRESS, way.tick()) is None
    assert keep_key(way.cast.database, KEY, ADDRESS, way.tick()) is None
    entries = json.loads(certify(way).credential)["credentialStatus"]
    assert [one["statusListCredential"] for one in entries] == [
        f"{ADDRESS}/status/revocation",
        f"{ADDRESS}/status/suspension",
    ]
    assert len(kept(way)) == 1


def test_without_an_address_a_list_still_has_a_name(way):
    entries = json.loads(certify(way).credential)["credentialStatus"]
    assert [one["statusListCredential"] for one in entries] == [
        list_url("", "revocation"),
        list_url("", "suspension"),
    ]
    assert list_url("", "revocation").startswith("urn:uuid:")


def test_a_key_that_signed_before_keys_were_kept_counts_from_its_first_certificate(way):
    one = certify(way)
    with way.cast.database.writing() as db:
        db.query(StatusPlace).delete()
        db.query(SigningKeyKept).delete()
    keep_key(way.cast.database, KEY, "", way.tick() + timedelta(days=30))
    assert kept(way) == [SigningKey(PUBLIC, whole_second(one.effective_at))]
    assert verify_by_time(json.loads(one.credential), kept(way)).good


def test_a_place_is_drawn_for_each_certificate_and_no_two_share_one(way):
    for person in (way.cast.ana, way.cast.lee):
        certify(way, person)
    with way.cast.database.reading() as db:
        places = [row.place for row in db.query(StatusPlace)]
    assert len(set(places)) == 2
    assert all(0 <= place < FEWEST for place in places)
    entries = json.loads(held(way).credential)["credentialStatus"]
    assert {int(one["statusListIndex"]) for one in entries} <= set(places)


def test_what_the_old_key_signed_counts_after_a_change_and_the_new_key_signs_on(way):
    before = certify(way)
    assert change(way) is None
    assert [key.public_key for key in kept(way)] == [NEW_PUBLIC, PUBLIC]
    assert logged(way, "key.replaced") == [{"old": PUBLIC, "new": NEW_PUBLIC}]
    assert verify_by_time(json.loads(before.credential), kept(way)).good
    way.key = NEW
    after = certify(way, way.cast.lee)
    found = verify_by_time(json.loads(after.credential), kept(way))
    assert (found.good, found.issuer_key) == (True, NEW_PUBLIC)


def test_a_program_that_still_holds_the_retired_key_signs_nothing(way):
    certify(way)
    change(way)
    way.exam(way.cast.lee), way.practical(way.cast.lee)
    assert way.decide(way.cast.lee) == Refused(("key.retired",))
    with way.cast.database.reading() as db:
        assert db.query(Certificate).count() == 1
        assert log.verify(db).flaws == ()
    assert keep_key(way.cast.database, KEY, "", way.tick()) == Refused(("key.retired",))
    assert sign_again(way.cast.database, KEY, way.tick()) == Refused(("key.retired",))
    # A refusal is no signature, so it needs no key.
    assert isinstance(way.decide(way.cast.lee, granted=False, reason="Wait for the new key."), str)


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"old": public_key_of(b"x" * 32)}, "key.unknown"),
        ({"new": PUBLIC}, "key.used_before"),
        ({"since": "tomorrow"}, "key.since_later"),
    ],
)
def test_a_change_that_cannot_be_is_refused_and_changes_nothing(way, more, reason):
    certify(way)
    before = kept(way)
    if more.get("since"):
        more = {"since": way.now + timedelta(days=1)}
    done = change(way, **more)
    assert isinstance(done, Refused)
    assert reason in done.reasons
    assert kept(way) == before


def test_a_second_change_of_the_same_key_is_refused(way):
    certify(way)
    change(way)
    assert change(way, new=public_key_of(b"y" * 32)) == Refused(("key.retired",))


def test_what_was_signed_while_others_had_the_key_counts_again_once_signed_again(way):
    early = certify(way)
    since = way.tick()
    late = certify(way, way.cast.lee)
    assert change(way, since) is None
    assert logged(way, "key.lost")[0]["since"] == log.moment_text(whole_second(since))
    assert verify_by_time(json.loads(early.credential), kept(way)).good
    assert [r.split(":")[0] for r in verify_by_time(json.loads(late.credential), kept(way)).reasons] == [
        "credential.key_compromised"
    ]
    done = sign_again(way.cast.database, NEW, way.tick())
    assert set(done.signed) == {early.public_id, late.public_id}
    assert done.left == ()
    for person in (way.cast.ana, way.cast.lee):
        again = json.loads(held(way, person).credential)
        assert verify_by_time(again, kept(way)).good
        assert verify_credential(again).issuer_key == NEW_PUBLIC
    assert {fact["key"] for fact in logged(way, "certificate.signed_again")} == {NEW_PUBLIC}
    # The words and the place in the lists stay.
    old, new = json.loads(late.credential), json.loads(held(way, way.cast.lee).credential)
    for name in ("proof", "issuer"):
        old.pop(name), new.pop(name)
    assert old == new
    assert sign_again(way.cast.database, NEW, way.tick()).signed == ()


def test_a_certificate_that_somebody_slipped_in_is_not_signed_again(way):
    one = certify(way)
    change(way, one.effective_at)
    with way.cast.database.writing() as db:
        row = db.query(Certificate).one()
        row.credential = row.credential.replace("Ana Ruiz", "Eve Ruiz")
    done = sign_again(way.cast.database, NEW, way.tick())
    assert (done.signed, done.left) == ((), ((one.public_id, "record.differs"),))


def test_what_no_longer_runs_is_not_signed_again(way):
    one = certify(way)
    way.withdraw(one.public_id)
    change(way, one.effective_at)
    assert sign_again(way.cast.database, NEW, way.tick()).signed == ()


def test_a_withdrawn_certificate_sets_its_bit_and_no_other(way):
    one, other = certify(way), certify(way, way.cast.lee)
    way.withdraw(one.public_id)
    place = int(json.loads(one.credential)["credentialStatus"][0]["statusListIndex"])
    with way.cast.database.reading() as db:
        found = keys.places(db, way.now)
    assert found.revocation == {place}
    assert found.suspension == frozenset()
    assert found.highest >= place
    assert other.public_id != one.public_id
