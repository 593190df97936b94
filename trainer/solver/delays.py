"""Which on-delays and off-delays meet a set of demands: a window for four of them, a polygon for any.

Delays act as `timers.debounce` has it: a block counts when it lasts longer than the on-delay (just as long does not),
a hole is bridged when it lasts no longer than the off-delay (just as long is). So an edge of what is allowed is closed
where something short must be swallowed or an error held, and open where something long must show.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Flags,
    Numbers,
    alike,
    as_floats,
    require,
    require_above_zero,
    require_from_zero,
    require_one_of,
    require_part,
)

LONGEST_SETTING = 10.0  # s; what a dial or a timer of an eye goes to: common practice, no source
_ROUNDING = 1e-12  # s; far below any timer, far above the rounding of floats

DEMANDS = ("ignore", "count", "bridge", "keep_apart", "nose", "length")
_DIRECTIONS = ((-1, 0), (1, 0), (0, -1), (0, 1), (-1, 1), (1, -1))

Setting = tuple[float, float]


@dataclass(frozen=True)
class Demand:
    """One thing that both delays together must do.

    kind and amount:
        ignore: a block as long as this must not count [s], 0 or more: the longest walker, a spray
        count: a vehicle, or its foremost part, as long as this must count [m], above 0
        bridge: a hole as long as this in one vehicle must not part it [m], 0 or more
        keep_apart: two vehicles with this gap between them must stay two [m], above 0
        nose: the nose may be this far past the beam when the output comes on [m], above 0
        length: the measured length may be this far from the true one, either way [m], 0 or more
    name: what it is for, as people call it
    Raises BadInput.
    """

    kind: str
    amount: float
    name: str = ""

    def __post_init__(self) -> None:
        require_one_of("kind", self.kind, DEMANDS)
        check = require_from_zero if self.kind in ("ignore", "bridge", "length") else require_above_zero
        if check("amount", self.amount, "s" if self.kind == "ignore" else "m").ndim:
            raise BadInput("amount", self.amount, "one number")


@dataclass(frozen=True)
class Bound:
    """All settings with on·on-delay + off·off-delay at most `most` [s], or below it where open; both ±1 or 0.

    demand: where the bound comes from; None is what can be set at all
    """

    on: int
    off: int
    most: float
    is_open: bool = False
    demand: Demand | None = None

    def room(self, on_delay: float, off_delay: float) -> float:
        """How far a setting is on the good side [s], as the crow flies; negative beyond."""
        steep: float = np.hypot(self.on, self.off)
        return (self.most - self.on * on_delay - self.off * off_delay) / steep

    def holds(self, on_delay: float, off_delay: float) -> bool:
        """Whether a setting is within."""
        room = self.room(on_delay, off_delay)
        return bool(room > _ROUNDING if self.is_open else room >= -_ROUNDING)


@dataclass(frozen=True)
class Edge:
    """A side of the region from start to end, and the demands that bind there; none: the end of what can be set."""

    start: Setting
    end: Setting
    demands: tuple[Demand, ...]
    is_open: bool


@dataclass(frozen=True)
class Region:
    """All pairs (on-delay, off-delay) that meet every demand [s].

    bounds: the half-planes whose common part it is
    corners: of that common part, counter-clockwise from the lowest; three or more, or two (a segment), one (a
        point), none (empty)
    edges: its sides; a corner on an open edge is itself not allowed
    empty: whether no pair meets all demands; then there are no corners and no edges
    conflict: the fewest demands that cannot hold together, the first such in the order given; () where not empty
    recommended: the middle of the settings farthest from every edge, None where empty
    """

    bounds: tuple[Bound, ...]
    corners: tuple[Setting, ...]
    edges: tuple[Edge, ...]
    conflict: tuple[Demand, ...]
    recommended: Setting | None

    @property
    def empty(self) -> bool:
        """Whether no pair of delays meets every demand."""
        return not self.corners

    @property
    def binding(self) -> tuple[Demand, ...]:
        """The demands that bind an edge, in the order given; the others could be a little harder for nothing."""
        held = {id(demand) for edge in self.edges for demand in edge.demands}
        return tuple(one for one in _demands(self.bounds) if id(one) in held)

    def holds(self, on_delay: float, off_delay: float) -> bool:
        """Whether these delays [s] meet every demand."""
        return all(bound.holds(on_delay, off_delay) for bound in self.bounds)

    def broken(self, on_delay: float, off_delay: float) -> tuple[Demand, ...]:
        """The demands that these delays [s] do not meet, in the order given."""
        return _demands(one for one in self.bounds if not one.holds(on_delay, off_delay))

    def slack(self, on_delay: float, off_delay: float) -> float:
        """How far the setting may drift in any direction before a demand breaks [s]; negative where one is broken.

        Inside the region this is the distance to its nearest edge; outside, minus the distance to the line of the
        demand that is missed most.
        """
        return float(min(bound.room(on_delay, off_delay) for bound in self.bounds))

    def nearest(self, on_delay: float, off_delay: float) -> Demand | None:
        """The demand that breaks first as the setting drifts; None where that is the end of what can be set."""
        return min(self.bounds, key=lambda bound: bound.room(on_delay, off_delay)).demand


def delay_region(
    demands: Sequence[Demand],
    speed: float,
    tolerance: float = 0.0,
    *,
    scan_time: float = 0.0,
    longest: float = LONGEST_SETTING,
) -> Region:
    """All pairs of delays that meet every demand, exactly.

    demands: what the delays must do
    speed: of the conveyor [m/s], above 0
    tolerance: how far the speed may be off, either way, a share from 0 to below 1; each demand is taken at its worst
        end: holes at the slow one, all else at the fast one
    scan_time: of the controller that reads the eye [s], 0 or more. Reading may come one scan late, and so may finding
        that a delay has run out: vehicles and gaps must be longer by two scans, and errors hold two scans more.
        What is ignored or bridged stays so. The region is then safe rather than exact: between whole scans a
        little more may hold. It holds for delays in the controller and in the eye itself alike.
    longest: the longest delay that can be set [s], above 0; so the region is always bounded
    Raises BadInput.
    """
    require_above_zero("speed", speed, "m/s")
    require_part("tolerance", tolerance)
    require_from_zero("scan_time", scan_time, "s")
    require_above_zero("longest", longest, "s")
    slow, fast = float(speed) * (1 - tolerance), float(speed) * (1 + tolerance)
    found = [bound for one in demands for bound in _bounds(one, slow, fast, 2 * scan_time)]
    bounds = (*_settable(longest), *found)
    corners = _polygon(bounds)
    return Region(
        bounds=bounds,
        corners=corners,
        edges=_edges(corners, bounds),
        conflict=() if corners else _conflict(bounds),
        recommended=_middle(corners, bounds) if corners else None,
    )


def _bounds(demand: Demand, slow: float, fast: float, late: float) -> tuple[Bound, ...]:
    """A demand as half-planes; `late` is what scanning takes from it [s]."""
    amount = float(demand.amount)
    brief = amount / fast - late
    return {
        "ignore": (Bound(-1, 0, -amount, False, demand),),
        "count": (Bound(1, 0, brief, True, demand),),
        "bridge": (Bound(0, -1, -amount / slow, False, demand),),
        "keep_apart": (Bound(0, 1, brief, True, demand),),
        "nose": (Bound(1, 0, brief, False, demand),),
        "length": (Bound(-1, 1, brief, False, demand), Bound(1, -1, brief, False, demand)),
    }[demand.kind]


def _settable(longest: float) -> tuple[Bound, ...]:
    """Delays from 0 to the longest."""
    return Bound(-1, 0, 0.0), Bound(1, 0, longest), Bound(0, -1, 0.0), Bound(0, 1, longest)


def _demands(bounds: Iterable[Bound]) -> tuple[Demand, ...]:
    """The demands of some bounds, each once."""
    return tuple({id(one.demand): one.demand for one in bounds if one.demand is not None}.values())


def _polygon(bounds: Sequence[Bound]) -> tuple[Setting, ...]:
    """Corners of the common part; none where no setting is within all bounds, the open ones too.

    In a convex region a setting is off every open edge when the mean of the corners is.
    """
    corners = _corners(bounds)
    if not corners:
        return ()
    on, off = np.mean(corners, axis=0).tolist()
    return corners if all(one.room(on, off) > _ROUNDING for one in bounds if one.is_open) else ()


def _tightest(bounds: Sequence[Bound]) -> tuple[Bound, ...]:
    """The tightest bound of each direction."""
    groups = ([one for one in bounds if (one.on, one.off) == way] for way in _DIRECTIONS)
    return tuple(min(group, key=lambda one: one.most) for group in groups if group)


def _corners(bounds: Sequence[Bound], rounding: float = _ROUNDING) -> tuple[Setting, ...]:
    """Corners of the closed common part, counter-clockwise from the lowest: crossings of two lines."""
    tight = _tightest(bounds)
    crossings = (_crossing(one, two) for one, two in combinations(tight, 2))
    within = [
        at for at in crossings if at is not None and all(one.room(*at) >= -2 * rounding for one in tight)
    ]
    apart = _apart(within, rounding)
    middle = np.mean(apart, axis=0) if apart else np.zeros(2)
    around = sorted(apart, key=lambda at: float(np.arctan2(at[1] - middle[1], at[0] - middle[0])))
    lowest = min(range(len(around)), key=lambda i: (round(around[i][1], 9), around[i][0]), default=0)
    return (*around[lowest:], *around[:lowest])


def _crossing(one: Bound, two: Bound) -> Setting | None:
    """Where two lines meet; None where they are parallel. With factors ±1 and 0 this takes sums alone."""
    turn = one.on * two.off - two.on * one.off
    if turn == 0:
        return None
    on = (one.most * two.off - two.most * one.off) / turn
    return on + 0.0, (one.on * two.most - two.on * one.most) / turn + 0.0


def _apart(places: Sequence[Setting], rounding: float) -> list[Setting]:
    """The places without those that are one but for rounding."""
    kept: list[Setting] = []
    for at in places:
        if all(max(abs(at[0] - on), abs(at[1] - off)) > 8 * rounding for on, off in kept):
            kept.append(at)
    return kept


def _edges(corners: Sequence[Setting], bounds: Sequence[Bound]) -> tuple[Edge, ...]:
    """The sides; a segment is one side, a point has none but its own."""
    around = [*corners, corners[0]] if len(corners) != 2 and corners else corners
    return tuple(_edge(start, end, bounds) for start, end in pairwise(around))


def _edge(start: Setting, end: Setting, bounds: Sequence[Bound]) -> Edge:
    """A side and the bounds whose line runs along it."""
    along = [one for one in bounds if max(abs(one.room(*start)), abs(one.room(*end))) <= 8 * _ROUNDING]
    return Edge(start, end, _demands(along), any(one.is_open for one in along))


def _conflict(bounds: Sequence[Bound]) -> tuple[Demand, ...]:
    """The fewest demands that cannot hold together. Three are enough in the plane (Helly, 1923)."""
    free = [one for one in bounds if one.demand is None]
    for count in (1, 2, 3):
        for some in combinations(_demands(bounds), count):
            chosen = {id(one) for one in some}
            if not _polygon([*free, *(one for one in bounds if id(one.demand) in chosen)]):
                return some
    raise AssertionError("an empty region without a conflict of three demands")


def _middle(corners: Sequence[Setting], bounds: Sequence[Bound]) -> Setting:
    """Middle of all settings that are farthest from every edge: centres of the largest circle that fits.

    The largest radius stands where three lines, moved inwards by it, meet; moved in by that much, the region is a
    segment or a point.
    """
    tight = _tightest(bounds)
    radius = max((_radius(some, tight) for some in combinations(tight, 3)), default=0.0)
    if radius <= _ROUNDING:
        on, off = np.mean(corners, axis=0).tolist()
        return on, off
    moved = [
        Bound(one.on, one.off, one.most - float(np.hypot(one.on, one.off)) * radius * (1 - 1e-9))
        for one in tight
    ]
    ends = sorted(_corners(moved))
    return (ends[0][0] + ends[-1][0]) / 2, (ends[0][1] + ends[-1][1]) / 2


def _radius(some: Sequence[Bound], bounds: Sequence[Bound]) -> float:
    """Radius of the circle that touches three lines from inside, 0 where it breaks another bound or there is none."""
    steep = [float(np.hypot(one.on, one.off)) for one in some]
    lines = np.array([[one.on, one.off, s] for one, s in zip(some, steep, strict=True)])
    if abs(np.linalg.det(lines)) < 1e-9:
        return 0.0
    on, off, radius = np.linalg.solve(lines, [one.most for one in some]).tolist()
    return radius if all(one.room(on, off) >= radius - _ROUNDING for one in bounds) else 0.0


@dataclass(frozen=True)
class DelayWindow:
    """Delays that meet four demands [s]: on-delay from least to most, off-delay from least to below most."""

    on_delay_least: Numbers
    on_delay_most: Numbers
    off_delay_least: Numbers
    off_delay_most: Numbers

    @property
    def open(self) -> Flags:
        """Whether any pair of delays meets all demands."""
        on_fits = np.less_equal(self.on_delay_least, self.on_delay_most)
        is_open: Flags = on_fits & np.less(self.off_delay_least, self.off_delay_most)
        return is_open

    def holds(self, on_delay: Numbers, off_delay: Numbers) -> Flags:
        """Whether these delays [s] meet all demands."""
        on, off = as_floats("on_delay", on_delay), as_floats("off_delay", off_delay)
        on_fits = (on >= self.on_delay_least) & (on <= self.on_delay_most)
        fits: Flags = on_fits & (off >= self.off_delay_least) & (off < self.off_delay_most)
        return fits


def delay_window(  # noqa: PLR0917 - questions call it by position
    walker: Numbers, bridge: Numbers, gap: Numbers, nose_error: Numbers, speed: Numbers, tolerance: Numbers
) -> DelayWindow:
    """Delays that meet the four plain demands at once: a rectangle, the `delay_region` of four, for whole arrays.

    walker: longest time for which a walker blocks the beam [s], 0 or more; shorter blocks must not count
    bridge: longest hole in one vehicle at beam height [m], 0 or more; the vehicle must stay one
    gap: shortest clear distance between two vehicles [m], above 0; they must stay two
    nose_error: how far the nose may be past the beam when the output switches [m], above 0
    speed: of the conveyor [m/s], above 0
    tolerance: how far the speed may be off, either way, a share from 0 to below 1
    Inputs broadcast; each bound has their broadcast shape. Raises BadInput.
    """
    require_from_zero("walker", walker, "s")
    require_from_zero("bridge", bridge, "m")
    require_above_zero("gap", gap, "m")
    require_above_zero("nose_error", nose_error, "m")
    require_above_zero("speed", speed, "m/s")
    require_part("tolerance", tolerance)
    slow, fast = speed * (1 - tolerance), speed * (1 + tolerance)
    return DelayWindow(*alike(walker, nose_error / fast, bridge / slow, gap / fast))


@dataclass(frozen=True)
class DelaySetting:
    """A pair of delays [s] and how far it may drift before a demand breaks [s]."""

    on_delay: Numbers
    off_delay: Numbers
    slack: Numbers


def recommended_delays(  # noqa: PLR0917 - questions call it by position
    walker: Numbers, bridge: Numbers, gap: Numbers, nose_error: Numbers, speed: Numbers, tolerance: Numbers
) -> DelaySetting:
    """The middle of a `delay_window`: as far from each demand as can be.

    Inputs as delay_window. Inputs broadcast; each result has their broadcast shape.
    Raises BadInput, also where no delays meet all demands: then the nose or the gap is named, as too short.
    """
    window = delay_window(walker, bridge, gap, nose_error, speed, tolerance)
    on_room = np.subtract(window.on_delay_most, window.on_delay_least)
    off_room = np.subtract(window.off_delay_most, window.off_delay_least)
    require("nose_error", nose_error, on_room >= 0, "long enough for the on-delay that a walker asks for")
    require("gap", gap, off_room > 0, "long enough for the off-delay that the hole asks for")
    return DelaySetting(
        on_delay=(window.on_delay_least + window.on_delay_most) / 2,
        off_delay=(window.off_delay_least + window.off_delay_most) / 2,
        slack=np.minimum(on_room, off_room) / 2,
    )
