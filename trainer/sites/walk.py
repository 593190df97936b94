"""The walk through a site sheet: every field that is measured, in the order in which one comes past it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from trainer.quantities.dimensions import Language
from trainer.sites import walk_words as w
from trainer.sites.said import Said
from trainer.sites.sheet import (
    ENVIRONMENTS,
    HEADS,
    OPERATES,
    PURPOSES,
    SIDES,
    Application,
    EyePair,
    SiteSheet,
)
from trainer.sites.values import POSITION, SURVEYED, VALUES, SiteValue, application_range
from trainer.sites.walk_words import How

Given = Mapping[str, str]

# IP codes of wash-down heads in daily use (IEC 60529); a sheet's own is offered beside them.
ENCLOSURES = ("IP65", "IP66", "IP67", "IP66/IP67", "IP68", "IP69")
# What a part that may be missing can be: `none` stands in the sheet, `there` brings its own fields onto the walk.
NONE, THERE = "none", "there"
PARTS = ("opening", "may_stand")
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "receiver_side": SIDES,
    "high_head": HEADS,
    "operate": OPERATES,
    "enclosure": ENCLOSURES,
    "purpose": PURPOSES,
    "environment": ENVIRONMENTS,
    "opening": (NONE, THERE),
    "may_stand": (NONE, THERE),
    "wheels": ("false", "true"),
}


@dataclass(frozen=True)
class Choice:
    """One word that a field may have, and how it is said."""

    word: str
    said: Said


@dataclass(frozen=True)
class Stop:
    """One field on the walk.

    expected: the number's range; None for a word, which is one of `choices`
    names: the site values that hang on it; part: the eye or application that it belongs to
    """

    field: str
    title: Said
    how: Said
    sketch: str
    survey: Said
    expected: SiteValue | None
    choices: tuple[Choice, ...] = ()
    names: tuple[str, ...] = ()
    part: str = ""
    optional: bool = False


@dataclass(frozen=True)
class Place:
    """Where one stands, and what is measured from there; `shut`: at a cabinet that must not be opened."""

    id: str
    title: Said
    stand: Said
    stops: tuple[Stop, ...]
    shut: bool = False

    @property
    def moving(self) -> bool:
        """Whether the chain or a car can hit whoever measures here."""
        return self.id not in {"outside", "cabinet", "office"}


def walk(sheet: SiteSheet, given: Given = MappingProxyType({})) -> tuple[Place, ...]:
    """Every place of this site in walking order, with its stops; given: what is measured so far, by field.

    Left out: the first pair's position and purpose, for the sheet counts from it and it measures; the edges of what
    is not there.
    """
    first, *others = sheet.eyes
    along = sorted(
        [(eye.position, _eye(eye, given)) for eye in others]
        + [(one.distance, _application(one)) for one in sheet.applications],
        key=lambda pair: pair[0],
    )
    return (
        _place("outside", _section("location", w.LOCATION)),
        _eye(first, given, first=True),
        _place("across", _section("bay", w.BAY)),
        _place("conveyor", _section("conveyor", w.CONVEYOR)),
        *(place for _, place in along),
        _place("cabinet", _cabinet(), shut=True),
        _place("office", _section("business", w.BUSINESS)),
    )


def stops(places: tuple[Place, ...]) -> dict[str, Stop]:
    """Every stop by its field, in walking order."""
    return {stop.field: stop for place in places for stop in place.stops}


_DERIVED = {"conveyor.speed": ("cars_per_hour",), "conveyor.pitch": ("cars_per_hour",)}


def _section(section: str, rows: Mapping[str, How]) -> Iterator[Stop]:
    for name, row in rows.items():
        field = f"{section}.{name}"
        names = (row.value, *_DERIVED.get(field, ()))
        yield _number(field, row, _range_of(row.value), names)


def _cabinet() -> Iterator[Stop]:
    yield from _section("conveyor", w.CONTROLLER)
    yield from _section("supply", w.SUPPLY)
    yield from _section("drive", w.DRIVE)


def _eye(eye: EyePair, given: Given, *, first: bool = False) -> Place:
    names = [name for name in w.EYE if not (first and name in {"position", "purpose"})]
    shown = [name for name in names if "." not in name or _is_there(eye, name.partition(".")[0], given)]
    made = tuple(_eye_stop(eye, name, w.EYE[name], first) for name in shown)
    return _named("eye", f"eye.{eye.id}", eye.name, made)


def _is_there(eye: EyePair, part: str, given: Given) -> bool:
    """Whether a pair has an opening behind it, or room to move, as it is known by now."""
    known = THERE if getattr(eye, part) is not None else NONE
    return given.get(f"eyes.{eye.id}.{part}", known) == THERE


def _eye_stop(eye: EyePair, name: str, row: How, first: bool) -> Stop:
    field = f"eyes.{eye.id}.{name}"
    if not row.value:
        more = (eye.enclosure,) if name == "enclosure" else ()
        return _word(field, name, row, more, part=eye.id)
    feeds = ("pair_spacing",) if name == "position" else (row.value,) if first and row.value in VALUES else ()
    return _number(field, row, _range_of(row.value), feeds, part=eye.id)


def _range_of(value: str) -> SiteValue:
    return POSITION if value == "position" else VALUES.get(value) or SURVEYED[value]


def _word(field: str, name: str, row: How, more: tuple[str, ...], *, part: str) -> Stop:
    words = dict.fromkeys((*_CHOICES[name], *more))
    choices = tuple(Choice(word, w.CHOICES.get(word, Said(word, word))) for word in words)
    title, survey = _capital(w.TITLES[name]), w.SURVEY[row.survey]
    return Stop(
        field, title, row.how, row.sketch, survey, None, choices, part=part, optional=name in w.OPTIONAL
    )


def _application(one: Application) -> Place:
    made = []
    for name, row in w.APPLICATION.items():
        field = f"applications.{one.id}.{name}"
        if name == "wheels":
            made.append(_word(field, name, row, (), part=one.id))
            continue
        feeds = (f"{one.id}_{name}",) if f"{one.id}_{name}" in VALUES else ()
        made.append(_number(field, row, application_range(one.id, name), feeds, part=one.id))
    return _named("application", f"application.{one.id}", one.name, tuple(made))


def _number(field: str, row: How, expected: SiteValue, names: tuple[str, ...], *, part: str = "") -> Stop:
    last, below = field.rpartition(".")[2], ".".join(field.split(".")[2:])
    told = w.TITLES.get(below) if part else None
    title = _capital(told or Said(expected.meaning["en"], expected.meaning["es"]))
    names = tuple(name for name in names if name in VALUES)
    return Stop(
        field, title, row.how, row.sketch, w.SURVEY[row.survey], expected, (), names, part, last in w.OPTIONAL
    )


_TONGUES: tuple[Language, Language] = ("en", "es")


def _place(key: str, found: Iterator[Stop], *, shut: bool = False) -> Place:
    title, stand = w.STANDS[key]
    return Place(key, title, stand, tuple(found), shut)


def _named(kind: str, key: str, name: Mapping[Language, str], found: tuple[Stop, ...]) -> Place:
    title, stand = w.STANDS[kind]
    said = Said(*(title.in_(tongue).format(name=_small(name.get(tongue, ""))) for tongue in _TONGUES))
    return Place(key, said, stand, found)


def _capital(said: Said) -> Said:
    return Said(*(text[:1].upper() + text[1:] for text in said))


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]
