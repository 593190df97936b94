"""What a scheme demands: its areas, time, cut score, tries, practical and how long each counts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from trainer.exams.analysis import Analysis
from trainer.exams.texts import Text

__all__ = [
    "PROGRAMME",
    "Area",
    "BenchItem",
    "Checklist",
    "Mastery",
    "Scheme",
    "Step",
    "Text",
    "Tries",
    "quotas",
]

Mastery = Literal["none", "critical", "all"]

# ASTM E2659 tells a certificate programme (the same house teaches and examines) from certification.
PROGRAMME = Text(
    "This is a certificate programme in the sense of ASTM E2659, not accredited certification.",
    "Este es un programa de certificado en el sentido de ASTM E2659, no una certificación acreditada.",
)


@dataclass(frozen=True)
class BenchItem:
    """A bench as one item of an area: how hard it is, and for which of the area's skills it stands."""

    bench: str
    level: str
    skill: str


@dataclass(frozen=True)
class Area:
    """One part of the blueprint; in a critical area every answer must be right, whatever the total.

    items: how many a form has, the benches among them
    because: why the area has its own number of items and not the one that the job analysis gives
    """

    id: str
    title: Text
    skills: tuple[str, ...]
    items: int
    critical: bool = False
    benches: tuple[BenchItem, ...] = ()
    because: Text | None = None

    @property
    def questions(self) -> int:
        """How many questions a form has of this area, beside its benches."""
        return self.items - len(self.benches)


@dataclass(frozen=True)
class Step:
    """One step of a practical; a critical step that is not met fails it.

    clause: the law it rests on, if any
    criteria: what must be seen for the step to be met
    """

    id: str
    text: Text
    critical: bool
    clause: str | None = None
    criteria: Text | None = None


@dataclass(frozen=True)
class Checklist:
    """What is observed in a practical; `machine_bound` means that it counts for the machine it was done on alone."""

    machine_bound: bool
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Tries:
    """At most `most` tries in any `within_days` days, `wait_hours` apart.

    practise_again: after a fail, right answers without help in each skill of the areas missed, before the next try
    """

    most: int
    within_days: int
    wait_hours: int
    practise_again: int = 0


@dataclass(frozen=True)
class Scheme:
    """One scheme in one version; whoever sat under a version is judged by that version for ever.

    minutes: time for the exam without extra time
    cut: right answers needed, of `items`
    mastery: which skills must be proven in practice before the exam starts
    exam_months, certificate_months: calendar months that each counts for
    invigilated: whether an invigilator must confirm who sits it before it starts
    trial_places: at most so many questions on trial stand on a form beside its items; they count nowhere
    analysis: the tasks of the job that the blueprint rests on; None where nobody has made one
    """

    id: str
    version: int
    title: Text
    scope: Text
    opens_cabinet: bool
    minutes: int
    cut: int
    tries: Tries
    mastery: Mastery
    exam_months: int
    certificate_months: int
    areas: tuple[Area, ...]
    practical: Checklist | None = None
    analysis: Analysis | None = None
    invigilated: bool = False
    trial_places: int = 0

    @property
    def items(self) -> int:
        """How many items a form has: questions, and benches."""
        return sum(area.items for area in self.areas)

    @property
    def skills(self) -> tuple[str, ...]:
        """Every skill that the scheme covers, in its order."""
        return tuple(skill for area in self.areas for skill in area.skills)

    @property
    def programme(self) -> Text:
        """What this is and what it is not; the same for every scheme."""
        return PROGRAMME

    def demanded_skills(self) -> tuple[str, ...]:
        """The skills that must be proven in practice before the exam starts."""
        areas = {"none": (), "all": self.areas, "critical": tuple(a for a in self.areas if a.critical)}
        return tuple(skill for area in areas[self.mastery] for skill in area.skills)

    def minutes_with(self, trial: int) -> int:
        """The time for a form with so many questions on trial: each has an item's share more, up to a whole minute."""
        return self.minutes + math.ceil(Fraction(trial * self.minutes, self.items))


def quotas(weights: Sequence[int | Fraction], items: int) -> tuple[int, ...]:
    """Questions an area by largest remainder (Hamilton's rule), exactly; of equal remainders the earlier area gains.

    weights: importance times frequency of each area, above 0; items: questions in all. Raises ValueError.
    """
    if not weights or min(weights) <= 0 or items < 0:
        raise ValueError(f"weights {weights} must be above 0 and items {items} not below 0")
    shares = [Fraction(weight) * items / sum(weights) for weight in weights]
    whole = [int(share) for share in shares]
    by_rest = sorted(range(len(shares)), key=lambda one: (whole[one] - shares[one], one))
    for one in by_rest[: items - sum(whole)]:
        whole[one] += 1
    return tuple(whole)
