"""A question's fields as a page sends them, and what its buttons do to them before anything is saved."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from trainer.language.drafting.figures import FED, hides_of, inputs_of, site_names
from trainer.language.drafting.sketch import NumberLine, OptionLine, Sketch, SlipLine
from trainer.language.drafting.slips import Suggested
from trainer.language.drafting.spotted import Spotted, range_around, usual_name
from trainer.language.drafting.typed import typed_calculation
from trainer.language.drafting.values import NOTHING, Text
from trainer.language.names import LANGUAGES
from trainer.quantities.dimensions import Language

MOST = 24  # entries of any list, as a file may have them
Sent = Mapping[str, str]
Row = TypeVar("Row")


def sketch_from(sent: Sent, before: Sketch) -> Sketch:
    """The fields of a page that was sent; numbers written by hand stay as they were."""
    by_hand = {one.name: one for one in before.numbers if one.by_hand}
    numbers = []
    for at in _rows(sent, "n", "name"):
        one = NumberLine(
            _one(sent, f"n{at}-name"),
            site=sent.get(f"n{at}-how") == "site",
            first=_one(sent, f"n{at}-first"),
            last=_one(sent, f"n{at}-last"),
            step=_one(sent, f"n{at}-step"),
            unit=_one(sent, f"n{at}-unit"),
            value=_calculation(sent, f"n{at}-value"),
        )
        if one.name:
            numbers.append(by_hand.get(one.name, one))
    added = _one(sent, "add-site")
    if added and all(one.name != added for one in numbers):
        numbers.append(NumberLine(added, site=True))
    return replace(
        before,
        level=_one(sent, "level") or "1",
        kind=_one(sent, "kind") or before.kind,
        ask=_words(sent, "ask"),
        numbers=tuple(numbers),
        value=_calculation(sent, "value"),
        unit=_one(sent, "unit"),
        within=_one(sent, "within"),
        steps=tuple(_words(sent, f"t{at}") for at in _rows(sent, "t", "en", "es")),
        slips=tuple(
            SlipLine(_short_name(sent, f"s{at}-id"), _calculation(sent, f"s{at}-value"), _words(sent, f"s{at}-because"))
            for at in _rows(sent, "s", "id", "value")
        ),
        options=tuple(
            OptionLine(
                _short_name(sent, f"o{at}-id") or f"option_{at + 1}", f"o{at}-right" in sent,
                _words(sent, f"o{at}-text"), _words(sent, f"o{at}-because"),
            )
            for at in _rows(sent, "o", "id", "text-en", "text-es")
        ),
        caution=_one(sent, "caution"),
        cautioned=_words(sent, "cautioned"),
        source=_words(sent, "source"),
        **(_picture(sent, before) if "photo" in sent else {}),
    )  # fmt: skip


def _picture(sent: Sent, before: Sketch) -> dict[str, Any]:
    """The photo with its words; the figure and what feeds it. A page that knows no pictures leaves them alone.

    A figure that was just chosen is fed as usual, and what has no field stays.
    """
    photo, name = sent["photo"], sent.get("figure", "")
    shows = {language: _one(sent, f"shows-{language}") for language in LANGUAGES} if photo else NOTHING
    found: dict[str, Any] = {"photo": photo, "shows": shows, "figure": name}
    kept = before.fed if name == before.figure else ()
    if name != sent.get("figure-fields", ""):
        return {**found, "fed": kept or tuple(FED.get(name, {}).items())}
    fed = dict(kept)
    for one in inputs_of(name):
        fed[one] = _calculation(sent, f"f-{one}")
    for one in hides_of(name):
        fed[one] = (fed.get(one) or "1") if f"f-{one}" in sent else ""
    return {**found, "fed": tuple((one, value) for one, value in fed.items() if value)}


def _rows(sent: Sent, letter: str, *fields: str) -> list[int]:
    """The numbers of the rows of a list that have something in one of these fields."""
    found = range(MOST)
    return [at for at in found if any(_one(sent, f"{letter}{at}-{field}") for field in fields)]


def _one(sent: Sent, name: str) -> str:
    """A field on one line."""
    return " ".join(sent.get(name, "").split())


def _calculation(sent: Sent, name: str) -> str:
    return typed_calculation(_one(sent, name))


def _short_name(sent: Sent, name: str) -> str:
    """A slip's or option's id from what was typed: `Forgot the lag` becomes `forgot_the_lag`."""
    return re.sub(r"[^a-z0-9]+", "_", _one(sent, name).lower()).strip("_")[:40]


def _words(sent: Sent, name: str) -> Text:
    return {
        language: sent.get(f"{name}-{language}", "").replace("\r\n", "\n").strip() for language in LANGUAGES
    }


@dataclass(frozen=True)
class Take:
    """What a number of the text shall become: a drawn one, or a value of the site sheet by its name."""

    number: Spotted
    site: str = ""


def taken(sketch: Sketch, language: Language, takes: Sequence[Take]) -> Sketch:
    """The sketch with numbers of its text turned into names; the text of the other language is left to people."""
    text, names, lines = sketch.ask[language], {one.name for one in sketch.numbers}, list(sketch.numbers)
    for take in sorted(takes, key=lambda one: -one.number.start):
        one = take.number
        name = take.site or usual_name(one, text, frozenset(names))
        if name not in names:
            names.add(name)
            offer = range_around(one)
            drawn = NumberLine(name, first=offer.first, last=offer.last, step=offer.step, unit=offer.shown)
            lines.append(NumberLine(name, site=True) if take.site else drawn)
        text = f"{text[: one.start]}{{{{ {name} }}}}{text[one.end :]}"
    return replace(sketch, ask={**sketch.ask, language: text}, numbers=tuple(lines))


def with_suggestion(sketch: Sketch, one: Suggested) -> Sketch:
    """The sketch with a suggested slip, and with the site value that it uses."""
    numbers = sketch.numbers
    if one.site and all(line.name != one.site for line in numbers):
        numbers = (*numbers, NumberLine(one.site, site=True))
    return replace(
        sketch,
        numbers=numbers,
        slips=(
            *sketch.slips,
            SlipLine(one.id, one.value, {str(language): words for language, words in one.because.items()}),
        ),
    )


def with_photo(sketch: Sketch, sha256: str) -> Sketch:
    """The sketch with a photo in the place of any picture before it; its words stay, whatever it shows."""
    return replace(sketch, photo=sha256, figure="", fed=())


def with_site_values(sketch: Sketch) -> Sketch:
    """The sketch with every value of the site that feeds its figure and that it does not name yet."""
    known = {one.name for one in sketch.numbers}
    used = dict.fromkeys(name for _, value in sketch.fed for name in site_names(value))
    new = tuple(NumberLine(name, site=True) for name in used if name not in known)
    return replace(sketch, numbers=(*sketch.numbers, *new)) if new else sketch


def without(sketch: Sketch, what: str) -> Sketch:
    """The sketch without a row: `s0` is the first slip, `t1` the second step, `n2` the third number, `o0` an option.

    `photo` and `figure` are the picture of either kind.
    """
    if what in ("photo", "figure"):
        return replace(sketch, photo="", shows=NOTHING, figure="", fed=())
    found = re.fullmatch(r"([nsto])(\d+)", what)
    if found is None:
        return sketch
    at = int(found[2])

    def rest(rows: tuple[Row, ...]) -> tuple[Row, ...]:
        return (*rows[:at], *rows[at + 1 :])

    match found[1]:
        case "n":
            return replace(sketch, numbers=rest(sketch.numbers))
        case "s":
            return replace(sketch, slips=rest(sketch.slips))
        case "t":
            return replace(sketch, steps=rest(sketch.steps))
    return replace(sketch, options=rest(sketch.options))
