"""Taking a node for what it should be: fields of a mapping, a text, a number; each mismatch is a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable
from difflib import get_close_matches

from trainer.documents.faults import Faults
from trainer.documents.nodes import Node


def fields(node: Node, required: Iterable[str], optional: Iterable[str], faults: Faults) -> dict[str, Node]:
    """The known fields of a mapping; an unknown key, a missing key and a node of another kind are faults."""
    required, optional = list(required), list(optional)
    known = required + optional
    if not isinstance(node.value, dict):
        faults.add(node, "Fields are expected here.", f"Write {_listed(known)}, each as `name: value`.")
        return {}
    for key in node.value:
        if key not in known:
            faults.add(node.key_places[key], "There is no such field.", _nearest(key, known), read=f"`{key}`")
    for key in required:
        if key not in node.value:
            faults.add(node, f"The field `{key}` is missing.", f"Add `{key}: …` here.")
    return {key: child for key, child in node.value.items() if key in known}


def _nearest(key: str, known: list[str]) -> str:
    close = get_close_matches(key, known, n=1)
    if close:
        return f"Did you mean `{close[0]}`?"
    return f"Known here: {_listed(known)}."


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


def text(node: Node, faults: Faults) -> str:
    """A text that is not empty, or a fault and ''."""
    if isinstance(node.value, str) and node.value.strip():
        return node.value
    if node.value is None or node.value == "":
        faults.add(node, "A text is expected here.", "Write it after the colon.")
    elif isinstance(node.value, dict | list):
        faults.add(node, "A text is expected here.", 'Put the whole text in quotes: "…".')
    else:
        faults.add(node, "A text is expected here.", f'Put it in quotes: "{node.written}".')
    return ""


def whole(node: Node, faults: Faults) -> int:
    """A whole number, or a fault and 0."""
    if isinstance(node.value, int) and not isinstance(node.value, bool):
        return node.value
    faults.add(node, "A whole number is expected here.", "Write digits alone, such as 3.")
    return 0


def number(node: Node, faults: Faults) -> float:
    """A finite number, or a fault and 0."""
    if isinstance(node.value, int | float) and not isinstance(node.value, bool):
        try:
            value = float(node.value)
        except OverflowError:
            value = math.inf
        if math.isfinite(value):
            return value
    faults.add(node, "A number is expected here.", "Write digits and a decimal point, such as 2.5.")
    return 0.0


def flag(node: Node, faults: Faults) -> bool:
    """True or false, or a fault and False."""
    if isinstance(node.value, bool):
        return node.value
    faults.add(node, "Yes or no is expected here.", "Write `true` or `false`.")
    return False


def items(node: Node, faults: Faults) -> list[Node]:
    """The nodes of a list, or a fault and an empty list."""
    if isinstance(node.value, list):
        return node.value
    faults.add(node, "A list is expected here.", "Write `[a, b]`, or one `- item` a line.")
    return []


def mapping(node: Node, faults: Faults) -> dict[str, Node]:
    """The fields of a mapping whatever their names, or a fault and an empty mapping."""
    if isinstance(node.value, dict):
        return node.value
    faults.add(node, "Fields are expected here.", "Write one `name: value` a line.")
    return {}
