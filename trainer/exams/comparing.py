"""Choosing a form that is as hard as every other: its expected curve and chance to pass against the target's.

Where a panel rated a form, that form is the target. Else it is the average form of the blueprint: in each area what its
usable families give on average. All of it rests on priors; it says what is expected, not what was observed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from trainer.exams.curves import NEAR, Difficulty, chance_right, judged, pass_chance, prior
from trainer.exams.forms import Form, Pool, Slot, bench_asked
from trainer.exams.overlap import BESIDE_LIMIT, OWN_LIMIT, shared
from trainer.exams.scheme import Area, Scheme
from trainer.language.questions import Question

CURVE_LIMIT = 0.5  # items that a form's expected score near the cut may differ from the target's
PASS_LIMIT = 0.05  # by how much the chance to pass at the border may differ
MOST_FORMS = 40  # forms that are looked at before the nearest of them is taken
DIGITS = 4  # of what is kept of a comparison: more would pretend to know more than a prior does
Find = Callable[..., Question | None]  # of an id and, where one was asked before, its fingerprint
Chances = Mapping[str, Sequence[float]]  # by area, at one place on the scale


@dataclass(frozen=True)
class Comparison:
    """How a form stands beside the target, by the model.

    curve_gap: the largest difference of the expected score near the cut [items]; pass_gap: of the chance to pass at the
    border; own, beside: share in common with the person's last form, and the most with a co-worker's recent one
    looked_at: forms that were looked at; repeated: slots that ask again, with the same numbers, what this person had
    """

    curve_gap: float
    pass_gap: float
    own: float
    beside: float
    looked_at: int
    repeated: tuple[int, ...] = ()

    @property
    def excess(self) -> float:
        """How far beyond its limits the form is, each in shares of its limit; 0 within all of them."""
        parts = (
            (self.curve_gap, CURVE_LIMIT),
            (self.pass_gap, PASS_LIMIT),
            (self.own, OWN_LIMIT),
            (self.beside, BESIDE_LIMIT),
        )
        return sum(max(0.0, value / limit - 1) for value, limit in parts)

    @property
    def within(self) -> bool:
        """Whether the form keeps every limit."""
        return self.excess == 0


@dataclass(frozen=True)
class Scale:
    """Where each question stands: judged where a panel rated it (chance at the border, by name), else a prior.

    The priors of all others are shifted by the mean difference between what judges said and what was assumed of the
    same questions: a strict panel is strict about those that it has not seen too.
    """

    find: Find
    ratings: Mapping[str, float]

    def of(self, name: str, fixed: Mapping[str, str] | None = None) -> Difficulty:
        """The difficulty of a question, or of a bench by its fixed options."""
        assumed = self._prior(name, fixed)
        if name in self.ratings:
            return judged(self.ratings[name], family=assumed.spread > 0)
        return replace(assumed, place=assumed.place + self._shift)

    def _prior(self, name: str, fixed: Mapping[str, str] | None) -> Difficulty:
        question = None if fixed is not None else self.find(name)
        if question is None:
            return prior(int((fixed or {}).get("level", "2")), 0, family=True)
        return prior(question.level, len(question.steps), family=question.is_family)

    @cached_property
    def _shift(self) -> float:
        known = [name for name in self.ratings if self.find(name) is not None]
        apart = [
            judged(self.ratings[name], family=False).place - self._prior(name, None).place for name in known
        ]
        return sum(apart) / len(apart) if apart else 0.0


@dataclass(frozen=True)
class Target:
    """What every form is held against: at each place near the cut, the chances of its items, area by area."""

    scheme: Scheme
    chances: Mapping[float, Chances]

    @cached_property
    def passing(self) -> float:
        """The chance to pass at the border."""
        return _passing(self.scheme, self.chances[0.0])

    def score(self, theta: float) -> float:
        """The expected score at a place near the cut."""
        return _score(self.chances[theta])


def average_target(
    scheme: Scheme, pool: Pool, scale: Scale, barred: Collection[str] = (), at: Sequence[float] = NEAR
) -> Target:
    """The average form: each question of an area has the mean chance of the families that its skills may be asked by.

    A skill counts alike whether it has two families or eleven, for a form asks each skill in turn.
    """
    return Target(scheme, {theta: _average(scheme, pool, scale, barred, theta) for theta in at})


def _average(scheme: Scheme, pool: Pool, scale: Scale, barred: Collection[str], theta: float) -> Chances:
    return {area.id: _of_area(area, pool, scale, barred, theta) for area in scheme.areas}


def _of_area(area: Area, pool: Pool, scale: Scale, barred: Collection[str], theta: float) -> list[float]:
    benches = [bench_asked(one) for one in area.benches]
    of_skill = [
        _mean(
            [
                chance_right(scale.of(one.id), theta)
                for one in pool.by_skill.get(skill, ())
                if one.id not in barred
            ]
        )
        for skill in area.skills
        if any(one.id not in barred for one in pool.by_skill.get(skill, ()))
    ]
    asked = [_mean(of_skill)] * area.questions if of_skill else []
    return [*(chance_right(scale.of(one.id, one.fixed), theta) for one in benches), *asked]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def form_target(scheme: Scheme, form: Form, scale: Scale, at: Sequence[float] = NEAR) -> Target:
    """A form as the target."""
    return Target(scheme, {theta: chances_of(form.slots, scale, theta) for theta in at})


def chances_of(slots: Sequence[Slot], scale: Scale, theta: float) -> Chances:
    """The chances of a form's items at a place on the scale, area by area."""
    found: dict[str, list[float]] = {}
    for slot in slots:
        found.setdefault(slot.area, []).append(chance_right(scale.of(slot.question, slot.fixed), theta))
    return found


def _score(chances: Chances) -> float:
    return sum(map(sum, chances.values()))


def _passing(scheme: Scheme, chances: Chances) -> float:
    """The chance to pass with the scheme's cut and its critical areas."""
    critical = [one for area in scheme.areas if area.critical for one in chances.get(area.id, ())]
    rest = [one for area in scheme.areas if not area.critical for one in chances.get(area.id, ())]
    return pass_chance(rest, critical, scheme.cut)


def passing(scheme: Scheme, form: Form, scale: Scale, theta: float = 0.0) -> float:
    """The chance that somebody at a place on the scale passes a form."""
    return _passing(scheme, chances_of(form.slots, scale, theta))


@dataclass(frozen=True)
class Neighbours:
    """Forms that a new one should not be like: this person's own, newest first, and co-workers' recent ones."""

    own: Sequence[frozenset[str]] = ()
    beside: Sequence[frozenset[str]] = ()


def compare(form: Form, target: Target, scale: Scale, neighbours: Neighbours, looked_at: int) -> Comparison:
    """How a form stands beside the target and beside other forms."""
    names = frozenset(slot.question for slot in form.slots)
    near = {theta: chances_of(form.slots, scale, theta) for theta in NEAR}
    return Comparison(
        curve_gap=round(max(abs(_score(near[theta]) - target.score(theta)) for theta in NEAR), DIGITS),
        pass_gap=round(abs(_passing(target.scheme, near[0.0]) - target.passing), DIGITS),
        own=round(shared(names, neighbours.own[0]) if neighbours.own else 0.0, DIGITS),
        beside=round(max((shared(names, other) for other in neighbours.beside), default=0.0), DIGITS),
        looked_at=looked_at,
    )


def nearest_form(
    assemble: Callable[[str], Form], label: str, target: Target, scale: Scale, neighbours: Neighbours
) -> tuple[Form, Comparison]:
    """The first form that keeps every limit; where none of the many does, the one that comes nearest.

    assemble: makes the form of a label; the first is the attempt's own label, the rest count up from it, so that the
    choice is the same for ever.
    """
    nearest: tuple[Form, Comparison] | None = None
    for number in range(1, MOST_FORMS + 1):
        form = assemble(label if number == 1 else f"{label}|form {number}")
        found = compare(form, target, scale, neighbours, number)
        if nearest is None or found.excess < nearest[1].excess:
            nearest = form, found
        if found.within:
            break
    assert nearest is not None
    return nearest
