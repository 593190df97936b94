"""When a round beam of finite width switches, where its axis alone would switch at the edge itself.

Edges are taken as upright and the beam as square to the travel, so that an edge crosses the lens as a straight line. An
edge that leans from upright takes longer by 1/cos of its lean, a beam skewed in plan by 1/cos of its skew: neither is
counted. Nor is hysteresis.

        light left |-----.                .-----
                   |      \\              /
              1/EG |- - - -o- - - - - - o- - - -   the output switches at o
                   |        `----------´
                   +-------|------------|------> travel
                         edge         edge         of an opaque span as wide as the lens, or wider
"""

import numpy as np
import numpy.typing as npt

from trainer.solver.aperture import edge_shift, open_share
from trainer.solver.beam import Sweep
from trainer.solver.crossing import Truths
from trainer.solver.numbers import Floats, Numbers, require_above_zero

Indices = npt.NDArray[np.intp]

_LATTICE = np.linspace(-1, 1, 17)  # radii about each edge at which the light is looked at
_HALVINGS = 48  # of a lattice step: far below a nanometre
_AT_ONCE = 2048  # placements, so that the lattices of many stay small


def switched(axis: Sweep, lens_diameter: Numbers, excess_gain: Numbers) -> Sweep:
    """Where the output is dark, for spans in which the beam's axis is blocked.

    axis: what sweep found for the axis
    lens_diameter: diameter of the round beam [m], above 0
    excess_gain: light received over light needed, clear path, above 1
    The output is dark while the share left open is at most 1/excess_gain. Where every span and hole is at least as wide
    as the lens, each dark span starts edge_shift late and ends edge_shift early; elsewhere the light of all edges
    that stand in the lens together is added up, so that a strap just wide enough is dark for a short travel only, a
    narrower one never, and a slit too narrow for the light is no hole. Where three edges or more stand in the lens
    together, a spell shorter than 1/16 of its diameter may be missed.
    Inputs broadcast with the shape of `axis`; merged spans come back. Raises BadInput.
    """
    shift = np.asarray(edge_shift(lens_diameter, excess_gain))
    shape = np.broadcast_shapes(axis.seen.shape, shift.shape)
    late, diameter, gain = (_column(one, shape) for one in (shift, lens_diameter, excess_gain))
    spans = axis.merged()
    firsts, lasts = _rows(spans.firsts, shape), _rows(spans.lasts, shape)
    crowded = (lasts - firsts < diameter).any(axis=0) | (firsts[1:] - lasts[:-1] < diameter).any(axis=0)
    dark = [firsts + late, lasts - late]
    for some in _portions(np.flatnonzero(crowded)):
        edges = firsts[:, some], lasts[:, some]
        found = _added_up(*edges, diameter[some] / 2, 1 - 1 / gain[some])
        dark = [_filled(ends, some, new) for ends, new in zip(dark, found, strict=True)]
    firsts, lasts = (ends.reshape(len(ends), *shape) for ends in dark)
    return Sweep(firsts, lasts)


def dark_travel(lens_diameter: Numbers, excess_gain: Numbers, width: Numbers) -> Numbers:
    """How far a vehicle rolls while an upright strap keeps the output dark [m]; 0 for a strap that is never seen.

    lens_diameter: diameter of the round beam [m], above 0
    excess_gain: light received over light needed, clear path, above 1
    width: of the strap along the travel [m], above 0
    A strap as wide as the lens, or wider, is dark for its width less twice edge_shift; a narrower one for less, down to
    nothing at minimum_object. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: area of a disc between two chords.
    """
    wide = require_above_zero("width", width, "m")
    found = switched(Sweep(np.zeros((1, *wide.shape)), wide[np.newaxis]), lens_diameter, excess_gain)
    travel: Numbers = np.where(found.seen, found.last - found.first, 0.0)[()]
    return travel


def _column(value: Numbers, shape: tuple[int, ...]) -> Floats:
    """A value for each placement, in one row."""
    return np.broadcast_to(np.asarray(value, dtype=np.float64), shape).reshape(-1)


def _rows(ends: Floats, shape: tuple[int, ...]) -> Floats:
    """Ends (n, ...) broadcast to a shape of placements, as n rows."""
    missing = len(shape) - (ends.ndim - 1)
    wide = ends.reshape(len(ends), *(1,) * missing, *ends.shape[1:])
    return np.broadcast_to(wide, (len(ends), *shape)).reshape(len(ends), -1)


def _portions(places: Indices) -> list[Indices]:
    """Places in portions of bounded size."""
    return [places[at : at + _AT_ONCE] for at in range(0, len(places), _AT_ONCE)]


def _filled(ends: Floats, places: Indices, new: Floats) -> Floats:
    """Ends with new columns at some places, and as many rows as both need, NaN where there is no span."""
    filled = np.full((max(len(ends), len(new)), ends.shape[1]), np.nan)
    filled[: len(ends)] = ends
    filled[:, places] = np.nan
    filled[: len(new), places] = new
    return filled


def _added_up(firsts: Floats, lasts: Floats, radius: Floats, wanted: Floats) -> tuple[Floats, Floats]:
    """First and last dark travel, in rows, where the covered share of the disc comes to and falls below `wanted`.

    Looked at on a lattice about every edge, and midway between neighbours: the light of two edges has its one extreme
    there, so what two edges do is found exactly; every change between two places is then halved down.
    """
    edges = np.stack([firsts, lasts], axis=1).reshape(
        2 * len(firsts), -1
    )  # a span's first, its last, the next first
    near = edges[:, np.newaxis] + _LATTICE[:, np.newaxis] * radius
    midway = (edges[1:] + edges[:-1]) / 2
    places = np.sort(np.concatenate([near.reshape(-1, len(radius)), midway]), axis=0).T
    share = _covered(places.T, firsts, lasts, radius).T
    dark = share >= wanted[:, np.newaxis]
    which, step = np.nonzero(dark[:, 1:] != dark[:, :-1])
    clear, covered = places[which, step], places[which, step + 1]
    darkens = dark[which, step + 1]
    clear, covered = np.where(darkens, clear, covered), np.where(darkens, covered, clear)
    for _ in range(_HALVINGS):
        middle = (clear + covered) / 2
        is_dark = _covered(middle, firsts[:, which], lasts[:, which], radius[which]) >= wanted[which]
        clear, covered = np.where(is_dark, clear, middle), np.where(is_dark, middle, covered)
    return _ordered(which, covered, darkens, len(radius)), _ordered(which, covered, ~darkens, len(radius))


def _covered(places: Floats, firsts: Floats, lasts: Floats, radius: Floats) -> Floats:
    """Share of the disc that all spans cover together when the vehicle stands at a place."""
    share = np.zeros(places.shape)
    for first, last in zip(firsts, lasts, strict=True):
        left, right = (np.clip((places - edge) / radius, -1.0, 1.0) for edge in (first, last))
        strip = open_share(right) - open_share(left)
        share += np.where(np.isnan(strip), 0.0, strip)  # no span in this row
    return share


def _ordered(which: Indices, values: Floats, chosen: Truths, columns: int) -> Floats:
    """The chosen values as rows under their columns, NaN behind them; `which` rises, so values are in order."""
    column, value = which[chosen], values[chosen]
    row = np.arange(len(column)) - np.searchsorted(column, column)
    ordered = np.full((int(row.max(initial=0)) + 1, columns), np.nan)
    ordered[row, column] = value
    return ordered
