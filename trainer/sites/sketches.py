"""Which drawing shows where the tape lies for a field, with the numbers as they stand now."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from trainer.solver.bodies import BODIES

Numbers = Mapping[str, float]
Drawing = tuple[str, dict[str, float]]

_FEET_MARKED = 20 * 0.3048  # two chalk marks as far apart as the words say
_CAR = BODIES["sedan"].length


def sketch(kind: str, field: str, now: Numbers) -> Drawing | None:
    """The figure's name and its numbers [SI] for a field of this kind; None where nothing is drawn.

    now: every number of the sheet by its field, as it is measured so far. A number that is missing leaves no drawing.
    """
    make = _KINDS.get(kind)
    if make is None:
        return None
    try:
        return make(_Near(now, field))
    except KeyError:
        return None


class _Near:
    """The numbers around one field: its own, its neighbours' in the same section or item, any other."""

    def __init__(self, now: Numbers, field: str) -> None:
        self.now, self.field = now, field

    @property
    def own(self) -> float:
        return self.now[self.field]

    def beside(self, name: str) -> float:
        return self.now[f"{self.field.rpartition('.')[0]}.{name}"]

    def __getitem__(self, field: str) -> float:
        return self.now[field]


def _height(near: _Near, upper: bool) -> Drawing:
    numbers = {"low": near.beside("low"), "high": near.beside("high")}
    return "tape_height", numbers | ({"upper": 1.0} if upper else {})


def _chain(near: _Near) -> Drawing:
    return "chain_marks", {"length": _FEET_MARKED, "time": _FEET_MARKED / near["conveyor.speed"]}


def _pulses(near: _Near) -> Drawing:
    counted = round(_FEET_MARKED * near["conveyor.pulses_per_length"])
    return "chain_marks", {"length": _FEET_MARKED, "pulses": float(counted)}


def _gap(near: _Near, whole: bool) -> Drawing:
    numbers = {"gap": near["conveyor.smallest_gap"], "pitch": near["conveyor.pitch"]}
    return "tape_gap", numbers | ({"whole": 1.0} if whole else {})


def _window(near: _Near) -> Drawing:
    parts = {name: near.beside(name) for name in ("distance", "lead", "trail")}
    return "application_window", parts | {"length": _CAR}


def _curve(near: _Near) -> Drawing:
    parts = {name: near.beside(name) for name in ("reference_gain", "reference_distance")}
    return "gain_over_distance", parts | {"distance": near["bay.width"]}


_KINDS: Mapping[str, Callable[[_Near], Drawing]] = {
    "compass": lambda near: ("bay_compass", {"bearing": near["location.bearing"]}),
    "height_low": lambda near: _height(near, upper=False),
    "height_high": lambda near: _height(near, upper=True),
    "across": lambda near: ("tape_across", {"span": near["bay.width"]}),
    "offset": lambda near: ("tape_offset", {"width": near["bay.width"], "offset": near.own}),
    "along": lambda near: ("tape_along", {"distance": near.own}),
    "gap": lambda near: _gap(near, whole=False),
    "pitch": lambda near: _gap(near, whole=True),
    "lens": lambda near: ("tape_lens", {"lens_diameter": near.own}),
    "stopwatch": _chain,
    "pulses": _pulses,
    "label": lambda _: ("head_label", {}),
    "cabinet": lambda _: ("shut_cabinet", {}),
    "cable": lambda near: ("tape_cable", {"length": near.own}),
    "bucket": lambda near: ("flow_meter", {"flow": near.own}),
    "lead": _window,
    "trail": _window,
    "steam": lambda near: ("fog_bay", {"visibility": near.own, "distance": near["bay.width"]}),
    "cone": lambda near: ("spot", {"half_angle": near.own, "distance": near["bay.width"]}),
    "curve": _curve,
    "cover": lambda near: ("lens_cover", {"excess_gain": near.own}),
    "on_delay": lambda near: ("timing_on_delay", {"preset": near.own}),
    "off_delay": lambda near: ("timing_off_delay", {"preset": near.own}),
}
