"""Which certificates do not count, as two lists of bits that anybody may keep: W3C Bitstring Status List."""

from __future__ import annotations

import base64
import binascii
import gzip
import zlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

from trainer.certificates.credential import did_of, moment, out_of_time

Purpose = Literal["revocation", "suspension"]
PURPOSES: tuple[Purpose, ...] = ("revocation", "suspension")
CONTEXTS = ["https://www.w3.org/ns/credentials/v2"]
# W3C Bitstring Status List 1.0, "Validate Algorithm": fewer places would tell who is meant.
FEWEST = 131_072
# A list that grows past this is none of ours; reading stops there, so that a small file cannot fill the memory.
MOST_BYTES = 2_000_000
LETTER = "u"
VALID_FOR = timedelta(days=1)
# How long a verifier may keep it: five minutes, in milliseconds, which the specification takes for the usual.
KEEP_MS = 300_000


class StatusError(ValueError):
    """A status list that cannot be used; the text is the key of its sentence."""


@dataclass(frozen=True)
class StatusEntry:
    """Where a certificate stands in one list."""

    purpose: Purpose
    place: int
    address: str

    def document(self) -> dict[str, str]:
        """The entry as a credential carries it."""
        return {
            "id": f"{self.address}#{self.place}",
            "type": "BitstringStatusListEntry",
            "statusPurpose": self.purpose,
            "statusListIndex": str(self.place),
            "statusListCredential": self.address,
        }


def list_length(places: Collection[int]) -> int:
    """How many bits a list needs: the fewest allowed, and that many again for each time they do not suffice."""
    return FEWEST * (max(places, default=0) // FEWEST + 1)


def room_for(taken: int) -> int:
    """From how many places to draw the next one, so that at least half of them are free."""
    return FEWEST * (2 * taken // FEWEST + 1)


def encode_bits(places: Collection[int], length: int) -> str:
    """Bits of which those at `places` are set; the first is the left-most. GZIP, base64url, multibase u."""
    bits = bytearray(length // 8)
    for place in places:
        bits[place // 8] |= 0x80 >> place % 8
    packed = gzip.compress(bytes(bits), mtime=0)
    return LETTER + base64.urlsafe_b64encode(packed).rstrip(b"=").decode("ascii")


def decode_bits(text: object) -> bytes:
    """The bits as bytes. Raises StatusError when it is none of that, or holds fewer places than allowed."""
    if not isinstance(text, str) or not text.startswith(LETTER):
        raise StatusError("status.unreadable")
    coded = text.removeprefix(LETTER)
    try:
        packed = base64.b64decode(coded + "=" * (-len(coded) % 4), altchars=b"-_", validate=True)
        bits = _unpacked(packed)
    except (binascii.Error, zlib.error, ValueError):
        raise StatusError("status.unreadable") from None
    if 8 * len(bits) < FEWEST:
        raise StatusError("status.too_short")
    return bits


def _unpacked(packed: bytes) -> bytes:
    opened = zlib.decompressobj(wbits=16 + zlib.MAX_WBITS)
    bits = opened.decompress(packed, MOST_BYTES)
    if not opened.eof or opened.unused_data:
        raise ValueError("cut short, too long, or followed by something else")
    return bits


def bit(bits: bytes, place: int) -> bool:
    """Whether the bit at a place is set; place 0 is the left-most bit."""
    if place < 0 or place >= 8 * len(bits):
        raise StatusError("status.no_such_place")
    return bool(bits[place // 8] & 0x80 >> place % 8)


def status_list(
    purpose: Purpose, places: Collection[int], *, address: str, public_key: str, length: int, now: datetime
) -> dict[str, Any]:
    """One list before it is signed, valid for a day."""
    return {
        "@context": list(CONTEXTS),
        "id": address,
        "type": ["VerifiableCredential", "BitstringStatusListCredential"],
        "issuer": did_of(public_key),
        "validFrom": moment(now),
        "validUntil": moment(now + VALID_FOR),
        "credentialSubject": {
            "id": f"{address}#list",
            "type": "BitstringStatusList",
            "statusPurpose": purpose,
            "encodedList": encode_bits(places, length),
            "ttl": KEEP_MS,
        },
    }


def status_reasons(
    credential: Mapping[str, Any], lists: Sequence[Mapping[str, Any]], now: datetime
) -> tuple[str, ...]:
    """Why the lists say that the credential does not count, or why they do not say that it does.

    Each list must have been verified before. The address in an entry is not compared: a list may be handed over.
    """
    entries = _entries(credential)
    if not entries:
        return ("status.none",)
    return tuple(reason for entry in entries for reason in _entry_reasons(entry, lists, now))


def purposes_of(credential: Mapping[str, Any]) -> tuple[str, ...]:
    """For what the credential names lists."""
    return tuple(str(entry.get("statusPurpose")) for entry in _entries(credential))


def _entries(credential: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    named = credential.get("credentialStatus", [])
    listed = named if isinstance(named, list) else [named]
    return [
        one for one in listed if isinstance(one, Mapping) and one.get("type") == "BitstringStatusListEntry"
    ]


def _entry_reasons(
    entry: Mapping[str, Any], lists: Sequence[Mapping[str, Any]], now: datetime
) -> tuple[str, ...]:
    purpose = str(entry.get("statusPurpose"))
    found = [one for one in lists if purpose in _purposes_told(one)]
    if not found:
        return (f"status.no_list:{purpose}",)
    fresh = [one for one in found if not out_of_time(one, now)]
    if not fresh:
        return (f"status.old:{purpose}",)
    try:
        place = _place(entry)
        # Where several fresh lists are given, one bit that is set suffices: a withdrawal is never overlooked.
        told = any(bit(decode_bits(one["credentialSubject"].get("encodedList")), place) for one in fresh)
    except StatusError as error:
        return (f"{error}:{purpose}",)
    return (f"status.{purpose}",) if told else ()


def _purposes_told(one: Mapping[str, Any]) -> tuple[str, ...]:
    subject, types = one.get("credentialSubject"), one.get("type")
    if not isinstance(types, list) or not isinstance(subject, Mapping):
        return ()
    if "BitstringStatusListCredential" not in types:
        return ()
    if subject.get("type") != "BitstringStatusList":
        return ()
    told = subject.get("statusPurpose")
    return tuple(map(str, told)) if isinstance(told, list) else (str(told),)


def _place(entry: Mapping[str, Any]) -> int:
    said = entry.get("statusListIndex")
    if not isinstance(said, str) or not said.isascii() or not said.isdigit() or len(said) > 12:
        raise StatusError("status.no_such_place")
    if entry.get("statusSize", 1) != 1:
        raise StatusError("status.unreadable")
    return int(said)
