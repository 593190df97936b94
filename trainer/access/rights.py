"""Which role may do what; whatever is not listed is refused."""

from __future__ import annotations

from typing import Literal

from trainer.access.members import Role

Right = Literal["learn", "sit", "train", "author", "decide", "administer"]

RIGHTS: dict[Right, frozenset[Role]] = {
    "learn": frozenset({"learner", "trainer", "manager", "administrator"}),
    "sit": frozenset({"learner", "trainer", "manager"}),
    "train": frozenset({"trainer", "manager"}),
    "author": frozenset({"trainer"}),
    "decide": frozenset({"manager"}),
    "administer": frozenset({"administrator"}),
}


def may(role: Role, right: Right) -> bool:
    """Whether the role holds the right."""
    return role in RIGHTS[right]
