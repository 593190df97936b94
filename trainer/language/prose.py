"""Prose: Markdown with `{{ expression }}` in it, made into clean HTML once, with gaps that numbers fill each time."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from html import escape, unescape
from math import isnan

import nh3
from markdown_it import MarkdownIt
from markdown_it.token import Token

from trainer.documents import Faults, Place
from trainer.language.expressions import Expression
from trainer.language.functions import Special, say
from trainer.language.names import Scope, Units, pair_of_units
from trainer.language.source import Source
from trainer.language.syntax import BadExpression
from trainer.quantities.dimensions import PLAIN, Language, System
from trainer.quantities.spellings import find_unit
from trainer.quantities.units import UNITS, Unit, unit, usual_unit
from trainer.quantities.writing import write_number, write_quantity

GLOSSARY_ADDRESS = "/glossary#"
LONGEST_PROSE = 20_000

_TAGS = frozenset(
    {
        "p",
        "br",
        "strong",
        "em",
        "ul",
        "ol",
        "li",
        "blockquote",
        "h2",
        "h3",
        "h4",
        "code",
        "pre",
        "hr",
        "sup",
        "sub",
    }
    | {"table", "thead", "tbody", "tr", "th", "td", "a"}
)
_ATTRIBUTES = {"a": {"href", "class"}, "th": {"style"}, "td": {"style"}, "ol": {"start"}}
_INSERT = re.compile(r"\{\{([^{}]*)\}\}")
_LONE_SHOWN = re.compile(r"shown\(\s*(\w+)\s*\)")
_FORM = re.compile(r"\s*(?P<unit>[^.\s][^.]*?)?\s*(?:\.(?P<decimals>[0-6]))?\s*")
_FIRST_GAP = 0xE000  # Unicode's private use area: marks the gaps while Markdown is rendered
_GAPS = re.compile("([\ue000-\uf8ff])")
_NUMERAL = re.compile(r"(?<![\w.,])\d{1,3}(?:,\d{3})+(?:\.\d+)?(?![\w])|(?<![\w.,])\d+(?:\.\d+)?(?![\w])")
_LINKS = "Link to a term, `[word](term:key)`, or to a page with https://."
_markdown = MarkdownIt("commonmark", {"html": False}).enable("table")


@dataclass(frozen=True)
class Insert:
    """A number written into prose.

    units: in which unit, by unit system; None takes the usual unit of its size
    decimals: None takes what the unit shows; bare: the number without its unit
    """

    expression: Expression
    units: Units | None
    decimals: int | None = None
    bare: bool = False

    def unit(self, value: float, system: System) -> Unit:
        """The unit in which this value is written."""
        if self.units is not None:
            return self.units[system]
        return usual_unit(self.expression.dimension, value, system)

    def write(self, values: Mapping[str, float], language: Language, system: System) -> str:
        """The number as this learner reads it."""
        value = self.expression.number(values)
        if isnan(value):
            return "—"
        shown = self.unit(value, system)
        if self.bare:
            return write_number(value / shown.factor, language, self.decimals)
        return write_quantity(value, shown, language, self.decimals)


@dataclass(frozen=True)
class Prose:
    """A text ready to be filled: clean HTML and inserts in turn.

    terms: the glossary terms it links to; numerals: the numbers that stand in it as digits
    """

    parts: tuple[str | Insert, ...]
    terms: frozenset[str] = frozenset()
    numerals: tuple[float, ...] = ()
    length: int = 0

    @property
    def inserts(self) -> tuple[Insert, ...]:
        """The numbers written into it, in order."""
        return tuple(part for part in self.parts if isinstance(part, Insert))

    def html(self, values: Mapping[str, float], language: Language, system: System) -> str:
        """The HTML for one set of numbers."""
        return "".join(
            part if isinstance(part, str) else escape(part.write(values, language, system))
            for part in self.parts
        )


@dataclass(frozen=True)
class ProseReader:
    """Reads the prose of one file; what is wrong becomes faults with their place.

    failed: names whose own fault is told already
    """

    source: Source
    scope: Scope
    faults: Faults
    failed: Collection[str] = ()

    def read(self, text: str, place: Place, inline: bool = False) -> Prose:
        """The prose, in paragraphs, or for a line (`inline`) without them."""
        if len(text) > LONGEST_PROSE or _GAPS.search(text):
            wrong = f"A text may have {LONGEST_PROSE:,} characters, none of them for private use."
            self.faults.add(place, wrong, "Shorten it.", "")
            return Prose(())
        inserts: list[Insert] = []
        gapped = _INSERT.sub(lambda found: self._gap(found, place, inserts), text)
        self._check_braces(text, place)
        tokens = _markdown.parseInline(gapped) if inline else _markdown.parse(gapped)
        terms = frozenset(self._link_terms(tokens, place))
        html = _clean(_markdown.renderer.render(tokens, _markdown.options, {}))
        parts = self._fill(html, inserts, place)
        if "](" in html:
            self.faults.add(place, "A link in this text cannot be used.", _LINKS, "")
        return Prose(parts, terms, _numerals(_GAPS.sub("{}", gapped)), len(_GAPS.sub("00", gapped).strip()))

    def _gap(self, found: re.Match[str], place: Place, inserts: list[Insert]) -> str:
        insert = self._insert(found, place)
        if insert is None:
            return "0"
        inserts.append(insert)
        return chr(_FIRST_GAP + len(inserts) - 1)

    def _insert(self, found: re.Match[str], place: Place) -> Insert | None:
        written, _, form = found.group(1).partition(":")
        try:
            return read_insert(self.scope, written, form)
        except BadExpression as bad:
            if bad.unknown in self.failed:
                return None
            spot = self.source.inside(place, found.string, found.start(1) + bad.column)
            self.faults.add(spot, bad.wrong, bad.mend, f"`{found.group(1).strip()}`")
            return None

    def _check_braces(self, text: str, place: Place) -> None:
        bare = _INSERT.sub(lambda found: " " * len(found.group()), text)
        for braces in ("{{", "}}", "{%"):
            if braces in bare:
                at = self.source.inside(place, text, bare.index(braces))
                self.faults.add(at, f"`{braces}` has no partner.", "Write `{{ expression }}`.", "")

    def _link_terms(self, tokens: list[Token], place: Place) -> Iterator[str]:
        """Point links to the glossary; refuse pictures and links that lead elsewhere than to a secure page."""
        for token in tokens:
            yield from self._link_terms(token.children or [], place)
            if token.type == "image":
                self.faults.add(
                    place, "A picture cannot stand in a text.", "Use a figure of the catalogue.", ""
                )
            if token.type != "link_open":
                continue
            address = str(token.attrs.get("href", ""))
            if address.startswith("term:"):
                token.attrs = {"href": GLOSSARY_ADDRESS + address[5:], "class": "term"}
                yield address[5:]
            elif not address.startswith("https://"):
                at = self.source.find(place, address)
                self.faults.add(at, "This link leads nowhere.", _LINKS, f"`{address}`")

    def _fill(self, html: str, inserts: list[Insert], place: Place) -> tuple[str | Insert, ...]:
        pieces = [piece for piece in _GAPS.split(html) if piece]
        gaps = [ord(piece) - _FIRST_GAP for piece in pieces if _GAPS.fullmatch(piece)]
        if sorted(gaps) != list(range(len(inserts))):
            self.faults.add(
                place, "A number stands where none can, as in a link's address.", "Move it into the text.", ""
            )
            return ()
        return tuple(
            inserts[ord(piece) - _FIRST_GAP] if _GAPS.fullmatch(piece) else piece for piece in pieces
        )


def plain_text(html: str) -> str:
    """The words of clean HTML, without its tags."""
    return unescape(nh3.clean(html, tags=set()))


def _clean(html: str) -> str:
    return nh3.clean(html.strip(), tags=set(_TAGS), attributes=_ATTRIBUTES, url_schemes={"https"})


def _numerals(words: str) -> tuple[float, ...]:
    return tuple(float(found.group().replace(",", "")) for found in _NUMERAL.finditer(words))


def read_insert(scope: Scope, written: str, form: str) -> Insert:
    """What stands in {{ }}: an expression and, after a colon, a unit, `%` or `.2` decimals. Raises BadExpression."""
    lone = _LONE_SHOWN.fullmatch(written.strip())
    expression = scope.compile(written)
    if expression.kind is Special.TRUTH:
        raise BadExpression(
            0, "This is true or false; a number is needed.", "Use options for what depends on a test."
        )
    if lone:
        name = scope.compile(lone.group(1))
        units, decimals = _form(form, Insert(name, scope.units_of(name)))
        return Insert(name, units, decimals, bare=True)
    units, decimals = _form(form, Insert(expression, scope.units_of(expression)))
    return Insert(expression, units, decimals)


def _form(form: str, plain: Insert) -> tuple[Units | None, int | None]:
    found = _FORM.fullmatch(form)
    if found is None:
        raise BadExpression(
            0, f"`{form.strip()}` is no way to write a number.", "Write a unit, `%`, or `.2` for decimals."
        )
    decimals = int(found["decimals"]) if found["decimals"] else None
    units = _asked_units(found["unit"], plain) if found["unit"] else plain.units
    if units is None and plain.expression.dimension == PLAIN:
        units = pair_of_units(unit("1"))
    return units, decimals


def _asked_units(word: str, plain: Insert) -> Units:
    key, exact = word.removesuffix("!"), word.endswith("!")
    asked = UNITS.get(key) or find_unit(key)
    if asked is None:
        raise BadExpression(0, f"There is no unit `{key}`.", "Write a unit such as in, or `.2` for decimals.")
    if plain.expression.kind is not Special.ZERO and asked.dimension != plain.expression.dimension:
        wrong = f"This is {say(plain.expression.kind)}; it cannot be written in {key}."
        raise BadExpression(0, wrong, "Name a unit of its own dimension.")
    return {"us": asked, "metric": asked} if exact else pair_of_units(asked)


def mark(insert: Insert) -> str:
    """An insert in words, to compare the two languages."""
    decimals = "" if insert.decimals is None else f" : .{insert.decimals}"
    unit_key = "" if insert.units is None else f" in {insert.units['us'].key}"
    written = f"shown({insert.expression.text})" if insert.bare else insert.expression.text
    return f"{{{{ {written}{decimals} }}}}{unit_key}"
