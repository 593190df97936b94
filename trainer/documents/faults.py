"""What a fault in a file is: where it stands, what was read there, what is wrong, how to mend it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

LONGEST_READ = 60


@dataclass(frozen=True, order=True)
class Place:
    """A spot in a file; lines and columns count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong in a file; `wrong` and `mend` are whole sentences."""

    place: Place
    read: str
    wrong: str
    mend: str

    def __str__(self) -> str:
        read = f" I read {self.read}." if self.read else ""
        return f"{self.place}:{read} {self.wrong} {self.mend}".rstrip()


class DocumentError(ValueError):
    """A file that cannot be used, with all its faults; the sentence has one line a fault."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


class Placed(Protocol):
    """Anything that stands at a place and can say what was read there."""

    @property
    def place(self) -> Place:
        """Where it stands."""

    @property
    def shown(self) -> str:
        """What was read there, short enough for a sentence."""


class Faults:
    """Gathers faults, so that a person sees all of a file's faults at once."""

    def __init__(self) -> None:
        self._found: list[Fault] = []

    def __len__(self) -> int:
        return len(self._found)

    def __iter__(self) -> Iterator[Fault]:
        return iter(self._found)

    @property
    def all(self) -> tuple[Fault, ...]:
        """Every fault, in the order of the file."""
        return tuple(sorted(self._found, key=lambda fault: fault.place))

    def add(self, at: Place | Placed, wrong: str, mend: str, read: str | None = None) -> None:
        """Note a fault at a place or a node; `read` is, when not given, what the node shows."""
        place = at if isinstance(at, Place) else at.place
        if read is None:
            read = "" if isinstance(at, Place) else at.shown
        self._found.append(Fault(place, shorten(read), wrong, mend))

    def extend(self, faults: Iterable[Fault]) -> None:
        """Note faults found elsewhere."""
        self._found.extend(faults)

    def raise_if_any(self) -> None:
        """Raise DocumentError with every fault noted, in the order of the file."""
        if self._found:
            raise DocumentError(self.all)


def shorten(read: str) -> str:
    """A text on one line, cut to what fits in a sentence."""
    line = " ".join(read.split())
    return line if len(line) <= LONGEST_READ else line[: LONGEST_READ - 1] + "…"
