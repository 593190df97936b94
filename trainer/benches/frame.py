"""What every bench gives the frame that shows it: a task, a score, the best, and what may be seen before and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from trainer.benches.acts import Act, ActKind, Pick
from trainer.figures.live import Live
from trainer.language.draws import Stream
from trainer.language.questions import SignalWord
from trainer.quantities.dimensions import System
from trainer.sites.said import Said
from trainer.sites.sheet import SiteSheet
from trainer.sites.survey.reader import Reader

FULL = 100
PASS = 80  # points; common practice, no source
LEVELS = ("1", "2", "3")


@dataclass(frozen=True)
class Part:
    """One thing that is scored: points got of those to be had, and what was found, in words."""

    label: Said
    got: float
    of: float
    found: Said


@dataclass(frozen=True)
class Score:
    """What a list of acts is worth.

    parts: what the points are made of; their `of` add up to 100
    merit: what the best play makes as large as it can be; never clamped, so that beating the best would show
    failed: why the run fails whatever the points, such as a cabinet that was opened before it was proved dead
    """

    parts: tuple[Part, ...]
    merit: float
    failed: Said | None = None

    @property
    def points(self) -> int:
        """From 0 to 100; full points are never rounded up to."""
        return min(FULL, max(0, int(sum(part.got for part in self.parts) + 1e-9)))

    @property
    def passed(self) -> bool:
        """Whether this is enough where it counts."""
        return self.failed is None and self.points >= PASS


@dataclass(frozen=True)
class Best:
    """One list of acts that nothing beats, and its score, which is full."""

    acts: tuple[Act, ...]
    score: Score


@dataclass(frozen=True)
class Table:
    """Facts in rows, each beginning with its name: what a drawing shows, for those who cannot see it."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Offer:
    """A kind of act that can be done now, and what its fields hold.

    values: field -> what it holds now (SI or an option's id); a field without one is empty
    barred: options that cannot be taken now; primary: the one thing to do next
    """

    kind: ActKind
    values: Mapping[str, float | str] = field(default_factory=dict)
    barred: frozenset[str] = frozenset()
    primary: bool = False


@dataclass(frozen=True)
class Shown:
    """A bench as its learner may see it now, before the result. Texts are plain.

    task: what to do, in short sentences with this task's numbers
    said: what the last act did, in a sentence that is also spoken; '' at the start
    drawings, tables: the same facts twice; notes: what has been done so far, a line an act where that helps
    """

    task: tuple[str, ...]
    drawings: tuple[Live, ...]
    tables: tuple[Table, ...]
    offers: tuple[Offer, ...]
    said: str = ""
    notes: tuple[str, ...] = ()
    caution: tuple[SignalWord, str] | None = None


@dataclass(frozen=True)
class Moment:
    """One step of the replay: what was done, what it meant, and what would have been best there."""

    title: str
    text: str
    drawings: tuple[Live, ...] = ()
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True)
class Debrief:
    """What comes after the result. Texts are plain.

    outcome: what these acts would have done to real cars and people
    best: the best possible, and how far from it this is; advice: the one thing to do differently
    """

    outcome: tuple[str, ...]
    best: str
    advice: str
    drawings: tuple[Live, ...] = ()
    tables: tuple[Table, ...] = ()
    moments: tuple[Moment, ...] = ()


@dataclass(frozen=True)
class Card:
    """What the list of benches says of one.

    version: raised whenever a task or a score would come out otherwise; a run of another version keeps its score
    skills: what it practises, of the list of skills
    """

    id: str
    version: int
    title: Said
    purpose: Said
    minutes: int
    skills: tuple[str, ...]


class Bench(Protocol):
    """A kind of bench. Every package of this room is one: its names, in this order.

    A task is a frozen dataclass of plain values; nobody but the bench looks into it.
    """

    CARD: Card

    def options(self, sheet: SiteSheet) -> tuple[Pick, ...]:
        """What a trainer may fix about a task: `level` first; whatever is not fixed is drawn."""

    def make_task(self, sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> Any:
        """The task of a sheet and a seed; the same for ever. Raises NoTask where the sheet allows none.

        fixed: options by name, already checked against `options`; `level` is always there
        """

    def score(self, task: Any, acts: Sequence[Act]) -> Score:
        """What any list of acts is worth, however odd; acts that could not be done count for nothing."""

    def best(self, task: Any) -> Best:
        """The best list of acts: full points, and no list has more merit."""

    def kinds(self, task: Any) -> tuple[ActKind, ...]:
        """Every kind of act of the task, the last one first possible or not; what acts are read by."""

    def refusal(self, task: Any, acts: Sequence[Act], act: Act) -> Said | None:
        """Why an act cannot be done after these; None where it can."""

    def is_over(self, task: Any, acts: Sequence[Act]) -> bool:
        """Whether the run has ended and the result may be shown."""

    def show(self, task: Any, acts: Sequence[Act], reader: Reader) -> Shown:
        """What may be seen now; never what is hidden."""

    def debrief(self, task: Any, acts: Sequence[Act], reader: Reader) -> Debrief:
        """What is shown when the run is over."""


class NoTask(ValueError):  # noqa: N818 - the sentence `raise NoTask` says it
    """A sheet from which a bench can make no task: what it lacks, and the mend."""

    def __init__(self, why: Said) -> None:
        super().__init__(why.en)
        self.why = why


def done(bench: Bench, task: Any, acts: Sequence[Act]) -> tuple[Act, ...]:
    """Those of the acts that could be done, in order: none after the end, none that was refused."""
    kept: list[Act] = []
    for act in acts:
        if bench.is_over(task, kept):
            break
        if bench.refusal(task, kept, act) is None:
            kept.append(act)
    return tuple(kept)
