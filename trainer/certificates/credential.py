"""The signed credential: W3C Verifiable Credential 2.0 with an `eddsa-jcs-2022` proof, checked without the server."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from trainer.certificates.multibase import MultibaseError, decode_base58, encode_base58

SUITE = "eddsa-jcs-2022"
PUBLIC_PREFIX = bytes.fromhex("ed01")
SIGNATURE_BYTES = 64
KEY_BYTES = 32
NEEDED = ("@context", "id", "type", "issuer", "validFrom", "credentialSubject", "proof")


@dataclass(frozen=True)
class Verified:
    """What a check found: whether all holds, every reason why not, and the key that the proof names."""

    good: bool
    reasons: tuple[str, ...]
    issuer_key: str | None


def public_key_of(key: bytes) -> str:
    """The public half of a 32-byte Ed25519 key, as multikey text (z6Mk…)."""
    return encode_base58(
        PUBLIC_PREFIX + Ed25519PrivateKey.from_private_bytes(key).public_key().public_bytes_raw()
    )


def did_of(public_key: str) -> str:
    """The did:key name of a public key."""
    return f"did:key:{public_key}"


def moment(at: datetime) -> str:
    """A moment as a credential writes it: UTC, whole seconds, Z."""
    return at.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def canonical_hash(document: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical bytes (RFC 8785), in hex."""
    return hashlib.sha256(rfc8785.dumps(dict(document))).hexdigest()


def sign_credential(document: Mapping[str, Any], key: bytes, created: datetime) -> dict[str, Any]:
    """The document with its proof; `key` is the 32-byte Ed25519 private key.

    Source: W3C Data Integrity EdDSA Cryptosuites 1.0, section 3.3 (eddsa-jcs-2022).
    """
    public = public_key_of(key)
    options = {
        "type": "DataIntegrityProof",
        "cryptosuite": SUITE,
        "created": moment(created),
        "verificationMethod": f"{did_of(public)}#{public}",
        "proofPurpose": "assertionMethod",
        "@context": document["@context"],
    }
    signature = Ed25519PrivateKey.from_private_bytes(key).sign(signed_bytes(document, options))
    return {**document, "proof": {**options, "proofValue": encode_base58(signature)}}


def signed_bytes(document: Mapping[str, Any], options: Mapping[str, Any]) -> bytes:
    """The 64 bytes that are signed: the hash of the proof's options, then the hash of the document."""
    return bytes.fromhex(canonical_hash(options)) + bytes.fromhex(canonical_hash(document))


def verify_credential(credential: Mapping[str, Any], trusted_keys: Collection[str] | None = None) -> Verified:
    """Whether the credential is whole and signed; needs no server and no clock.

    trusted_keys: public keys (z6Mk…) that may sign. None trusts no key in particular: the issuer must then itself
    be the did:key of the signing key, and the reader compares that key with the one the site has published.
    Withdrawal and expiry are not told here: the first stands on the site's page, the second needs a clock.
    """
    missing = [name for name in NEEDED if name not in credential]
    if missing:
        return Verified(False, tuple(f"credential.missing:{name}" for name in missing), None)
    proof = credential["proof"]
    if not isinstance(proof, Mapping):
        return Verified(False, ("credential.proof_kind",), None)
    reasons = [*_wrong_options(credential, proof)]
    public = _key_named(proof)
    if public is None:
        return Verified(False, (*reasons, "credential.key_unreadable"), None)
    if not _signature_holds(credential, proof, public):
        reasons.append("credential.signature")
    return Verified(not (found := (*reasons, *_not_trusted(credential, public, trusted_keys))), found, public)


def _wrong_options(credential: Mapping[str, Any], proof: Mapping[str, Any]) -> list[str]:
    """What the proof says that this suite does not allow."""
    holds = {
        "credential.proof_kind": proof.get("type") == "DataIntegrityProof"
        and proof.get("cryptosuite") == SUITE,
        "credential.purpose": proof.get("proofPurpose") == "assertionMethod",
        "credential.context": proof.get("@context", credential["@context"]) == credential["@context"],
        "credential.created": _is_moment(proof.get("created")),
    }
    return [key for key, good in holds.items() if not good]


def _is_moment(text: object) -> bool:
    try:
        return isinstance(text, str) and datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False


def _key_named(proof: Mapping[str, Any]) -> str | None:
    """The public key in the proof's verification method, `did:key:KEY#KEY`; None when it names no Ed25519 key."""
    method = proof.get("verificationMethod")
    if not isinstance(method, str) or not method.startswith("did:key:"):
        return None
    named, _, fragment = method.removeprefix("did:key:").partition("#")
    return named if named == fragment and key_bytes(named) is not None else None


def key_bytes(public_key: str) -> bytes | None:
    """The 32 raw bytes of a multikey text; None when it is not an Ed25519 public key."""
    try:
        raw = decode_base58(public_key)
    except MultibaseError:
        return None
    fits = raw.startswith(PUBLIC_PREFIX) and len(raw) == len(PUBLIC_PREFIX) + KEY_BYTES
    return raw.removeprefix(PUBLIC_PREFIX) if fits else None


def _signature_holds(credential: Mapping[str, Any], proof: Mapping[str, Any], public: str) -> bool:
    document = {name: value for name, value in credential.items() if name != "proof"}
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    try:
        signature = decode_base58(proof.get("proofValue"))
        raw = key_bytes(public) or b""
        if len(signature) != SIGNATURE_BYTES:
            return False
        Ed25519PublicKey.from_public_bytes(raw).verify(signature, signed_bytes(document, options))
    except (MultibaseError, InvalidSignature, rfc8785.CanonicalizationError):
        return False
    return True


def _not_trusted(
    credential: Mapping[str, Any], public: str, trusted_keys: Collection[str] | None
) -> tuple[str, ...]:
    issuer = credential["issuer"]
    named = issuer.get("id") if isinstance(issuer, Mapping) else issuer
    claims_key = isinstance(named, str) and named.startswith("did:key:")
    if (claims_key or trusted_keys is None) and named != did_of(public):
        return ("credential.issuer_key",)
    if trusted_keys is not None and public not in trusted_keys:
        return ("credential.key_not_trusted",)
    return ()


def out_of_time(credential: Mapping[str, Any], now: datetime) -> tuple[str, ...]:
    """Why the credential does not count at `now` by its own dates; a missing `validUntil` is no end."""
    try:
        start, end = (
            datetime.fromisoformat(credential[name]) if name in credential else None
            for name in ("validFrom", "validUntil")
        )
        early = start is not None and now < start
        late = end is not None and now >= end
    except (TypeError, ValueError):
        return ("credential.dates",)
    return tuple(
        f"{key}:{credential[name]}"
        for key, name, holds in (
            ("credential.not_yet", "validFrom", early),
            ("credential.expired", "validUntil", late),
        )
        if holds
    )
