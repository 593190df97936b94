"""Drawing instances and tasks of a form: none that this person had before, where there is another to give."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from trainer.exams.bench_slots import task_key, with_task
from trainer.exams.comparing import Find
from trainer.exams.forms import Form, Slot
from trainer.exams.setting import Setting, instance_key
from trainer.language.draws import Instance, NoInstance, draw

MOST_AGAIN = 20  # draws of a family or a bench before it counts as having nothing new


@dataclass(frozen=True)
class Drawn:
    """The slots with the labels that they were drawn from, and what was found on the way.

    site: the site's values that each question used, by slot; undrawable: questions that give no instance here
    repeated: by slot, questions that gave only what this person had before
    """

    slots: tuple[Slot, ...]
    site: dict[int, Mapping[str, float]]
    undrawable: set[str]
    repeated: dict[int, str]


def labels(slot: Slot) -> Iterator[Slot]:
    """The slot with its own label, then with others of the same attempt, always in the same order."""
    yield slot
    for again in range(1, MOST_AGAIN + 1):
        yield replace(slot, label=f"{slot.label}|again {again}")


def new_task(slot: Slot, setting: Setting, secret: bytes) -> Slot:
    """The slot of a bench with a task that this person did not have before; its own where nothing new comes.

    Raises NoTask.
    """
    own: Slot | None = None
    for other in labels(slot):
        drawn = with_task(other, setting.sheet(), secret, setting.system)
        own = own or drawn
        if task_key(drawn) not in setting.had:
            return drawn
    assert own is not None
    return own


@dataclass(frozen=True)
class Draws:
    """What a draw hangs on."""

    find: Find
    secret: bytes
    setting: Setting

    def every(self, form: Form) -> Drawn:
        """Every question of a form drawn; benches are left as they are."""
        found = Drawn((), {}, set(), {})
        slots: list[Slot] = []
        for slot in form.slots:
            slots.append(slot if slot.bench is not None else self._one(slot, found))
        return replace(found, slots=tuple(slots))

    def _one(self, slot: Slot, found: Drawn) -> Slot:
        """The slot with a label that gives something new; its own where nothing does."""
        try:
            for drawn in labels(slot):
                instance = self._draw(drawn)
                if instance_key(instance) not in self.setting.had:
                    found.site[slot.number] = instance.record()["site"]
                    return drawn
                if not instance.question.is_family:
                    break
            found.site[slot.number] = self._draw(slot).record()["site"]
            found.repeated[slot.number] = slot.question
        except NoInstance:
            found.undrawable.add(slot.question)
        return slot

    def _draw(self, slot: Slot) -> Instance:
        question = self.find(slot.question, slot.fingerprint)
        assert question is not None
        return draw(question, self.setting.values, self.secret, slot.label, self.setting.system)
