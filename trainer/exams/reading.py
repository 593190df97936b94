"""Reading a scheme's file, with every fault at its place."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar, get_args

from trainer.documents import Faults, Node, fields, flag, items, read_document, text, whole
from trainer.exams.analysis import Analysis
from trainer.exams.bench_items import read_bench
from trainer.exams.reading_analysis import IDENTIFIER, counted_from, hold_against, read_analysis, read_text
from trainer.exams.scheme import Area, BenchItem, Checklist, Mastery, Scheme, Step, Text, Tries, quotas

T = TypeVar("T")
NO_NODES: list[Node] = []
SKILL = re.compile(r"[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*")
_REQUIRED = (
    "id", "version", "title", "scope", "opens_cabinet", "minutes", "cut", "tries", "mastery",
    "exam_months", "certificate_months", "areas",
)  # fmt: skip


def read_scheme(document: str, file: str) -> Scheme:
    """The scheme of a YAML text; `file` is the name that faults show. Raises DocumentError with every fault."""
    faults = Faults()
    scheme = _Reader(faults).scheme(read_document(document, file))
    faults.raise_if_any()
    assert scheme is not None
    return scheme


def load_schemes(folder: Path) -> dict[str, Scheme]:
    """Every scheme of a folder, by id. Raises DocumentError; two files with one id are a fault of the second."""
    found: dict[str, Scheme] = {}
    faults = Faults()
    for path in sorted(folder.glob("*.yaml")):
        root = read_document(path.read_text("utf-8"), path.name)
        scheme = _Reader(faults).scheme(root)
        if scheme is not None and scheme.id in found:
            faults.add(root, f"There is already a scheme {scheme.id}.", "Give it another id.", read=scheme.id)
        elif scheme is not None:
            found[scheme.id] = scheme
    faults.raise_if_any()
    return found


class _Reader:
    """Reads the parts of one scheme and gathers the faults."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults

    def scheme(self, root: Node) -> Scheme | None:
        parts = fields(
            root, _REQUIRED, ["items", "practical", "analysis", "invigilated", "trial_places"], self.faults
        )
        if any(name not in parts for name in _REQUIRED):
            return None
        analysis = read_analysis(parts["analysis"], self.faults) if "analysis" in parts else None
        scheme = Scheme(
            id=self._identifier(parts["id"], IDENTIFIER),
            version=self._from(1, parts["version"]),
            title=self._text(parts["title"]),
            scope=self._text(parts["scope"]),
            opens_cabinet=flag(parts["opens_cabinet"], self.faults),
            minutes=self._from(1, parts["minutes"], 480),
            cut=self._from(1, parts["cut"]),
            tries=self._tries(parts["tries"]),
            mastery=self._mastery(parts["mastery"]),
            exam_months=self._from(1, parts["exam_months"], 120),
            certificate_months=self._from(1, parts["certificate_months"], 120),
            areas=self._areas(parts, analysis),
            practical=self._practical(parts["practical"]) if "practical" in parts else None,
            invigilated=self._optional(parts, "invigilated", flag, False),
            analysis=analysis,
            trial_places=self._from(0, parts["trial_places"], 50) if "trial_places" in parts else 0,
        )
        self._whole_scheme(scheme, parts)
        return scheme

    def _whole_scheme(self, scheme: Scheme, parts: dict[str, Node]) -> None:
        """What only shows when the parts stand side by side."""
        if scheme.cut > scheme.items > 0:
            self.faults.add(
                parts["cut"], f"A form has {scheme.items} questions.", "The cut cannot be more than that."
            )
        if 4 * scheme.trial_places > scheme.items > 0:
            self.faults.add(
                parts["trial_places"],
                f"At most a quarter of a form's {scheme.items} items may be on trial beside them.",
                f"Write {scheme.items // 4} or less.",
            )
        if scheme.opens_cabinet and (scheme.practical is None or not scheme.practical.machine_bound):
            self.faults.add(
                parts["opens_cabinet"],
                "Knowledge alone opens no cabinet.",
                "Add `practical:` with `machine_bound: true`.",
            )
        if scheme.opens_cabinet and not any(area.critical for area in scheme.areas):
            self.faults.add(
                parts["areas"],
                "A scheme that opens a cabinet has no critical area.",
                "Mark lockout critical.",
            )

    def _identifier(self, node: Node, pattern: re.Pattern[str]) -> str:
        if not pattern.fullmatch(node.written):
            mend = (
                "Write topic.name, as in `lockout.give_back`."
                if pattern is SKILL
                else "Write small letters and _."
            )
            self.faults.add(node, "This is not a name that can stand here.", mend)
        return node.written

    def _from(self, low: int, node: Node, high: int = 1000) -> int:
        value = whole(node, self.faults)
        if isinstance(node.value, int) and not low <= value <= high:
            self.faults.add(node, "This number is out of range.", f"Write a number from {low} to {high}.")
        return value

    def _text(self, node: Node) -> Text:
        return read_text(node, self.faults)

    def _tries(self, node: Node) -> Tries:
        demanded = ["most", "within_days", "wait_hours"]
        parts = fields(node, demanded, ["practise_again"], self.faults)
        if any(name not in parts for name in demanded):
            return Tries(1, 1, 0)
        return Tries(
            most=self._from(1, parts["most"], 20),
            within_days=self._from(1, parts["within_days"], 366),
            wait_hours=self._from(0, parts["wait_hours"], 720),
            practise_again=self._from(0, parts["practise_again"], 10) if "practise_again" in parts else 0,
        )

    def _mastery(self, node: Node) -> Mastery:
        words: dict[str, Mastery] = {word: word for word in get_args(Mastery)}
        if node.written not in words:
            self.faults.add(node, "There is no such demand.", f"Write {', '.join(words)}.")
        return words.get(node.written, "none")

    def _areas(self, parts: dict[str, Node], analysis: Analysis | None) -> tuple[Area, ...]:
        """The areas. Their items come from the job analysis, from weights of their own, or stand beside each."""
        node, total = parts["areas"], parts.get("items")
        nodes = items(node, self.faults)
        if isinstance(node.value, list) and not nodes:
            self.faults.add(node, "A scheme needs an area.", "Write one `- id: …` an area.")
        if "analysis" in parts:
            demands, more = ([], ["items", "because"]) if total is not None else (["items"], ["because"])
        else:
            demands, more = (["importance", "frequency"], []) if total is not None else (["items"], [])
        read = [self._area(one, demands, more) for one in nodes]
        self._once([(one.id, at) for one, _, at in read], "area")
        self._skills_once(read)
        if "analysis" in parts:
            areas = self._by_tasks([(one, at) for one, _, at in read], total, parts["analysis"], analysis)
        else:
            areas = self._counted(read, total)
        self._benches_fit(read, areas)
        return areas

    def _by_tasks(
        self, read: list[tuple[Area, Node]], total: Node | None, at: Node, analysis: Analysis | None
    ) -> tuple[Area, ...]:
        """The areas held against the job analysis, with the numbers of items that it gives them."""
        areas = tuple(area for area, _ in read)
        if analysis is None or not hold_against(analysis, read, at, self.faults) or not areas:
            return areas
        wanted = sum(area.items for area in areas) if total is None else self._from(1, total, 200)
        given = counted_from(analysis, read, wanted, at, self.faults)
        return tuple(
            replace(area, items=count or area.items) for area, count in zip(areas, given, strict=True)
        )

    def _counted(self, read: list[tuple[Area, int, Node]], total: Node | None) -> tuple[Area, ...]:
        """The areas with their numbers of items; `total` is shared out by weight."""
        areas = tuple(one for one, _, _ in read)
        if total is None:
            return areas
        wanted = self._from(1, total, 200)
        weights = [weight for _, weight, _ in read]
        if not weights or min(weights) <= 0:
            return areas
        given = zip(areas, quotas(weights, wanted), strict=True)
        return tuple(replace(area, items=count) for area, count in given)

    def _area(self, node: Node, demands: list[str], more: list[str]) -> tuple[Area, int, Node]:
        parts = fields(node, ["id", "title", "skills", *demands], ["critical", "benches", *more], self.faults)
        skills = [self._identifier(one, SKILL) for one in self._optional(parts, "skills", items, NO_NODES)]
        if "skills" in parts and not skills:
            self.faults.add(parts["skills"], "An area needs a skill.", "Name one of skills.yaml.")
        if "because" in parts and "items" not in parts:
            self.faults.add(
                parts["because"], "A reason stands here for no number.", "Write `items` beside it."
            )
        numbers = [self._from(1, parts[name], 200) if name in parts else 0 for name in demands]
        area = Area(
            id=self._identifier(parts["id"], IDENTIFIER) if "id" in parts else "",
            title=self._text(parts["title"]) if "title" in parts else Text("", ""),
            skills=tuple(skills),
            items=self._from(1, parts["items"], 200)
            if "items" in more and "items" in parts
            else _alone(numbers),
            critical=self._optional(parts, "critical", flag, False),
            benches=self._benches(parts, skills),
            because=self._text(parts["because"]) if "because" in parts else None,
        )
        return area, numbers[0] * numbers[-1] if len(numbers) == 2 else 0, node

    def _benches(self, parts: dict[str, Node], skills: list[str]) -> tuple[BenchItem, ...]:
        nodes = self._optional(parts, "benches", items, NO_NODES)
        read = [read_bench(one, skills, self.faults) for one in nodes]
        return tuple(one for one in read if one is not None)

    def _benches_fit(self, read: list[tuple[Area, int, Node]], areas: tuple[Area, ...]) -> None:
        """Each bench once, and no more of them than an area has items."""
        listed = [
            node.value["benches"]
            for _, _, node in read
            if isinstance(node.value, dict) and "benches" in node.value
        ]
        entries = [one for node in listed if isinstance(node.value, list) for one in node.value]
        named = [
            one.value["bench"] for one in entries if isinstance(one.value, dict) and "bench" in one.value
        ]
        self._once([(one.written, one) for one in named], "bench")
        for area, (_, _, node) in zip(areas, read, strict=True):
            if area.questions < 0 < area.items and isinstance(node.value, dict):
                wrong = f"The area has {area.items} items."
                self.faults.add(node.value["benches"], wrong, "Benches cannot be more than that.")

    def _optional(
        self, parts: dict[str, Node], name: str, read: Callable[[Node, Faults], T], otherwise: T
    ) -> T:
        return read(parts[name], self.faults) if name in parts else otherwise

    def _skills_once(self, read: list[tuple[Area, int, Node]]) -> None:
        listed = [
            node.value["skills"] for area, _, node in read if area.skills and isinstance(node.value, dict)
        ]
        self._once([(one.written, one) for node in listed for one in items(node, self.faults)], "skill")

    def _once(self, named: list[tuple[str, Node]], what: str) -> None:
        seen: set[str] = set()
        for name, node in named:
            if name and name in seen:
                self.faults.add(node, f"The {what} {name} stands here twice.", "Keep one of them.", read=name)
            seen.add(name)

    def _practical(self, node: Node) -> Checklist:
        parts = fields(node, ["machine_bound", "steps"], [], self.faults)
        nodes = self._optional(parts, "steps", items, NO_NODES)
        if "steps" in parts and not nodes:
            self.faults.add(parts["steps"], "A practical needs a step.", "Write one `- id: …` a step.")
        steps = [self._step(one) for one in nodes]
        self._once([(step.id, at) for step, at in zip(steps, nodes, strict=True)], "step")
        return Checklist(self._optional(parts, "machine_bound", flag, False), tuple(steps))

    def _step(self, node: Node) -> Step:
        parts = fields(node, ["id", "critical", "text"], ["clause", "criteria"], self.faults)
        return Step(
            id=self._identifier(parts["id"], IDENTIFIER) if "id" in parts else "",
            text=self._text(parts["text"]) if "text" in parts else Text("", ""),
            critical=self._optional(parts, "critical", flag, False),
            clause=text(parts["clause"], self.faults) if "clause" in parts else None,
            criteria=self._text(parts["criteria"]) if "criteria" in parts else None,
        )


def _alone(numbers: list[int]) -> int:
    """The one number that an area states; 0 where it states weights, or none."""
    return numbers[0] if len(numbers) == 1 else 0
