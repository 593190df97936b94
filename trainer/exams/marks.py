"""Marks on a closed exam that ask for a person's eye: keys of others, bursts of changes, answers too fast to be worked.

None of them decides anything. The limits are this house's own, chosen by trying them on simulated exams; what honest
exams raise by chance is measured and stated in docs/exams.md.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from trainer.language.draws import Instance
from trainer.language.grading import grade
from trainer.quantities.dimensions import Language

KEYS_TO_FLAG = 2  # in one exam; one alone may be chance
CHANGES_IN_A_BURST, BURST = 4, timedelta(seconds=60)
TOO_FAST = timedelta(seconds=5)  # from the answer before to a right number: not even read
FAST_TO_FLAG = 3


@dataclass(frozen=True)
class KeptAnswer:
    """One revision of an answer as it reached the server."""

    slot: int
    revision: int
    text: str
    language: str
    received_at: datetime


@dataclass(frozen=True)
class Marks:
    """Numbers of the questions that carry each mark."""

    keys: tuple[int, ...] = ()
    bursts: tuple[int, ...] = ()
    fast: tuple[int, ...] = ()

    @property
    def flagged(self) -> bool:
        """Whether somebody should look."""
        return len(self.keys) >= KEYS_TO_FLAG or bool(self.bursts) or len(self.fast) >= FAST_TO_FLAG

    def document(self) -> dict[str, Any]:
        """As plain values, for JSON."""
        return {"bursts": list(self.bursts), "fast": list(self.fast), "keys": list(self.keys)}


def marks_of(
    started_at: datetime,
    kept: Sequence[KeptAnswer],
    own: Mapping[int, Instance],
    others: Mapping[int, Sequence[Instance]],
) -> Marks:
    """The marks of an exam.

    kept: every revision of the questions that ask a number
    own: what was asked under each number; others: the same questions as other people had them
    """
    newest = {one.slot: one for one in sorted(kept, key=lambda one: one.revision)}
    right = {slot for slot, one in newest.items() if _kind(own[slot], one) == "right"}
    foreign = tuple(
        slot for slot, one in sorted(newest.items()) if slot not in right and _is_a_key(one, own, others)
    )
    return Marks(foreign, _bursts(kept), _fast(started_at, kept, right))


def _is_a_key(one: KeptAnswer, own: Mapping[int, Instance], others: Mapping[int, Sequence[Instance]]) -> bool:
    """Whether an answer is right for somebody else; a known slip with one's own numbers explains itself."""
    if _kind(own[one.slot], one) == "slip":
        return False
    return any(_kind(instance, one) == "right" for instance in others.get(one.slot, ()))


def _kind(instance: Instance, one: KeptAnswer) -> str:
    language: Language = "es" if one.language == "es" else "en"
    return grade(instance, one.text, language).kind


def _bursts(kept: Sequence[KeptAnswer]) -> tuple[int, ...]:
    times: defaultdict[int, list[datetime]] = defaultdict(list)
    for one in kept:
        times[one.slot].append(one.received_at)
    return tuple(slot for slot, moments in sorted(times.items()) if _is_a_burst(sorted(moments)))


def _is_a_burst(moments: Sequence[datetime]) -> bool:
    last = CHANGES_IN_A_BURST - 1
    return any(moments[i + last] - moments[i] <= BURST for i in range(len(moments) - last))


def _fast(started_at: datetime, kept: Sequence[KeptAnswer], right: set[int]) -> tuple[int, ...]:
    """Questions whose first answer is right and came at the heels of the one before."""
    found, before, seen = set(), started_at, set()
    for one in sorted(kept, key=lambda one: one.received_at):
        first = one.slot not in seen and one.revision == 1
        if first and one.slot in right and one.received_at - before < TOO_FAST:
            found.add(one.slot)
        seen.add(one.slot)
        before = one.received_at
    return tuple(sorted(found))
