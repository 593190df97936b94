"""What grading says: right or not, the sort of wrong, the slip, what was read, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

VerdictKind = Literal[
    "right",
    "slip",
    "wrong_unit",
    "missing_unit",
    "other_dimension",
    "unreadable",
    "wrong",
    "partly",
]


@dataclass(frozen=True)
class Verdict:
    """The verdict on one answer.

    slip: the id of the slip that gives this number
    said_back: what was read, as plain text; empty where nothing could be read
    because: the reason, as HTML, never empty
    wrong_parts: ids of the options, left sides or rows that are wrong; of an order the first broken pair
    """

    right: bool
    kind: VerdictKind
    because: str
    said_back: str = ""
    slip: str | None = None
    wrong_parts: tuple[str, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it counts as an answer; what cannot be read, or lacks its unit, is asked for again."""
        return self.kind not in ("unreadable", "missing_unit")


def unreadable(why: str) -> Verdict:
    """The verdict on what cannot be read; `why` is HTML and says how to mend it."""
    return Verdict(False, "unreadable", f"<p>{why}</p>")
