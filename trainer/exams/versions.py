"""One version of a scheme as one text for ever: what is frozen before the first exam, and compared before each."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from trainer.exams.scheme import Scheme


def scheme_text(scheme: Scheme) -> str:
    """The scheme as canonical JSON: keys in order, no blanks, nothing of the file's comments or layout.

    What a scheme leaves out is left out here too, so that a field added to the program changes no frozen text. Nor do
    places for questions on trial stand in it: nobody is judged by them, and they take no time from what counts.
    Only texts, whole numbers, flags and lists stand in it, for which this is also RFC 8785.
    """
    facts = {name: value for name, value in asdict(scheme).items() if name != "trial_places"}
    return json.dumps(_plain(facts), ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def fingerprint(scheme: Scheme) -> str:
    """SHA-256 of the canonical text, in hex."""
    return hashlib.sha256(scheme_text(scheme).encode("utf-8")).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(child) for key, child in value.items() if not _left_out(child)}
    if isinstance(value, list | tuple):
        return [_plain(child) for child in value]
    return value.isoformat() if isinstance(value, date) else value


def _left_out(value: Any) -> bool:
    return value is None or value is False or value in ((), [])


@dataclass(frozen=True)
class Frozen:
    """A version as it was frozen; frozen_by: the manager's name, None where the first exam froze it."""

    scheme: str
    version: int
    fingerprint: str
    frozen_at: datetime
    frozen_by: str | None


def version_reasons(scheme: Scheme, frozen: Frozen | None, today: date) -> tuple[str, ...]:
    """Why a version cannot be used; nothing where it can.

    A version that was frozen goes on after its job analysis is stale, for people sit under it; a new one cannot begin
    on a stale one.
    """
    if frozen is not None:
        return () if frozen.fingerprint == fingerprint(scheme) else ("scheme.changed",)
    return ("scheme.stale",) if scheme.analysis and scheme.analysis.is_stale(today) else ()
