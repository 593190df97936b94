"""Keeping an exam's key sheet as it was at the close, bound to the record log by a salted digest."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from typing import Any

import rfc8785

from trainer.acts.transaction import Act
from trainer.exams.key_sheet import Key
from trainer.records.tables import ExamKeySheet

Sheet = Mapping[str, Key]


def keep_key_sheet(this: Act, exam_id: int, public_id: str, sheet: Sheet) -> str:
    """Keep the key sheet of an exam that closes; gives the digest that its entry in the log carries."""
    salt = secrets.token_hex(32)
    plain: dict[str, Any] = dict(sheet)
    text = rfc8785.dumps(plain).decode("utf-8")
    this.db.add(ExamKeySheet(exam_id=exam_id, salt=salt, sheet=text))
    return key_sheet_digest(public_id, salt, sheet)


def key_sheet_digest(public_id: str, salt: str, sheet: Sheet) -> str:
    """SHA-256 of the canonical JSON (RFC 8785) of exam, salt and sheet.

    Whoever reads the log could try the few choices of a question against a digest without salt; 256 bits of chance
    that leave with the key sheet alone keep them from it.
    """
    bound: dict[str, Any] = {"exam": public_id, "key_sheet": dict(sheet), "salt": salt}
    return hashlib.sha256(rfc8785.dumps(bound)).hexdigest()
