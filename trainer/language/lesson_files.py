"""One lesson page from its file: front matter in YAML, then Markdown, figures, benches and the task on one's bay."""

from __future__ import annotations

import re
from dataclasses import dataclass

from trainer.documents import DocumentError, Faults, Node, Place, fields, items, read_document, text, whole
from trainer.figures.catalogue import FIGURES
from trainer.language.entries import IDENTIFIER, Entries
from trainer.language.prose import Insert, Prose, mark
from trainer.language.questions import FigureUse, SignalWord
from trainer.language.source import Source
from trainer.language.worked_numbers import Numbers
from trainer.sites.values import VALUES

_FENCE = re.compile(r"```(?P<kind>figure|bench)[ \t]*\n(?P<inside>.*?)\n```[ \t]*(?:\n|\Z)", re.DOTALL)
_TASK = re.compile(r"^[-*] \[ \] (?P<task>.+(?:\n  .+)*)\n?", re.MULTILINE)
_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
LONGEST_MINUTES = 60
_REQUIRED = ["id", "topic", "title", "skills", "minutes", "purpose"]
_OPTIONAL = ["site", "let", "caution"]


@dataclass(frozen=True)
class BenchUse:
    """A bench as it stands at the start of a task, shown in a lesson and not to be moved. caption: plain text."""

    name: str
    caption: str


@dataclass(frozen=True)
class Page:
    """A lesson in one language.

    words: how many words it has, figures and front matter not counted
    headings: its second-level headings; marks: the numbers that stand in it, to compare languages
    """

    file: str
    id: str
    topic: str
    title: str
    skills: tuple[str, ...]
    minutes: int
    purpose: str
    numbers: Numbers
    blocks: tuple[Prose | FigureUse | BenchUse, ...]
    task: Prose
    caution: tuple[SignalWord, Prose] | None
    words: int
    headings: tuple[str, ...]

    @property
    def proses(self) -> tuple[Prose, ...]:
        """Every text of the page."""
        extra = (self.caution[1],) if self.caution else ()
        return (*(block for block in self.blocks if isinstance(block, Prose)), self.task, *extra)

    @property
    def inserts(self) -> tuple[Insert, ...]:
        """Every number written into its texts."""
        return tuple(insert for prose in self.proses for insert in prose.inserts)

    @property
    def figures(self) -> tuple[str, ...]:
        """The names of its figures and benches, in order."""
        return tuple(block.name for block in self.blocks if not isinstance(block, Prose))

    @property
    def benches(self) -> tuple[str, ...]:
        """The benches that it shows, in order."""
        return tuple(block.name for block in self.blocks if isinstance(block, BenchUse))

    @property
    def marks(self) -> frozenset[str]:
        """The numbers that stand in it."""
        return frozenset(mark(insert) for insert in self.inserts)

    @property
    def terms(self) -> frozenset[str]:
        """The glossary terms it links to."""
        return frozenset(term for prose in self.proses for term in prose.terms)


def read_page(written: str, file: str) -> Page:
    """A page from its text. Raises DocumentError with every fault, each with line and column."""
    written = written.removeprefix("\ufeff").replace("\r\n", "\n")
    head, body, line = _divide(written, file)
    faults = Faults()
    page = _PageReader(Entries(Source(written, file), faults), faults).read(
        read_document(head, file), body, line
    )
    faults.raise_if_any()
    assert page is not None
    return page


def _divide(written: str, file: str) -> tuple[str, str, int]:
    """Front matter with its line numbers kept, the rest, and the line on which the rest begins."""
    lines = written.split("\n")
    end = next((at for at, one in enumerate(lines) if at and one.rstrip() == "---"), None)
    if lines[0].rstrip() != "---" or end is None:
        faults = Faults()
        mend = "Begin with a line `---`, the front matter, and another line `---`."
        faults.add(Place(file, 1, 1), "A lesson begins with its front matter.", mend)
        raise DocumentError(faults)
    head = "\n".join(["", *lines[1:end]])
    return head, "\n".join(lines[end + 1 :]), end + 2


class _PageReader:
    """Reads one page."""

    def __init__(self, entries: Entries, faults: Faults) -> None:
        self.entries, self.faults = entries, faults

    def read(self, root: Node, body: str, line: int) -> Page | None:
        parts = fields(root, _REQUIRED, _OPTIONAL, self.faults)
        if any(name not in parts for name in _REQUIRED):
            return None
        site = self.entries.site(parts.get("site"), VALUES)
        worked = self.entries.let(parts.get("let"))
        caution = self._caution(parts.get("caution"))
        task, rest = self._task(body, line)
        blocks = self._blocks(rest, line)
        return Page(
            file=self.entries.source.file,
            id=self._identifier(parts["id"]),
            topic=text(parts["topic"], self.faults),
            title=text(parts["title"], self.faults),
            skills=tuple(self._identifier(one) for one in items(parts["skills"], self.faults)),
            minutes=self._minutes(parts["minutes"]),
            purpose=text(parts["purpose"], self.faults),
            numbers=self.entries.numbers(site, (), worked),
            blocks=blocks,
            task=task,
            caution=caution,
            words=_count_words(rest) + _count_words(body) - _count_words(_TASK.sub("", body)),
            headings=tuple(re.findall(r"^## +(.+?) *$", body, re.MULTILINE)),
        )

    def _identifier(self, node: Node) -> str:
        if not IDENTIFIER.fullmatch(node.written):
            self.faults.add(
                node, "This must be topic.name in small letters.", "Write it as in `measuring.profile`."
            )
        return node.written

    def _minutes(self, node: Node) -> int:
        value = whole(node, self.faults)
        if isinstance(node.value, int) and not 1 <= value <= LONGEST_MINUTES:
            self.faults.add(node, f"A lesson takes 1 to {LONGEST_MINUTES} minutes.", "Divide it.")
        return value

    def _caution(self, node: Node | None) -> tuple[SignalWord, Prose] | None:
        if node is None:
            return None
        parts = fields(node, ["word", "text"], [], self.faults)
        if len(parts) < 2:
            return None
        return self.entries.signal_word(parts["word"]), self.entries.prose(parts["text"])

    def _task(self, body: str, line: int) -> tuple[Prose, str]:
        """The task line, and the body without it but with its line breaks."""
        found = _TASK.search(body)
        if found is None:
            at = Place(self.entries.source.file, line, 1)
            self.faults.add(
                at, "The lesson ends without a task.", "Write one line `- [ ] …` for one's own bay."
            )
            return Prose(()), body
        node = self._piece(found["task"], body, found.start("task"), line)
        blank = "\n" * found.group().count("\n")
        return self.entries.prose(node, inline=True), body[: found.start()] + blank + body[found.end() :]

    def _blocks(self, body: str, line: int) -> tuple[Prose | FigureUse | BenchUse, ...]:
        blocks: list[Prose | FigureUse | BenchUse] = []
        start = 0
        for found in _FENCE.finditer(body):
            blocks += self._text(body, start, found.start(), line)
            shown = self._shown(body, found, line)
            if shown is not None:
                blocks.append(shown)
            start = found.end()
        return (*blocks, *self._text(body, start, len(body), line))

    def _text(self, body: str, start: int, end: int, line: int) -> list[Prose]:
        piece = body[start:end]
        if not piece.strip():
            return []
        start += len(piece) - len(piece.lstrip("\n"))
        return [self.entries.prose(self._piece(body[start:end], body, start, line))]

    def _piece(self, piece: str, body: str, at: int, line: int) -> Node:
        """A piece of the body as a text node with its place in the file."""
        column = at - (body.rfind("\n", 0, at) + 1) + 1
        return Node(
            piece, Place(self.entries.source.file, line + body.count("\n", 0, at), column), written=piece
        )

    def _shown(self, body: str, found: re.Match[str], line: int) -> FigureUse | BenchUse | None:
        above = line + body.count("\n", 0, found.start("inside")) - 1
        try:
            node = read_document("\n" * above + found["inside"], self.entries.source.file)
        except DocumentError as error:
            self.faults.extend(error.faults)
            return None
        if found["kind"] == "bench":
            return self._bench(node)
        return self.entries.figure(node, FIGURES, one_language=True)

    def _bench(self, node: Node) -> BenchUse | None:
        """Whether there is such a bench is asked above this room, where benches are known."""
        parts = fields(node, ["name", "caption"], [], self.faults)
        if len(parts) < 2:
            return None
        return BenchUse(text(parts["name"], self.faults), text(parts["caption"], self.faults))


def _count_words(body: str) -> int:
    return len(_WORD.findall(_FENCE.sub("", body)))
