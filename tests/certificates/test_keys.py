"""Which key may have signed when: turns, edges to the second, a key that fell into other hands."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.keys import (
    KeysError,
    SigningKey,
    key_reasons,
    keys_document,
    read_keys,
    verify_by_time,
    whole_second,
)

KEY = bytes(range(32))
PUBLIC, OTHER = public_key_of(KEY), public_key_of(bytes(range(1, 33)))
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
# Hypothesis takes the edges without a zone.
YEARS = (datetime(2020, 1, 1), datetime(2040, 1, 1))  # noqa: DTZ001
SECOND, YEAR = timedelta(seconds=1), timedelta(days=365)
DOCUMENT = {
    "@context": ["https://www.w3.org/ns/credentials/v2"], "id": "urn:uuid:0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001",
    "type": ["VerifiableCredential"], "issuer": {"id": f"did:key:{PUBLIC}"}, "validFrom": "2026-03-02T12:00:00Z",
    "credentialSubject": {"id": "urn:uuid:0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0002"},
}  # fmt: skip


def signed(at):
    return sign_credential(DOCUMENT, KEY, at)


def reasons(at, *keys):
    return verify_by_time(signed(at), keys).reasons


def test_a_key_signs_from_its_first_second_up_to_its_last_and_no_longer():
    key = SigningKey(PUBLIC, NOON, NOON + YEAR)
    assert reasons(NOON, key) == ()
    assert reasons(NOON + YEAR - SECOND, key) == ()
    assert reasons(NOON - SECOND, key) == ("credential.before_key:2026-03-02T12:00:00Z",)
    assert reasons(NOON + YEAR, key) == ("credential.after_key:2027-03-02T12:00:00Z",)


def test_what_a_retired_key_signed_keeps_counting_beside_the_key_that_followed():
    old, new = SigningKey(PUBLIC, NOON, NOON + YEAR), SigningKey(OTHER, NOON + YEAR)
    assert reasons(NOON + SECOND, new, old) == ()
    assert reasons(NOON + SECOND, new) == ("credential.key_not_trusted",)


def test_a_key_in_other_hands_ends_what_it_signed_then_or_later():
    lost = SigningKey(PUBLIC, NOON, NOON + YEAR, compromised_since=NOON + SECOND)
    assert reasons(NOON, lost) == ()
    assert reasons(NOON + SECOND, lost) == ("credential.key_compromised:2026-03-02T12:00:01Z",)


def test_a_broken_text_is_told_beside_the_key():
    broken = {**signed(NOON - SECOND), "name": "Chief"}
    assert verify_by_time(broken, [SigningKey(PUBLIC, NOON)]).reasons == (
        "credential.signature",
        "credential.before_key:2026-03-02T12:00:00Z",
    )


def test_a_signature_without_a_moment_is_not_trusted():
    one = signed(NOON)
    one["proof"] = {name: value for name, value in one["proof"].items() if name != "created"}
    found = verify_by_time(one, [SigningKey(PUBLIC, NOON)])
    assert not found.good
    assert "credential.created" in found.reasons


@given(st.datetimes(timezones=st.just(UTC), min_value=YEARS[0], max_value=YEARS[1]))
def test_what_is_signed_at_the_very_moment_a_key_begins_is_signed_in_its_time(at):
    # A signature holds whole seconds: a key kept with a fraction would begin after what it signed first.
    key = SigningKey(PUBLIC, whole_second(at))
    assert key_reasons([key], PUBLIC, whole_second(at)) == ()


MOMENTS = st.datetimes(timezones=st.just(UTC), min_value=YEARS[0], max_value=YEARS[1]).map(whole_second)


@given(MOMENTS, st.none() | MOMENTS, st.none() | MOMENTS)
def test_keys_come_back_from_their_document(start, until, since):
    keys = [SigningKey(PUBLIC, start, until, since), SigningKey(OTHER, start)]
    assert read_keys(keys_document(keys, NOON)) == keys


@pytest.mark.parametrize(
    ("document", "said"),
    [
        ({}, "no list named keys"),
        ({"keys": []}, "no list named keys"),
        ({"keys": ["z6Mk"]}, "not an Ed25519 public key"),
        ({"keys": [{"public_key": PUBLIC}]}, "no moment"),
        ({"keys": [{"public_key": PUBLIC, "from": "noon"}]}, "not a moment"),
        ({"keys": [{"public_key": PUBLIC, "from": "2026-03-02T12:00:00"}]}, "no time zone"),
    ],
)
def test_a_document_of_keys_that_cannot_be_read_says_why(document, said):
    with pytest.raises(KeysError, match=said):
        read_keys(document)
