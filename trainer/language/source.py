"""The text of a file, to point at the line and column where a piece of it stands."""

from __future__ import annotations

import hashlib
import unicodedata
from dataclasses import dataclass

from trainer.documents import Place


@dataclass(frozen=True)
class Source:
    """A file's text and name."""

    text: str
    file: str

    def find(self, after: Place, piece: str) -> Place:
        """Where a piece of text stands, at or after a place; that place itself when it is not found as written."""
        start = self._position(after)
        found = self.text.find(piece, start) if piece else -1
        return after if found < 0 else self._place(found)

    def along(self, start: Place, piece: str, column: int) -> Place:
        """The place `column` characters into a piece that stands at `start`."""
        position = self._position(start)
        return self._place(position + column) if self.text.startswith(piece, position) else start

    def inside(self, after: Place, text: str, offset: int) -> Place:
        """The place of a character of a text that was read at a place, whatever its quotes and indents."""
        start = text.rfind("\n", 0, offset) + 1
        line = text[start:].split("\n", 1)[0]
        lead = len(line) - len(line.lstrip())
        return self.along(self.find(after, line.strip()), line.strip(), offset - start - lead)

    def _position(self, place: Place) -> int:
        position = 0
        for _ in range(place.line - 1):
            position = self.text.find("\n", position) + 1
        return position + place.column - 1

    def _place(self, position: int) -> Place:
        line_start = self.text.rfind("\n", 0, position) + 1
        return Place(self.file, self.text.count("\n", 0, position) + 1, position - line_start + 1)


def fingerprint(text: str) -> str:
    """SHA-256 in hex of a text's canonical form: Unicode NFC, line feeds, no space at line ends, one at the end."""
    lines = unicodedata.normalize("NFC", text.removeprefix("\ufeff")).splitlines()
    canonical = "\n".join(line.rstrip() for line in lines).rstrip("\n") + "\n"
    return hashlib.sha256(canonical.encode()).hexdigest()
