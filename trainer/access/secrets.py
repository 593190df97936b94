"""What a password, a PIN or a sign-in name must be; each rule gives every reason against."""

from __future__ import annotations

import re
from itertools import pairwise

from trainer.access.throttle import folded

PASSWORD_LEAST = 10
PASSWORD_MOST = 200
PIN_DIGITS = 6
COUNT = "0123456789"

# Long enough for the length rule and still among the first that anybody tries: common practice, no source.
BAD_PASSWORDS = frozenset({
    "password12", "password123", "password1234", "passwordpassword", "passw0rd123", "1234567890", "12345678910",
    "0123456789", "0987654321", "123456789a", "qwertyuiop", "qwerty12345", "qwerty123456", "1q2w3e4r5t",
    "1qaz2wsx3edc", "iloveyou123", "letmein1234", "welcome123", "welcome1234", "administrator", "admin12345",
    "changeme123", "carwash123", "carwash1234", "stringline", "stringline1", "contraseña", "contrasena",
    "contraseña1", "contrasena1", "contrasena123", "bienvenido", "bienvenido1", "lavadero123", "tequiero123",
    "photoeye123", "conveyor123", "trustno1234", "football123", "baseball123", "superman123", "sunshine123",
    "princess123",
})  # fmt: skip


def password_faults(password: str, sign_in_name: str, name: str = "") -> tuple[str, ...]:
    """Why this password cannot be taken; empty when it can. Length counts, composition does not (NIST SP 800-63B)."""
    plain = password.casefold()
    own = {folded(sign_in_name), folded(name), folded(name).replace(" ", "")} - {""}
    found = {
        "password.short": len(password) < PASSWORD_LEAST,
        "password.long": len(password) > PASSWORD_MOST,
        "password.own_name": any(plain == one or plain.strip(COUNT + " .-_!") == one for one in own),
        "password.well_known": plain in BAD_PASSWORDS or len(set(plain)) < 4,
    }
    return tuple(key for key, holds in found.items() if holds)


def pin_faults(pin: str) -> tuple[str, ...]:
    """Why this PIN cannot be taken; empty when it can."""
    if not re.fullmatch(rf"[0-9]{{{PIN_DIGITS}}}", pin):
        return ("pin.not_six_digits",)
    steps = {int(b) - int(a) for a, b in pairwise(pin)}
    found = {
        "pin.in_a_row": steps <= {0} or steps in ({1}, {-1}),
        "pin.repeated": len(set(pin)) > 1 and (pin[:3] == pin[3:] or pin[:2] * 3 == pin),
        "pin.like_a_date": _holds_a_year(pin),
    }
    return tuple(key for key, holds in found.items() if holds)


def _holds_a_year(pin: str) -> bool:
    """Whether it starts or ends with a year from 1930 to 2029, as dates of birth do."""
    return any(1930 <= int(four) <= 2029 for four in (pin[:4], pin[2:]))


def sign_in_name_faults(sign_in_name: str) -> tuple[str, ...]:
    """Why this cannot be a sign-in name; empty when it can."""
    fine = re.fullmatch(r"[a-z0-9][a-z0-9._-]{1,62}", folded(sign_in_name)) is not None
    return () if fine else ("sign_in_name.form",)
