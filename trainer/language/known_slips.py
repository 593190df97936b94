"""The wrong methods that people really use, and whether a question knows each of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trainer.documents import Faults, Node, fields, items, read_document, text
from trainer.language.loading import Bank
from trainer.language.questions import (
    ChoiceTask,
    MatchTask,
    NumberTask,
    OrderTask,
    Question,
    SeveralTask,
    TableTask,
)


@dataclass(frozen=True)
class KnownSlip:
    """A wrong method of a skill, and the parts of questions that recognise it; none where nobody asks for it yet."""

    skill: str
    slip: str
    told_by: tuple[str, ...]


def load_known_slips(source: str, file: str, bank: Bank) -> tuple[KnownSlip, ...]:
    """The slips of a list, in its order. Raises DocumentError with all faults: unknown skills, questions and parts."""
    faults = Faults()
    parts = fields(read_document(source, file), ["slips"], [], faults)
    found = [_slip(node, bank, faults) for node in items(parts["slips"], faults)] if parts else []
    faults.raise_if_any()
    return tuple(one for one in found if one is not None)


def _slip(node: Node, bank: Bank, faults: Faults) -> KnownSlip | None:
    parts = fields(node, ["skill", "slip", "told_by"], [], faults)
    if len(parts) < 3:
        return None
    skill = parts["skill"].written
    if skill not in bank.skills:
        faults.add(parts["skill"], "There is no such skill.", "Use one of skills.yaml.")
    told_by = items(parts["told_by"], faults)
    for one in told_by:
        _check_part(one, bank, faults)
    return KnownSlip(skill, text(parts["slip"], faults), tuple(one.written for one in told_by))


def _check_part(node: Node, bank: Bank, faults: Faults) -> None:
    name, _, part = node.written.partition("/")
    question = bank.find(name)
    if question is None:
        faults.add(node, f"There is no question `{name}`.", "Write it as question/part.")
    elif part not in (known := sorted(mistakes(question))):
        faults.add(node, f"`{name}` knows no mistake `{part}`.", f"It knows {', '.join(known)}.")


def mistakes(question: Question) -> frozenset[str]:
    """The mistakes that a question answers with a reason of their own."""
    return frozenset(_mistakes(question))


def _mistakes(question: Question) -> Iterator[str]:
    match question.task:
        case NumberTask(slips=slips):
            yield from (slip.id for slip in slips)
        case ChoiceTask(options=options):
            yield from (option.id for option in options if option.right is not True)
        case SeveralTask(options=options):
            yield from (option.id for option in options)
        case OrderTask(before=before):
            yield from (f"{pair.first}>{pair.then}" for pair in before)
        case MatchTask(left=left):
            yield from (pair.id for pair in left)
        case TableTask(rows=rows):
            yield from (row.id for row in rows)
