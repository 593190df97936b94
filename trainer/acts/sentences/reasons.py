"""A reason that carries its fact, such as `credential.expired:2027-03-02T15:00:00Z`, in words."""

from __future__ import annotations

from trainer.acts.sentences import SENTENCES
from trainer.exams.scheme import Text

PURPOSES = {
    "revocation": Text("withdrawals", "los retiros"),
    "suspension": Text("suspensions", "las suspensiones"),
}


def say_reason(reason: str, language: str) -> str:
    """The sentence of a reason's key with its fact in the gap."""
    key, _, fact = reason.partition(":")
    said = PURPOSES[fact].say(language) if fact in PURPOSES else fact
    return SENTENCES[key].say(language, name=said, moment=said)
