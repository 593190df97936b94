"""Writing measured values into a site sheet's text, with everything else, comments too, left as people wrote it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trainer.documents import Node, Place, read_document, rewritten


def with_measurements(text: str, measured: Mapping[str, str]) -> str:
    """The sheet's text with each value at its field: `bay.width`, or `eyes.entry.low` for an item of a list by its id.

    text: a sheet that `read_sheet` reads; measured: each value as a sheet has it (`11 ft 10 1/2 in`, `driver`)
    Raises KeyError for an eye or an application that the sheet does not have.
    """
    return rewritten(text, {tuple(field.split(".")): value for field, value in measured.items()})


def written_values(text: str) -> dict[str, str]:
    """Every plain value of a sheet's text as it is written, by its field: `bay.width`, `eyes.entry.low`."""
    return {field: node.written for field, node in _values(read_document(text, "sheet"), "")}


def field_at(text: str, place: Place) -> str:
    """The field that stands at a place of a sheet's text, or '' where none does."""
    spot = (place.line, place.column)
    values = _values(read_document(text, "sheet"), "")
    return next((field for field, node in values if (node.place.line, node.place.column) == spot), "")


def _values(node: Node, name: str) -> Iterator[tuple[str, Node]]:
    if isinstance(node.value, dict):
        for key, child in node.value.items():
            yield from _values(child, f"{name}.{key}".lstrip("."))
    elif isinstance(node.value, list):
        for i, child in enumerate(node.value):
            yield from _values(child, f"{name}.{_id_of(child) or i}")
    else:
        yield name, node


def _id_of(node: Node) -> str:
    known = node.value.get("id") if isinstance(node.value, dict) else None
    return known.written if known is not None else ""
