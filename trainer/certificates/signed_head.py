"""A signed head of the record log: how many entries, the tree's root, the chain's last hash, when, by which key."""

from __future__ import annotations

from dataclasses import asdict, dataclass

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from trainer.certificates.credential import SIGNATURE_BYTES, key_bytes, public_key_of
from trainer.certificates.multibase import MultibaseError, decode_base58, encode_base58

KIND = "record log head 1"


@dataclass(frozen=True)
class HeadFacts:
    """What is signed. number: from 1 without a hole; root, head: hex; at: as the log writes moments."""

    number: int
    size: int
    root: str
    head: str
    at: str
    key: str


@dataclass(frozen=True)
class SignedHead(HeadFacts):
    """A head with its Ed25519 signature, multibase base 58."""

    signature: str


def signed_head_bytes(facts: HeadFacts) -> bytes:
    """The bytes that are signed: canonical JSON (RFC 8785); its kind keeps it apart from all else the key signs."""
    document = {**asdict(facts), "kind": KIND}
    document.pop("signature", None)
    return rfc8785.dumps(document)


def sign_facts(number: int, size: int, root: str, head: str, at: str, *, signing_key: bytes) -> SignedHead:
    """The head, signed with the 32-byte Ed25519 private key."""
    facts = HeadFacts(number, size, root, head, at, public_key_of(signing_key))
    signature = Ed25519PrivateKey.from_private_bytes(signing_key).sign(signed_head_bytes(facts))
    return SignedHead(**asdict(facts), signature=encode_base58(signature))


def head_is_signed(head: SignedHead) -> bool:
    """Whether the signature belongs to these facts and to the key that they name."""
    raw = key_bytes(head.key)
    try:
        signature = decode_base58(head.signature)
        if raw is None or len(signature) != SIGNATURE_BYTES:
            return False
        Ed25519PublicKey.from_public_bytes(raw).verify(signature, signed_head_bytes(head))
    except (MultibaseError, InvalidSignature, ValueError):
        return False
    return True
