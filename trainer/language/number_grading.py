"""Grading a number: read as people write it, compared with the answer, with every slip and in every unit."""

from __future__ import annotations

from html import escape

from trainer.language.admission import Reader, slip_values, tolerance_of
from trainer.language.questions import NumberTask, Slip
from trainer.language.rendering import Teller
from trainer.language.sentences import say, unit_word
from trainer.language.verdicts import Verdict, VerdictKind, unreadable
from trainer.quantities.dimensions import PLAIN
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import Reading, read_quantity
from trainer.quantities.units import UNITS, Unit, usual_unit
from trainer.quantities.writing import said_back, write_number, write_quantity

ROUNDED = 0.005  # a number of three figures lies within this share of what was rounded
NEAR = 3.0  # tolerances within which a wrong number is called close
_TIMES = (
    (10, "ten"),
    (100, "ten"),
    (1000, "ten"),
    (12, "twelve"),
    (144, "twelve"),
    (60, "sixty"),
    (2, "two"),
)


def grade_number(tell: Teller, task: NumberTask, typed: str) -> Verdict:
    """The verdict on a typed number; the tolerance itself still counts as right."""
    asked = task.units[tell.instance.system]
    try:
        reading = read_quantity(typed, asked, tell.language)
    except UnreadableQuantity as bad:
        return unreadable(escape(bad.sentence(tell.language)))
    return _Grading(tell, task, asked, reading).verdict()


class _Grading:
    """One number that was read, beside the right one."""

    def __init__(self, tell: Teller, task: NumberTask, asked: Unit, reading: Reading) -> None:
        self.tell, self.task, self.asked, self.reading = tell, task, asked, reading
        self.language = tell.language
        self.reader = Reader(tell.instance.values, tell.instance.system)
        self.right: float = self.reader.number(task.value)
        self.tolerance: float = tolerance_of(task, self.reader)
        self.said_back = said_back(reading, self.language)
        self.said = escape(self.said_back)

    def verdict(self) -> Verdict:
        if self.reading.dimension != self.asked.dimension:
            return self._other_dimension()
        if self._fits(self.reading.value):
            return self._right()
        slip = self._slip()
        if slip is not None:
            opening = f"<p>{say('slip', self.language, said=self.said)}</p>"
            return self._wrong("slip", opening + self.tell.html(slip.because), slip.id)
        return self._in_another_unit() or self._wrong("wrong", self._reason())

    def _slip(self) -> Slip | None:
        """The slip whose number was typed, the nearest first; people round a slip's number as they like."""
        values = slip_values(self.task, self.reader)
        off = {one.id: abs(self.reading.value - values[one.id]) for one in self.task.slips}
        for slip in sorted(self.task.slips, key=lambda one: off[one.id]):
            if off[slip.id] <= max(self.tolerance, ROUNDED * abs(values[slip.id])):
                return slip
        return None

    def _fits(self, value: float) -> bool:
        return abs(value - self.right) <= self.tolerance

    def _right(self) -> Verdict:
        exact = write_quantity(self.right, self.asked, self.language)
        if write_quantity(self.reading.value, self.asked, self.language) == exact:
            reason = say("right", self.language, said=self.said)
        else:
            parts = {"said": self.said, "answer": escape(exact), "within": self._within()}
            reason = say("right_range", self.language, **parts)
        return Verdict(True, "right", f"<p>{reason}</p>", self.said_back)

    def _wrong(self, kind: VerdictKind, because: str, slip: str | None = None) -> Verdict:
        return Verdict(False, kind, because, self.said_back, slip)

    def _other_dimension(self) -> Verdict:
        reason = say(
            "other_dimension",
            self.language,
            said=self.said,
            typed=escape(self.reading.dimension.words(self.language)),
            asked=escape(self.asked.dimension.words(self.language)),
            unit=unit_word(self.asked, self.language),
        )
        return self._wrong("other_dimension", f"<p>{reason}</p>")

    def _in_another_unit(self) -> Verdict | None:
        """The verdict when the bare number is right in some other unit of the asked dimension."""
        typed = self.reading.unit or self.asked
        number = self.reading.value / typed.factor
        for unit in UNITS.values():
            same = unit.dimension == self.asked.dimension and unit.factor != typed.factor
            if same and self._fits(number * unit.factor):
                key: VerdictKind = "missing_unit" if self.reading.unit is None else "wrong_unit"
                reason = say(key, self.language, said=self.said, unit=unit_word(unit, self.language))
                return self._wrong(key, f"<p>{reason}</p>")
        return None

    def _within(self) -> str:
        """The tolerance in words: as it stands in the question, a share in percent."""
        if self.task.within.share:
            return escape(write_quantity(self.task.within.share, UNITS["%"], self.language))
        return escape(self._gap(self.task.within.amount))

    def _reason(self) -> str:
        """How far off, what that factor or nearness hints at, and where to begin."""
        off = self.reading.value - self.right
        gap = escape(self._gap(abs(off)))
        sentences = [say("too_much" if off > 0 else "too_little", self.language, said=self.said, gap=gap)]
        hint = self._hint()
        if hint:
            return f"<p>{' '.join([*sentences, hint])}</p>"
        steps = self.tell.instance.question.steps
        if not steps:
            return f"<p>{sentences[0]}</p>"
        return f"<p>{sentences[0]} {say('begin', self.language)}</p>{self.tell.html(steps[0])}"

    def _gap(self, gap: float) -> str:
        """A difference in the unit that suits its size; plain numbers and shares in the asked unit."""
        unit = self.asked
        if unit.dimension != PLAIN:
            unit = usual_unit(unit.dimension, gap, self.tell.instance.system)
        return write_quantity(gap, unit, self.language)

    def _hint(self) -> str:
        value = self.reading.value
        if abs(value - self.right) <= NEAR * self.tolerance:
            return say("near", self.language, within=self._within())
        if self._fits(-value):
            return say("sign", self.language)
        for times, word in _TIMES:
            shown = write_number(times, self.language)
            if self._fits(value / times):
                return f"{say('times', self.language, times=shown)} {say(word, self.language)}"
            if abs(value * times - self.right) <= self.tolerance:
                return f"{say('part', self.language, times=shown)} {say(word, self.language)}"
        return ""
