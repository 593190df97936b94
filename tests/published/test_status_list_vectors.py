"""The status list of W3C Bitstring Status List 1.0, as its specification publishes it."""

from datetime import UTC, datetime

import pytest

from trainer.certificates.status_list import (
    FEWEST,
    PURPOSES,
    StatusEntry,
    bit,
    decode_bits,
    encode_bits,
    status_list,
)

# W3C, Bitstring Status List v1.0, repository w3c/vc-bitstring-status-list, section "BitstringStatusListCredential",
# the example's `encodedList`: all bits unset. Headers of GZIP differ between libraries, so bits are compared.
PUBLISHED = "uH4sIAAAAAAAAA-3BMQEAAADCoPVPbQwfoAAAAAAAAAAAAAAAAAAAAIC3AYbSVKsAQAAA"


def test_the_published_list_is_sixteen_kilobytes_of_nothing():
    assert decode_bits(PUBLISHED) == bytes(16_384) == decode_bits(encode_bits(set(), FEWEST))


def test_sixteen_kilobytes_are_the_fewest_entries_that_the_specification_takes():
    # "Validate Algorithm": minimumNumberOfEntries is 131,072; `encodedList`: at least 16KB uncompressed.
    assert FEWEST == 131_072 == 8 * 16_384


@pytest.mark.parametrize(
    ("place", "byte", "value"),
    # `encodedList`: index 0 is the left-most bit, the last index the right-most.
    [(0, 0, 0b1000_0000), (7, 0, 0b0000_0001), (8, 1, 0b1000_0000), (131_071, 16_383, 0b0000_0001)],
)
def test_the_first_place_is_the_left_most_bit(place, byte, value):
    bits = decode_bits(encode_bits({place}, FEWEST))
    assert bits[byte] == value
    assert bit(bits, place)


def test_an_entry_has_the_fields_of_the_specification_s_example():
    # Section "BitstringStatusListEntry": type, purpose, index as a string in base 10, address of the list; the id
    # must not be the list's address.
    assert StatusEntry("revocation", 94567, "https://example.com/credentials/status/3").document() == {
        "id": "https://example.com/credentials/status/3#94567",
        "type": "BitstringStatusListEntry",
        "statusPurpose": "revocation",
        "statusListIndex": "94567",
        "statusListCredential": "https://example.com/credentials/status/3",
    }


def test_purposes_are_two_of_the_specification_s():
    # "revocation" is not reversible, "suspension" is.
    assert PURPOSES == ("revocation", "suspension")


def test_a_list_has_the_fields_that_the_specification_demands():
    made = status_list(
        "revocation", set(), address="https://example.com/credentials/status/3", public_key="z6Mk",
        length=FEWEST, now=datetime(2026, 3, 2, 12, tzinfo=UTC),
    )  # fmt: skip
    assert made["@context"] == ["https://www.w3.org/ns/credentials/v2"]
    assert made["id"] == "https://example.com/credentials/status/3"
    assert "BitstringStatusListCredential" in made["type"]
    subject = made["credentialSubject"]
    assert (subject["type"], subject["statusPurpose"]) == ("BitstringStatusList", "revocation")
    # `ttl`: milliseconds; 300000 is what a verifier takes when it is left out.
    assert subject["ttl"] == 300_000
    assert (made["validFrom"], made["validUntil"]) == ("2026-03-02T12:00:00Z", "2026-03-03T12:00:00Z")
