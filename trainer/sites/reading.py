"""Reading a site sheet: every fault at once, each with its place, what was read, what is plausible, its mend."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from trainer.documents import Faults, Node, fields, flag, items, read_document
from trainer.sites import entries
from trainer.sites.fitting import compare
from trainer.sites.own_bodies import NEEDED, TOO, own_body
from trainer.sites.sheet import (
    ENERGY_KINDS,
    ENVIRONMENT,
    ENVIRONMENTS,
    HEADS,
    NOSE_ERROR,
    OPERATES,
    PURPOSES,
    SERVICE_LEVEL,
    SIDES,
    WALKER_DEPTH,
    WALKER_SPEED,
    Application,
    Bay,
    BayOpening,
    Business,
    Cabinet,
    Conveyor,
    Drive,
    EnergySource,
    EyePair,
    Location,
    Machine,
    NamedBody,
    Purpose,
    SiteSheet,
    StandingRoom,
    Supply,
    usual_purpose,
)
from trainer.sites.values import POSITION, SURVEYED, VALUES, SiteValue, application_range
from trainer.solver.bodies import BODIES
from trainer.solver.electrical import decode_ip
from trainer.solver.numbers import BadInput

_SECTIONS = ("location", "bay", "conveyor", "supply", "drive", "business")
_LISTS = ("eyes", "applications", "machines", "cabinets", "energy_sources")


def _ranges(*names: str, **other: str) -> dict[str, SiteValue]:
    """The range of each field; a field whose site value has another name is given as `field="value"`."""
    return {name: VALUES[name] for name in names} | {field: VALUES[name] for field, name in other.items()}


_LOCATION = _ranges("latitude", "longitude", bearing="bay_bearing")
_BAY = _ranges("lane_offset", "visibility_steam", width="bay_width")
_CONVEYOR = _ranges(
    "smallest_gap",
    "scan_time",
    "input_filter",
    speed="chain_speed",
    tolerance="chain_tolerance",
    pulses_per_length="pulses_per_foot",
    pitch="car_pitch",
)
_EYE = _ranges(
    "lens_diameter",
    "half_angle",
    "reference_gain",
    "reference_distance",
    "excess_gain",
    "on_delay",
    "off_delay",
    low="eye_low",
    high="eye_high",
) | {"position": POSITION}
_SUPPLY = _ranges(
    "least_voltage",
    "head_current",
    voltage="supply_voltage",
    tolerance="supply_tolerance",
    gauge="cable_gauge",
    length="cable_length",
    resistance_per_length="cable_resistance",
)
_DRIVE = _ranges("capacitor", "bus_voltage", "bleed_resistor", "safe_voltage")
_BUSINESS = _ranges(
    "cars_per_day",
    "days_per_year",
    "margin_per_car",
    "call_out",
    "head_price",
    "solution_price",
    "head_count",
    "failures_per_year",
    "lead_time",
)
# Fields that may be left out, each with its range and what stands for it then.
_CONVEYOR_TOO = {
    "nose_error": (VALUES["nose_error"], NOSE_ERROR),
    "walker_depth": (SURVEYED["walker_depth"], WALKER_DEPTH),
    "walker_speed": (SURVEYED["walker_speed"], WALKER_SPEED),
}
_BUSINESS_TOO = {
    "service_level": (VALUES["service_level"], SERVICE_LEVEL),
    "spares_on_shelf": (VALUES["spares_on_shelf"], None),
}
_EYE_TOO = ("purpose", "view_half_angle", "environment", "opening", "may_stand")
_OPENING = {name: SURVEYED[name] for name in ("sill", "head", "before", "after")}
_ROOM = {name: SURVEYED[name] for name in ("lowest", "highest")} | {"from": POSITION, "to": POSITION}

_Defaults = Mapping[str, tuple[SiteValue, float | None]]


def read_sheet(text: str, file: str) -> SiteSheet:
    """The site sheet of a YAML text; `file` is the name that faults show.

    Raises DocumentError with every fault; what can be read but is hardly as it should be is in `warnings`.
    """
    reader = _Reader(read_document(text, file))
    sheet = reader.sheet()
    reader.faults.raise_if_any()
    return sheet


def demo_text() -> str:
    """The demo wash's sheet as its file has it."""
    return (files("trainer.sites") / "demo.yaml").read_text(encoding="utf-8")


@cache
def demo_sheet() -> SiteSheet:
    """The sheet of Plumb Lane Wash, the invented demo."""
    return read_sheet(demo_text(), "demo.yaml")


class _Reader:
    """One reading of one sheet: `at` keeps the node of each field, as `bay.width` or `eyes.0.low`."""

    def __init__(self, top: Node) -> None:
        self.faults = Faults()
        self.at: dict[str, Node] = {}
        self.assumed: list[str] = []
        self.top = self.fields("", top, ("name", "time_zone", *_SECTIONS, *_LISTS), ("bodies", "turned_away"))

    def sheet(self) -> SiteSheet:
        machine_nodes = self.lists("machines", ("id", "name"), 1)
        machines = self.ids(machine_nodes)
        bodies = self.bodies()
        sheet = SiteSheet(
            name=entries.name(self.top.get("name"), self.faults),
            time_zone=self.time_zone(),
            location=Location(**self.section("location", _LOCATION)),
            bay=Bay(**self.section("bay", _BAY)),
            conveyor=Conveyor(**self.section("conveyor", _CONVEYOR, _CONVEYOR_TOO)),
            eyes=self.eyes(),
            applications=self.applications(),
            supply=Supply(**self.section("supply", _SUPPLY)),
            drive=Drive(**self.section("drive", _DRIVE)),
            business=Business(**self.section("business", _BUSINESS, _BUSINESS_TOO)),
            machines=tuple(self.machine(parts) for parts in machine_nodes),
            cabinets=self.cabinets(machines),
            energy_sources=self.energy_sources(machines),
            bodies=bodies,
            turned_away=self.turned_away([*(one.id for one in bodies), *BODIES]),
        )
        return compare(replace(sheet, assumed=tuple(self.assumed)), self.at, self.faults)

    def time_zone(self) -> str:
        node = self.top.get("time_zone")
        name = entries.name(node, self.faults)
        try:
            if name:
                ZoneInfo(name)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            if node is not None:
                self.faults.add(node, "There is no such time zone.", "Write one such as America/Chicago.")
        return name

    def section(
        self, name: str, ranges: Mapping[str, SiteValue], too: _Defaults | None = None
    ) -> dict[str, Any]:
        """The numbers of one section; NaN after a fault, the default where one of `too` is left out."""
        node, too = self.top.get(name), too or {}
        parts = self.fields(name, node, tuple(ranges), tuple(too)) if node is not None else {}
        given = {key: self.or_default(parts, name, key, *row) for key, row in too.items()}
        return {**entries.quantities(parts, ranges, self.faults), **given}

    def or_default(
        self, parts: Mapping[str, Node], where: str, name: str, expected: SiteValue, default: float | None
    ) -> float | None:
        """A quantity that may be left out [SI]; then it is noted as assumed."""
        if name in parts:
            return entries.quantity(parts[name], expected, self.faults)
        self.assumed.append(f"{where}.{name}")
        return default

    def eyes(self) -> tuple[EyePair, ...]:
        wanted = ("id", "name", "receiver_side", "high_head", *_EYE, "operate", "enclosure")
        found = self.lists("eyes", wanted, 1, _EYE_TOO)
        self.ids(found)
        return tuple(self.eye(i, parts) for i, parts in enumerate(found))

    def eye(self, i: int, parts: Mapping[str, Node]) -> EyePair:
        key = parts["id"].written if "id" in parts else ""
        numbers = entries.quantities(parts, _EYE, self.faults)
        view = VALUES["view_half_angle"], numbers["half_angle"]
        self.assumed += [
            f"eyes.{key}.{name}" for name in _EYE_TOO if name not in parts and name != "view_half_angle"
        ]
        return EyePair(
            id=key,
            purpose=self.purpose(i, parts, numbers["low"]),
            view_half_angle=self.or_default(parts, f"eyes.{key}", "view_half_angle", *view) or 0.0,
            environment=entries.choice(parts.get("environment"), ENVIRONMENTS, self.faults) or ENVIRONMENT,
            opening=self.opening(i, parts.get("opening")),
            may_stand=self.standing_room(i, parts.get("may_stand")),
            name=entries.words(parts.get("name"), self.faults),
            receiver_side=entries.choice(parts.get("receiver_side"), SIDES, self.faults),
            high_head=entries.choice(parts.get("high_head"), HEADS, self.faults),
            operate=entries.choice(parts.get("operate"), OPERATES, self.faults),
            enclosure=self.enclosure(parts.get("enclosure")),
            **numbers,
        )

    def purpose(self, i: int, parts: Mapping[str, Node], low: float) -> Purpose:
        """What the pair is for; the sheet counts lengths from its first pair, so that one measures."""
        node = parts.get("purpose")
        purpose: Purpose = entries.choice(node, PURPOSES, self.faults) or usual_purpose(i, low)
        if node is not None and i == 0 and purpose in PURPOSES and purpose != "measure":
            self.faults.add(
                node, "The first pair measures the car.", "Write measure, or list another pair first."
            )
        return purpose

    def opening(self, i: int, node: Node | None) -> BayOpening | None:
        numbers = self.or_none(f"eyes.{i}.opening", node, _OPENING)
        return None if numbers is None else BayOpening(**numbers)

    def standing_room(self, i: int, node: Node | None) -> StandingRoom | None:
        numbers = self.or_none(f"eyes.{i}.may_stand", node, _ROOM)
        if numbers is None:
            return None
        return StandingRoom(numbers["lowest"], numbers["highest"], numbers["from"], numbers["to"])

    def or_none(
        self, name: str, node: Node | None, ranges: Mapping[str, SiteValue]
    ) -> dict[str, float] | None:
        """The numbers of a part that may be left out, or that the sheet says is not there; NaN after a fault."""
        if node is None or node.value == "none":
            return None
        if not isinstance(node.value, dict):
            listed = ", ".join(f"{key}: …" for key in ranges)
            self.faults.add(node, "Fields are expected here.", f"Write `none`, or {{{listed}}}.")
            return None
        return entries.quantities(self.fields(name, node, tuple(ranges)), ranges, self.faults)

    def enclosure(self, node: Node | None) -> str:
        code = entries.name(node, self.faults)
        try:
            if code:
                decode_ip(code)
        except BadInput:
            if node is not None:
                self.faults.add(node, "This is no IP code.", "Write it like IP67, or IP66/IP67.")
        return code

    def applications(self) -> tuple[Application, ...]:
        numbers = ("distance", "lead", "trail", "flow")
        found = self.lists("applications", ("id", "name", *numbers), 1, ("wheels",))
        self.ids(found)
        made = []
        for parts in found:
            key = parts["id"].written if "id" in parts else ""
            ranges = {name: application_range(key, name) for name in numbers}
            name = entries.words(parts.get("name"), self.faults)
            wheels = "wheels" in parts and flag(parts["wheels"], self.faults)
            made.append(
                Application(key, name, **entries.quantities(parts, ranges, self.faults), wheels=wheels)
            )
        return tuple(made)

    def machine(self, parts: Mapping[str, Node]) -> Machine:
        return Machine(
            id=parts["id"].written if "id" in parts else "",
            name=entries.name(parts.get("name"), self.faults),
        )

    def cabinets(self, machines: Mapping[str, Node]) -> tuple[Cabinet, ...]:
        found = self.lists("cabinets", ("id", "name", "machine"), 1)
        self.ids(found)
        return tuple(
            Cabinet(
                id=parts["id"].written if "id" in parts else "",
                name=entries.name(parts.get("name"), self.faults),
                machine=entries.known_id(parts.get("machine"), machines, "machine", self.faults),
            )
            for parts in found
        )

    def energy_sources(self, machines: Mapping[str, Node]) -> tuple[EnergySource, ...]:
        wanted = ("id", "kind", "machine", "what", "isolate_at", "release")
        found = self.lists("energy_sources", wanted, 1)
        self.ids(found)
        return tuple(
            EnergySource(
                id=parts["id"].written if "id" in parts else "",
                kind=entries.choice(parts.get("kind"), ENERGY_KINDS, self.faults),
                machine=entries.known_id(parts.get("machine"), machines, "machine", self.faults),
                what=entries.words(parts.get("what"), self.faults),
                isolate_at=entries.words(parts.get("isolate_at"), self.faults),
                release=entries.words(parts.get("release"), self.faults),
            )
            for parts in found
        )

    def bodies(self) -> tuple[NamedBody, ...]:
        """The site's own vehicles."""
        found = self.lists("bodies", ("id", "name", "class", *NEEDED), 1, tuple(TOO))
        self.ids(found)
        nodes = items(self.top["bodies"], Faults()) if found else []
        made = [own_body(node, parts, self.faults) for node, parts in zip(nodes, found, strict=True)]
        return tuple(one for one in made if one is not None)

    def turned_away(self, known: Iterable[str]) -> tuple[str, ...]:
        """Ids of the bodies that the wash does not take."""
        node, bodies = self.top.get("turned_away"), sorted(known)
        if node is None:
            self.assumed.append("turned_away")
            return ()
        found = entries.some_items(node, 0, self.faults)
        for one in found:
            if one.written not in bodies:
                close = get_close_matches(one.written, bodies, n=1)
                mend = f"Did you mean `{close[0]}`?" if close else f"Known: {', '.join(bodies)}."
                self.faults.add(one, "There is no body with this id.", mend)
        return tuple(dict.fromkeys(one.written for one in found))

    def lists(
        self, name: str, wanted: tuple[str, ...], least: int, too: tuple[str, ...] = ()
    ) -> list[dict[str, Node]]:
        """The fields of each item of a list; those in `too` may be left out."""
        found = entries.some_items(self.top.get(name), least, self.faults)
        return [self.fields(f"{name}.{i}", node, wanted, too) for i, node in enumerate(found)]

    def ids(self, found: list[dict[str, Node]]) -> dict[str, Node]:
        """The ids of a list, each checked; a second of the same name is a fault."""
        taken: dict[str, Node] = {}
        for parts in found:
            if "id" in parts:
                taken.setdefault(entries.identifier(parts["id"], taken, self.faults), parts["id"])
        return taken

    def fields(
        self, name: str, node: Node, wanted: tuple[str, ...], too: tuple[str, ...] = ()
    ) -> dict[str, Node]:
        parts = fields(node, wanted, too, self.faults)
        self.at.update({f"{name}.{key}".lstrip("."): child for key, child in parts.items()})
        return parts
