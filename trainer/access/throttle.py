"""How long one must wait after failed tries to sign in: it grows, it has a ceiling, it never locks for ever."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv6Address, ip_address

MEMORY = timedelta(hours=24)


@dataclass(frozen=True)
class Patience:
    """Failed tries that are free; then the first wait, doubled with each further failure up to the longest."""

    free: int
    first: timedelta
    longest: timedelta


# NIST SP 800-63B asks that consecutive failures on one account be limited; a ceiling instead of a lock keeps
# a stranger who types wrong passwords from shutting the owner out.
NAME = Patience(free=4, first=timedelta(seconds=30), longest=timedelta(minutes=15))
# A wash's office shares one address, so an address is given more.
ADDRESS = Patience(free=19, first=timedelta(seconds=30), longest=timedelta(minutes=15))


def wait_until(failed: Sequence[datetime], now: datetime, patience: Patience) -> datetime | None:
    """When the next try is allowed, or None for at once. `failed` are the tries since the last good one."""
    recent = [at for at in failed if now - at < MEMORY]
    over = len(recent) - patience.free
    if over <= 0:
        return None
    # Beyond 2**16 the ceiling holds long since; the cap keeps the power small.
    wait = min(patience.first * 2 ** min(over - 1, 16), patience.longest)
    until = max(recent) + wait
    return until if until > now else None


def begins(failed: Sequence[datetime], now: datetime, patience: Patience) -> bool:
    """Whether the latest failure is the one that first brought a wait."""
    return len([at for at in failed if now - at < MEMORY]) == patience.free + 1


def name_key(sign_in_name: str) -> str:
    """Under which key the tries of a sign-in name are counted, whether or not anybody has the name."""
    return f"name:{folded(sign_in_name)}"


def pin_key(public_id: str) -> str:
    """PINs are counted apart: a stranger at the password form does not shut a person out of the shop tablet."""
    return f"pin:{public_id}"


def address_key(address: str) -> str:
    """One IPv4 address, or the /64 that a single IPv6 caller can move about in."""
    try:
        parsed = ip_address(address)
    except ValueError:
        return "address:unknown"
    if isinstance(parsed, IPv6Address) and parsed.ipv4_mapped is None:
        return f"address:{IPv6Address(int(parsed) >> 64 << 64)}/64"
    return f"address:{getattr(parsed, 'ipv4_mapped', None) or parsed}"


def folded(sign_in_name: str) -> str:
    """A sign-in name as it is kept and compared: no outer spaces, lower case."""
    return sign_in_name.strip().casefold()[:64]
