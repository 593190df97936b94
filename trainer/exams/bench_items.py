"""What a scheme's file says of the benches of an area, checked against the benches there are."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.benches import catalogue
from trainer.benches.frame import LEVELS, Bench
from trainer.documents import Faults, Node, fields
from trainer.exams.scheme import BenchItem


def read_bench(node: Node, skills: Sequence[str], faults: Faults) -> BenchItem | None:
    """One entry of `benches:`; None, and a fault, where it cannot stand in an area of these skills."""
    parts = fields(node, ["bench", "level"], ["skill"], faults)
    if not {"bench", "level"} <= parts.keys():
        return None
    bench = _bench(parts["bench"], faults)
    level = _level(parts["level"], faults)
    if bench is None or level is None:
        return None
    skill = _skill(parts.get("skill"), parts["bench"], bench, skills, faults)
    return None if skill is None else BenchItem(bench.CARD.id, level, skill)


def _bench(node: Node, faults: Faults) -> Bench | None:
    known = catalogue.benches()
    if node.written not in known:
        faults.add(node, "There is no such bench.", f"Write one of {', '.join(sorted(known))}.")
    return known.get(node.written)


def _level(node: Node, faults: Faults) -> str | None:
    if node.written in LEVELS:
        return node.written
    faults.add(node, "A bench has no such level.", f"Write {', '.join(LEVELS)}.")
    return None


def _skill(named: Node | None, at: Node, bench: Bench, skills: Sequence[str], faults: Faults) -> str | None:
    """The skill that the bench stands for: the one that is named, else the first of its own in the area."""
    fit = [skill for skill in bench.CARD.skills if skill in skills]
    if named is not None:
        if named.written in fit:
            return named.written
        faults.add(
            named,
            f"The bench {bench.CARD.id} does not practise this skill of the area.",
            f"Write {' or '.join(fit)}." if fit else "Put the bench into the area of its skills.",
        )
        return None
    if not fit:
        practised = ", ".join(bench.CARD.skills)
        faults.add(
            at, f"The area has no skill of this bench ({practised}).", "Put it into the area of one of them."
        )
    return fit[0] if fit else None
