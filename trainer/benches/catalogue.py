"""Which benches there are, and a run of one: the same task again from what is kept of it."""

from __future__ import annotations

import hashlib
import json
import pkgutil
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cache
from importlib import import_module
from typing import Any, cast

import trainer.benches
from trainer.benches.frame import LEVELS, Bench
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.sites.sheet import SiteSheet


@cache
def benches() -> Mapping[str, Bench]:
    """Every bench by its id, in order of their titles: each package of this room is one."""
    found = [
        cast(Bench, import_module(f"trainer.benches.{one.name}"))
        for one in pkgutil.iter_modules(trainer.benches.__path__)
        if one.ispkg
    ]
    return {bench.CARD.id: bench for bench in sorted(found, key=lambda one: one.CARD.title.en)}


@dataclass(frozen=True)
class Run:
    """What must be kept, beside the secret and the sheet, to make a task again.

    fixed: the options that were fixed, `level` among them; label: whose run it is, different for every one
    """

    bench: str
    version: int
    fixed: Mapping[str, str]
    label: str
    system: System


def task_of(run: Run, sheet: SiteSheet, secret: bytes) -> Any:
    """The task of a run. Raises NoTask, and LookupError where its bench is no longer this one."""
    bench = benches().get(run.bench)
    if bench is None or bench.CARD.version != run.version:
        raise LookupError(f"there is no bench {run.bench} of version {run.version}")
    return bench.make_task(sheet, run.fixed, Stream(secret, run.label), run.system)


def digest(task: Any) -> str:
    """SHA-256 of a task's values: whether it is still the one that was shown."""
    text = json.dumps(asdict(task), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def checked(bench: Bench, sheet: SiteSheet, asked: Mapping[str, str]) -> dict[str, str] | None:
    """The options that are fixed, with a level; None where one is not to be had at this site."""
    offered = {pick.name: {option.id for option in pick.options} for pick in bench.options(sheet)}
    fixed = {name: value for name, value in asked.items() if value}
    if any(value not in offered.get(name, ()) for name, value in fixed.items()):
        return None
    return {"level": LEVELS[0], **fixed}
