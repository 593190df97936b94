"""Writing plain values into a YAML text in place: all else, comments and spaces included, stays as it was."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from ruamel.yaml import YAML

Path = tuple[str, ...]

# A value that needs no quotes: nothing in it that YAML gives a meaning to, neither at its start nor inside.
_PLAIN = re.compile(r"(?:[0-9A-Za-z]|[.+-][0-9])(?:(?![:#,\[\]{}\n\r\t]).)*(?<! )")


def rewritten(text: str, values: Mapping[Path, str]) -> str:
    """The text with each value at its path: names of fields, and in a list the `id` of an item.

    text: one that `read_document` reads, with fields at its top. A field that is missing is added at the end of
    its neighbours, and so are the fields around it. Raises KeyError for an item that its list does not have.
    """
    bom, body = ("\ufeff", text[1:]) if text.startswith("\ufeff") else ("", text)
    present: dict[Path, str] = {}
    missing: dict[Path, str] = {}
    top = YAML().compose(body)
    for path, value in values.items():
        (missing if _find(top, path) is None else present)[path] = value
    body = _replaced(body, top, present)
    for path, value in missing.items():
        body = _added(body, path, value)
    return bom + body


def _replaced(text: str, top: Any, values: Mapping[Path, str]) -> str:
    edits = []
    for path, value in values.items():
        key, node = _found(top, path)
        start, end = node.start_mark.index, _end(node)
        if start == end or _is_block(node):  # `width:` with nothing behind it, or with fields below it
            start = text.index(":", key.end_mark.index) + 1
            edits.append((start, max(start, end if _is_block(node) else start), f" {_scalar(value)}"))
        else:
            tail = "\n" if text[start:end].endswith("\n") else ""
            edits.append((start, end, _scalar(value) + tail))
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _added(text: str, path: Path, value: str) -> str:
    """The text with one more field; what is missing around it is written too."""
    top = YAML().compose(text)
    known = next(n for n in range(len(path) - 1, -1, -1) if _is_mapping(_find(top, path[:n])))
    parent, names = _find(top, path[:known]), path[known:]
    if parent.flow_style:
        return _added_in_braces(text, parent, names, value)
    bare = _found(top, path[: known + 1])  # `extra:` with nothing under it, or with a word
    if bare and bare[1].value:
        start, end = bare[1].start_mark.index, bare[1].end_mark.index
        return f"{text[:start]}{_braces(names[1:], value)}{text[end:]}"
    depth = parent.start_mark.column + (2 if bare else 0)
    at, names = (bare[0].end_mark.index, names[1:]) if bare else (_end(parent), names)
    lines = [f"{' ' * (depth + 2 * deeper)}{name}:" for deeper, name in enumerate(names)]
    block = "\n".join(lines) + f" {_scalar(value)}"
    end = at - 1 if text[at - 1 : at] == "\n" else text.find("\n", at)
    return f"{text}\n{block}\n" if end < 0 else f"{text[:end]}\n{block}{text[end:]}"


def _added_in_braces(text: str, parent: Any, names: Path, value: str) -> str:
    at = _end(parent.value[-1][1]) if parent.value else parent.start_mark.index + 1
    return f"{text[:at]}{', ' if parent.value else ''}{names[0]}: {_braces(names[1:], value)}{text[at:]}"


def _braces(names: Path, value: str) -> str:
    """A value under further names, in braces."""
    new = _scalar(value)
    for name in reversed(names):
        new = f"{{{name}: {new}}}"
    return new


def _find(top: Any, path: Path) -> Any:
    """The node at a path, or None."""
    found = _found(top, path)
    return None if found is None else found[1]


def _found(top: Any, path: Path) -> Any:
    """The key's node and the value's node at a path, or None; the top has no key."""
    key, node = None, top
    for name in path:
        if node.id == "sequence":
            node = next(item for item in [*node.value, None] if item is None or _id_of(item) == name)
            if node is None:
                raise KeyError(name)
            continue
        pair = (
            next((pair for pair in node.value if pair[0].value == name), None) if _is_mapping(node) else None
        )
        if pair is None:
            return None
        key, node = pair
    return key, node


def _id_of(item: Any) -> str | None:
    if not _is_mapping(item):
        return None
    return next((value.value for key, value in item.value if key.value == "id"), None)


def _is_block(node: Any) -> bool:
    return node.id != "scalar" and not node.flow_style


def _is_mapping(node: Any) -> bool:
    return node is not None and node.id == "mapping"


def _end(node: Any) -> int:
    """Where what is written of a node ends; a block's own mark lies behind the comments that follow it."""
    if node.id == "scalar" or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(last[1] if node.id == "mapping" else last)


def _scalar(value: str) -> str:
    return value if _PLAIN.fullmatch(value) else json.dumps(value, ensure_ascii=False)
