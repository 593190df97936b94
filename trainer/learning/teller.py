"""Whoever is told what people learned: language, and what things are called in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape

from trainer.benches.catalogue import benches
from trainer.language.lessons import Lessons
from trainer.language.loading import Bank
from trainer.language.questions import Words
from trainer.learning.learned import Gained
from trainer.quantities.dimensions import Language
from trainer.quantities.writing import write_number

_TAG = re.compile(r"<[^>]+>")


@dataclass(frozen=True)
class Teller:
    """Who reads, and what things are called. exams: titles of schemes by id, in the reader's language."""

    language: Language
    bank: Bank
    lessons: Lessons
    exams: Mapping[str, str]

    def say(self, english: str, spanish: str) -> str:
        """A text in the reader's language."""
        return spanish if self.language == "es" else english

    def hundred(self, share: float, decimals: int = 0) -> str:
        """A share as so many of 100."""
        return write_number(100 * share, self.language, decimals)

    def between(self, low: str, high: str) -> str:
        """An interval; no line ends within it."""
        return self.say(f"{low}\u00a0to\u00a0{high}", f"{low}\u00a0a\u00a0{high}")

    def with_interval(self, share: float, low: float, high: float, decimals: int = 0) -> str:
        """A share with its interval, of 100."""
        value, *ends = (self.hundred(one, decimals) for one in (share, low, high))
        return f"{value} ({self.between(*ends)})"

    def chance(self, chance: float) -> str:
        """A chance to three places, never as none."""
        return (
            f"< {write_number(0.001, self.language, 3)}"
            if chance < 0.001
            else write_number(chance, self.language, 3)
        )

    def few(self, people: int, least: int) -> str:
        """That there are not enough people to say anything."""
        return self.say(
            f"not enough people to say: {people} of {least}", f"falta gente para decir: {people} de {least}"
        )

    def needed(self, people: int, least: int) -> str:
        """The same in a table's cell."""
        return self.say(f"{people}; {least} needed", f"{people}; hacen falta {least}")

    def skill(self, skill: str) -> str:
        """A skill's title."""
        return self.bank.skills[skill].title[self.language]

    def thing(self, one: Gained) -> str:
        """What was tried again."""
        if one.kind == "practice":
            return self.say("Practice", "Práctica")
        if one.kind == "exam":
            said = self.exams.get(one.of, one.of)
            return self.say(f"Exam: {said}", f"Examen: {said}")
        bench = benches().get(one.of)
        return f"{self.say('Bench', 'Banco')}: {bench.CARD.title.in_(self.language) if bench else one.of}"

    def lesson(self, lesson: str) -> str:
        """A lesson's title."""
        return self.lessons.by_id[lesson].title(self.language)

    def plain(self, because: Words) -> str:
        """Why a slip is wrong, without its numbers: they differ from person to person."""
        parts = because[self.language].parts
        text = "".join(part if isinstance(part, str) else "…" for part in parts)
        return unescape(_TAG.sub("", text)).strip()
