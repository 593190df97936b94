"""What the measuring pages show: one walk of one site, its stops in order, what each has and what it still lacks."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from flask import abort

from trainer.quantities import parse_measured
from trainer.records.queries import measuring as queries
from trainer.records.queries import people
from trainer.records.queries.people import SavedSheet
from trainer.sites.measuring import Measured, counts, said_written, second_look, to_write
from trainer.sites.rewriting import written_values
from trainer.sites.sheet import SiteSheet
from trainer.sites.sketches import Drawing, sketch
from trainer.sites.walk import THERE, Place, Stop, stops, walk
from trainer.web import words
from trainer.web.dates import moment_words
from trainer.web.house import me, my_sheet, reading
from trainer.web.words import Later, gettext

Status = Literal["open", "measured", "kept", "skipped", "look_again"]
STATUS: dict[Status, tuple[str, Later]] = {
    "open": ("○", Later("still to measure")),
    "measured": ("✓", Later("measured")),
    "kept": ("✓", Later("still right")),
    "skipped": ("–", Later("skipped for now")),
    "look_again": ("⚑", Later("measure twice")),
}


@dataclass(frozen=True)
class StopLine:
    """One stop in the overview."""

    field: str
    title: str
    mark: str
    words: str
    value: str


@dataclass(frozen=True)
class PlaceLines:
    """One place in the overview; `here`: the next stop is in it."""

    title: str
    words: str
    here: bool
    stops: tuple[StopLine, ...]


@dataclass(frozen=True)
class Change:
    """What a field was and what it will be."""

    field: str
    title: str
    old: str
    new: str
    by: str


@dataclass(frozen=True)
class Walking:
    """The open walk of my site over the sheet in force."""

    saved: SavedSheet
    sheet: SiteSheet
    draft: Mapping[str, Measured]
    before: Mapping[str, Measured]

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every place, in walking order."""
        return walk(self.sheet, {field: one.written for field, one in self.draft.items() if counts(one)})

    @cached_property
    def stops(self) -> dict[str, Stop]:
        """Every stop by its field, in walking order."""
        return stops(self.places)

    @cached_property
    def written(self) -> dict[str, str]:
        """Every value in force as the sheet has it."""
        return written_values(self.saved.text)

    def stop(self, field: str) -> Stop:
        """The stop of a field; there is no such page otherwise."""
        return self.stops.get(field) or abort(404)

    def place_of(self, field: str) -> Place:
        """Where one stands to measure a field."""
        return next(place for place in self.places if any(one.field == field for one in place.stops))

    def in_force(self, field: str) -> str | None:
        """The value in force as the sheet has it; None where the sheet leaves it out."""
        if field in self.written:
            return self.written[field]
        return THERE if any(other.startswith(f"{field}.") for other in self.written) else None

    def number(self, field: str) -> float | None:
        """The number in force [SI]."""
        written = self.in_force(field)
        return parse_measured(written)[0] if written is not None and self.stops[field].expected else None

    def status(self, field: str) -> Status:
        """Where a stop stands."""
        one = self.draft.get(field)
        if one is None:
            return "open"
        return "look_again" if self.reasons(field) and not one.sure else one.state

    def reasons(self, field: str) -> tuple[str, ...]:
        """Why what was measured is worth a second look."""
        one, expected = self.draft.get(field), self.stops[field].expected
        if one is None or expected is None or one.state != "measured":
            return ()
        return second_look(one.written, expected, self.number(field), words.language())

    def count(self, *wanted: Status) -> int:
        """How many stops stand so."""
        return sum(self.status(field) in wanted for field in self.stops)

    def next(self, after: str | None = None) -> str | None:
        """The next stop that nobody has been at: behind a field, else from the beginning."""
        fields = list(self.stops)
        start = fields.index(after) + 1 if after in self.stops else 0
        return next((one for one in fields[start:] + fields[:start] if one not in self.draft), None)

    def said(self, field: str, written: str | None) -> str:
        """A value as people read it."""
        stop = self.stops[field]
        if written is None:
            return gettext("not in the sheet")
        if stop.expected is None:
            said = next((one.said.in_(words.language()) for one in stop.choices if one.word == written), None)
            return said or written
        return said_written(written, stop.expected, words.language(), me().system)

    def who(self, one: Measured) -> str:
        """Who measured and when."""
        return gettext("%(name)s, %(when)s") % {"name": one.by, "when": moment_words(one.at)}

    @cached_property
    def now(self) -> dict[str, float]:
        """Every number as it stands: measured, else in force [SI]."""
        texts = self.written | to_write(self.draft)
        numbers = (field for field, stop in self.stops.items() if stop.expected and field in texts)
        return {field: parse_measured(texts[field])[0] for field in numbers}

    def drawing(self, field: str) -> Drawing | None:
        """The drawing for a stop with the numbers as they stand."""
        return sketch(self.stops[field].sketch, field, self.now)

    def changes(self) -> list[Change]:
        """What the new sheet changes, in walking order."""
        new = to_write(self.draft)
        return [
            Change(
                field,
                stop.title.in_(words.language()),
                self.said(field, self.in_force(field)),
                self.said(field, new[field]),
                self.who(self.draft[field]),
            )
            for field, stop in self.stops.items()
            if field in new and new[field] != self.in_force(field)
        ]

    def lines(self) -> list[PlaceLines]:
        """The overview: every place with its stops."""
        to_go = self.next()
        return [self._place(place, to_go) for place in self.places]

    def _place(self, place: Place, to_go: str | None) -> PlaceLines:
        lines = tuple(self._line(stop) for stop in place.stops)
        done = sum(stop.field in self.draft for stop in place.stops)
        said = gettext("%(done)s of %(total)s") % {"done": done, "total": len(lines)}
        here = any(stop.field == to_go for stop in place.stops)
        return PlaceLines(place.title.in_(words.language()), said, here, lines)

    def _line(self, stop: Stop) -> StopLine:
        status = self.status(stop.field)
        mark, said = STATUS[status]
        one = self.draft.get(stop.field)
        written = one.written if one is not None and counts(one) else self.in_force(stop.field)
        title = stop.title.in_(words.language())
        return StopLine(stop.field, title, mark, str(said), self.said(stop.field, written))


def walking() -> Walking:
    """The open walk of my site. Four statements."""
    with reading() as db:
        saved = people.sheet_in_force(db, me().site_id) or abort(404)
        sheet = my_sheet(db).sheet
        draft = queries.open_walk(db, me().site_id)
        before = queries.last_measured(db, me().site_id)
    return Walking(saved, sheet, draft, before)


def numbers_mark(drawing: Drawing) -> str:
    """A short mark of a drawing's numbers, so that its address changes with them."""
    said = f"{drawing[0]} {sorted(drawing[1].items())}"
    return hashlib.sha256(said.encode()).hexdigest()[:12]
