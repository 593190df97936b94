"""A scheme tried on thousands of invented learners: who passes that should not, and who fails that should not.

Learners practise what the scheme demands until it is proven, sit forms that are chosen as real ones are, wait, practise
what they missed and try again, all by the scheme's own numbers. What families are like is the model of `comparing`;
what learners are like is assumed, and `Assumptions` says what.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt

from trainer.exams.comparing import Neighbours, Scale, average_target, nearest_form
from trainer.exams.forms import Form, assemble_form, bench_asked
from trainer.exams.scheme import Area, Scheme
from trainer.language.loading import Bank
from trainer.learning.simulated import AskedBy, Curve, Rules, practise
from trainer.statistics.consistency import Consistency
from trainer.statistics.families import response
from trainer.statistics.simulating import (
    AfterTries,
    Band,
    Forms,
    Sat,
    Share,
    after_tries,
    margins,
    near_the_border,
    passed,
    sit,
)

Places = npt.NDArray[np.float64]
HOURS = 24


@dataclass(frozen=True)
class Assumptions:
    """What the learners are like: this house's own judgement; common practice, no source. Places are in logits.

    mean, spread: of where a learner stands over all skills before any practice, 0 being the person only just competent
    skill_spread: of each skill around that
    gain: what one practised answer, with its feedback, adds in its skill
    lost_a_day: what each day of waiting takes away in every skill
    most_answers: after which practice of one skill is given up, and with it the exam
    forms: how many different forms there are to draw from
    """

    mean: float = 0.0
    spread: float = 1.0
    skill_spread: float = 0.5
    gain: float = 0.1
    lost_a_day: float = 0.01
    most_answers: int = 80
    forms: int = 60


@dataclass(frozen=True)
class Simulated:
    """What became of the learners.

    admitted: who proved in practice what the scheme demands first; answers: median answers that this took, of these
    tries: by number of tries; bands: near the border
    """

    scheme: str
    version: int
    cut: int
    items: int
    learners: int
    seed: int
    assumptions: Assumptions
    admitted: Share
    answers: float
    tries: tuple[AfterTries, ...]
    bands: tuple[Band, ...]


def simulate(
    scheme: Scheme, bank: Bank, *, learners: int, seed: int, assumed: Assumptions | None = None
) -> Simulated:
    """Try a scheme. learners: 1 or more; the same seed gives the same. ValueError where an area lacks questions."""
    assumed = assumed or Assumptions()
    rng = np.random.default_rng(seed)
    model = _Model(scheme, bank, assumed, rng)
    places = assumed.mean + assumed.spread * rng.standard_normal((learners, 1))
    places = places + assumed.skill_spread * rng.standard_normal((learners, len(model.skills)))
    admitted, answers = model.prove(places)
    sat = model.try_until_passed(places[admitted])
    return Simulated(
        scheme.id, scheme.version, scheme.cut, scheme.items, learners, seed, assumed,
        Share(int(admitted.sum()), learners),
        float(np.median(answers[admitted])) if admitted.any() else 0.0,
        after_tries(sat), near_the_border(sat),
    )  # fmt: skip


@dataclass(frozen=True)
class TwoForms:
    """What the model says of scores while too few people have sat: the same learners on two forms at once.

    reliability: correlation of both scores; verdicts: how alike both judge; error_at_cut: how far the score of somebody
    who stands at the border varies from form to form [answers]
    """

    learners: int
    reliability: float
    verdicts: Consistency
    error_at_cut: float


def two_forms(
    scheme: Scheme, bank: Bank, *, learners: int, seed: int, assumed: Assumptions | None = None
) -> TwoForms | None:
    """Try a scheme's forms against each other; None where the two scores do not vary. ValueError as `simulate`.

    Learners practise first what the scheme demands, and only those who prove it sit.
    """
    assumed = assumed or Assumptions()
    rng = np.random.default_rng(seed)
    model = _Model(scheme, bank, assumed, rng)
    places = assumed.mean + assumed.spread * rng.standard_normal((learners, 1))
    places = places + assumed.skill_spread * rng.standard_normal((learners, len(model.skills)))
    admitted, _ = model.prove(places)
    first, second = model.sit_two(places[admitted])
    border = model.sit_two(np.zeros((learners, len(model.skills))))
    if first.score.size < 2 or not (np.ptp(first.score) and np.ptp(second.score)):
        return None
    passing = (first.through.mean() + second.through.mean()) / 2
    return TwoForms(
        int(admitted.sum()),
        float(np.corrcoef(first.score, second.score)[0, 1]),
        Consistency(float((first.through == second.through).mean()), float(passing)),
        float(np.sqrt((border[0].score - border[1].score).var() / 2)),
    )


def tries_in_time(scheme: Scheme) -> int:
    """How many tries fit into the days that the scheme counts, with its waiting in between."""
    tries = scheme.tries
    if tries.wait_hours == 0:
        return tries.most
    return min(tries.most, tries.within_days * HOURS // tries.wait_hours + 1)


def draw_forms(scheme: Scheme, bank: Bank, scale: Scale, count: int) -> list[Form]:
    """Forms as people get them: each the first that is near enough to the average form; always the same."""
    target = average_target(scheme, bank, scale)
    assemble = partial(assemble_form, scheme, bank, hashlib.sha256(b"forms of a simulation").digest())
    return [
        nearest_form(assemble, f"simulated|{number}", target, scale, Neighbours())[0]
        for number in range(count)
    ]


@dataclass(frozen=True, eq=False)
class _Sat:
    score: npt.NDArray[np.int_]
    through: npt.NDArray[np.bool_]


class _Model:
    """A scheme as the model knows it."""

    def __init__(self, scheme: Scheme, bank: Bank, assumed: Assumptions, rng: np.random.Generator) -> None:
        self._scheme, self._bank, self._assumed, self._rng = scheme, bank, assumed, rng
        self._scale = Scale(bank.find, {})
        self.skills = list(dict.fromkeys(scheme.skills))
        self._number = {skill: number for number, skill in enumerate(self.skills)}
        self._forms = self._arrays(draw_forms(scheme, bank, self._scale, assumed.forms))
        self._families = {skill: self._asked_by(skill) for skill in self.skills}
        self._weights = self._asked_of_people()

    def prove(self, places: Places) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.int_]]:
        """Practise what the scheme demands; who has proven all of it, and the answers it took. Places move."""
        rules = {hazard: Rules(hazard=hazard) for hazard in (False, True)}
        proven, answers = np.ones(len(places), dtype=bool), np.zeros(len(places), dtype=np.int_)
        for skill in self._scheme.demanded_skills():
            column = places[:, self._number[skill]].copy()
            found = practise(
                column, self._families[skill], rules[self._bank.skill(skill).hazard],
                gain=self._assumed.gain, most=self._assumed.most_answers, rng=self._rng,
            )  # fmt: skip
            places[:, self._number[skill]] = column
            proven &= found.proven
            answers += found.answers
        return proven, answers

    def sit_two(self, places: Places) -> tuple[_Sat, _Sat]:
        """Everybody on two forms, without anything in between."""
        first = self._another(np.full(len(places), -1))
        sat = []
        for which in (first, self._another(first)):
            right = sit(places, self._forms, which, self._rng)
            sat.append(_Sat(right.sum(axis=1), passed(right, self._forms, which)))
        return sat[0], sat[1]

    def try_until_passed(self, places: Places) -> Sat:
        """Every try of everybody, with waiting and practice in between."""
        tries, people = tries_in_time(self._scheme), len(places)
        margin, good = np.full((tries, people), np.nan), np.zeros((tries, people), dtype=bool)
        trying, which = np.arange(people), np.full(people, -1)
        for number in range(tries):
            which = self._another(which)
            right = sit(places[trying], self._forms, which, self._rng)
            margin[number, trying] = margins(places[trying], self._weights)
            through = passed(right, self._forms, which)
            good[number, trying] = through
            trying, which, right = trying[~through], which[~through], right[~through]
            places[trying] -= self._assumed.lost_a_day * self._scheme.tries.wait_hours / HOURS
            places[trying] = self._practised_again(places[trying], which, right)
        return Sat(margin, good)

    def _another(self, which: npt.NDArray[np.int_]) -> npt.NDArray[np.int_]:
        """A form each, never the one that a person had last where there are others."""
        count = len(self._forms.place)
        if count == 1:
            return np.zeros_like(which)
        fresh = self._rng.integers(count, size=len(which))
        step = self._rng.integers(1, count, size=len(which))
        return np.where(which < 0, fresh, (which + step) % count)

    def _practised_again(
        self, places: Places, which: npt.NDArray[np.int_], right: npt.NDArray[np.bool_]
    ) -> Places:
        """Right answers without help in each skill that the form held in an area with a miss."""
        area, skill = self._forms.area[which], self._forms.skill[which]
        missed = np.zeros((len(which), len(self._scheme.areas)), dtype=bool)
        person, slot = np.nonzero(~right)
        missed[person, area[person, slot]] = True
        owed = np.zeros(places.shape, dtype=np.int_)
        person, slot = np.nonzero(np.take_along_axis(missed, area, axis=1))
        owed[person, skill[person, slot]] = self._scheme.tries.practise_again
        for _ in range(self._assumed.most_answers):
            for column in np.flatnonzero(owed.any(axis=0)):
                who = np.flatnonzero(owed[:, column] > 0)
                chance = self._chance(places[who, column], self._families[self.skills[column]])
                owed[who, column] -= self._rng.random(len(who)) < chance
                places[who, column] += self._assumed.gain
        return places

    def _chance(self, place: Places, families: list[AskedBy]) -> Places:
        return np.asarray(np.mean([one.chance(place) for one in families], axis=0))

    def _arrays(self, forms: list[Form]) -> Forms:
        areas = {area.id: number for number, area in enumerate(self._scheme.areas)}
        known = [[self._scale.of(slot.question, slot.fixed) for slot in form.slots] for form in forms]
        return Forms(
            place=np.array([[one.place for one in row] for row in known]),
            spread=np.array([[one.spread for one in row] for row in known]),
            skill=np.array([[self._number[slot.skill] for slot in form.slots] for form in forms]),
            area=np.array([[areas[slot.area] for slot in form.slots] for form in forms]),
            critical=np.array([area.critical for area in self._scheme.areas]),
            cut=self._scheme.cut,
        )

    def _asked_by(self, skill: str) -> list[AskedBy]:
        """What asks a skill in practice; where nothing but a bench does, the bench."""
        asked = [AskedBy(one.kind, self._curve(one.id, None)) for one in self._bank.by_skill.get(skill, ())]
        benches = [
            bench_asked(one) for area in self._scheme.areas for one in area.benches if one.skill == skill
        ]
        return asked or [AskedBy("order", self._curve(one.id, one.fixed)) for one in benches]

    def _curve(self, name: str, fixed: Mapping[str, str] | None) -> Curve:
        known = self._scale.of(name, fixed)
        return lambda theta: np.asarray(response(theta, known.place, known.spread))

    def _asked_of_people(self) -> Places:
        """Up to it is whoever stands at the border or above on average over the form, and over each critical area."""
        rows = [self._scheme.areas, *([area] for area in self._scheme.areas if area.critical)]
        return np.array([sum(map(self._area_weights, row)) for row in rows])

    def _area_weights(self, area: Area) -> Places:
        found = np.zeros(len(self.skills))
        found[[self._number[skill] for skill in area.skills]] += area.items / len(area.skills)
        return found
