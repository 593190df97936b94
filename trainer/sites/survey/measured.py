"""How wrong the length of a car may be that a pair measures, part by part."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.results import BodySeen, ErrorPart, LengthSurvey
from trainer.solver.length_budget import LengthPart, length_budget

_NAMES = {
    "beam": Said("where the beam meets nose and tail", "dónde corta el haz trompa y cola"),
    "quantisation": Said("whole pulses", "pulsos enteros"),
    "delays": Said("on-delay against off-delay", "retardo a la conexión contra desconexión"),
    "chain_tolerance": Said("chain speed in the delays", "velocidad de la cadena en los retardos"),
    "scan": Said("controller's scan", "barrido del controlador"),
    "total": Said("all together", "todo junto"),
}


def survey_length(sheet: SiteSheet, eye: EyePair, bodies: Sequence[BodySeen]) -> LengthSurvey | None:
    """The budget of a pair that measures: the beam over every vehicle taken, and all that comes after it.

    What the lens does to an edge is in the beam's part. None where the length is not used, or no vehicle is seen.
    """
    met = [one for one in bodies if one.part > 0 and not one.turned_away]
    if eye.purpose != "measure" or not met:
        return None
    chain = sheet.conveyor
    budget = length_budget(
        pulses_per_length=chain.pulses_per_length, speed=chain.speed, tolerance=chain.tolerance,
        on_delay=eye.on_delay, off_delay=eye.off_delay, scan_time=chain.scan_time,
    )  # fmt: skip
    least, most = (pick(one.length_ends[i] for one in met) for i, pick in enumerate((min, max)))
    parts = tuple(map(_part, (LengthPart("beam", least, most), *budget.parts)))
    total = LengthPart("total", least + budget.least, most + budget.most)
    return LengthSurvey(parts, max(parts, key=lambda one: one.size), _part(total))


def _part(one: LengthPart) -> ErrorPart:
    return ErrorPart(one.name, _NAMES[one.name], one.least, one.most)
