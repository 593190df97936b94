"""Reading YAML safely into nodes: no aliases, no tags, no duplicate keys, bounded size and nesting."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)
from ruamel.yaml.reader import ReaderError

from trainer.documents.faults import DocumentError, Fault, Faults, Place
from trainer.documents.nodes import Node

LARGEST_FILE = 1_000_000
DEEPEST_NESTING = 24
LONGEST_NUMBER = 40
MOST_VALUES = 20_000
MOST_FAULTS = 100  # beyond these a file is not worth reading on

# Plain scalars of the YAML 1.2 core schema (yaml.org/spec/1.2.2, 10.3.2), decimal numbers only.
_WHOLE = re.compile(r"[-+]?[0-9]+")
_NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_LINE_ENDS = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_WORDS = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}

# What the parser says, in part, and how a person who writes questions mends it.
_MENDS = (
    ("'\\t' that cannot start", "A tab cannot indent a line.", "Use spaces."),
    (
        "mapping values are not allowed",
        "A colon stands where none can.",
        'If it belongs to a text, put the text in quotes ("Note: …"); if not, check the indent of the line.',
    ),
    (
        "that cannot start any token",
        "A text cannot begin with this character.",
        'Put the text in quotes: "…".',
    ),
    ("unexpected end of stream", "A quote is opened and never closed.", "Close it with the same quote mark."),
    (
        "expected ',' or ']'",
        "A list is opened and never closed.",
        "Close it with `]`, with `,` between its items.",
    ),
    (
        "expected ',' or '}'",
        "A `{` is opened and never closed.",
        "Close it with `}`, with `,` between its fields.",
    ),
    (
        "could not find expected ':'",
        "This line has no colon.",
        "Write `name: value`, or indent the line so that it goes on with the text above.",
    ),
    (
        "expected <block end>",
        "This does not fit what stands above it.",
        "Indent it as its neighbours are, and put a text that goes on after a quote wholly in quotes.",
    ),
    (
        "unknown escape character",
        "There is no such escape after `\\`.",
        "Write `\\\\`, or use single quotes.",
    ),
    ("duplicate anchor", "An anchor (&) is not allowed.", "Write the value out."),
)


def read_document(text: str, file: str) -> Node:
    """The one document of a YAML text, as nodes with places.

    file: the name that faults show.
    Raises DocumentError with every fault found; what cannot be parsed further ends the list.
    """
    if len(text) > LARGEST_FILE:
        fault = Fault(
            Place(file, 1, 1),
            f"{len(text):,} characters",
            f"A file may have {LARGEST_FILE:,}.",
            "Divide it into several files.",
        )
        raise DocumentError([fault])
    return _Reader(text.removeprefix("\ufeff"), file).document()


class _Reader:
    """One reading of one text: walks the parser's events and builds nodes."""

    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file
        self.faults = Faults()
        self.values = 0
        self.events = self._parse()

    def document(self) -> Node:
        node: Node | None = None
        for event in self.events:
            if isinstance(event, StreamStartEvent | DocumentEndEvent | StreamEndEvent):
                continue
            if isinstance(event, DocumentStartEvent):
                self._refuse_directives(event)
                if node is not None:
                    self._stop(self._place(event), "A second document begins here.", "Keep one a file.")
                continue
            node = self._node(event, 1)
        self.faults.raise_if_any()
        return node or Node(None, Place(self.file, 1, 1))

    def _node(self, event: Event, depth: int) -> Node:
        place = self._place(event)
        self.values += 1
        if self.values > MOST_VALUES:
            self._stop(place, f"A file may hold {MOST_VALUES:,} values.", "Divide it into several files.")
        if len(self.faults) >= MOST_FAULTS:
            self.faults.raise_if_any()
        if depth > DEEPEST_NESTING:
            self._stop(
                place, f"Values stand inside one another more than {DEEPEST_NESTING} deep.", "Flatten it."
            )
        self._refuse_sharing(event, place)
        if isinstance(event, ScalarEvent):
            return self._scalar(event, place)
        if isinstance(event, SequenceStartEvent):
            return Node([self._node(one, depth + 1) for one in self._until_end()], place)
        if isinstance(event, MappingStartEvent):
            return self._mapping(place, depth)
        return Node(None, place)

    def _mapping(self, place: Place, depth: int) -> Node:
        values: dict[str, Node] = {}
        places: dict[str, Place] = {}
        for event in self._until_end():
            key_node = self._node(event, depth + 1)
            value = self._node(next(self.events), depth + 1)
            key = self._key(event, key_node)
            if key is None:
                continue
            if key in values:
                self.faults.add(
                    key_node.place,
                    f"This field stands already at line {places[key].line}.",
                    "Keep one of them.",
                    f"`{key}`",
                )
                continue
            values[key], places[key] = value, key_node.place
        return Node(values, place, places)

    def _key(self, event: Event, node: Node) -> str | None:
        if isinstance(event, AliasEvent):
            return None
        if not isinstance(event, ScalarEvent):
            self.faults.add(
                node,
                "A field's name must be a plain word.",
                'If this is a text with {{ … }}, put the whole text in quotes: "{{ … }}".',
            )
            return None
        if node.written == "<<" and event.style is None:
            self.faults.add(node, "Merging fields (<<) is not allowed.", "Write the fields out.")
            return None
        return node.written

    def _scalar(self, event: ScalarEvent, place: Place) -> Node:
        written: str = event.value
        if event.style is not None:
            return Node(written, place, written=written)
        if written in _WORDS:
            return Node(_WORDS[written], place, written=written)
        if not _NUMBER.fullmatch(written):
            return Node(written, place, written=written)
        if len(written) > LONGEST_NUMBER:
            self.faults.add(
                place, "This number has too many digits.", "Put it in quotes if it is a text.", written
            )
            return Node(0, place, written=written)
        return Node(int(written) if _WHOLE.fullmatch(written) else float(written), place, written=written)

    def _until_end(self) -> Iterator[Event]:
        for event in self.events:
            if isinstance(event, CollectionEndEvent):
                return
            yield event

    def _refuse_sharing(self, event: Event, place: Place) -> None:
        if isinstance(event, AliasEvent):
            self.faults.add(
                place,
                "An alias (*) is not allowed.",
                "Write the value out; a text that begins with * needs quotes.",
                f"`*{event.anchor}`",
            )
        elif isinstance(event, NodeEvent) and event.anchor is not None:
            self.faults.add(
                place,
                "An anchor (&) is not allowed.",
                "Write the value out; a text that begins with & needs quotes.",
                f"`&{event.anchor}`",
            )
        tag = None if isinstance(event, AliasEvent) else getattr(event, "tag", None)
        if tag is not None:
            self.faults.add(
                place,
                "A tag (!) is not allowed.",
                "Leave it out; a text that begins with ! needs quotes.",
                f"`{tag}`",
            )

    def _refuse_directives(self, event: DocumentStartEvent) -> None:
        if event.version is not None or event.tags:
            self.faults.add(
                Place(self.file, 1, 1), "A % directive is not allowed.", "Leave the line out.", "a directive"
            )

    def _parse(self) -> Iterator[Event]:
        """The parser's events; what it cannot parse becomes DocumentError."""
        yaml = YAML(typ="safe", pure=True)
        try:
            yield from yaml.parse(self.text)
        except ReaderError as error:
            self._refuse_character(error)
        except MarkedYAMLError as error:
            self._refuse_syntax(error)
        except (YAMLError, ValueError, IndexError, AttributeError, TypeError, AssertionError) as error:
            if isinstance(error, DocumentError):
                raise
            self._stop(Place(self.file, 1, 1), "This is not YAML that I can read.", "Check it line by line.")

    def _refuse_character(self, error: ReaderError) -> None:
        before = self.text[: error.position]
        line = before.count("\n") + 1
        place = Place(self.file, line, error.position - (before.rfind("\n") + 1) + 1)
        self._stop(
            place, "This character cannot stand in a text file.", "Delete it.", f"U+{error.character:04X}"
        )

    def _refuse_syntax(self, error: Any) -> None:
        problem = str(error.problem or error.context or "it cannot be read")
        mark = error.problem_mark or error.context_mark
        place = Place(self.file, mark.line + 1, mark.column + 1) if mark else Place(self.file, 1, 1)
        for part, wrong, mend in _MENDS:
            if part in problem:
                self._stop(place, wrong, mend, self._line(place))
        self._stop(
            place, f"YAML cannot be read here: {problem}.", "Check quotes and indents.", self._line(place)
        )

    def _line(self, place: Place) -> str:
        lines = _LINE_ENDS.split(self.text)
        line = lines[place.line - 1].strip() if place.line <= len(lines) else ""
        return f"`{line}`" if line else "the end of the file"

    def _stop(self, place: Place, wrong: str, mend: str, read: str = "") -> None:
        self.faults.add(place, wrong, mend, read)
        self.faults.raise_if_any()

    def _place(self, event: Event) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)
