"""A question's file as the fields of a page, and the fields written back: comments and all else stay as they stand."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ruamel.yaml.comments import CommentedMap, CommentedSeq

from trainer.documents import plain, read_document
from trainer.language.drafting.values import (
    NOTHING,
    Text,
    flow_list,
    flow_map,
    like,
    list_of,
    mapping_of,
    number_of,
    round_trip,
    scalar,
    text_of,
    word,
)
from trainer.language.names import LANGUAGES


@dataclass(frozen=True)
class NumberLine:
    """A name of the question: a drawn number, a value of the site sheet (site), or a worked-out one (value, unit).

    by_hand: written in a way that the page has no fields for, such as a list to pick from; it stays as it is
    """

    name: str
    site: bool = False
    first: str = ""
    last: str = ""
    step: str = ""
    unit: str = ""
    value: str = ""
    by_hand: bool = False


@dataclass(frozen=True)
class SlipLine:
    """A slip: its id, its calculation, why it is wrong."""

    id: str
    value: str
    because: Text = field(default_factory=lambda: NOTHING)


@dataclass(frozen=True)
class OptionLine:
    """Something to choose."""

    id: str
    right: bool
    text: Text = field(default_factory=lambda: NOTHING)
    because: Text = field(default_factory=lambda: NOTHING)


@dataclass(frozen=True)
class Sketch:
    """What a page shows and takes of a question; the kinds number, choice and several have all their parts here.

    photo, shows: the SHA-256 of a photo, and what it shows in words
    figure, fed: a figure of the catalogue, and the calculation of each of its inputs
    """

    skill: str = ""
    level: str = "1"
    kind: str = "number"
    ask: Text = field(default_factory=lambda: NOTHING)
    numbers: tuple[NumberLine, ...] = ()
    value: str = ""
    unit: str = ""
    within: str = ""
    steps: tuple[Text, ...] = ()
    slips: tuple[SlipLine, ...] = ()
    options: tuple[OptionLine, ...] = ()
    caution: str = ""
    cautioned: Text = field(default_factory=lambda: NOTHING)
    source: Text = field(default_factory=lambda: NOTHING)
    photo: str = ""
    shows: Text = field(default_factory=lambda: NOTHING)
    figure: str = ""
    fed: tuple[tuple[str, str], ...] = ()


DRAWN = ("from", "to", "step", "unit")
KINDS_OF_PAGE = ("number", "choice", "several")


def new_text(id_: str, sketch: Sketch) -> str:
    """The file of a question that begins."""
    return with_sketch(f"id: {id_}\nversion: 1\n", sketch)


def sketch_of(text: str) -> Sketch:
    """The fields of a file; what is missing is empty. Raises DocumentError for a text that is no YAML."""
    root = plain(read_document(text, "draft"))
    top = root if isinstance(root, dict) else {}
    answer = mapping_of(top.get("answer"))
    caution = mapping_of(top.get("caution"))
    photo, figure = mapping_of(top.get("photo")), mapping_of(top.get("figure"))
    return Sketch(
        skill=word(top.get("skill")),
        level=word(top.get("level")) or "1",
        kind=word(top.get("kind")) or "number",
        ask=text_of(top.get("ask")),
        numbers=tuple(_numbers(top)),
        value=word(answer.get("value")),
        unit=word(answer.get("unit")) if not isinstance(answer.get("unit"), dict) else "",
        within=word(answer.get("within")),
        steps=tuple(map(text_of, list_of(top.get("steps")))),
        slips=tuple(
            SlipLine(word(one.get("id")), word(one.get("value")), text_of(one.get("because")))
            for one in map(mapping_of, list_of(top.get("slips")))
        ),
        options=tuple(
            OptionLine(
                word(one.get("id")),
                one.get("right") is True,
                text_of(one.get("text")),
                text_of(one.get("because")),
            )
            for one in map(mapping_of, list_of(top.get("options")))
        ),
        caution=word(caution.get("word")),
        cautioned=text_of(caution),
        source=text_of(top.get("source")),
        photo=word(photo.get("sha256")),
        shows=text_of(photo),
        figure=word(figure.get("name")),
        fed=tuple((name, word(value)) for name, value in mapping_of(figure.get("with")).items()),
    )


def _numbers(top: Mapping[str, Any]) -> list[NumberLine]:
    lines = [NumberLine(word(name), site=True) for name in list_of(top.get("site"))]
    for name, one in mapping_of(top.get("draw")).items():
        parts = mapping_of(one)
        first, last, step, unit = (word(parts.get(key)) for key in DRAWN)
        by_hand = not set(parts) <= set(DRAWN)
        lines.append(NumberLine(name, first=first, last=last, step=step, unit=unit, by_hand=by_hand))
    for name, one in mapping_of(top.get("let")).items():
        parts = mapping_of(one) if isinstance(one, dict) else {"value": one}
        lines.append(NumberLine(name, value=word(parts.get("value")), unit=word(parts.get("unit"))))
    return lines


def with_sketch(text: str, sketch: Sketch) -> str:
    """The file with the fields of a page; a text in which nothing changes comes back as it was.

    Raises DocumentError for a text that is no YAML.
    """
    before = sketch_of(text) if text.strip() else Sketch()
    if sketch == before:
        return text
    yaml = round_trip()
    top = yaml.load(text) or CommentedMap()
    _write_head(top, before, sketch)
    _write_numbers(top, before.numbers, sketch.numbers)
    _write_words(top, "ask", before.ask, sketch.ask)
    if sketch.kind == "number":
        _write_answer(top, before, sketch)
        _write_list(top, "steps", [_words_map(one) for one in sketch.steps], before.steps == sketch.steps)
        _write_list(top, "slips", [_slip_map(one) for one in sketch.slips], before.slips == sketch.slips)
    if sketch.kind in ("choice", "several"):
        _write_list(
            top, "options", [_option_map(one) for one in sketch.options], before.options == sketch.options
        )
    _write_rest(top, before, sketch)
    out = io.StringIO()
    yaml.dump(top, out)
    return out.getvalue()


def _write_head(top: CommentedMap, before: Sketch, sketch: Sketch) -> None:
    for name in ("skill", "level", "kind"):
        new = getattr(sketch, name)
        if new != getattr(before, name) or name not in top:
            top[name] = int(new) if name == "level" and new.isdecimal() else new


def _write_words(top: CommentedMap, name: str, before: Text, after: Text) -> None:
    """A text in both languages; a language without words is left out, so that a check names it."""
    if before == after and name in top:
        return
    if not any(after.values()):
        top.pop(name, None)
        return
    _write_languages(_map_at(top, name), before, after)


def _map_at(top: CommentedMap, name: str) -> CommentedMap:
    if not isinstance(top.get(name), CommentedMap):
        top[name] = CommentedMap()
    found: CommentedMap = top[name]
    return found


def _write_languages(words: CommentedMap, before: Text, after: Text) -> None:
    for language in LANGUAGES:
        if after[language] == before[language] and language in words:
            continue
        if after[language]:
            words[language] = like(words.get(language), after[language])
        else:
            words.pop(language, None)


def _write_numbers(top: CommentedMap, before: Sequence[NumberLine], after: Sequence[NumberLine]) -> None:
    if before == after:
        return
    site = [one.name for one in after if one.site]
    if site != [one.name for one in before if one.site]:
        top["site"] = flow_list(site)
    known = {one.name: one for one in before}
    for place, here in (("draw", _is_drawn), ("let", _is_worked)):
        names = [one.name for one in after if here(one)]
        table = top.get(place)
        if not isinstance(table, CommentedMap):
            table = CommentedMap()
            if names:
                top[place] = table
        for gone in [name for name in table if name not in names]:
            del table[gone]
        for one in after:
            if here(one) and one != known.get(one.name) and not one.by_hand:
                table[one.name] = _number_map(one)
        if not names:
            top.pop(place, None)


def _is_drawn(one: NumberLine) -> bool:
    return not one.site and not one.value


def _is_worked(one: NumberLine) -> bool:
    return bool(one.value)


def _number_map(one: NumberLine) -> CommentedMap:
    if one.value:
        parts = {"value": one.value, "unit": one.unit}
    else:
        parts = dict(zip(DRAWN, (one.first, one.last, one.step, one.unit), strict=True))
    return flow_map({name: number_of(value) for name, value in parts.items() if value})


def _write_answer(top: CommentedMap, before: Sketch, sketch: Sketch) -> None:
    changed = {
        name: getattr(sketch, name)
        for name in ("value", "unit", "within")
        if getattr(sketch, name) != getattr(before, name)
    }
    if "answer" not in top and (sketch.value or sketch.unit):
        top["answer"] = flow_map({})
    for name, value in changed.items():
        top["answer"][name] = scalar(value) if name == "value" else number_of(value)


def _write_list(top: CommentedMap, name: str, after: list[CommentedMap], same: bool) -> None:
    """A list is written entry by entry, so that comments beside an entry that stays are kept."""
    if same and (name in top or not after):
        return
    before = top.get(name)
    if not isinstance(before, CommentedSeq):
        before = top[name] = CommentedSeq()
    kept = {str(one.get("id")): one for one in before if isinstance(one, CommentedMap) and "id" in one}
    for at, new in enumerate(after):
        old = kept.get(str(new.get("id"))) if "id" in new else (before[at] if at < len(before) else None)
        merged = _merged(old, new) if isinstance(old, CommentedMap) else new
        if at < len(before):
            before[at] = merged
        else:
            before.append(merged)
    del before[len(after) :]
    if not after:
        del top[name]


def _merged(old: CommentedMap, new: CommentedMap) -> CommentedMap:
    """The old entry with what is new in it."""
    for name, value in new.items():
        if isinstance(value, CommentedMap) and isinstance(old.get(name), CommentedMap):
            _merged(old[name], value)
        elif old.get(name) != value:
            old[name] = like(old.get(name), value) if isinstance(value, str) else value
    for name in [name for name in old if name not in new]:
        del old[name]
    return old


def _write_rest(top: CommentedMap, before: Sketch, sketch: Sketch) -> None:
    if (sketch.caution, sketch.cautioned) != (before.caution, before.cautioned):
        if sketch.caution and any(sketch.cautioned.values()):
            top.setdefault("caution", CommentedMap())["word"] = sketch.caution
            _write_words(top, "caution", before.cautioned, sketch.cautioned)
        else:
            top.pop("caution", None)
    if sketch.source != before.source:
        _write_words(top, "source", before.source, sketch.source)
    _write_picture(top, before, sketch)


def _write_picture(top: CommentedMap, before: Sketch, sketch: Sketch) -> None:
    if (sketch.photo, sketch.shows) != (before.photo, before.shows):
        _write_photo(top, before, sketch)
    if (sketch.figure, sketch.fed) != (before.figure, before.fed):
        _write_figure(top, sketch)


def _write_photo(top: CommentedMap, before: Sketch, sketch: Sketch) -> None:
    if sketch.photo:
        photo = _map_at(top, "photo")
        photo["sha256"] = scalar(sketch.photo)
        _write_languages(photo, before.shows, sketch.shows)
    else:
        top.pop("photo", None)


def _write_figure(top: CommentedMap, sketch: Sketch) -> None:
    if not sketch.figure:
        top.pop("figure", None)
    else:
        figure = _map_at(top, "figure")
        figure["name"] = sketch.figure
        fed = {name: number_of(value) for name, value in sketch.fed}
        if not isinstance(figure.get("with"), CommentedMap) and fed:
            figure["with"] = flow_map({})
        if fed:
            _merged(figure["with"], CommentedMap(fed))
        else:
            figure.pop("with", None)


def _words_map(words: Text) -> CommentedMap:
    made = CommentedMap()
    for language in LANGUAGES:
        if words[language]:
            made[language] = scalar(words[language])
    return made


def _slip_map(one: SlipLine) -> CommentedMap:
    made = CommentedMap()
    made["id"], made["value"] = one.id, scalar(one.value)
    made["because"] = _words_map(one.because)
    return made


def _option_map(one: OptionLine) -> CommentedMap:
    made = CommentedMap()
    made["id"], made["right"] = one.id, one.right
    made["text"], made["because"] = _words_map(one.text), _words_map(one.because)
    return made
