"""Making a setting know what came before: this person's earlier papers, and the forms of those beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trainer.exams.bench_slots import task_key
from trainer.exams.comparing import Find, Neighbours
from trainer.exams.overlap import overexposed
from trainer.exams.paper import Paper, instance_of
from trainer.exams.setting import Setting, instance_key

MOST_PAPERS = 12  # of a person, newest first, whose numbers are not to come again


def unlike(
    setting: Setting,
    own: Sequence[Sequence[str]],
    last: frozenset[str] | None,
    beside: Sequence[frozenset[str]],
) -> Setting:
    """The setting with what a new form should not repeat.

    own: `keys_of` this person's papers; last: the questions of their last one of this scheme; beside: co-workers'
    recent forms of it. A family that is used too often at the site counts as met before.
    """
    return replace(
        setting,
        seen=setting.seen | overexposed(beside),
        neighbours=Neighbours((last,) if last is not None else (), beside),
        had=frozenset(key for keys in own for key in keys),
    )


def keys_of(paper: Paper, find: Find, secret: bytes) -> list[str]:
    """What a paper asked, stem and numbers, and its benches' tasks; a question that was changed since gives none."""
    drawn = [instance_of(paper, slot, find, secret) for slot in paper.form.slots if slot.bench is None]
    tasks = [task_key(slot) for slot in paper.form.slots if slot.bench is not None]
    return [*(instance_key(one) for one in drawn if one is not None), *tasks]


def names_of(paper: Paper) -> frozenset[str]:
    """The questions of a paper that count."""
    return frozenset(slot.question for slot in paper.form.scored)
