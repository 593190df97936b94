"""Drawing an instance: HMAC-SHA256 numbers from a secret and a label, drawn again until nothing can be mistaken.

The numbers of a label are the same for ever: no language's own generator is used, whose stream may change.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.language.admission import admitted, why_not
from trainer.language.questions import (
    ChoiceTask,
    MatchTask,
    OrderTask,
    Question,
    SeveralTask,
)
from trainer.language.worked_numbers import site_numbers, work_out
from trainer.quantities.dimensions import System

MOST_TRIES = 400
WORD = 1 << 64
SHUFFLE = "*order"  # no drawn name can be this


class NoInstance(ValueError):  # noqa: N818 - named as all our errors are
    """A question that gives no instance here: which question, how many draws were tried, why."""

    def __init__(self, question: str, tries: int, why: str) -> None:
        super().__init__(f"{question}: {why}")
        self.question, self.tries, self.why = question, tries, why


class Stream:
    """Whole numbers by name from a secret and a label; each name counts by itself.

    The i-th word of a name is the first 8 bytes, big-endian, of HMAC-SHA256(secret, "label|name|i"), i from 0.
    """

    def __init__(self, secret: bytes, label: str) -> None:
        self._secret, self._label = secret, label
        self._counters: dict[str, int] = {}

    def below(self, name: str, span: int) -> int:
        """A number from 0 to span - 1, every one equally likely: words past the last whole span are rejected."""
        if not 0 < span <= WORD:
            raise ValueError(f"span is {span}; it must be from 1 to 2**64")
        limit = WORD - WORD % span
        while (word := self._word(name)) >= limit:
            pass
        return word % span

    def shuffled(self, ids: tuple[str, ...]) -> tuple[str, ...]:
        """The ids in a drawn order (Fisher and Yates)."""
        order = list(ids)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(SHUFFLE, last + 1)
            order[last], order[other] = order[other], order[last]
        return tuple(order)

    def _word(self, name: str) -> int:
        count = self._counters.get(name, 0)
        self._counters[name] = count + 1
        message = f"{self._label}|{name}|{count}".encode()
        return int.from_bytes(hmac.digest(self._secret, message, hashlib.sha256)[:8], "big")


@dataclass(frozen=True)
class Instance:
    """A question with its numbers.

    values: every name's value [SI], and `shown(name)` under its key
    order: ids of options, items or right-hand sides in the order in which they are shown
    tries: how many draws it took
    """

    question: Question
    system: System
    label: str
    values: Mapping[str, float]
    order: tuple[str, ...]
    tries: int

    def record(self) -> dict[str, Any]:
        """What must be kept, beside the secret, to make this instance again; goes into JSON.

        `site` has the site's values as used [SI].
        """
        return {
            "question": self.question.id,
            "version": self.question.version,
            "fingerprint": self.question.fingerprint,
            "system": self.system,
            "label": self.label,
            "site": {name: self.values[name] for name in self.question.numbers.site},
        }


def draw(
    question: Question, site_values: Mapping[str, float], secret: bytes, label: str, system: System = "us"
) -> Instance:
    """One instance, the same for ever for the same question, site values, secret, label and unit system.

    site_values: from `site_values(sheet)` [SI]; only those that the question names are used
    label: person, attempt, slot, version in any form, different for every instance
    Raises NoInstance when the site lacks a value, or no draw in 400 is without ambiguity.
    """
    missing = [name for name in question.numbers.site if name not in site_values]
    if missing:
        raise NoInstance(question.id, 0, f"the site sheet has no {', '.join(missing)}")
    site = site_numbers(question.numbers, site_values, system)
    stream = Stream(secret, label)
    for tries in range(1, (MOST_TRIES if question.numbers.drawn else 1) + 1):
        values = dict(site)
        for drawn in question.numbers.drawn:
            grid = drawn.grids[system].values
            values[drawn.name] = grid[stream.below(drawn.name, len(grid))]
        work_out(question.numbers, values, system)
        if admitted(question, values, system):
            return Instance(question, system, label, values, _order(question, stream), tries)
    raise NoInstance(
        question.id,
        tries,
        f"none of {tries} draws will do; in the last one {why_not(question, values, system)}",
    )


def replay(question: Question, record: Mapping[str, Any], secret: bytes) -> Instance:
    """The instance of a record; NoInstance when the question's file is not the one it was drawn from."""
    if question.fingerprint != record["fingerprint"]:
        raise NoInstance(question.id, 0, "the question's file has changed since this instance was drawn")
    return draw(question, record["site"], secret, record["label"], record["system"])


def _order(question: Question, stream: Stream) -> tuple[str, ...]:
    match question.task:
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return stream.shuffled(tuple(option.id for option in options))
        case MatchTask(right=right):
            return stream.shuffled(tuple(item.id for item in right))
        case OrderTask():
            return _unsolved(question.task, stream)
    return ()


def _unsolved(task: OrderTask, stream: Stream) -> tuple[str, ...]:
    """A drawn order of the items that is not yet right; there is one, since some pair must be kept."""
    while True:
        order = stream.shuffled(tuple(item.id for item in task.items))
        if any(order.index(pair.first) > order.index(pair.then) for pair in task.before):
            return order
