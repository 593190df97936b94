"""Status lists: bits that come back, lists that are old, cut or foreign, certificates that name none."""

import base64
import gzip
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.certificates.credential import public_key_of, sign_credential, verify_credential
from trainer.certificates.status_list import (
    FEWEST,
    MOST_BYTES,
    StatusEntry,
    StatusError,
    bit,
    decode_bits,
    encode_bits,
    list_length,
    room_for,
    status_list,
    status_reasons,
)

KEY = bytes(range(32))
PUBLIC = public_key_of(KEY)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
ADDRESS = "https://wash.example/status"
PLACE = 94567


def made(purpose, places, now=NOON):
    return status_list(
        purpose, places, address=f"{ADDRESS}/{purpose}", public_key=PUBLIC, length=FEWEST, now=now
    )


def holding(*purposes, place=PLACE):
    return {"credentialStatus": [StatusEntry(one, place, f"{ADDRESS}/{one}").document() for one in purposes]}


BOTH = holding("revocation", "suspension")


@settings(max_examples=30)
@given(st.sets(st.integers(0, 3 * FEWEST - 1), max_size=40))
def test_the_bits_come_back_and_no_other_is_set(places):
    bits = decode_bits(encode_bits(places, list_length(places)))
    assert 8 * len(bits) == list_length(places) >= FEWEST
    assert int.from_bytes(bits, "big").bit_count() == len(places)
    assert all(bit(bits, place) for place in places)


def test_there_is_always_room_and_half_of_it_is_free():
    assert room_for(0) == room_for(FEWEST // 2 - 1) == FEWEST
    assert all(room_for(taken) >= 2 * taken for taken in range(0, 5 * FEWEST, 997))


def test_what_no_list_sets_counts():
    assert status_reasons(BOTH, [made("revocation", {1}), made("suspension", {2})], NOON) == ()


@pytest.mark.parametrize("purpose", ["revocation", "suspension"])
def test_a_bit_that_is_set_is_told_by_its_purpose(purpose):
    lists = [made(one, {PLACE} if one == purpose else set()) for one in ("revocation", "suspension")]
    assert status_reasons(BOTH, lists, NOON) == (f"status.{purpose}",)


def test_a_neighbour_s_bit_is_not_mine():
    lists = [made("revocation", {PLACE - 1, PLACE + 1}), made("suspension", set())]
    assert status_reasons(BOTH, lists, NOON) == ()


def test_what_was_not_given_was_not_checked_and_is_said():
    assert status_reasons(BOTH, [made("suspension", set())], NOON) == ("status.no_list:revocation",)
    assert status_reasons({}, [made("revocation", set())], NOON) == ("status.none",)


def test_a_list_counts_for_a_day():
    lists = [made("revocation", set()), made("suspension", set())]
    assert status_reasons(BOTH, lists, NOON + timedelta(days=1, seconds=-1)) == ()
    old = ("status.old:revocation", "status.old:suspension")
    assert status_reasons(BOTH, lists, NOON + timedelta(days=1)) == old
    assert status_reasons(BOTH, lists, NOON - timedelta(seconds=1)) == old


def test_of_two_fresh_lists_the_one_that_says_withdrawn_is_believed():
    lists = [made("revocation", set()), made("revocation", {PLACE}), made("suspension", set())]
    assert status_reasons(BOTH, lists, NOON) == ("status.revocation",)


def raw(bits):
    return "u" + base64.urlsafe_b64encode(gzip.compress(bits, mtime=0)).rstrip(b"=").decode()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (None, "unreadable"),
        ("", "unreadable"),
        ("u", "unreadable"),
        ("u!!!!", "unreadable"),
        ("zH4sI", "unreadable"),
        (encode_bits({5}, FEWEST)[:-8], "unreadable"),
        (raw(bytes(FEWEST // 8 - 1)), "too_short"),
        # Two megabytes and more of zeros take two kilobytes: reading must stop.
        (raw(bytes(MOST_BYTES + 1)), "unreadable"),
    ],
)
def test_a_list_that_cannot_be_used_says_why(text, why):
    with pytest.raises(StatusError, match=why):
        decode_bits(text)


@pytest.mark.parametrize("index", ["-1", "1.0", "", 7, None, str(FEWEST), "9" * 13])
def test_a_place_that_the_list_has_not_is_never_taken_for_good(index):
    entry = {**holding("revocation")["credentialStatus"][0], "statusListIndex": index}
    found = status_reasons({"credentialStatus": entry}, [made("revocation", set())], NOON)
    assert found == ("status.no_such_place:revocation",)


def test_more_bits_a_place_than_one_are_not_read():
    entry = {**holding("revocation")["credentialStatus"][0], "statusSize": 2}
    assert status_reasons({"credentialStatus": [entry]}, [made("revocation", set())], NOON) == (
        "status.unreadable:revocation",
    )


def test_a_certificate_is_no_status_list():
    one = {**made("revocation", set()), "type": ["VerifiableCredential", "OpenBadgeCredential"]}
    assert status_reasons(holding("revocation"), [one], NOON) == ("status.no_list:revocation",)


def test_the_list_is_a_credential_that_verifies():
    signed = sign_credential(made("revocation", {PLACE}), KEY, NOON)
    assert verify_credential(signed, {PUBLIC}).good
    signed["credentialSubject"]["encodedList"] = encode_bits(set(), FEWEST)
    assert verify_credential(signed, {PUBLIC}).reasons == ("credential.signature",)
