"""Free text of an act: how long it may be, and what the record log keeps of it."""

from __future__ import annotations

from trainer.certificates.credential import canonical_hash

LONGEST_TEXT = 2000


def too_long(*texts: str) -> tuple[str, ...]:
    """The reason why one of these texts cannot be kept, if any."""
    return ("text.too_long",) if any(len(text) > LONGEST_TEXT for text in texts) else ()


def digest(*texts: str) -> str:
    """What the log keeps of free text: names may stand in it, so the text itself stays outside."""
    return canonical_hash({"texts": list(texts)})
