"""How long a sign-in holds, and where a person may be sent after it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import urlsplit

from trainer.access.members import Member

LONGEST = timedelta(hours=12)
IDLE_ON_TABLET = timedelta(minutes=30)


@dataclass(frozen=True)
class SignedIn:
    """An open session as the person's own browser carries it, signed."""

    person_id: int
    session_number: int
    started_at: datetime
    seen_at: datetime
    tablet_id: int | None
    by_pin: bool


@dataclass(frozen=True)
class Stands:
    """What the records say about a session, as it is asked for beside something else."""

    session_number: int
    left_at: datetime | None
    tablet_stands: bool


def still_stands(session: SignedIn, found: Stands) -> bool:
    """Whether the records still know a session whose time was looked at before."""
    return (
        found.left_at is None
        and found.session_number == session.session_number
        and (session.tablet_id is None or found.tablet_stands)
    )


def ends_at(session: SignedIn) -> datetime:
    """When the session ends if nothing more happens in it."""
    idle = LONGEST if session.tablet_id is None else IDLE_ON_TABLET
    return min(session.started_at + LONGEST, session.seen_at + idle)


def holds(session: SignedIn, member: Member | None, tablet_stands: bool, now: datetime) -> bool:
    """Whether the session still counts: person there, number current, tablet enrolled, time left."""
    return (
        member is not None
        and still_stands(session, Stands(member.session_number, member.left_at, tablet_stands))
        and session.seen_at <= now + timedelta(minutes=5)
        and now < ends_at(session)
    )


def local_path(address: str | None) -> str | None:
    """The address if it is a path of this installation, else None: nobody is sent elsewhere after signing in."""
    if not address or not address.startswith("/") or address.startswith("//"):
        return None
    if "\\" in address or any(ord(letter) < 33 for letter in address):
        return None
    parts = urlsplit(address)
    return None if parts.scheme or parts.netloc else address
