"""Expiries of certificates for anybody's calendar (RFC 5545): one entry a person and cabinet."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from trainer.certificates.facts import CertificateHeld
from trainer.certificates.states import withdrawal
from trainer.exams.scheme import Text

ENTRIES = uuid.uuid5(uuid.NAMESPACE_URL, "stringline:certificate-expiry")
PRODUCT = "-//Stringline//Certificate expiries//EN"
LINE_OCTETS = 75
REMIND = "-P60D"
EXPIRES = Text("Cabinet certificate expires", "Vence el certificado de tablero")
AT = Text(
    "It counts until {time} ({zone}). A new exam and a new practical come first: begin in time.",
    "Vale hasta las {time} ({zone}). Antes hacen falta un examen y una práctica nuevos: empiecen a tiempo.",
)


@dataclass(frozen=True)
class Expiry:
    """When the newest certificate of one person and cabinet runs out; `sequence` grows with each change to that."""

    uid: str
    person: str
    cabinet: str
    at: datetime
    time_zone: str
    changed_at: datetime
    sequence: int
    cancelled: bool

    @property
    def day(self) -> date:
        """The day at the site."""
        return self.at.astimezone(ZoneInfo(self.time_zone)).date()


def expiries(held: Sequence[CertificateHeld]) -> list[Expiry]:
    """One entry for each person and cabinet, by day; a renewal moves the entry, a withdrawal cancels it."""

    def pair(one: CertificateHeld) -> tuple[int, int]:
        return (one.person_id, one.cabinet_id)

    found = [_expiry(list(of_pair)) for _, of_pair in groupby(sorted(held, key=pair), key=pair)]
    return sorted(found, key=lambda one: (one.at, one.person, one.cabinet))


def _expiry(of_pair: Sequence[CertificateHeld]) -> Expiry:
    newest = max(of_pair, key=lambda one: (one.effective_at, one.expires_at))
    changes = [change for one in of_pair for change in one.changes]
    return Expiry(
        uid=str(uuid.uuid5(ENTRIES, f"{newest.person_public_id}/{newest.cabinet_id}")),
        person=newest.person,
        cabinet=newest.cabinet,
        at=newest.expires_at,
        time_zone=newest.time_zone,
        changed_at=max([newest.effective_at, *(change.at for change in changes)]),
        # Certificates and changes are only ever added, so this number never goes back.
        sequence=len(of_pair) - 1 + len(changes),
        cancelled=withdrawal(newest.changes) is not None,
    )


def calendar(entries: Sequence[Expiry], language: str) -> bytes:
    """The entries as one calendar to download."""
    lines = [
        "BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN",
        *(line for one in entries for line in _event(one, language)),
        "END:VCALENDAR",
    ]  # fmt: skip
    return b"".join(folded(line) + b"\r\n" for line in lines)


def _event(one: Expiry, language: str) -> Iterator[str]:
    local = one.at.astimezone(ZoneInfo(one.time_zone))
    said = AT.say(language).format(time=f"{local:%Y-%m-%d %H:%M:%S}", zone=one.time_zone)
    summary = f"{EXPIRES.say(language)}: {one.person}, {one.cabinet}"
    yield "BEGIN:VEVENT"
    yield f"UID:{one.uid}"
    yield f"DTSTAMP:{one.changed_at.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield f"SEQUENCE:{one.sequence}"
    yield f"DTSTART;VALUE=DATE:{one.day:%Y%m%d}"
    yield f"SUMMARY:{escaped(summary)}"
    yield f"DESCRIPTION:{escaped(said)}"
    yield f"STATUS:{'CANCELLED' if one.cancelled else 'CONFIRMED'}"
    yield "TRANSP:TRANSPARENT"
    if not one.cancelled:
        yield "BEGIN:VALARM"
        yield "ACTION:DISPLAY"
        yield f"DESCRIPTION:{escaped(summary)}"
        yield f"TRIGGER:{REMIND}"
        yield "END:VALARM"
    yield "END:VEVENT"


def escaped(text: str) -> str:
    """Text as a value of TEXT (RFC 5545, 3.3.11): backslash, semicolon, comma and line break marked, no controls."""
    marked = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    lines = marked.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(sign for sign in lines if sign == "\t" or (ord(sign) >= 32 and ord(sign) != 127))


def folded(line: str) -> bytes:
    """A content line in pieces of at most 75 octets, each after the first behind a space, never inside a sign."""
    pieces, piece = [], b""
    for sign in line:
        octets = sign.encode("utf-8")
        if len(piece) + len(octets) > LINE_OCTETS:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece])
