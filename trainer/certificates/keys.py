"""Which key may have signed at which moment: keys that take turns, and one that fell into other hands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from trainer.certificates.credential import Verified, key_bytes, moment, verify_credential


class KeysError(ValueError):
    """A list of keys that cannot be read: why."""


@dataclass(frozen=True)
class SigningKey:
    """A key and its time: it signs from `from_at` up to, not including, `until_at`.

    compromised_since: the moment from which others may have had it; what was signed then or later does not count.
    Whoever has a key can write any moment into a signature, so what was signed before must also be on record.
    """

    public_key: str
    from_at: datetime
    until_at: datetime | None = None
    compromised_since: datetime | None = None


def whole_second(at: datetime) -> datetime:
    """The moment as a signature writes it: the key's time is kept in the same grain, or they would not meet."""
    return at.astimezone(UTC).replace(microsecond=0)


def key_reasons(keys: Sequence[SigningKey], public_key: str, created: datetime) -> tuple[str, ...]:
    """Why the site did not sign with this key at that moment; empty when it may have."""
    key = next((one for one in keys if one.public_key == public_key), None)
    if key is None:
        return ("credential.key_not_trusted",)
    early = created < key.from_at
    late = key.until_at is not None and created >= key.until_at
    lost = key.compromised_since is not None and created >= key.compromised_since
    return tuple(
        f"{reason}:{moment(at)}"
        for reason, at, holds in (
            ("credential.before_key", key.from_at, early),
            ("credential.after_key", key.until_at, late),
            ("credential.key_compromised", key.compromised_since, lost),
        )
        if holds and at is not None
    )


def verify_by_time(credential: Mapping[str, Any], keys: Sequence[SigningKey]) -> Verified:
    """Whether the credential is whole and was signed with a key of the site in that key's time."""
    found = verify_credential(credential, {one.public_key for one in keys})
    known = any(one.public_key == found.issuer_key for one in keys)
    created = _created(credential)
    if not known or found.issuer_key is None or created is None:
        return found
    reasons = (*found.reasons, *key_reasons(keys, found.issuer_key, created))
    return Verified(not reasons, reasons, found.issuer_key)


def _created(credential: Mapping[str, Any]) -> datetime | None:
    proof = credential.get("proof")
    try:
        at = datetime.fromisoformat(proof["created"]) if isinstance(proof, Mapping) else None
    except (KeyError, TypeError, ValueError):
        return None
    return at if at is not None and at.tzinfo is not None else None


def keys_document(keys: Sequence[SigningKey], said_at: datetime) -> dict[str, Any]:
    """The site's keys as one JSON object, to be kept beside certificates that are checked without the server."""
    return {
        "said_at": moment(said_at),
        "keys": [
            {
                "public_key": one.public_key,
                "from": moment(one.from_at),
                "until": None if one.until_at is None else moment(one.until_at),
                "compromised_since": None if one.compromised_since is None else moment(one.compromised_since),
            }
            for one in keys
        ],
    }


def read_keys(document: Mapping[str, Any]) -> list[SigningKey]:
    """The keys of what `keys_document` wrote. Raises KeysError."""
    listed = document.get("keys")
    if not isinstance(listed, list) or not listed:
        raise KeysError("It holds no list named keys.")
    return [_read_key(one) for one in listed]


def _read_key(one: object) -> SigningKey:
    if not isinstance(one, Mapping) or key_bytes(str(one.get("public_key"))) is None:
        raise KeysError(
            "One of its keys is not an Ed25519 public key in multibase; such a key begins with z6Mk."
        )
    start = _moment(one.get("from"))
    if start is None:
        raise KeysError(f"The key {one['public_key']} has no moment from which it counts.")
    return SigningKey(
        one["public_key"], start, _moment(one.get("until")), _moment(one.get("compromised_since"))
    )


def _moment(said: object) -> datetime | None:
    if said is None:
        return None
    try:
        at = datetime.fromisoformat(str(said))
    except ValueError:
        raise KeysError(f"{said} is not a moment such as 2026-03-02T15:00:00Z.") from None
    if at.tzinfo is None:
        raise KeysError(f"{said} has no time zone; Z stands for UTC.")
    return at
