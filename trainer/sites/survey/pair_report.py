"""One pair of eyes told to a reader: what it sees, its delays, its light, its error, its sun."""

from __future__ import annotations

import math

from trainer.sites.survey.reader import Reader
from trainer.sites.survey.report import Section, Table
from trainer.sites.survey.results import (
    BodySeen,
    DelaySurvey,
    LengthSurvey,
    PairSurvey,
    Setting,
    SignalSurvey,
    SunSurvey,
    Survey,
)
from trainer.sites.survey.scenes import BAY, advised_delays

_PURPOSES = {
    "measure": ("measures the car", "mide el carro"),
    "profile": ("tells a tall body from a low one", "distingue un vehículo alto de uno bajo"),
    "presence": ("counts cars", "cuenta carros"),
}
_SURROUNDINGS = {
    "clean": ("clean", "limpio"),
    "slightly_dirty": ("slightly dirty", "un poco sucio"),
    "moderately_dirty": ("moderately dirty", "medio sucio"),
    "very_dirty": ("very dirty", "muy sucio"),
}
_SIDES = {
    "driver": ("driver's side", "lado del conductor"),
    "passenger": ("passenger's side", "lado del pasajero"),
}
_POINTS = (
    ("north", "norte"), ("northeast", "noreste"), ("east", "este"), ("southeast", "sureste"),
    ("south", "sur"), ("southwest", "suroeste"), ("west", "oeste"), ("northwest", "noroeste"),
)  # fmt: skip
_EIGHTH = math.pi / 4
_LEVEL = math.radians(0.05)  # less is told as none


def pair_section(survey: Survey, pair: PairSurvey, drawings: tuple[str, ...], to: Reader) -> Section:
    """Everything about one pair."""
    tables = [
        _bodies(pair, to),
        _delays(pair.delays, advised_delays(survey, pair), to),
        _signal(pair.signal, to),
    ]
    if pair.measures is not None:
        tables.append(_length(pair.measures, to))
    if pair.sun.total:
        tables.append(_sun(pair.sun, to))
    own = tuple(name for name in drawings if name != BAY and name.startswith(f"{pair.eye.id}."))
    return Section(pair.eye.id, to.said(pair.name), _facts(pair, to), tuple(tables), own, _notes(pair, to))


def _facts(pair: PairSurvey, to: Reader) -> tuple[tuple[str, str], ...]:
    eye = pair.eye
    side = to.say(*_SIDES[eye.receiver_side])
    return (
        (to.say("What it is for", "Para qué sirve"), to.say(*_PURPOSES[eye.purpose])),
        (
            to.say("Lenses above the floor", "Lentes sobre el piso"),
            f"{to.tape(eye.low)} · {to.tape(eye.high)}",
        ),
        (to.say("Receiver", "Receptor"), side),
        (to.say("Length of the beam", "Largo del haz"), to.write(pair.length, "ft")),
        (to.say("Surroundings", "Alrededores"), to.say(*_SURROUNDINGS[eye.environment])),
        (to.say("Housing", "Caja"), f"{pair.enclosure.code}: {_housing(pair, to)}"),
        (to.say("Receiver looks to", "El receptor mira al"), _looks(pair.sun, to)),
    )


def _housing(pair: PairSurvey, to: Reader) -> str:
    dust = to.say("dust-tight", "cerrada al polvo") if pair.enclosure.dust_tight else to.say(
        "not dust-tight", "no cerrada al polvo")  # fmt: skip
    jets = to.say("stands strong jets", "aguanta chorros fuertes") if pair.enclosure.stands_jets else to.say(
        "not for strong jets", "no aguanta chorros fuertes")  # fmt: skip
    return f"{dust}, {jets}"


def _looks(sun: SunSurvey, to: Reader) -> str:
    point = to.say(*_POINTS[round(sun.azimuth / _EIGHTH) % 8])
    if abs(sun.elevation) < _LEVEL:
        return f"{point} ({to.degrees(sun.azimuth)}), {to.say('level', 'a nivel')}"
    up = to.say("up", "hacia arriba") if sun.elevation > 0 else to.say("down", "hacia abajo")
    return f"{point} ({to.degrees(sun.azimuth)}), {to.degrees(abs(sun.elevation))} {up}"


def _notes(pair: PairSurvey, to: Reader) -> tuple[str, ...]:
    if pair.sun.total:
        return ()
    if pair.sun.open_sky:
        return (
            to.say(
                f"The sun never looks into this receiver. Without the wall it would, {to.whole(pair.sun.open_sky)} "
                "minutes a year: keep that wall.",
                f"El sol nunca le da a este receptor. Sin la pared le daría {to.whole(pair.sun.open_sky)} minutos al "
                "año: deja esa pared.",
            ),
        )
    return (to.say("The sun never looks into this receiver.", "El sol nunca le da a este receptor."),)


def _bodies(pair: PairSurvey, to: Reader) -> Table:
    profile = pair.eye.purpose == "profile"
    ends = (
        (to.say("Starts behind the nose", "Empieza detrás de la trompa"),
         to.say("Ends before the tail", "Termina antes de la cola"))
        if profile
        else (to.say("Nose", "Trompa"), to.say("Tail", "Cola"))
    )  # fmt: skip
    heads = (
        to.say("Body", "Vehículo"),
        to.say("Tall enough", "Tan alto") if profile else to.say("Seen", "Lo ve"),
        *ends,
        to.say("Longest gap in it", "Hueco más largo"),
        to.say("Counts as", "Cuenta como"),
    )
    title = to.say("What it sees: + is late, − is early", "Qué ve: + es tarde, − es antes")
    if profile:
        title = to.say("What it takes for tall", "Qué toma por alto")
    rows = tuple(_body_row(one, to, profile=profile) for one in pair.bodies)
    return Table(title, heads, rows, numbers=(2, 3, 4, 5))


def _body_row(one: BodySeen, to: Reader, *, profile: bool) -> tuple[str, ...]:
    name = to.said(one.name)
    if one.turned_away:
        name += f" ({to.say('not taken here', 'aquí no se acepta')})"
    if not one.cuts:
        return (name, _never(one, to, profile=profile), "–", "–", "–", "–")
    nose, tail = to.late(one.nose_error), to.late(one.tail_error)
    if profile:
        nose, tail = to.tape(one.nose_error), to.tape(-one.tail_error)
    return (name, _seen(one, to), nose, tail, to.tape(one.hole), to.write(one.counted, "cars"))


def _never(one: BodySeen, to: Reader, *, profile: bool) -> str:
    if profile and one.passes_over:
        return to.say("– no", "– no")
    return f"✗ {to.say('never', 'nunca')}{_how(one, to)}"


def _seen(one: BodySeen, to: Reader) -> str:
    if one.missed_at is None:
        return "✓ " + to.say("yes", "sí")
    where = to.tape(abs(one.missed_at))
    middle = to.say("in the middle", "al centro")
    at = to.say(f"at {where} off the middle", f"a {where} del centro") if one.missed_at else middle
    return f"✗ {to.say('no', 'no')}, {at}{_how(one, to)}"


def _how(one: BodySeen, to: Reader) -> str:
    if one.passes_under:
        return to.say(", the beam runs below it", ", el haz pasa por abajo")
    return to.say(", the beam runs over it", ", el haz pasa por arriba") if one.passes_over else ""


def _delays(found: DelaySurvey, advised: Setting | None, to: Reader) -> Table:
    def pair(setting: Setting) -> tuple[str, str]:
        return to.write(setting[0], "s", 2), to.write(setting[1], "s", 2)

    rows = [(to.say("Set now", "Ahora"), *pair(found.present))]
    if found.region:
        on, off = zip(*found.region, strict=True)
        rows.append((to.say("At least", "Por lo menos"), *pair((min(on), min(off)))))
        rows.append((to.say("At most", "A lo más"), *pair((max(on), max(off)))))
    if advised is not None:
        rows.append((to.say("Set", "Pon"), *pair(advised)))
    verdict = to.say("they fit", "sirven") if found.holds else to.say("they do not fit", "no sirven")
    if not found.region:
        verdict = to.say("nothing fits every demand", "nada cumple todo")
    heads = (
        to.say("Delay", "Retardo"),
        to.say("On-delay", "A la conexión"),
        to.say("Off-delay", "A la desconexión"),
    )
    return Table(f"{to.say('Delays', 'Retardos')}: {verdict}", heads, tuple(rows), numbers=(1, 2))


def _signal(signal: SignalSurvey, to: Reader) -> Table:
    needs = {signal.in_steam: signal.least} | {signal.in_clear: signal.required}
    rows = tuple(
        (to.said(one.name), to.times(one.left), to.times(needs[one.left]) if one.left in needs else "–")
        for one in signal.steps
    )
    heads = (
        to.say("Step", "Paso"),
        to.say("Excess gain left", "Ganancia que queda"),
        to.say("Needed", "Hace falta"),
    )
    return Table(to.say("Signal", "Señal"), heads, rows, numbers=(1, 2))


def _length(measures: LengthSurvey, to: Reader) -> Table:
    parts = (*measures.parts, measures.total)
    rows = tuple((to.said(one.name), to.late(one.least), to.late(one.most)) for one in parts)
    heads = (
        to.say("Part of the error", "Parte del error"),
        to.say("Least", "Mínimo"),
        to.say("Most", "Máximo"),
    )
    return Table(to.say("Error of the length", "Error del largo"), heads, rows, numbers=(1, 2))


def _sun(sun: SunSurvey, to: Reader) -> Table:
    rows = [(to.say("Minutes a year", "Minutos al año"), to.whole(sun.total))]
    if sun.first is not None and sun.last is not None:
        between = f"{to.clock(sun.first)} {to.say('to', 'a')} {to.clock(sun.last)}"
        rows.append((to.say("Between, by the site's clock", "Entre, por la hora del sitio"), between))
    rows.append((to.say("Without the wall", "Sin la pared"), to.whole(sun.open_sky)))
    heads = (to.say("Sun in the receiver", "Sol en el receptor"), to.say("How much", "Cuánto"))
    return Table(to.say("Sun", "Sol"), heads, tuple(rows), numbers=(1,))
