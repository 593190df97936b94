"""Which role may do what; whatever is not listed is refused."""

from __future__ import annotations

from typing import Literal

from trainer.access.members import Role

Right = Literal[
    "learn", "sit", "train", "author", "review", "invigilate", "decide", "hear", "enrol", "administer"
]

RIGHTS: dict[Right, frozenset[Role]] = {
    "learn": frozenset({"learner", "trainer", "manager", "administrator"}),
    "sit": frozenset({"learner", "trainer", "manager"}),
    "train": frozenset({"trainer", "manager"}),
    "author": frozenset({"trainer"}),
    "review": frozenset({"trainer", "manager"}),
    "invigilate": frozenset({"trainer", "manager"}),
    "decide": frozenset({"manager"}),
    # An appeal needs somebody who had no hand in what it is about; a small site may have nobody but its administrator.
    "hear": frozenset({"manager", "administrator"}),
    "enrol": frozenset({"manager", "administrator"}),
    "administer": frozenset({"administrator"}),
}

# A PIN is typed in the open on a shared tablet: what binds others asks for the password.
PASSWORD_ONLY: frozenset[Right] = frozenset({"invigilate", "decide", "hear", "enrol", "administer"})

# Whom one may enrol, give a new password or PIN, or sign off when they leave.
LOOKED_AFTER: dict[Role, frozenset[Role]] = {
    "learner": frozenset(),
    "trainer": frozenset(),
    "manager": frozenset({"learner"}),
    "administrator": frozenset({"learner", "trainer", "manager", "administrator"}),
}


def may(role: Role, right: Right) -> bool:
    """Whether the role holds the right."""
    return role in RIGHTS[right]


def may_look_after(role: Role, other: Role) -> bool:
    """Whether a person of the role looks after the account of a person of the other role."""
    return other in LOOKED_AFTER[role]
