"""A value read from a file, with the place where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trainer.documents.faults import Place, shorten


@dataclass(frozen=True)
class Node:
    """A mapping, a list, a text, a number, a flag or nothing, as it stands in the file.

    `key_places` has the place of each key of a mapping; `written` is a plain value's own text (`12`, `2 %`).
    """

    value: dict[str, Node] | list[Node] | str | int | float | bool | None
    place: Place
    key_places: Mapping[str, Place] = field(default_factory=dict)
    written: str = ""

    @property
    def shown(self) -> str:
        """What was read, short enough for a sentence."""
        if isinstance(self.value, dict):
            return "{" + shorten(", ".join(self.value)) + "}"
        if isinstance(self.value, list):
            return f"a list of {len(self.value)}"
        return f"`{shorten(self.written)}`" if self.written else "nothing"


def plain(node: Node) -> Any:
    """The value alone, as dicts, lists and plain values."""
    if isinstance(node.value, dict):
        return {key: plain(child) for key, child in node.value.items()}
    if isinstance(node.value, list):
        return [plain(child) for child in node.value]
    return node.value
