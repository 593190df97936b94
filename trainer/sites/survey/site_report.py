"""What a survey says of the whole wash, told to a reader: devices, neighbors, cabinet, shelf, what was assumed."""

from __future__ import annotations

import math
from collections.abc import Iterable

from trainer.quantities.units import unit
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader
from trainer.sites.survey.report import Section, Table
from trainer.sites.survey.results import ApplicationSurvey, CrosstalkSurvey, Survey, Window


def applications_section(survey: Survey, to: Reader) -> Section:
    """When each device runs, and what misses the cars."""
    return Section(
        "applications",
        to.say("Devices", "Equipos"),
        tables=(_windows(survey, to), _waste(survey.applications, to)),
        notes=(
            to.say(
                "Pulses count from the moment the nose meets the entry eye's beam.",
                "Los pulsos cuentan desde que la trompa corta el haz del ojo de entrada.",
            ),
        ),
    )


def _windows(survey: Survey, to: Reader) -> Table:
    """A row a body, a column a device: one window, or one for each axle."""
    bodies = dict.fromkeys(window.name for one in survey.applications for window in one.windows)
    heads = (to.say("Body", "Vehículo"), *(to.said(one.name) for one in survey.applications))
    rows = tuple(
        (to.said(body), *(_spans(one.windows, body, to) for one in survey.applications)) for body in bodies
    )
    title = to.say("On and off, in pulses", "Prende y apaga, en pulsos")
    return Table(title, heads, rows, numbers=tuple(range(1, len(heads))))


def _spans(windows: Iterable[Window], body: Said, to: Reader) -> str:
    between = to.say(" to ", " a ")
    mine = [one for one in windows if one.name == body]
    return ", ".join(f"{to.whole(one.on_pulse)}{between}{to.whole(one.off_pulse)}" for one in mine) or "–"


def _waste(applications: tuple[ApplicationSurvey, ...], to: Reader) -> Table:
    heads = (
        to.say("Device", "Equipo"),
        to.say("Misses each car", "No toca cada carro"),
        to.say("A year", "Al año"),
        to.say("It costs a year", "Cuesta al año"),
    )
    rows = tuple(
        (
            to.said(one.name),
            to.write(one.wasted_car, "gal", 2),
            to.write(one.wasted_year, "gal", 0),
            to.write(one.cost_year, "usd", 0),
        )
        for one in applications
    )
    return Table(
        to.say("Solution beside the cars", "Solución fuera de los carros"), heads, rows, numbers=(1, 2, 3)
    )


def crosstalk_section(survey: Survey, to: Reader) -> Section:
    """Which pair's light reaches which other receiver."""
    names = {pair.eye.id: to.said(pair.name) for pair in survey.pairs}
    heads = (
        to.say("Light of", "Luz de"),
        to.say("In the receiver of", "En el receptor de"),
        to.say("Apart", "Separados"),
        to.say("Excess gain", "Ganancia de exceso"),
        to.say("Reaches it", "Le llega"),
    )
    rows = tuple(
        (
            names[one.emitter_of],
            names[one.receiver_of],
            to.write(one.spacing, "ft"),
            to.times(one.gain),
            _reaches(one, to),
        )
        for one in survey.crosstalk
    )
    none = to.say("There is no second pair to disturb.", "No hay otro par que estorbar.")
    table = Table(
        to.say("Light from one pair in another", "Luz de un par en otro"), heads, rows, numbers=(2,)
    )
    title = to.say("Crosstalk", "Interferencia entre pares")
    return Section("crosstalk", title, tables=(table,) if rows else (), notes=() if rows else (none,))


def _reaches(one: CrosstalkSurvey, to: Reader) -> str:
    if one.lit:
        return "✗ " + to.say("yes, it holds it lit", "sí, lo mantiene con luz")
    if one.margin <= 0:
        return "✓ " + to.say("too weak to hold it lit", "muy débil para mantenerlo con luz")
    margin = to.degrees(one.margin)
    return "✓ " + to.say(f"no, {margin} to spare", f"no, sobran {margin}")


def cabinet_section(survey: Survey, to: Reader) -> Section:
    """Supply at the farthest head, pulses that the controller can count, the drive's stored charge."""
    supply, charge = survey.supply, survey.charge
    volts = tuple(to.write(one, "V", 1) for one in (supply.lowest, supply.drop, supply.at_head, supply.least))
    rate, limit = (f"{to.number(one)}/s" for one in (survey.pulse_rate, survey.pulse_limit))
    facts = (
        (to.say("Supply at its lowest", "Fuente en lo más bajo"), volts[0]),
        (to.say("Lost in the cable", "Se pierde en el cable"), volts[1]),
        (to.say("At the farthest head", "En el cabezal más lejano"), volts[2]),
        (to.say("Least it needs", "Lo mínimo que pide"), volts[3]),
        (to.say("Pulses come", "Llegan pulsos"), rate),
        (to.say("The controller counts up to", "El controlador cuenta hasta"), limit),
        (
            to.say("Drive stays charged after switching off", "El variador sigue cargado después de apagar"),
            f"{to.write(math.ceil(charge.seconds), 's', 0)} ({to.write(charge.bus_voltage, 'V', 0)} → "
            f"{to.write(charge.safe_voltage, 'V', 0)})",
        ),
    )
    return Section("cabinet", to.say("Supply and controller", "Fuente y controlador"), facts)


def spares_section(survey: Survey, to: Reader) -> Section:
    """Heads to keep on the shelf."""
    spares = survey.spares
    unknown = to.say("not counted", "sin contar")
    facts = [
        (to.say("Heads to hold", "Cabezales que debe haber"), to.whole(spares.needed)),
        (
            to.say("On the shelf", "En el estante"),
            unknown if spares.on_shelf is None else to.whole(spares.on_shelf),
        ),
        (
            to.say("Failures expected until delivery", "Fallas esperadas hasta la entrega"),
            to.number(spares.demand),
        ),
        (to.say("Chance to aim for", "Probabilidad que se busca"), to.write(spares.service_level, "%")),
    ]
    if spares.reached is not None:
        said = to.say("Chance with what is there", "Probabilidad con lo que hay")
        facts.append((said, to.write(spares.reached, "%", 2)))
    return Section("spares", to.say("Spare heads", "Cabezales de repuesto"), tuple(facts))


# What each field that may be missing means, and the unit in which its default is told.
_MEANINGS = {
    "nose_error": (("how late the nose may be reported", "cuánto puede tardar en avisar la trompa"), "in"),
    "walker_depth": (
        ("the deepest person, front to back", "la persona más ancha, de frente a espalda"),
        "in",
    ),
    "walker_speed": (("how slowly a person walks through", "qué tan lento pasa una persona"), "ft/s"),
    "service_level": (("chance that the shelf lasts", "probabilidad de que alcance el estante"), "%"),
    "spares_on_shelf": (("spare heads on the shelf", "cabezales en el estante"), "1"),
    "view_half_angle": (
        ("half of the receiver's cone of view", "la mitad del cono de visión del receptor"),
        "deg",
    ),
    "purpose": (("what the eye is for", "para qué es el ojo"), ""),
    "environment": (("how dirty its surroundings are", "qué tan sucio es su alrededor"), ""),
    "opening": (("a door or window behind the emitter", "puerta o ventana detrás del emisor"), ""),
    "may_stand": (("where the heads may stand", "dónde pueden ir los cabezales"), ""),
    "wheels": (("whether it works on wheels alone", "si trabaja solo en las ruedas"), ""),
}


def assumed_section(survey: Survey, to: Reader) -> Section:
    """Fields that nobody measured, and what stands for them."""
    heads = (to.say("Field", "Campo"), to.say("What it is", "Qué es"), to.say("Taken as", "Se toma"))
    rows = tuple((field, _meaning(field, to), _taken(survey, field, to)) for field in survey.assumed)
    none = to.say("Nothing: every number stands in the sheet.", "Nada: todos los números están en la hoja.")
    title = to.say("Assumed, not measured", "Supuesto, sin medir")
    table = Table(to.say("Measure these next", "Mide esto después"), heads, rows)
    return Section("assumed", title, tables=(table,) if rows else (), notes=() if rows else (none,))


def _meaning(field: str, to: Reader) -> str:
    known = _MEANINGS.get(field.rpartition(".")[2])
    return to.say(*known[0]) if known else field.rpartition(".")[2].replace("_", " ")


def _taken(survey: Survey, field: str, to: Reader) -> str:
    """What stands in the sheet as it was read for a field such as `eyes.exit.environment`."""
    where, _, name = field.rpartition(".")
    holder: object = survey.sheet
    for step in where.split("."):
        listed = {one.id: one for one in holder} if isinstance(holder, tuple) else {}
        holder = listed.get(step) or getattr(holder, step, None)
    value = getattr(holder, name, None)
    if value is None or value is False:
        return to.say("none", "ninguno")
    us = _MEANINGS[name][1] if name in _MEANINGS else ""
    if isinstance(value, float) and us:
        return to.tape(value) if unit(us).key == "in" else to.write(value, us)
    return str(value).replace("_", " ")
