"""The rules of mastery worked by thousands of invented learners at once: who proves a skill, after how many answers.

Nobody's record is touched. Each standing that any learner comes to is worked out once by the rule itself.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np
import numpy.typing as npt

from trainer.learning.mastery import Answered, Standing, practised
from trainer.learning.parameters import GUESS_WITH_HELP

_WHEN = datetime(2000, 1, 1, tzinfo=UTC)  # the rule of mastery does not look at the clock
Curve = Callable[[npt.NDArray[np.float64]], npt.NDArray[np.float64]]


@dataclass(frozen=True)
class AskedBy:
    """One family that asks a skill: its kind, and the chance of a right answer by a person's place [logit]."""

    kind: str
    chance: Curve


@dataclass(frozen=True, eq=False)
class Practice:
    """What practice of one skill came to: whether it was proven, and the answers it took, (n,) each."""

    proven: npt.NDArray[np.bool_]
    answers: npt.NDArray[np.int_]


def practise(
    place: npt.NDArray[np.float64],
    families: Sequence[AskedBy],
    rules: Rules,
    *,
    gain: float,
    most: int,
    rng: np.random.Generator,
) -> Practice:
    """Drill one skill until each learner has proven it, or has given `most` answers.

    place: where each learner stands in the skill [logit], (n,); each answer raises it, in place, by `gain`
    With the steps in sight whoever does not know gets it right with the chance that knowledge tracing assumes there.
    """
    at, answers = np.zeros(len(place), dtype=np.intp), np.zeros(len(place), dtype=np.int_)
    proven, helped = np.zeros(len(place), dtype=bool), np.ones(len(place), dtype=bool)
    going = np.arange(len(place))
    for _ in range(most):
        family = rng.integers(len(families), size=len(going))
        chance = np.empty(len(going))
        for number, one in enumerate(families):
            chance[family == number] = one.chance(place[going[family == number]])
        chance = np.where(helped[going], chance + (1 - chance) * GUESS_WITH_HELP, chance)
        right = rng.random(len(going)) < chance
        moved = rules.move(at[going], [one.kind for one in families], family, right)
        at[going], proven[going], helped[going] = moved
        place[going] += gain
        answers[going] += 1
        going = going[~proven[going]]
    return Practice(proven, answers)


class Rules:
    """The rule of mastery for skills that can hurt, or for others: every standing that was met, and what follows it.

    Standing 0 is that of a person who has not answered yet. What was worked out once serves every other skill too.
    """

    def __init__(self, *, hazard: bool) -> None:
        self._hazard = hazard
        self._standings: list[Standing] = []
        self._numbers: dict[Standing, int] = {}
        self._next: dict[tuple[int, str, bool], int] = {}
        self._number(Standing("simulated"))

    def move(
        self,
        at: npt.NDArray[np.intp],
        kinds: Sequence[str],
        family: npt.NDArray[np.intp],
        right: npt.NDArray[np.bool_],
    ) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
        """After one answer each: the standings, whether the skill is proven, whether the next answer is helped."""
        codes, back = np.unique((at * len(kinds) + family) * 2 + right, return_inverse=True)
        reached = [
            self._after(code // 2 // len(kinds), kinds[code // 2 % len(kinds)], code % 2 == 1)
            for code in codes.tolist()
        ]
        standings = [self._standings[one] for one in reached]
        proven = np.array([one.mastered_at is not None for one in standings], dtype=bool)
        helped = np.array([one.support != "alone" for one in standings], dtype=bool)
        return np.array(reached, dtype=np.intp)[back], proven[back], helped[back]

    def _after(self, number: int, kind: str, right: bool) -> int:
        key = (number, kind, right)
        if key not in self._next:
            before = self._standings[number]
            answer = Answered(kind, right, before.support, _WHEN)
            self._next[key] = self._number(practised(before, answer, hazard=self._hazard))
        return self._next[key]

    def _number(self, one: Standing) -> int:
        # The rule looks at runs, not at how many answers there were: standings that differ in that alone are one.
        one = replace(one, answered=0)
        if one not in self._numbers:
            self._numbers[one] = len(self._standings)
            self._standings.append(one)
        return self._numbers[one]
