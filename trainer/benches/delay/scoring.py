"""What may be done on the delay bench, what a run is worth, and the best setting."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from trainer.benches.acts import Act, ActKind, Amount
from trainer.benches.delay import words
from trainer.benches.delay.asking import region
from trainer.benches.delay.counting import PARTS, Worth, tally, worth
from trainer.benches.delay.task import STEP, Task
from trainer.benches.frame import FULL, Best, Part, Score
from trainer.sites.said import Said
from trainer.solver.numbers import Floats

MOST_TRIES = 20
_HAIR = 1e-6

Setting = tuple[float, float]


def kinds(task: Task) -> tuple[ActKind, ...]:
    """Set both delays; finish."""
    fields = (
        Amount("on_delay", words.ON_DELAY, "s", 0.0, task.on_most, STEP, words.ON_HINT),
        Amount("off_delay", words.OFF_DELAY, "s", 0.0, task.off_most, STEP, words.OFF_HINT),
    )
    return ActKind("set", words.SET, fields), ActKind("finish", words.FINISH)


def refusal(task: Task, acts: Sequence[Act], act: Act) -> Said | None:
    """Why this cannot be done now."""
    if is_over(task, acts):
        return words.OVER
    if act.kind == "finish":
        return None if not act.values else words.UNKNOWN
    if act.kind != "set" or not _on_grid(task, act):
        return words.UNKNOWN
    return words.ENOUGH if len(tries(task, acts)) >= MOST_TRIES else None


def is_over(task: Task, acts: Sequence[Act]) -> bool:
    """After `finish`."""
    finish = kinds(task)[-1].kind
    return any(one.kind == finish and not one.values for one in acts)


def _on_grid(task: Task, act: Act) -> bool:
    fields = kinds(task)[0].fields
    if set(act.values) != {field.name for field in fields}:
        return False
    for field in fields:
        value = act.values[field.name]
        if isinstance(value, str | bool) or not np.isfinite(value) or not isinstance(field, Amount):
            return False
        if abs(field.snapped(value) - value) > _HAIR * field.step:
            return False
    return True


def tries(task: Task, acts: Sequence[Act]) -> tuple[Setting, ...]:
    """The settings that were tried, in order, none after the end."""
    found: list[Setting] = []
    for act in acts:
        if act.kind == "finish" and not act.values:
            break
        if act.kind == "set" and len(found) < MOST_TRIES and _on_grid(task, act):
            found.append((float(act.values["on_delay"]), float(act.values["off_delay"])))
    return tuple(found)


def setting(task: Task, acts: Sequence[Act]) -> Setting:
    """What the delays stand at."""
    return (task.start, *tries(task, acts))[-1]


def score(task: Task, acts: Sequence[Act]) -> Score:
    """What the last setting makes of the whole recording.

    The merit is the raw points. A list of acts ends at one of the grid's settings or at the start, which is one of
    them, and `worth` has all of them: its greatest is what no list can pass.
    """
    on_delay, off_delay = setting(task, acts)
    all_ = worth(task)
    at = all_.at(on_delay, off_delay)
    mine = all_.parts[:, *at]
    got, of = _split(all_, mine)
    found = tally(task, task.events, on_delay, off_delay)
    parts = (
        Part(words.PARTS[name], got[i], of[i], words.found(name, found.right[i], found.of[i]))
        for i, name in enumerate(PARTS)
    )
    return Score(tuple(parts), merit=float(all_.raw[at]))


def _split(all_: Worth, mine: Floats) -> tuple[list[float], list[float]]:
    """Points got and to be had by part, against the best setting that this one is nearest to.

    What the best setting gives up cannot be had; having it all the same makes up for nothing else.
    """
    nearest = all_.tops[np.argmax(np.minimum(all_.tops, mine).sum(axis=1))]
    scale = FULL / nearest.sum()
    return (np.minimum(nearest, mine) * scale).tolist(), (nearest * scale).tolist()


def best(task: Task) -> Best:
    """The setting that makes most of the whole recording: every one of the grid is tried."""
    on_delay, off_delay = best_setting(task)
    acts = (Act("set", {"on_delay": on_delay, "off_delay": off_delay}), Act("finish", {}))
    return Best(acts, score(task, acts))


@lru_cache(maxsize=128)
def best_setting(task: Task) -> Setting:
    """Of all best settings the one that the numbers recommend; else the one nearest to the middle of them."""
    all_ = worth(task)
    tops = np.argwhere(all_.raw == all_.most)
    wanted = region(task.facts).recommended
    middle = np.array(all_.at(*wanted)) if wanted is not None else tops.mean(axis=0)
    on, off = tops[np.argmin(np.abs(tops - middle).sum(axis=1))].tolist()
    return float(all_.on_delays[on]), float(all_.off_delays[off])
