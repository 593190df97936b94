"""Drawing the instances of a form: none that this person had before, where the question has another to give."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trainer.exams.comparing import Find
from trainer.exams.forms import Form, Slot
from trainer.exams.setting import Setting, instance_key
from trainer.language.draws import Instance, NoInstance, draw

MOST_AGAIN = 20  # draws of a family before it counts as having nothing new


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
            for again in range(MOST_AGAIN + 1):
                drawn = replace(slot, label=f"{slot.label}|again {again}") if again else slot
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
