"""What an eye sees of every vehicle that may roll by, and which of them make a recording."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trainer.benches.frame import NoTask
from trainer.sites.fleet import fleet
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import lenses
from trainer.sites.survey.seeing import Speeds, walker_time_of
from trainer.solver.beam import Span, Spans, blocked_spans

_LEAST_BODIES = 2


@dataclass(frozen=True)
class Rolling:
    """A vehicle in the middle of the lane: its blocked travel, from its nose at the beam [m]."""

    name: Said
    spans: Spans
    turned_away: bool

    @property
    def late(self) -> float:
        """How far the nose is past the beam when it is first blocked [m]."""
        return self.spans[0][0]

    @property
    def hole(self) -> float:
        """The longest way on which light comes through [m]."""
        return max((after[0] - before[1] for before, after in pairwise(self.spans)), default=0.0)


@dataclass(frozen=True)
class Pool:
    """Vehicles by what this eye makes of them.

    whole: one block each; parted: light comes through, and what is behind would count by itself
    flickering: light comes through, and what is behind is shorter than a person; these two by their longest hole
    """

    whole: tuple[Rolling, ...]
    parted: tuple[Rolling, ...]
    flickering: tuple[Rolling, ...]


def rolling_by(sheet: SiteSheet, eye: EyePair) -> tuple[Rolling, ...]:
    """Every vehicle that this eye sees in the middle of the lane; those that are turned away come too, as they do."""
    emitter, receiver = lenses(sheet, eye)
    found = []
    for one in fleet(sheet):
        spans = blocked_spans(emitter, receiver, one.body.pieces)
        moved = tuple((first - eye.position, last - eye.position) for first, last in spans)
        if moved:
            name = Said(one.name["en"], one.name["es"])
            found.append(Rolling(name, moved, one.id in sheet.turned_away))
    return tuple(found)


def pool(sheet: SiteSheet, bodies: Sequence[Rolling]) -> Pool:
    """The vehicles of a recording, as the chain of the sheet runs. Raises NoTask."""
    met = [
        one for one in bodies
        if one.late <= sheet.conveyor.nose_error / 2 and not _is_short(sheet, one.spans[0])
    ]  # fmt: skip
    whole = tuple(one for one in met if len(one.spans) == 1 and not one.turned_away)
    if len(whole) < _LEAST_BODIES:
        raise NoTask(_TOO_HIGH)
    holed = sorted((one for one in met if len(one.spans) > 1), key=lambda one: (one.hole, one.name))
    parted = tuple(one for one in holed if not _is_short(sheet, one.spans[-1]))
    return Pool(whole, parted, tuple(one for one in holed if one not in parted))


def _is_short(sheet: SiteSheet, span: Span) -> bool:
    """Whether this is no longer in the beam than a person may be, on the slowest chain."""
    return span[1] - span[0] <= walker_time_of(sheet) * Speeds.of(sheet).slow


_TOO_HIGH = Said(
    "This eye does not see the noses of ordinary cars, so its delays cannot be set by them. Lower its "
    "lenses in the site "
    "sheet, or choose another eye.",
    "Este ojo no ve la nariz de los carros comunes, así que sus retardos no se pueden ajustar con ellos. "
    "Baja sus lentes "
    "en la hoja del sitio o elige otro ojo.",
)
