"""The small parts that question and lesson files share: expressions, quantities, units, names, words, cautions."""

from __future__ import annotations

import keyword
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from trainer.documents import Faults, Node, Place, fields, items, mapping, text
from trainer.language.expressions import SHOWN, Expression, shown_key
from trainer.language.functions import UNIT_WORDS, Special, fits, say
from trainer.language.names import LANGUAGES, Name, Scope, Units, own_units, pair_of_units
from trainer.language.prose import Prose, ProseReader, mark
from trainer.language.questions import (
    SIGNAL_WORDS,
    Caution,
    FigureUse,
    Item,
    PhotoUse,
    SignalWord,
    Words,
)
from trainer.language.source import Source
from trainer.language.syntax import BadExpression
from trainer.language.worked_numbers import Drawn, Numbers, Worked
from trainer.quantities.dimensions import Dimension, Language
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import parse_quantity
from trainer.quantities.spellings import find_unit
from trainer.quantities.units import UNITS, Unit

NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
MOST_LISTED = 24
MOST_WORKED = 40
SHA256 = re.compile(r"[0-9a-f]{64}")
IDENTIFIER = re.compile(r"[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*")
NO_WORDS: Words = {language: Prose(()) for language in LANGUAGES}


@dataclass
class Entries:
    """Reads the parts of one file; gathers faults and the names as they come."""

    source: Source
    faults: Faults
    names: dict[str, Name] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    failed: set[str] = field(default_factory=set)

    @property
    def scope(self) -> Scope:
        """The names known so far."""
        return Scope(dict(self.names))

    def add_name(self, name: str, place: Place, dimension: Dimension, units: Units | None) -> None:
        """Make a name known; a name that cannot be used or stands already is a fault."""
        wrong = self._unusable(name)
        if wrong:
            self.faults.add(place, wrong, "Choose another name.", f"`{name}`")
        self.names.setdefault(name, Name(name, dimension, units))

    def _unusable(self, name: str) -> str | None:
        if not NAME.fullmatch(name) or keyword.iskeyword(name):
            return (
                "A name is small letters, digits and _, beginning with a letter, and no word of the grammar."
            )
        if name in UNIT_WORDS or name == SHOWN:
            return "This is a unit word, or `shown`, already."
        return "This name stands already." if name in self.names else None

    def listed(self, node: Node) -> list[Node]:
        """The nodes of a list that is not too long to check in a moment."""
        found = items(node, self.faults)
        if len(found) > MOST_LISTED:
            self.faults.add(node, f"A list may have {MOST_LISTED} entries.", "Divide the question.")
        return found[:MOST_LISTED]

    def expression(self, node: Node) -> Expression | None:
        """A proven expression over the names known so far, or a fault and None."""
        if isinstance(node.value, dict | list) or not node.written:
            self.faults.add(
                node, "An expression is expected here.", "Write it as in `pulses / pulses_per_foot`."
            )
            return None
        try:
            found = self.scope.compile(node.written)
            self.used |= found.names
            return found
        except BadExpression as bad:
            if bad.unknown in self.failed:
                return None
            start = self.source.find(node.place, node.written)
            spot = self.source.along(start, node.written, bad.column)
            self.faults.add(spot, bad.wrong, bad.mend, f"`{node.written.strip()}`")
            return None

    def quantity_expression(self, node: Node) -> Expression | None:
        """An expression that gives a number, or a fault and None."""
        found = self.expression(node)
        if found is not None and found.kind is Special.TRUTH:
            self.faults.add(node, "This is true or false; a number is needed.", "Leave the comparison out.")
            return None
        return found

    def test(self, node: Node) -> Expression | None:
        """A true-or-false expression, or a fault and None."""
        found = self.expression(node)
        if found is not None and found.kind is not Special.TRUTH:
            wrong = f"This is {say(found.kind)}; true or false is needed."
            self.faults.add(node, wrong, "Compare it: `length > 3 * foot`.")
            return None
        return found

    def unit(self, node: Node) -> Unit | None:
        """A unit by its key, or a fault and None."""
        found = UNITS.get(node.written) or find_unit(node.written)
        if found is None:
            self.faults.add(
                node, "There is no such unit.", "Write in, ft, s, ft/min, %, x, 1 or another known unit."
            )
        return found

    def quantity(self, node: Node) -> tuple[float, Unit] | None:
        """A quantity such as `10 in`, or a plain number [SI], or a fault and None."""
        try:
            return parse_quantity(node.written)
        except UnreadableQuantity as bad:
            self.faults.add(node, bad.wrong, bad.mend)
            return None

    def worked(self, name: str, node: Node, place: Place) -> Worked | None:
        """A `let` entry: an expression, or `{value, unit}`; its name becomes known."""
        parts = {"value": node}
        if isinstance(node.value, dict):
            parts = fields(node, ["value"], ["unit"], self.faults)
        expression = self.quantity_expression(parts["value"]) if "value" in parts else None
        written = self.unit(parts["unit"]) if "unit" in parts else None
        if expression is None:
            self.failed.add(name)
            return None
        dimension = expression.dimension
        if written is not None and not fits(expression.kind, written.dimension):
            wrong = f"`{name}` is {say(expression.kind)}; it cannot be shown in {written.key}."
            self.faults.add(parts["unit"], wrong, "Name a unit of its own dimension.")
            written = None
        if written is not None:
            dimension = written.dimension
        units = own_units(dimension, written)
        self.add_name(name, place, dimension, units)
        return Worked(name, expression, units)

    def let(self, node: Node | None) -> tuple[Worked, ...]:
        """The worked-out names of `let`, in order."""
        found: list[Worked] = []
        if node is None:
            return ()
        named = mapping(node, self.faults)
        if len(named) > MOST_WORKED:
            self.faults.add(node, f"`let` may have {MOST_WORKED} names.", "Divide the question.")
        for name, one in list(named.items())[:MOST_WORKED]:
            worked = self.worked(name, one, node.key_places[name])
            if worked is not None:
                found.append(worked)
        return tuple(found)

    def numbers(self, site: tuple[str, ...], drawn: tuple[Drawn, ...], worked: tuple[Worked, ...]) -> Numbers:
        """The names of the file, when all of it is read and what is used is known."""
        return Numbers(
            site=site,
            drawn=drawn,
            worked=worked,
            units={name: one.units for name, one in self.names.items() if one.units is not None},
            shown=tuple(name for name in self.names if shown_key(name) in self.used),
            unused=tuple(name for name in self.names if not self.used & {name, shown_key(name)}),
        )

    def words(self, node: Node | None, inline: bool = False, others: tuple[str, ...] = ()) -> Words:
        """A text in both languages with the same numbers in both; `others` are fields read elsewhere."""
        if node is None:
            return NO_WORDS
        parts = fields(node, LANGUAGES, others, self.faults)
        found: dict[Language, Prose] = {}
        before = len(self.faults)
        for language in LANGUAGES:
            found[language] = self.prose(parts[language], inline) if language in parts else Prose(())
        if all(language in parts for language in LANGUAGES) and len(self.faults) == before:
            self._compare(found, parts["es"])
        return found

    def prose(self, node: Node, inline: bool = False) -> Prose:
        """A text with its inserts."""
        if isinstance(node.value, int | float) and not isinstance(node.value, bool):
            written = node.written  # an option such as 3 needs no quotes
        else:
            written = text(node, self.faults)
        prose = ProseReader(self.source, self.scope, self.faults, self.failed).read(
            written, node.place, inline
        )
        for insert in prose.inserts:
            self.used |= insert.expression.names
        return prose

    def _compare(self, found: Words, at: Node) -> None:
        numbers = [{mark(insert) for insert in found[language].inserts} for language in LANGUAGES]
        for missing in sorted(numbers[0] - numbers[1]):
            self.faults.add(
                at, f"The Spanish text lacks {missing}.", "Write the same numbers in both languages."
            )
        for extra in sorted(numbers[1] - numbers[0]):
            self.faults.add(
                at, f"The English text lacks {extra}.", "Write the same numbers in both languages."
            )

    def item(self, node: Node) -> Item | None:
        """`{id, text}`."""
        parts = fields(node, ["id", "text"], [], self.faults)
        if "id" not in parts:
            return None
        return Item(self.id(parts["id"]), self.words(parts.get("text"), inline=True))

    def id(self, node: Node) -> str:
        """A short id, or a fault."""
        if not NAME.fullmatch(node.written):
            self.faults.add(
                node, "An id is small letters, digits and _, beginning with a letter.", "Change it."
            )
        return node.written

    def caution(self, node: Node | None) -> Caution | None:
        """`{word, en, es}`."""
        if node is None:
            return None
        parts = fields(node, ["word", *LANGUAGES], [], self.faults)
        words = self.words(node, others=("word",)) if len(parts) == 3 else NO_WORDS
        return Caution(self.signal_word(parts["word"]), words) if "word" in parts else None

    def signal_word(self, node: Node) -> SignalWord:
        """danger, warning, caution or notice."""
        if node.written not in SIGNAL_WORDS:
            self.faults.add(node, "This is no signal word.", f"Write {', '.join(SIGNAL_WORDS)}.")
        return cast(SignalWord, node.written)

    def figure(
        self, node: Node | None, catalogue: Mapping[str, Any], one_language: bool = False
    ) -> FigureUse | None:
        """`{name, with}`: the figure exists and gets its inputs with their dimensions.

        one_language: the caption is one text, as in a lesson's page
        """
        if node is None:
            return None
        parts = fields(node, ["name"], ["with", "caption"], self.faults)
        name = parts["name"].written if "name" in parts else ""
        if name not in catalogue:
            self.faults.add(
                parts.get("name", node), "There is no such figure.", f"Known: {', '.join(sorted(catalogue))}."
            )
            return None
        inputs = self._figure_inputs(parts.get("with"), node, catalogue[name])
        caption: Words | None = None
        if "caption" in parts and one_language:
            prose = self.prose(parts["caption"], inline=True)
            caption = dict.fromkeys(LANGUAGES, prose)
        elif "caption" in parts:
            caption = self.words(parts["caption"], inline=True)
        return FigureUse(name, inputs, caption)

    def photo(self, node: Node | None) -> PhotoUse | None:
        """`{sha256, en, es}`; a language without words is left to the audit, so that the photo can be looked at."""
        if node is None:
            return None
        parts = fields(node, ["sha256"], LANGUAGES, self.faults)
        if "sha256" not in parts:
            return None
        sha256 = parts["sha256"].written
        if not SHA256.fullmatch(sha256):
            mend = "Put the photo in on the question's page; it writes this."
            self.faults.add(parts["sha256"], "A photo is named by 64 digits of 0 to 9 and a to f.", mend)
        if all(language in parts for language in LANGUAGES):
            shows = self.words(node, inline=True, others=("sha256",))
        else:
            shows = {
                language: self.prose(parts[language], inline=True) if language in parts else Prose(())
                for language in LANGUAGES
            }
        return PhotoUse(sha256, shows, parts["sha256"].place)

    def _figure_inputs(self, node: Node | None, at: Node, figure: Any) -> dict[str, Expression]:
        parts = fields(node, figure.inputs, figure.optional, self.faults) if node is not None else {}
        if node is None and figure.inputs:
            self.faults.add(at, f"The figure needs {', '.join(figure.inputs)}.", "Add them under `with`.")
        found = {name: self.quantity_expression(one) for name, one in parts.items()}
        asked = {**figure.inputs, **figure.optional}
        for name, expression in found.items():
            if expression is not None and not fits(expression.kind, asked[name]):
                wrong = f"`{name}` is {say(expression.kind)}; the figure needs {say(asked[name])}."
                self.faults.add(parts[name], wrong, "Give it that.")
        return {name: expression for name, expression in found.items() if expression is not None}

    def site(self, node: Node | None, catalogue: Mapping[str, Any]) -> tuple[str, ...]:
        """Names of the site-value list; each becomes known."""
        names = []
        for one in items(node, self.faults) if node is not None else []:
            value = catalogue.get(one.written)
            if value is None:
                self.failed.add(one.written)
                self.faults.add(
                    one, "The site sheet has no such value.", f"Known: {', '.join(sorted(catalogue))}."
                )
                continue
            self.add_name(one.written, one.place, value.dimension, pair_of_units(value.unit))
            names.append(one.written)
        return tuple(names)
