"""What the site publishes: keys, status lists, and the desk that checks a certificate and keeps nothing of it."""

import io
import json
from datetime import datetime, timedelta

import pytest

from tests.acts.certified import new_id
from tests.web.certifying import way_on, words
from trainer.acts.keys import KeyChange, change_key, keep_key, sign_again
from trainer.acts.standing import Asked, lift, reduce, suspend
from trainer.certificates.credential import public_key_of, sign_credential, verify_credential
from trainer.certificates.keys import read_keys, verify_by_time
from trainer.certificates.status_list import FEWEST, decode_bits, status_reasons
from trainer.records.tables import LogEntry

NEW = bytes(range(1, 33))


@pytest.fixture
def way(stage):
    way = way_on(stage)
    way.exam(), way.practical(note="Slow at the valves."), way.decide()
    return way


def credential(way):
    return json.loads(way.certificate().credential)


def lists(way):
    visitor = way.by(None)
    return [json.loads(visitor.get(f"/status/{one}").data) for one in ("revocation", "suspension")]


def hand_in(way, held, language="en", as_file=True):
    visitor = way.by(None)
    text = held if isinstance(held, str) else json.dumps(held)
    more = {"file": (io.BytesIO(text.encode()), "c.json")} if as_file else {"text": text}
    return visitor.post(f"/check?language={language}", data={"csrf_token": visitor.token(), **more})


def test_the_keys_page_and_its_file_name_the_key_that_signs(way):
    public = public_key_of(way.key)
    page = words(way.by(None).get("/keys"))
    assert public in page
    assert "Signs now" in page
    kept = read_keys(json.loads(way.by(None).get("/keys.json").data))
    assert [one.public_key for one in kept] == [public]
    assert verify_by_time(credential(way), kept).good


def test_a_key_that_others_had_is_told_on_the_page(way):
    change_key(way.cast.database, KeyChange(public_key_of(way.key), public_key_of(NEW), way.now), way.tick())
    page = words(way.by(None).get("/keys?language=es"))
    assert "Cayó en otras manos" in page
    assert "no vale hasta que el sitio lo firme otra vez" in page


def test_the_status_lists_are_signed_fresh_and_may_be_kept_for_five_minutes(way):
    for one in lists(way):
        assert verify_credential(one, {public_key_of(way.key)}).good
        assert len(decode_bits(one["credentialSubject"]["encodedList"])) * 8 == FEWEST
        assert datetime.fromisoformat(one["validUntil"]) - way.now == timedelta(days=1)
    answer = way.by(None).get("/status/revocation")
    assert answer.headers["Cache-Control"] == "public, max-age=300"
    assert answer.mimetype == "application/vc"
    assert way.by(None).get("/status/message").status_code == 404


def test_the_lists_follow_the_certificate_through_its_states(way):
    held, database = way.certificate(), way.cast.database
    assert status_reasons(credential(way), lists(way), way.now) == ()
    assert suspend(database, Asked(new_id(), held.public_id, "To be seen."), by=way.cast.mia, now=way.tick())
    assert status_reasons(credential(way), lists(way), way.now) == ("status.suspension",)
    [suspension] = way.certificate().standing(way.now).suspensions
    way.practical()
    lift(
        database, Asked(new_id(), held.public_id, "Seen."), suspension.public_id, by=way.cast.mia, now=way.tick()
    )  # fmt: skip
    assert status_reasons(credential(way), lists(way), way.now) == ()
    way.withdraw(held.public_id)
    assert status_reasons(credential(way), lists(way), way.now) == ("status.revocation",)


def test_a_program_with_a_retired_key_publishes_no_list(way):
    change_key(way.cast.database, KeyChange(public_key_of(way.key), public_key_of(NEW)), way.tick())
    assert way.by(None).get("/status/revocation").status_code == 503


@pytest.mark.parametrize("as_file", [True, False])
def test_a_good_certificate_is_called_good_and_nothing_is_kept(way, as_file):
    with way.cast.database.reading() as db:
        before = db.query(LogEntry).count()
    answer = hand_in(way, credential(way), as_file=as_file)
    page = words(answer)
    assert answer.status_code == 200
    assert "Good: it is ours, unchanged, and counts now" in page
    assert "Ana Ruiz" in page
    assert f"/c/{way.certificate().public_id}" in answer.text
    assert "Vale: es nuestro" in words(hand_in(way, credential(way), "es"))
    with way.cast.database.reading() as db:
        assert db.query(LogEntry).count() == before


def test_a_changed_certificate_is_not_good_and_none_of_its_words_are_shown(way):
    held = credential(way)
    held["credentialSubject"]["identifier"][0]["identityHash"] = "Eve <b>Ruiz</b>"
    page = hand_in(way, held)
    assert "Not good" in words(page)
    assert "something in it was changed" in words(page)
    assert "Eve" not in words(page).replace(json.dumps(held), "")


def test_a_certificate_of_another_house_is_not_good(way):
    held = {name: value for name, value in credential(way).items() if name != "proof"}
    held["issuer"] = {**held["issuer"], "id": f"did:key:{public_key_of(NEW)}"}
    page = words(hand_in(way, sign_credential(held, NEW, way.now)))
    assert "Not good" in page
    assert "another key than the one you trust" in page


def test_a_forgery_with_the_site_s_own_key_is_not_on_record(way):
    held = {name: value for name, value in credential(way).items() if name != "proof"}
    forged = sign_credential({**held, "id": f"urn:uuid:{new_id()}"}, way.key, way.now)
    assert "The site has no such certificate on record" in words(hand_in(way, forged))
    other = sign_credential({**held, "name": "Chief"}, way.key, way.now)
    assert "holds another text under this number" in words(hand_in(way, other))


def test_withdrawn_suspended_and_expired_are_told(way):
    held = way.certificate()
    suspend(
        way.cast.database, Asked(new_id(), held.public_id, "To be seen."), by=way.cast.mia, now=way.tick()
    )
    assert "It is suspended" in words(hand_in(way, credential(way)))
    way.withdraw(held.public_id)
    assert "It was withdrawn" in words(hand_in(way, credential(way)))
    way.stage.clock.now = held.expires_at - timedelta(seconds=1)
    assert "It expired" not in words(hand_in(way, credential(way)))
    way.stage.clock.now = held.expires_at
    assert "It expired" in words(hand_in(way, credential(way)))


def test_the_certificate_s_own_page_tells_of_a_lost_key_too(way):
    own = f"/c/{way.certificate().public_id}"
    assert "The signature holds" in words(way.by(None).get(own))
    keys = KeyChange(public_key_of(way.key), public_key_of(NEW), way.certificate().effective_at)
    change_key(way.cast.database, keys, way.tick())
    assert "Others may have had its key" in words(way.by(None).get(own))
    sign_again(way.cast.database, NEW, way.tick())
    assert "The signature holds" in words(way.by(None).get(own))


def test_a_reduced_certificate_is_good_and_says_what_was_taken_out(way):
    held = way.certificate()
    reduce(
        way.cast.database, Asked(new_id(), held.public_id, "Parts."), ["replace_parts"], by=way.cast.mia,
        now=way.tick(),
    )  # fmt: skip
    page = words(hand_in(way, credential(way)))
    assert "Good: it is ours" in page
    assert "Its scope was reduced" in page
    assert "Replace eyes, relays and terminals" in words(way.by(None).get(f"/c/{held.public_id}"))


def test_a_lost_key_ends_a_certificate_until_it_is_signed_again(way):
    first = credential(way)
    keys = KeyChange(public_key_of(way.key), public_key_of(NEW), way.certificate().effective_at)
    change_key(way.cast.database, keys, way.tick())
    assert "Others may have had its key" in words(hand_in(way, first))
    sign_again(way.cast.database, NEW, way.tick())
    assert "Good: it is ours" in words(hand_in(way, credential(way)))
    assert "Others may have had its key" in words(hand_in(way, first))


@pytest.mark.parametrize(
    ("held", "said"),
    [
        ("", "Choose a certificate"),
        ("{", "not JSON"),
        ("[1]", "not one object"),
        ('{"a": 1, "a": 2}', "stands twice"),
        ("x" * 100_001, "longer than 100,000"),
        ('{"a": NaN}', "a number that JSON does not know"),
    ],
)
def test_what_is_no_certificate_is_said_with_422(way, held, said):
    answer = hand_in(way, held)
    assert answer.status_code == 422
    assert said in words(answer)


def test_empty_objects_and_odd_shapes_are_not_good_and_break_nothing(way):
    signed = credential(way)
    odd = [{}, {"proof": 7}, {**signed, "proof": []}, {**signed, "issuer": 7}, {**signed, "@context": {}}]
    odd += [{**signed, name: value} for name in signed for value in (None, 7, [], {}, "x", [None], 1e400)]
    for held in odd[:25]:
        answer = hand_in(way, json.dumps(held))
        assert answer.status_code in {200, 422}
        assert "Good: it is ours" not in words(answer)


def test_a_flood_from_one_address_waits_and_the_next_minute_is_free_again(way):
    answers = [hand_in(way, "{}").status_code for _ in range(31)]
    assert answers == [200] * 30 + [429]
    way.stage.clock.move(minutes=1)
    assert hand_in(way, "{}").status_code == 200


def test_nothing_was_signed_yet(stage):
    page = words(stage.visitor(None).get("/keys"))
    assert "No certificate has been signed here yet" in page
    keep_key(stage.cast.database, stage.house.config.signing_key, "https://wash.example", stage.clock.now)
    assert json.loads(stage.visitor(None).get("/status/revocation").data)["id"].startswith("urn:uuid:")
