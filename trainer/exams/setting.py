"""For whom a form is set, and what it must not repeat: which stems with which numbers this person has had before."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from trainer.exams.comparing import Neighbours
from trainer.exams.forms import Form
from trainer.language.draws import Instance
from trainer.quantities.dimensions import System
from trainer.sites.sheet import SiteSheet


@dataclass(frozen=True)
class Setting:
    """For whom a form is set: the site's values, the unit system, the attempt's label, questions met before.

    barred: questions that do not hold with this site's numbers
    sheet: the site's sheet; asked for only where a scheme has benches
    neighbours: forms that this one should not be like
    had: `instance_key` of every instance, and `task_key` of every bench, that this person had in an exam before
    ratings, reference: what a sealed panel said of each question, and the form that it rated
    cut_from: public id of the panel whose cut the scheme carries; None where it is the file's own
    """

    values: Mapping[str, float]
    system: System
    label: str
    seen: frozenset[str] = frozenset()
    barred: frozenset[str] = frozenset()
    sheet: Callable[[], SiteSheet] = field(kw_only=True)
    neighbours: Neighbours = field(default_factory=Neighbours)
    had: frozenset[str] = frozenset()
    ratings: Mapping[str, float] = field(default_factory=dict)
    reference: Form | None = None
    cut_from: str | None = None


def instance_key(instance: Instance) -> str:
    """Stem and numbers as one short text: the same for two instances that ask the same thing."""
    facts: Sequence[object] = [instance.question.id, sorted(instance.values.items())]
    return hashlib.sha256(json.dumps(facts, default=str).encode("utf-8")).hexdigest()
