"""Questions on trial on a person's paper: asked like any other, at drawn places, and counted nowhere."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from trainer.exams.drawn import Draws
from trainer.exams.forms import Form, Slot
from trainer.exams.paper import Paper
from trainer.exams.scheme import Scheme
from trainer.exams.setting import Setting
from trainer.language.questions import Question


@dataclass(frozen=True)
class OnTrial:
    """A question on trial; asked: on how many exams it has stood as such."""

    question: Question
    asked: int = 0


def with_trials(
    paper: Paper, scheme: Scheme, waiting: Sequence[OnTrial], secret: bytes, setting: Setting
) -> Paper:
    """The paper with the scheme's places for questions on trial filled; as it is where nothing can stand there.

    waiting: those of the site that this person may be asked. Passed over are what the person has had in an exam under
    the same name, what stands on the paper, what belongs to no area and what cannot be drawn here; of the rest those
    asked least come first. What counts keeps its order, its instances and its share of the time.
    """
    trial = _Trial(scheme, secret, setting)
    found = trial.slots(paper, waiting)
    if not found:
        return paper
    order = trial.placed(paper.form.slots, [slot for slot, _ in found])
    numbers = {slot.label: number for number, slot in enumerate(order, 1)}
    moved = {slot.number: numbers[slot.label] for slot in paper.form.slots}
    site = {moved[number]: values for number, values in paper.site.items()}
    comparison = paper.comparison
    if comparison is not None:
        comparison = replace(comparison, repeated=tuple(moved[number] for number in comparison.repeated))
    return replace(
        paper,
        minutes=scheme.minutes_with(len(found)),
        form=Form(tuple(replace(slot, number=numbers[slot.label]) for slot in order)),
        site=site | {numbers[slot.label]: values for slot, values in found},
        comparison=comparison,
    )


@dataclass(frozen=True)
class _Trial:
    """What the choice of one attempt's questions on trial hangs on."""

    scheme: Scheme
    secret: bytes
    setting: Setting

    def rank(self, *names: str) -> bytes:
        """Where something comes in this attempt's order."""
        told = "|".join((self.setting.label, "trial", *names))
        return hmac.digest(self.secret, told.encode(), hashlib.sha256)

    def slots(self, paper: Paper, waiting: Sequence[OnTrial]) -> list[tuple[Slot, Mapping[str, float]]]:
        """Those that can be asked, in their order, each with the site's values that it uses; as many as are needed."""
        # What is barred is barred as it reads in use; a newer version on trial may be its mend.
        out = self.setting.seen | {slot.question for slot in paper.form.slots}
        usable = [one for one in waiting if one.question.id not in out]
        usable.sort(key=lambda one: (one.asked, self.rank("question", one.question.id)))
        return list(islice(self._drawn(usable), self.scheme.trial_places))

    def _drawn(self, usable: Sequence[OnTrial]) -> Iterator[tuple[Slot, Mapping[str, float]]]:
        areas = {skill: area.id for area in self.scheme.areas for skill in area.skills}
        for one in usable:
            asked = one.question
            if asked.skill not in areas:
                continue
            label = f"{self.setting.label}|trial|{asked.id}@{asked.version}"
            slot = Slot(
                0, areas[asked.skill], asked.skill, asked.id, asked.version, asked.fingerprint, label, pilot=True
            )  # fmt: skip
            drawn = Draws(lambda *_, asked=asked: asked, self.secret, self.setting).every(Form((slot,)))
            if not drawn.undrawable:
                yield drawn.slots[0], drawn.site[0]

    def placed(self, scored: Sequence[Slot], trials: Sequence[Slot]) -> list[Slot]:
        """All slots in order. A form goes area by area: elsewhere than in its own a question would stand out."""
        return [slot for area in self.scheme.areas for slot in self._area(area.id, scored, trials)]

    def _area(self, area: str, scored: Sequence[Slot], trials: Sequence[Slot]) -> list[Slot]:
        counted, mine = ([slot for slot in slots if slot.area == area] for slots in (scored, trials))
        places = sorted(
            range(len(counted) + len(mine)), key=lambda place: self.rank("place", area, str(place))
        )
        at = dict(zip(places, mine, strict=False))
        rest = iter(counted)
        return [at[place] if place in at else next(rest) for place in range(len(places))]
