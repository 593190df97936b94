"""One question from its file: the head, the numbers, the words; every fault of the file at once."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import Any

from trainer.documents import Faults, Node, fields, read_document, whole
from trainer.figures.catalogue import FIGURES
from trainer.language.drawn_numbers import read_drawn
from trainer.language.entries import IDENTIFIER, Entries
from trainer.language.expressions import Expression
from trainer.language.prose import Insert
from trainer.language.questions import NumberTask, Question, Words
from trainer.language.source import Source, fingerprint
from trainer.language.task_files import TASK_FIELDS, read_task
from trainer.sites.values import VALUES

_REQUIRED = ["id", "version", "skill", "level", "kind", "ask"]
_OPTIONAL = ["site", "draw", "let", "require", "steps", "figure", "photo", "caution", "source"]
HARDEST = 3


def load_question(text: str, file: str) -> Question:
    """The question that a YAML text holds.

    file: the name that faults show
    Raises DocumentError with every fault of the file, each with line and column.
    """
    root = read_document(text, file)
    faults = Faults()
    question = _QuestionReader(Entries(Source(text, file), faults), faults).read(root, fingerprint(text))
    faults.raise_if_any()
    assert question is not None
    return question


class _QuestionReader:
    """Reads one question; names become known in the order draw, site, let."""

    def __init__(self, entries: Entries, faults: Faults) -> None:
        self.entries, self.faults = entries, faults

    def read(self, root: Node, print_: str) -> Question | None:
        kind = root.value["kind"].written if isinstance(root.value, dict) and "kind" in root.value else ""
        if kind not in TASK_FIELDS:
            at = root.value["kind"] if isinstance(root.value, dict) and "kind" in root.value else root
            self.faults.add(at, "A question needs its kind.", f"Write `kind:` {', '.join(TASK_FIELDS)}.")
            return None
        required, optional = TASK_FIELDS[kind]
        parts = fields(root, [*_REQUIRED, *required], [*_OPTIONAL, *optional], self.faults)
        if any(name not in parts for name in (*_REQUIRED, *required)):
            return None
        return self._question(kind, parts, print_)

    def _question(self, kind: str, parts: dict[str, Node], print_: str) -> Question | None:
        entries = self.entries
        head: dict[str, Any] = {
            "id": self._identifier(parts["id"]),
            "version": self._from_one(parts["version"]),
            "skill": self._identifier(parts["skill"]),
            "level": self._level(parts["level"]),
        }
        drawn = read_drawn(parts.get("draw"), entries)
        site = entries.site(parts.get("site"), VALUES)
        worked = entries.let(parts.get("let"))
        ask = entries.words(parts["ask"])
        task = read_task(kind, parts, entries)
        rest: dict[str, Any] = {
            "require": self._tests(parts.get("require")),
            "steps": self._steps(parts.get("steps")),
            "figure": entries.figure(parts.get("figure"), FIGURES),
            "photo": entries.photo(parts.get("photo")),
            "caution": entries.caution(parts.get("caution")),
            "source": entries.words(parts["source"]) if "source" in parts else None,
        }
        if "figure" in parts and "photo" in parts:
            self.faults.add(parts["photo"], "A question has one picture.", "Leave `figure` or `photo` out.")
        if task is None:
            return None
        return Question(
            **head,
            **rest,
            file=entries.source.file,
            fingerprint=print_,
            ask=ask,
            task=task,
            numbers=entries.numbers(site, drawn, worked),
            given=_given(ask) if isinstance(task, NumberTask) else (),
            numerals=_numerals(ask) if isinstance(task, NumberTask) else (),
        )

    def _identifier(self, node: Node) -> str:
        if not IDENTIFIER.fullmatch(node.written):
            self.faults.add(
                node, "This must be topic.name in small letters.", "Write it as in `measuring.profile`."
            )
        return node.written

    def _from_one(self, node: Node) -> int:
        value = whole(node, self.faults)
        if isinstance(node.value, int) and value < 1:
            self.faults.add(node, "A version counts from 1.", "Write 1, or one more than before.")
        return value

    def _level(self, node: Node) -> int:
        value = whole(node, self.faults)
        if isinstance(node.value, int) and not 1 <= value <= HARDEST:
            self.faults.add(node, f"A level is 1 to {HARDEST}.", "Write 1 for the easiest.")
        return value

    def _tests(self, node: Node | None) -> tuple[Expression, ...]:
        tests = [self.entries.test(one) for one in self.entries.listed(node)] if node is not None else []
        return tuple(test for test in tests if test is not None)

    def _steps(self, node: Node | None) -> tuple[Words, ...]:
        if node is None:
            return ()
        return tuple(self.entries.words(one) for one in self.entries.listed(node))


def _given(ask: Words) -> tuple[Insert, ...]:
    """The numbers written into the question, each once."""
    inserts: Iterable[Insert] = chain.from_iterable(prose.inserts for prose in ask.values())
    found: dict[tuple[str, str], Insert] = {}
    for insert in inserts:
        found.setdefault(
            (insert.expression.text, "" if insert.units is None else insert.units["us"].key), insert
        )
    return tuple(found.values())


def _numerals(ask: Words) -> tuple[float, ...]:
    """The numbers written as digits; of the English text alone, since the other language has the same."""
    return tuple(sorted(set(ask["en"].numerals)))
