"""The walk through a site sheet: every field that is measured, in the order in which one comes past it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trainer.quantities.dimensions import Language
from trainer.sites import walk_words as w
from trainer.sites.sheet import HEADS, OPERATES, SIDES, Application, EyePair, SiteSheet
from trainer.sites.values import POSITION, VALUES, SiteValue, application_range
from trainer.sites.walk_words import How, Said

# IP codes of wash-down heads in daily use (IEC 60529); a sheet's own is offered beside them.
ENCLOSURES = ("IP65", "IP66", "IP67", "IP66/IP67", "IP68", "IP69")
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "receiver_side": SIDES,
    "high_head": HEADS,
    "operate": OPERATES,
    "enclosure": ENCLOSURES,
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
    """Where one stands, and what is measured from there; `shut`: a cabinet that must not be opened."""

    id: str
    title: Said
    stand: Said
    stops: tuple[Stop, ...]
    shut: bool = False


def walk(sheet: SiteSheet) -> tuple[Place, ...]:
    """Every place of this site in walking order, with its stops.

    The first pair's position is not on it: the sheet counts from there.
    """
    first, *others = sheet.eyes
    along = sorted(
        [*((eye.position, _eye(eye, _EYE_FIELDS)) for eye in others)]
        + [(one.distance, _application(one)) for one in sheet.applications],
        key=lambda pair: pair[0],
    )
    return (
        _place("outside", _section("location", w.LOCATION)),
        _eye(first, tuple(name for name in _EYE_FIELDS if name != "position"), first=True),
        _place("across", _section("bay", w.BAY)),
        _place("conveyor", _section("conveyor", w.CONVEYOR)),
        *(place for _, place in along),
        _place("cabinet", _cabinet(), shut=True),
        _place("office", _section("business", w.BUSINESS)),
    )


def stops(places: tuple[Place, ...]) -> dict[str, Stop]:
    """Every stop by its field, in walking order."""
    return {stop.field: stop for place in places for stop in place.stops}


_EYE_FIELDS = tuple(w.EYE)
# What a pair's numbers are called among the site values; only the pair that measures the car has them all.
_DERIVED = {"conveyor.speed": ("cars_per_hour",), "conveyor.pitch": ("cars_per_hour",)}


def _section(section: str, rows: Mapping[str, How]) -> Iterator[Stop]:
    for name, row in rows.items():
        field = f"{section}.{name}"
        names = (row.value, *_DERIVED.get(field, ()))
        yield _number(field, row, VALUES[row.value], names)


def _cabinet() -> Iterator[Stop]:
    yield from _section("conveyor", w.CONTROLLER)
    yield from _section("supply", w.SUPPLY)
    yield from _section("drive", w.DRIVE)


def _eye(eye: EyePair, names: tuple[str, ...], *, first: bool = False) -> Place:
    made = tuple(_eye_stop(eye, name, w.EYE[name], first) for name in names)
    return _named("eye", f"eye.{eye.id}", eye.name, made)


def _eye_stop(eye: EyePair, name: str, row: How, first: bool) -> Stop:
    field = f"eyes.{eye.id}.{name}"
    if not row.value:
        words = dict.fromkeys((*_CHOICES[name], getattr(eye, name)))
        choices = tuple(Choice(word, w.CHOICES.get(word, Said(word, word))) for word in words)
        return Stop(
            field,
            _capital(w.TITLES[name]),
            row.how,
            row.sketch,
            w.SURVEY[row.survey],
            None,
            choices,
            part=eye.id,
        )
    expected = POSITION if name == "position" else VALUES[row.value]
    feeds = ("pair_spacing",) if name == "position" else (row.value,) if first else ()
    return _number(field, row, expected, feeds, part=eye.id)


def _application(one: Application) -> Place:
    made = []
    for name, row in w.APPLICATION.items():
        expected = application_range(one.id, name)
        feeds = (f"{one.id}_{name}",) if f"{one.id}_{name}" in VALUES else ()
        made.append(_number(f"applications.{one.id}.{name}", row, expected, feeds, part=one.id))
    return _named("application", f"application.{one.id}", one.name, tuple(made))


def _number(field: str, row: How, expected: SiteValue, names: tuple[str, ...], *, part: str = "") -> Stop:
    said = w.TITLES[field.rpartition(".")[2]] if field.startswith("applications.") else None
    title = said or Said(expected.meaning["en"], expected.meaning["es"])
    return Stop(field, _capital(title), row.how, row.sketch, w.SURVEY[row.survey], expected, (), names, part)


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
