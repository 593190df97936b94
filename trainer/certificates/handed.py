"""A file as somebody hands it in: one JSON object, or why it is none; and whether a certificate in it counts."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.certificates.credential import Verified, canonical_hash, out_of_time, verify_credential
from trainer.certificates.keys import SigningKey, verify_by_time
from trainer.certificates.states import CertificateState
from trainer.certificates.status_list import status_reasons

MOST_BYTES = 1_000_000
# Whom to believe: the site's keys with their time, keys alone, or whatever key a certificate names itself.
Trust = Sequence[SigningKey] | frozenset[str] | None


class HandedError(ValueError):
    """A file that holds no certificate: the key of the sentence that says why, and what goes into its gaps."""

    def __init__(self, key: str, **facts: object) -> None:
        super().__init__(key)
        self.key, self.facts = key, facts


@dataclass(frozen=True)
class Checked:
    """What was found: every reason why it does not count, whether withdrawals were looked at, the key that signed.

    whole: signature and key are good, whatever its dates and its state say
    """

    reasons: tuple[str, ...]
    status_checked: bool
    key: str | None
    whole: bool = False

    @property
    def good(self) -> bool:
        """Whether nothing speaks against it."""
        return not self.reasons


def read_handed(raw: bytes, most: int = MOST_BYTES) -> Mapping[str, Any]:
    """The one JSON object of a file; a name that stands twice is refused, for readers differ on which counts."""
    if len(raw) > most:
        raise HandedError("handed.too_long", most=f"{most:,}")
    try:
        read = json.loads(raw.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_no_number)
    except UnicodeDecodeError:
        raise HandedError("handed.not_text") from None
    except json.JSONDecodeError as error:
        raise HandedError("handed.not_json", line=error.lineno, column=error.colno) from None
    except RecursionError:
        raise HandedError("handed.too_deep") from None
    except ValueError as error:
        # Python refuses whole numbers of thousands of digits; what we refuse ourselves passes through.
        raise error if isinstance(error, HandedError) else HandedError("handed.number") from None
    if not isinstance(read, dict):
        raise HandedError("handed.no_object")
    return read


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    read: dict[str, Any] = {}
    for name, value in pairs:
        if name in read:
            raise HandedError("handed.twice", name=repr(name))
        read[name] = value
    return read


def _no_number(_said: str) -> None:
    raise HandedError("handed.number")


def verify_with(document: Mapping[str, Any], trust: Trust) -> Verified:
    """Whether a document is whole and signed by whom one believes."""
    if trust is None or isinstance(trust, frozenset):
        keys: Collection[str] | None = trust
        return verify_credential(document, keys)
    return verify_by_time(document, trust)


def check(
    credential: Mapping[str, Any], trust: Trust, now: datetime, lists: Sequence[Mapping[str, Any]] = ()
) -> Checked:
    """Signature, key, dates and, where status lists are given, whether it was withdrawn or suspended."""
    found = verify_with(credential, trust)
    reasons = (*found.reasons, *out_of_time(credential, now))
    if not lists:
        return Checked(reasons, False, found.issuer_key, found.good)
    believed = [one for one in lists if _believed(one, trust, found.issuer_key)]
    strangers = () if len(believed) == len(lists) else ("status.not_trusted",)
    told = (*reasons, *strangers, *status_reasons(credential, believed, now))
    return Checked(told, True, found.issuer_key, found.good)


def _believed(one: Mapping[str, Any], trust: Trust, key: str | None) -> bool:
    """Whether a status list is signed by whom one believes; with nobody named, by the certificate's own key."""
    found = verify_with(one, trust)
    return found.good and (trust is not None or found.issuer_key == key)


def record_reasons(
    credential: Mapping[str, Any], texts: Sequence[str], state: CertificateState | None
) -> tuple[str, ...]:
    """Why the site's own record speaks against a certificate that its key signed.

    texts: the certificate of that number as it was issued and each time it was signed again; none of no such number
    """
    if not texts:
        return ("record.unknown",)
    known = {canonical_hash(json.loads(text)) for text in texts}
    differs = () if canonical_hash(credential) in known else ("record.differs",)
    stands = {"withdrawn": ("status.revocation",), "suspended": ("status.suspension",)}
    return (*differs, *stands.get(state or "", ()))
