"""Base 58 in the Bitcoin alphabet with its multibase letter z, as keys and signatures are written."""

from __future__ import annotations

ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
LETTER = "z"
# A signature takes 88 signs and a key 48; reading grows with the square of the length, so more is refused unread.
LONGEST = 200


class MultibaseError(ValueError):
    """Text that is not multibase base 58."""


def encode_base58(raw: bytes) -> str:
    """The bytes as z and base 58; each leading zero byte is one sign 1."""
    number, signs = int.from_bytes(raw, "big"), ""
    while number:
        number, digit = divmod(number, 58)
        signs = ALPHABET[digit] + signs
    zeros = len(raw) - len(raw.lstrip(b"\0"))
    return LETTER + ALPHABET[0] * zeros + signs


def decode_base58(text: object) -> bytes:
    """The bytes that `encode_base58` wrote. Raises MultibaseError."""
    if not isinstance(text, str) or not text.startswith(LETTER) or len(text) > LONGEST:
        raise MultibaseError(f"{text!r} is not z and base 58")
    signs = text.removeprefix(LETTER)
    number = 0
    for sign in signs:
        digit = ALPHABET.find(sign)
        if digit < 0:
            raise MultibaseError(f"{sign!r} is not a sign of base 58")
        number = number * 58 + digit
    zeros = len(signs) - len(signs.lstrip(ALPHABET[0]))
    return bytes(zeros) + number.to_bytes((number.bit_length() + 7) // 8, "big")
