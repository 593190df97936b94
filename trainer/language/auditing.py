"""The audit of a question: over all that can be drawn no slip passes, nothing is missing, nothing gives itself away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from trainer.language.admission import Reader, admitted, distances, finite, rightly_many, tolerance_of, wanted
from trainer.language.draw_space import Space, space_of
from trainer.language.names import SYSTEMS
from trainer.language.questions import NumberTask, Question, words_of
from trainer.language.spot_checks import spot_checks
from trainer.language.text_checks import text_checks
from trainer.language.worked_numbers import site_numbers, work_out
from trainer.quantities.dimensions import System
from trainer.quantities.writing import write_quantity

SAMPLES = 20_000
MOST_REJECTED = 0.5

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Audit:
    """What was found about one question.

    proved: every draw was worked out, in both unit systems; else `draws` of each were sampled, corners included
    rejected: the share of draws that are drawn again, in the unit system where it is larger
    closest, tolerances: the slip that comes nearest to the right answer, and how near in tolerances
    findings: what breaks a rule, as sentences; empty when all is well
    """

    question: str
    proved: bool
    draws: int
    rejected: float
    closest: str
    tolerances: float
    findings: tuple[str, ...]


def audit(question: Question, site_values: Mapping[str, float], samples: int = SAMPLES) -> Audit:
    """Work out every draw, or `samples` of them and every corner, in both unit systems, and check all rules.

    site_values: from `site_values(sheet)` [SI]; what holds for this site need not hold for another.
    """
    missing = [name for name in question.numbers.site if name not in site_values]
    if missing:
        wrong = f"The site sheet has no {', '.join(missing)}; nothing could be checked."
        return Audit(question.id, False, 0, 0.0, "", np.inf, (wrong,))
    spaces = {system: space_of(question, system, samples) for system in SYSTEMS}
    runs = [_Run(question, site_values, system, space) for system, space in spaces.items()]
    findings = [*text_checks(question)]
    for run in runs:
        findings += [f"In {run.system} units: {finding}" for finding in run.findings()]
    if not findings:
        findings += spot_checks(question, site_values)
    closest = min((run.closest() for run in runs), key=lambda pair: pair[1])
    rejected = max(run.rejected for run in runs)
    proved = all(space.whole for space in spaces.values())
    draws = max(space.count for space in spaces.values())
    return Audit(question.id, proved, draws, rejected, *closest, tuple(findings))


class _Run:
    """One unit system's draws, all worked out at once."""

    def __init__(
        self, question: Question, site_values: Mapping[str, float], system: System, space: Space
    ) -> None:
        self.question, self.system, self.space, self.count = question, system, space, space.count
        self.values: dict[str, Any] = dict(site_numbers(question.numbers, site_values, system))
        for drawn, index in zip(question.numbers.drawn, space.indices, strict=True):
            self.values[drawn.name] = drawn.grids[system].array[index]
        work_out(question.numbers, self.values, system, self.count)
        self.reader = Reader(self.values, system, self.count)
        self.wanted = self._all(wanted(question, self.reader))
        self.admitted = self._all(admitted(question, self.values, system, self.count))
        self.rejected = 1.0 - float(self.admitted.mean())

    def findings(self) -> Iterator[str]:
        if not self.admitted.any():
            yield f"No draw can be shown. {self._nearest()}"
            return
        if self.rejected > MOST_REJECTED:
            yield f"{self.rejected:.0%} of the draws are drawn again; at most half may be. {self._nearest()}"
        yield from self._without_value()
        if not self._all(rightly_many(self.question, self.reader))[self.wanted].all():
            yield "Some draws have no right option, or more right options than may be."
        yield from self._spread()

    def closest(self) -> tuple[str, float]:
        """The slip nearest to the right answer over admitted draws, in tolerances."""
        nearest = ("", np.inf)
        if isinstance(self.question.task, NumberTask) and self.admitted.any():
            tolerance = tolerance_of(self.question.task, self.reader)[self.admitted]
            for words, distance in distances(self.question, self.reader):
                if words.startswith("slip ") and words.endswith(" and the answer"):
                    least = float((distance[self.admitted] / tolerance).min())
                    nearest = min(nearest, (words.split()[1], least), key=lambda pair: pair[1])
        return nearest

    def _all(self, flags: Any) -> Flags:
        return np.broadcast_to(np.asarray(flags, bool), (self.count,))

    def _nearest(self) -> str:
        """Which two numbers come too near most often, to help whoever has to change the question."""
        if not isinstance(self.question.task, NumberTask):
            return ""
        tolerance = tolerance_of(self.question.task, self.reader)
        shares = {
            words: float((~(distance > 2 * tolerance)).mean())
            for words, distance in distances(self.question, self.reader)
        }
        if not shares or not (worst := max(shares, key=lambda words: shares[words])) or not shares[worst]:
            return f"The demands under `require` hold in {self.wanted.mean():.0%} of the draws."
        return f"Most often ({shares[worst]:.0%}) {worst} are too near."

    def _without_value(self) -> Iterator[str]:
        """Expressions that have no value in a draw that every `require` lets through."""
        if not self._all(finite(self.question, self.reader))[self.wanted].all():
            yield f"A worked-out number or the answer has no value, first for {self._first(self._finite())}."
        for what, values, where in self._numbers():
            if not np.isfinite(values[where]).all():
                yield f"{what} has no value, first for {self._first(where & ~np.isfinite(values))}."

    def _finite(self) -> Flags:
        return self.wanted & ~self._all(finite(self.question, self.reader))

    def _numbers(self) -> Iterator[tuple[str, Any, Flags]]:
        """Every number that is shown, drawn or recognised, and the draws in which it must have a value."""
        task = self.question.task
        for slip in task.slips if isinstance(task, NumberTask) else ():
            yield f"The slip {slip.id}", self.reader.number(slip.value), self.wanted
        if self.question.figure is not None:
            for name, expression in self.question.figure.inputs.items():
                yield f"The figure's {name}", self.reader.number(expression), self.admitted
        for words in words_of(self.question):
            for insert in words["en"].inserts:
                yield (
                    f"`{insert.expression.text}` in a text",
                    self.reader.number(insert.expression),
                    self.admitted,
                )

    def _first(self, where: Flags) -> str:
        at = int(np.argmax(where))
        parts = []
        for drawn in self.question.numbers.drawn:
            value = float(self.values[drawn.name][at])
            parts.append(f"{drawn.name} {write_quantity(value, drawn.grids[self.system].unit, 'en')}")
        return ", ".join(parts) or "the site's numbers"

    def _spread(self) -> Iterator[str]:
        task = self.question.task
        if not isinstance(task, NumberTask):
            return
        sizes = np.abs(self.reader.number(task.value))[self.admitted]
        sizes = np.maximum(sizes, tolerance_of(task, self.reader)[self.admitted])
        if not (sizes.min() > 0 and sizes.max() / sizes.min() <= task.spread * (1 + 1e-9)):
            unit = task.units[self.system]
            least, most = (write_quantity(float(size), unit, "en") for size in (sizes.min(), sizes.max()))
            yield (
                f"The answers run from {least} to {most}, more than {task.spread:g} times. "
                "Narrow the draw, or allow more with `spread:`."
            )
