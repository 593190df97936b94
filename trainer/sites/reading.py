"""Reading a site sheet: every fault at once, each with its place, what was read and what is plausible."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields as dataclass_fields
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import Any, TypeVar, cast
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from trainer.documents import Faults, Node, fields, items, read_document, text
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import parse_quantity
from trainer.sites.plausible import RANGES
from trainer.sites.sheet import (
    ENERGY_KINDS,
    Application,
    Bay,
    Business,
    Cabinet,
    Conveyor,
    Drive,
    EnergyKind,
    EnergySource,
    EyePair,
    Location,
    Machine,
    Mode,
    SiteSheet,
    Wiring,
    Words,
)

Built = TypeVar("Built")
LANGUAGES = ("en", "es")
SECTIONS = ("location", "bay", "conveyor", "wiring", "drive", "business")
LISTS = ("eyes", "applications", "machines", "cabinets", "energy")


def read_sheet(source: str, file: str) -> SiteSheet:
    """The site sheet of a YAML text. Raises DocumentError with every fault of the file."""
    faults = Faults()
    top = fields(
        read_document(source, file), ["name", "time_zone", *SECTIONS, "eye_spacing", *LISTS], [], faults
    )
    faults.raise_if_any()
    reader = _Reader(faults)
    sheet = reader.sheet(top)
    faults.raise_if_any()
    reader.compare(sheet, top)
    faults.raise_if_any()
    return sheet


def demo_text() -> str:
    """The demo wash's sheet as its file stands."""
    return (files("trainer.sites") / "demo.yaml").read_text(encoding="utf-8")


@cache
def demo_sheet() -> SiteSheet:
    """The sheet of the invented demo wash."""
    return read_sheet(demo_text(), "demo.yaml")


class _Reader:
    """Builds the sheet's parts and gathers faults on the way."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults

    def sheet(self, top: dict[str, Node]) -> SiteSheet:
        return SiteSheet(
            name=text(top["name"], self.faults),
            time_zone=self.time_zone(top["time_zone"]),
            location=Location(**self.section("location", Location, top)),
            bay=Bay(**self.section("bay", Bay, top)),
            conveyor=Conveyor(**self.section("conveyor", Conveyor, top)),
            eyes=self.many(top["eyes"], self.eye),
            eye_spacing=self.quantity("eye_spacing", top["eye_spacing"]),
            applications=self.many(top["applications"], self.application),
            wiring=Wiring(**self.section("wiring", Wiring, top)),
            drive=Drive(**self.section("drive", Drive, top)),
            machines=self.many(top["machines"], self.machine),
            cabinets=self.many(top["cabinets"], self.cabinet),
            energy=self.many(top["energy"], self.energy),
            business=Business(**self.section("business", Business, top)),
        )

    def section(self, name: str, kind: type[Any], top: dict[str, Node]) -> dict[str, float]:
        """The numbers of a section; NaN stands for what is missing, which is a fault already."""
        names = [one.name for one in dataclass_fields(kind)]
        found = fields(top[name], names, [], self.faults)
        read = {one: self.quantity(f"{name}.{one}", child) for one, child in found.items()}
        return {one: read.get(one, float("nan")) for one in names}

    def many(self, node: Node, build: Callable[[Node], Built | None]) -> tuple[Built, ...]:
        nodes = items(node, self.faults)
        if not nodes:
            self.faults.add(node, "The list is empty.", "Write at least one.")
        built = tuple(one for one in map(build, nodes) if one is not None)
        self.distinct(nodes)
        return built

    def distinct(self, nodes: Iterable[Node]) -> None:
        seen: set[str] = set()
        for node in nodes:
            value = node.value.get("id") if isinstance(node.value, dict) else None
            if isinstance(value, Node) and value.shown in seen:
                self.faults.add(value, "This id stands twice in the list.", "Give each its own.")
            elif isinstance(value, Node):
                seen.add(value.shown)

    def quantity(self, row: str, node: Node) -> float:
        """A number with its unit, of the right dimension and in the plausible range; NaN after a fault."""
        allowed = RANGES[row]
        written = str(node.value) if isinstance(node.value, str | int | float) else ""
        try:
            value, unit = parse_quantity(written)
        except UnreadableQuantity as error:
            self.faults.add(node, str(error.wrong), f"Write a number with its unit, {allowed.words}.")
            return float("nan")
        if unit.dimension != allowed.dimension:
            wrong = f"It is {unit.dimension.words('en')}, not {allowed.dimension.words('en')}."
            self.faults.add(node, wrong, f"Write it {allowed.words}.")
            return float("nan")
        if not allowed.low <= value <= allowed.high:
            self.faults.add(
                node, "It is not plausible.", f"It should be {allowed.words}; check digits and unit."
            )
        return value

    def words(self, node: Node) -> Words:
        found = fields(node, LANGUAGES, [], self.faults)
        return {language: text(child, self.faults) for language, child in found.items()}

    def time_zone(self, node: Node) -> str:
        name = text(node, self.faults)
        try:
            ZoneInfo(name)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            self.faults.add(node, "There is no such time zone.", "Write one such as America/Chicago.")
        return name

    def choice(self, node: Node, allowed: tuple[str, ...]) -> str:
        if node.value not in allowed:
            self.faults.add(node, "It is none of the known words.", f"Write one of {', '.join(allowed)}.")
            return allowed[0]
        return str(node.value)

    def eye(self, node: Node) -> EyePair | None:
        numbers = [row.removeprefix("eye.") for row in RANGES if row.startswith("eye.")]
        found = fields(node, ["id", "name", *numbers, "mode", "ip_code"], [], self.faults)
        if len(found) < len(numbers) + 4:
            return None
        return EyePair(
            id=text(found["id"], self.faults),
            name=self.words(found["name"]),
            mode=cast(Mode, self.choice(found["mode"], ("light", "dark"))),
            ip_code=text(found["ip_code"], self.faults),
            **{name: self.quantity(f"eye.{name}", found[name]) for name in numbers},
        )

    def application(self, node: Node) -> Application | None:
        numbers = ("distance", "lead", "trail", "flow")
        found = fields(node, ["id", "name", *numbers], [], self.faults)
        if len(found) < len(numbers) + 2:
            return None
        parts = {name: self.quantity(f"application.{name}", found[name]) for name in numbers}
        return Application(id=text(found["id"], self.faults), name=self.words(found["name"]), **parts)

    def machine(self, node: Node) -> Machine | None:
        found = fields(node, ["id", "name"], [], self.faults)
        texts = {name: text(child, self.faults) for name, child in found.items()}
        return Machine(**texts) if len(texts) == 2 else None

    def cabinet(self, node: Node) -> Cabinet | None:
        found = fields(node, ["id", "name", "machine"], [], self.faults)
        texts = {name: text(child, self.faults) for name, child in found.items()}
        return Cabinet(**texts) if len(texts) == 3 else None

    def energy(self, node: Node) -> EnergySource | None:
        found = fields(node, ["id", "kind", "machine", "what", "isolate_at", "release"], [], self.faults)
        if len(found) < 6:
            return None
        return EnergySource(
            id=text(found["id"], self.faults),
            kind=cast(EnergyKind, self.choice(found["kind"], ENERGY_KINDS)),
            machine=text(found["machine"], self.faults),
            what=self.words(found["what"]),
            isolate_at=self.words(found["isolate_at"]),
            release=self.words(found["release"]),
        )

    def compare(self, sheet: SiteSheet, top: dict[str, Node]) -> None:
        """What each number allows alone may not fit together."""
        for eye, node in zip(sheet.eyes, items(top["eyes"], self.faults), strict=True):
            self.compare_eye(eye, node, sheet)
        if sheet.conveyor.pitch <= sheet.conveyor.smallest_gap:
            self.faults.add(
                _child(top["conveyor"], "pitch"),
                "Nose to nose is shorter than the gap.",
                "The pitch is a car's length and a gap.",
            )
        for before, behind in pairwise(sheet.applications):
            if behind.distance < before.distance:
                wrong = f"`{behind.id}` stands before `{before.id}`."
                self.faults.add(top["applications"], wrong, "List them as a car meets them.")
        if sheet.wiring.least >= sheet.wiring.supply:
            self.faults.add(
                _child(top["wiring"], "least"),
                "A head would need more than the supply gives.",
                "Check both voltages.",
            )
        self.compare_names(sheet, top)

    def compare_eye(self, eye: EyePair, node: Node, sheet: SiteSheet) -> None:
        if eye.low > eye.high:
            self.faults.add(
                _child(node, "low"), "The low head stands above the high one.", "Swap `low` and `high`."
            )
        if eye.off_delay * sheet.conveyor.speed >= sheet.conveyor.smallest_gap:
            wrong = (
                "With this off-delay two cars become one: the chain runs through the smallest gap meanwhile."
            )
            most = sheet.conveyor.smallest_gap / sheet.conveyor.speed
            self.faults.add(_child(node, "off_delay"), wrong, f"It must be shorter than {most:.2f} s.")

    def compare_names(self, sheet: SiteSheet, top: dict[str, Node]) -> None:
        known = {machine.id for machine in sheet.machines}
        for name in ("cabinets", "energy"):
            for listed in items(top[name], self.faults):
                machine = _child(listed, "machine")
                if machine.value not in known:
                    self.faults.add(
                        machine, "There is no such machine.", f"Known: {', '.join(sorted(known))}."
                    )


def _child(node: Node, key: str) -> Node:
    """A field of a mapping that was read already."""
    return cast(dict[str, Node], node.value)[key]
