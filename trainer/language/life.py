"""The life of a site's own question: draft, read by another person, pilot, live, retired. A fold of what people did."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

State = Literal["draft", "waiting", "pilot", "live", "replaced", "retired"]
Kind = Literal["submitted", "returned", "reviewed", "published", "retired"]
IN_USE: tuple[State, ...] = ("pilot", "live")


@dataclass(frozen=True)
class Step:
    """One thing that was done to a version."""

    version: int
    kind: Kind
    by: str


@dataclass(frozen=True)
class Life:
    """A question's versions, oldest first: where each stands, and everybody who wrote on it (public ids).

    hands: everybody who wrote on any version or took a step with it
    """

    states: Mapping[int, State]
    authors: Mapping[int, frozenset[str]]
    hands: frozenset[str]

    @property
    def newest(self) -> int:
        """The number of the newest version."""
        return max(self.states)

    @property
    def open(self) -> bool:
        """Whether the newest version is a draft, so that a save changes it rather than beginning another."""
        return self.states[self.newest] == "draft"

    def in_state(self, state: State) -> int | None:
        """The version in a state that only one can be in."""
        return next((version for version, one in self.states.items() if one == state), None)


def life(authors: Mapping[int, Iterable[str]], steps: Iterable[Step]) -> Life:
    """Where every version stands after these steps, in the order they were taken.

    authors: who saved each version; a step on a version that nobody saved raises ValueError
    """
    wrote = {version: frozenset(who) for version, who in authors.items()}
    states: dict[int, State] = dict.fromkeys(sorted(wrote), "draft")
    hands = {one for who in wrote.values() for one in who}
    for step in steps:
        hands.add(step.by)
        if step.version not in states:
            raise ValueError(f"there is no version {step.version}")
        after: dict[Kind, State] = {
            "submitted": "waiting",
            "returned": "draft",
            "reviewed": "pilot",
            "published": "live",
            "retired": "retired",
        }
        new = after[step.kind]
        if new in IN_USE:
            for version, state in states.items():
                if version != step.version and state == new:
                    states[version] = "replaced"
        states[step.version] = new
    return Life(states, wrote, frozenset(hands))


def reasons_against(
    kind: Kind, found: Life, version: int, by: str, findings: Collection[object]
) -> tuple[str, ...]:
    """Why a person may not take this step; empty when they may.

    findings: what the file's check and the audit found against this version
    """
    needed: dict[Kind, tuple[State, ...]] = {
        "submitted": ("draft",),
        "returned": ("waiting",),
        "reviewed": ("waiting",),
        "published": ("pilot",),
        "retired": IN_USE,
    }
    stands = {
        "question.other_state": found.states.get(version) not in needed[kind],
        "question.own_work": kind == "reviewed" and by in found.authors.get(version, frozenset()),
        "question.not_proven": kind in ("submitted", "reviewed", "published") and bool(findings),
    }
    return tuple(key for key, holds in stands.items() if holds)
