"""The `draw` part of a question: each number's grid of values, in US units and in metric, exactly as shown."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.documents import Node, fields, items, mapping
from trainer.language.entries import Entries
from trainer.language.worked_numbers import Drawn, Grid
from trainer.quantities.units import Unit, partner
from trainer.quantities.writing import round_shown

MOST_VALUES = 10_000
MOST_DRAWN = 12
HAIR = 1e-6


def read_drawn(node: Node | None, entries: Entries) -> tuple[Drawn, ...]:
    """Every drawn number; each name becomes known."""
    parts = mapping(node, entries.faults) if node is not None else {}
    if node is not None and len(parts) > MOST_DRAWN:
        entries.faults.add(node, f"A question may draw {MOST_DRAWN} numbers.", "Draw fewer.")
    found = []
    for name, one in parts.items():
        assert node is not None
        drawn = _DrawnReader(entries, name, one).read()
        if drawn is not None:
            units = {system: grid.unit for system, grid in drawn.grids.items()}
            entries.add_name(name, node.key_places[name], drawn.dimension, units)
            found.append(drawn)
        else:
            entries.failed.add(name)
    return tuple(found)


class _DrawnReader:
    """Reads one drawn number."""

    def __init__(self, entries: Entries, name: str, node: Node) -> None:
        self.entries, self.faults, self.name, self.node = entries, entries.faults, name, node

    def read(self) -> Drawn | None:
        picks = isinstance(self.node.value, dict) and "pick" in self.node.value
        required = ["pick"] if picks else ["from", "to", "step"]
        parts = fields(self.node, required, ["unit", "metric"], self.faults)
        if any(name not in parts for name in required):
            return None
        us = self._grid(parts)
        if us is None:
            return None
        metric = self._metric(parts["metric"]) if "metric" in parts else self._converted(us)
        if metric is None:
            return None
        if metric.unit.dimension != us.unit.dimension:
            self.faults.add(
                parts["metric"], "The metric numbers measure something else.", "Use one dimension."
            )
            return None
        return Drawn(self.name, us.unit.dimension, {"us": us, "metric": metric})

    def _metric(self, node: Node) -> Grid | None:
        picks = isinstance(node.value, dict) and "pick" in node.value
        required = ["pick"] if picks else ["from", "to", "step"]
        parts = fields(node, required, ["unit"], self.faults)
        return self._grid(parts) if all(name in parts for name in required) else None

    def _converted(self, us: Grid) -> Grid:
        unit = partner(us.unit, "metric")
        return Grid(unit, tuple(round_shown(value, unit) for value in us.values))

    def _grid(self, parts: dict[str, Node]) -> Grid | None:
        nodes = (
            items(parts["pick"], self.faults)
            if "pick" in parts
            else [parts[n] for n in ("from", "to", "step")]
        )
        read = [self.entries.quantity(node) for node in nodes]
        known = [one for one in read if one is not None]
        if not nodes:
            self.faults.add(parts["pick"], "There is nothing to pick from.", "Write `pick: [2 in, 4 in]`.")
        if not known or len(known) < len(read):
            return None
        if self._mixed(nodes, known):
            return None
        unit = self.entries.unit(parts["unit"]) if "unit" in parts else known[0][1]
        if unit is None:
            return None
        if unit.dimension != known[0][1].dimension:
            self.faults.add(
                parts["unit"], "This unit measures something else.", "Use a unit of the drawn number."
            )
            return None
        numbers = [value for value, _ in known]
        values = numbers if "pick" in parts else self._steps(numbers)
        return self._shown_exactly(unit, values) if values else None

    def _mixed(self, nodes: Sequence[Node], known: Sequence[tuple[float, Unit]]) -> bool:
        for node, (_, unit) in zip(nodes, known, strict=True):
            if unit.dimension != known[0][1].dimension:
                wrong = f"This is {unit.dimension.words('en')}, not {known[0][1].dimension.words('en')}."
                self.faults.add(node, wrong, "Use one dimension.")
                return True
        return False

    def _steps(self, numbers: Sequence[float]) -> list[float]:
        first, last, step = numbers
        if not (step > 0 and last >= first):
            self.faults.add(self.node, "The numbers must rise by a step above zero.", "Swap `from` and `to`.")
            return []
        count = (last - first) / step
        if abs(count - round(count)) > HAIR:
            self.faults.add(self.node, "The last step does not land on `to`.", "Change `to` or `step`.")
            return []
        if count >= MOST_VALUES:
            self.faults.add(self.node, f"A number may have {MOST_VALUES:,} values.", "Use a larger step.")
            return []
        return [first + at * step for at in range(round(count) + 1)]

    def _shown_exactly(self, unit: Unit, values: Sequence[float]) -> Grid:
        """The grid of rounded values; a value that would be shown as another is a fault."""
        rounded = tuple(round_shown(value, unit) for value in values)
        for value, shown in zip(values, rounded, strict=True):
            if abs(value - shown) > HAIR * max(abs(value), unit.factor * HAIR):
                wrong = f"{value / unit.factor:g} {unit.key} would be shown as {shown / unit.factor:g}."
                self.faults.add(self.node, wrong, "Use a coarser step, or another `unit`.")
                break
        return Grid(unit, rounded)
