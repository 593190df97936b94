"""Taking the parts of a site sheet from a file: quantities in their plausible range, words in both languages."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from trainer.documents import Faults, Node, fields, items, text
from trainer.quantities import UnreadableQuantity, parse_measured
from trainer.quantities.units import Unit
from trainer.sites.plausible import implausible, in_range, same_number, wrong_dimension
from trainer.sites.values import SiteValue

_ID = re.compile(r"[a-z][a-z0-9_]{0,39}")


def quantities(
    parts: Mapping[str, Node], ranges: Mapping[str, SiteValue], faults: Faults
) -> dict[str, float]:
    """Each field of `ranges` [SI]; NaN where it is missing or a fault was noted."""
    return {
        name: quantity(parts[name], one, faults) if name in parts else math.nan
        for name, one in ranges.items()
    }


def quantity(node: Node, expected: SiteValue, faults: Faults) -> float:
    """One quantity of the expected dimension and in its plausible range [SI], or a fault and NaN."""
    if isinstance(node.value, dict | list) or not node.written:
        faults.add(node, "A quantity is expected here.", f"Write {_example(expected)}.")
        return math.nan
    try:
        value, unit = parse_measured(node.written)
    except UnreadableQuantity as error:
        faults.add(node, error.wrong, f"Write {_example(expected)}.")
        return math.nan
    if unit.dimension != expected.dimension:
        faults.add(node, wrong_dimension(unit, expected, "en"), f"Write {_example(expected)}.")
        return math.nan
    if not in_range(value, expected):
        faults.add(node, implausible(expected, "en"), _mend_range(value / unit.factor, unit, expected))
        return math.nan
    return value


def _mend_range(amount: float, unit: Unit, expected: SiteValue) -> str:
    """The same number in the usual unit, where that would be plausible."""
    other = same_number(amount, unit, expected)
    if other is not None:
        return f"Did you mean `{file_quantity(amount, other)}`?"
    return "Measure it again, or check its unit."


def _example(expected: SiteValue) -> str:
    """A plausible entry to copy: the middle of the range, roughly."""
    low, high = (end / expected.unit.factor for end in expected.ends)
    middle = math.sqrt(low * high) if low > 0 else (low + high) / 2
    return f"it with its unit, such as `{file_quantity(float(f'{middle:.1g}'), expected.unit)}`"


def file_quantity(amount: float, unit: Unit, figures: int = 6) -> str:
    """A quantity as a file has it: plain spaces, the unit's key where its symbol is no key."""
    key = {"1": "", "x": "x", "per_year": "per year", "usd": "usd", "usd/gal": "usd/gal"}.get(
        unit.key, unit.key
    )
    return f"{amount:.{figures}g} {key}".strip()


def words(node: Node | None, faults: Faults) -> dict[Any, str]:
    """A text in English and Spanish."""
    if node is None:
        return {}
    parts = fields(node, ["en", "es"], [], faults)
    return {language: text(part, faults) for language, part in parts.items()}


def name(node: Node | None, faults: Faults) -> str:
    """A text, or '' where the field is missing."""
    return text(node, faults) if node is not None else ""


def choice(node: Node | None, known: tuple[str, ...], faults: Faults) -> Any:
    """One of the known words."""
    if node is None:
        return ""
    if node.value not in known:
        faults.add(node, "This is none of the words known here.", f"Write {', '.join(known)}.")
    return node.value


def identifier(node: Node | None, taken: Mapping[str, Node], faults: Faults) -> str:
    """A name for reference: small letters, digits, underscores; used once in its list."""
    if node is None:
        return ""
    if not _ID.fullmatch(node.written):
        faults.add(node, "An id has small letters, digits and _ only.", "Write it like `entry_eye`.")
    elif node.written in taken:
        line = taken[node.written].place.line
        faults.add(node, f"This id stands already at line {line}.", "Give each its own.")
    return node.written


def known_id(node: Node | None, known: Mapping[str, Node], what: str, faults: Faults) -> str:
    """The id of something that stands elsewhere in the file."""
    if node is None:
        return ""
    if node.written not in known:
        faults.add(node, f"There is no {what} with this id.", f"Known: {', '.join(known) or 'none'}.")
    return node.written


def some_items(node: Node | None, least: int, faults: Faults) -> list[Node]:
    """The items of a list that needs at least so many."""
    if node is None:
        return []
    found = items(node, faults)
    if isinstance(node.value, list) and len(found) < least:
        faults.add(node, f"At least {least} is needed here.", "Add one as `- …`.")
    return found
