"""The task of a question file: what is asked, in one of six kinds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from trainer.documents import Node, fields, flag, number
from trainer.language.entries import Entries
from trainer.language.expressions import Expression
from trainer.language.functions import fits, say
from trainer.language.names import Units, pair_of_units
from trainer.language.questions import (
    Before,
    ChoiceTask,
    Item,
    MatchTask,
    NumberTask,
    Option,
    OrderTask,
    Pair,
    Row,
    SeveralTask,
    Slip,
    TableTask,
    Task,
    Within,
)
from trainer.quantities.dimensions import PLAIN

TASK_FIELDS: dict[str, tuple[list[str], list[str]]] = {
    "number": (["answer"], ["slips", "spread"]),
    "choice": (["options"], []),
    "several": (["options"], []),
    "order": (["items", "before"], []),
    "match": (["left", "right"], []),
    "truth_table": (["states", "output", "rows"], []),
}
USUAL_SPREAD = 10.0


def read_task(kind: str, parts: dict[str, Node], entries: Entries) -> Task | None:
    """The task of this kind, or None beside the faults."""
    return _READERS[kind](parts, entries)


def _number(parts: dict[str, Node], entries: Entries) -> NumberTask | None:
    answer = fields(parts["answer"], ["value", "unit", "within"], [], entries.faults)
    if len(answer) < 3:
        return None
    value, units = entries.quantity_expression(answer["value"]), _units(answer["unit"], entries)
    if value is None or units is None:
        return None
    if not fits(value.kind, units["us"].dimension):
        wrong = f"The answer is {say(value.kind)}; {units['us'].key} measures {say(units['us'].dimension)}."
        entries.faults.add(answer["value"], wrong, "Change the expression or the unit.")
    within = _within(answer["within"], units, entries)
    slips = _slips(parts.get("slips"), units, entries)
    spread = number(parts["spread"], entries.faults) if "spread" in parts else USUAL_SPREAD
    return NumberTask(value, units, within, slips, spread)


def _units(node: Node, entries: Entries) -> Units | None:
    if not isinstance(node.value, dict):
        one = entries.unit(node)
        return None if one is None else pair_of_units(one)
    parts = fields(node, ["us", "metric"], [], entries.faults)
    us = entries.unit(parts["us"]) if "us" in parts else None
    metric = entries.unit(parts["metric"]) if "metric" in parts else None
    if us is None or metric is None:
        return None
    if us.dimension != metric.dimension:
        entries.faults.add(node, "The two units measure different things.", "Use one dimension.")
        return None
    return {"us": us, "metric": metric}


def _within(node: Node, units: Units, entries: Entries) -> Within:
    """A quantity of the asked dimension; `2 %` is a share of the answer unless the answer itself is in percent."""
    read = entries.quantity(node)
    if read is None:
        return Within()
    amount, unit = read
    asked = units["us"]
    if amount < 0:
        entries.faults.add(node, "A tolerance cannot be below zero.", "Write it without a sign.")
    if unit.key == "%" and asked.key != "%":
        return Within(share=amount)
    if unit.key == "1" and asked.key == "%" and amount > 0:
        entries.faults.add(node, "A tolerance in percent needs its sign.", f"Write `{node.written} %`.")
    if unit.dimension != asked.dimension:
        wrong = f"The tolerance is {say(unit.dimension)}; the answer is {say(asked.dimension)}."
        entries.faults.add(node, wrong, f"Write it in {asked.key}, or as a share such as `2 %`.")
    return Within(amount=amount)


def _slips(node: Node | None, units: Units, entries: Entries) -> tuple[Slip, ...]:
    slips = [_slip(one, units, entries) for one in entries.listed(node)] if node is not None else []
    found = [slip for slip in slips if slip is not None]
    _distinct([slip.id for slip in found], node, entries)
    return tuple(found)


def _slip(node: Node, units: Units, entries: Entries) -> Slip | None:
    parts = fields(node, ["id", "value", "because"], [], entries.faults)
    if len(parts) < 3:
        return None
    value = entries.quantity_expression(parts["value"])
    because = entries.words(parts["because"])
    if value is None:
        return None
    quantity = fits(value.kind, units["us"].dimension)
    if not quantity and not fits(value.kind, PLAIN):
        wrong = f"The slip is {say(value.kind)}; the answer is {say(units['us'].dimension)}."
        entries.faults.add(parts["value"], wrong, "Give that, or the bare number that people type.")
    return Slip(entries.id(parts["id"]), value, not quantity, because)


def _distinct(ids: Sequence[str], node: Node | None, entries: Entries) -> None:
    twice = sorted({one for one in ids if ids.count(one) > 1})
    if twice and node is not None:
        entries.faults.add(node, f"The id `{twice[0]}` stands twice.", "Give each its own.")


def _options(parts: dict[str, Node], entries: Entries) -> tuple[Option, ...]:
    read = [_option(one, entries) for one in entries.listed(parts["options"])]
    options = tuple(option for option in read if option is not None)
    _distinct([option.id for option in options], parts["options"], entries)
    if len(read) < 2:
        entries.faults.add(parts["options"], "There is nothing to choose.", "Write at least two options.")
    return options


def _option(node: Node, entries: Entries) -> Option | None:
    parts = fields(node, ["id", "right", "text", "because"], [], entries.faults)
    if len(parts) < 4:
        return None
    right = _truth(parts["right"], entries)
    text, because = entries.words(parts["text"], inline=True), entries.words(parts["because"])
    return None if right is None else Option(entries.id(parts["id"]), right, text, because)


def _truth(node: Node, entries: Entries) -> bool | Expression | None:
    return flag(node, entries.faults) if isinstance(node.value, bool) else entries.test(node)


def _choice(parts: dict[str, Node], entries: Entries) -> ChoiceTask:
    options = _options(parts, entries)
    _count_right(options, parts["options"], entries, one=True)
    return ChoiceTask(options)


def _several(parts: dict[str, Node], entries: Entries) -> SeveralTask:
    options = _options(parts, entries)
    _count_right(options, parts["options"], entries, one=False)
    return SeveralTask(options)


def _count_right(options: Iterable[Option], node: Node, entries: Entries, one: bool) -> None:
    """Where no option depends on numbers, the count of right ones is known now."""
    known = [option.right for option in options]
    if all(isinstance(right, bool) for right in known):
        count = sum(map(bool, known))
        if (one and count != 1) or count == 0:
            asked = "Exactly one option" if one else "At least one option"
            entries.faults.add(node, f"{asked} must be right; {count} are.", "Change `right`.")


def _order(parts: dict[str, Node], entries: Entries) -> OrderTask | None:
    read = [entries.item(one) for one in entries.listed(parts["items"])]
    found = tuple(item for item in read if item is not None)
    ids = [item.id for item in found]
    _distinct(ids, parts["items"], entries)
    pairs = [_before(one, ids, entries) for one in entries.listed(parts["before"])]
    before = tuple(pair for pair in pairs if pair is not None)
    if not before:
        entries.faults.add(parts["before"], "No pair says which order is right.", "Write at least one pair.")
        return None
    if len(before) == len(pairs) and _circles(ids, before):
        entries.faults.add(
            parts["before"], "The pairs go round in a circle.", "Take out the pair that closes it."
        )
        return None
    return OrderTask(found, before)


def _before(node: Node, ids: Sequence[str], entries: Entries) -> Before | None:
    parts = fields(node, ["first", "then", "because"], [], entries.faults)
    if len(parts) < 3:
        return None
    for name in ("first", "then"):
        if parts[name].written not in ids:
            entries.faults.add(parts[name], "There is no such item.", f"Known: {', '.join(ids)}.")
            return None
    return Before(parts["first"].written, parts["then"].written, entries.words(parts["because"]))


def _circles(ids: Iterable[str], before: Iterable[Before]) -> bool:
    waiting, pairs = set(ids), list(before)
    while free := {one for one in waiting if not any(p.then == one and p.first in waiting for p in pairs)}:
        waiting -= free
    return bool(waiting)


def _match(parts: dict[str, Node], entries: Entries) -> MatchTask:
    right = [entries.item(one) for one in entries.listed(parts["right"])]
    targets = tuple(item for item in right if item is not None)
    ids = [item.id for item in targets]
    left = [_pair(one, ids, entries) for one in entries.listed(parts["left"])]
    pairs = tuple(pair for pair in left if pair is not None)
    _distinct(ids, parts["right"], entries)
    _distinct([pair.id for pair in pairs], parts["left"], entries)
    if len(ids) < 2 or not left:
        entries.faults.add(
            parts["left"], "There is nothing to match.", "Write one left and two right at least."
        )
    return MatchTask(pairs, targets)


def _pair(node: Node, ids: Sequence[str], entries: Entries) -> Pair | None:
    parts = fields(node, ["id", "text", "goes", "because"], [], entries.faults)
    if len(parts) < 4:
        return None
    if parts["goes"].written not in ids:
        entries.faults.add(parts["goes"], "There is no such thing on the right.", f"Known: {', '.join(ids)}.")
    text, because = entries.words(parts["text"], inline=True), entries.words(parts["because"])
    return Pair(entries.id(parts["id"]), text, parts["goes"].written, because)


def _table(parts: dict[str, Node], entries: Entries) -> TableTask | None:
    named = parts["states"].value if isinstance(parts["states"].value, dict) else {}
    states = [Item(name, entries.words(one, inline=True)) for name, one in named.items()]
    if len(states) != 2:
        entries.faults.add(
            parts["states"], "A truth table has two states.", "Name both: `on: …` and `off: …`."
        )
        return None
    output = entries.words(parts["output"], inline=True)
    ids = [state.id for state in states]
    read = [_row(one, ids, entries) for one in entries.listed(parts["rows"])]
    rows = tuple(row for row in read if row is not None)
    _distinct([row.id for row in rows], parts["rows"], entries)
    if len(read) < 2:
        entries.faults.add(parts["rows"], "A truth table has two rows at least.", "Write them.")
    return TableTask((states[0], states[1]), output, rows)


def _row(node: Node, states: Sequence[str], entries: Entries) -> Row | None:
    parts = fields(node, ["id", "text", "state", "because"], [], entries.faults)
    if len(parts) < 4:
        return None
    text, because = entries.words(parts["text"], inline=True), entries.words(parts["because"])
    state = parts["state"].written if parts["state"].written in states else entries.test(parts["state"])
    return None if state is None else Row(entries.id(parts["id"]), text, state, because)


_READERS: dict[str, Callable[[dict[str, Node], Entries], Task | None]] = {
    "number": _number,
    "choice": _choice,
    "several": _several,
    "order": _order,
    "match": _match,
    "truth_table": _table,
}
