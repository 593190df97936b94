"""How many items each area gets from the job analysis, where a scheme departs from that, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.exams.analysis import MAKES_CRITICAL, Analysis, JobTask
from trainer.exams.scheme import Area, Scheme, quotas


@dataclass(frozen=True)
class AreaQuota:
    """One area of the blueprint beside what the tasks give it.

    tasks: those it rests on; weight: importance times frequency of these, by the share of their skills that it holds
    by_tasks: items if every area came from the tasks alone; shared: items once the areas with a reason of their own
    have theirs, None for such an area
    """

    area: Area
    tasks: tuple[JobTask, ...]
    weight: Fraction
    by_tasks: int
    shared: int | None

    @property
    def holds(self) -> bool:
        """Whether the area's items are those that the tasks give it, or carry a reason."""
        return self.shared is None or self.shared == self.area.items


def weight_of(area: Sequence[str], tasks: Sequence[JobTask]) -> Fraction:
    """Importance times frequency over the tasks, each by the share of its skills that are among the area's."""
    return sum(
        (
            Fraction(task.weight * sum(skill in area for skill in task.skills), len(task.skills))
            for task in tasks
        ),
        Fraction(0),
    )


def shared_out(areas: Sequence[Area], analysis: Analysis, total: int) -> tuple[int | None, ...]:
    """Items an area by largest remainder over its tasks' weight; None for one with a reason of its own.

    total: items of the whole form; those of the areas with a reason are taken off first. Raises ValueError where
    nothing can be shared out: an area without a task, or reasons that take more than there is.
    """
    free = [area for area in areas if area.because is None]
    left = total - sum(area.items for area in areas if area.because is not None)
    counts = iter(quotas([weight_of(area.skills, analysis.tasks) for area in free], left) if free else ())
    return tuple(next(counts) if area.because is None else None for area in areas)


def blueprint(scheme: Scheme) -> tuple[AreaQuota, ...]:
    """The areas of a scheme beside its job analysis; empty where it has none."""
    if scheme.analysis is None:
        return ()
    tasks = scheme.analysis.tasks
    weights = [weight_of(area.skills, tasks) for area in scheme.areas]
    alone = quotas(weights, scheme.items)
    shared = shared_out(scheme.areas, scheme.analysis, scheme.items)
    return tuple(
        AreaQuota(area, tasks_of(area, tasks), weight, by_tasks, given)
        for area, weight, by_tasks, given in zip(scheme.areas, weights, alone, shared, strict=True)
    )


def tasks_of(area: Area, tasks: Sequence[JobTask]) -> tuple[JobTask, ...]:
    """The tasks that rest on a skill of the area."""
    return tuple(task for task in tasks if set(task.skills) & set(area.skills))


def should_be_critical(area: Area, tasks: Sequence[JobTask]) -> bool:
    """Whether the area rests on a task in which a mistake can kill or maim."""
    return any(task.harm >= MAKES_CRITICAL for task in tasks_of(area, tasks))
