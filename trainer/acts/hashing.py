"""How passwords and PINs are hashed and checked (argon2id, RFC 9106), and tablets' tokens."""

from __future__ import annotations

import hashlib
import secrets
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

# 46 MiB and two passes: above the least that OWASP's Password Storage guidance asks (46 MiB, one pass; from
# memory), about a tenth of a second here, and eight sign-ins at a time still fit in half a gigabyte.
_HASHER = PasswordHasher(time_cost=2, memory_cost=46 * 1024, parallelism=1)


def hashed(secret: str) -> str:
    """The argon2id hash, with its salt and parameters in it."""
    return _HASHER.hash(secret)


def matches(stored: str | None, typed: str) -> bool:
    """Whether the typed secret belongs to the stored hash. No hash costs the same time as a wrong secret."""
    try:
        same = _HASHER.verify(stored or _nobodys(), typed)
    except (VerificationError, InvalidHashError):
        return False
    return same and stored is not None


def needs_new_hash(stored: str) -> bool:
    """Whether the hash was made with weaker parameters than today's."""
    return _HASHER.check_needs_rehash(stored)


def new_token() -> str:
    """A tablet's token: 256 bits nobody can guess."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """What is kept of a token. It has 256 bits of chance, so a plain SHA-256 cannot be searched."""
    return hashlib.sha256(token.encode("utf-8")).hexdigest()


@cache
def _nobodys() -> str:
    return _HASHER.hash(secrets.token_urlsafe(16))
