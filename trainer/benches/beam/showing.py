"""A beam run as its learner sees it: what to do, the bay, heights across the lane, what rolled."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.benches.acts import Act
from trainer.benches.beam.end_view import EndView
from trainer.benches.beam.passing import places
from trainer.benches.beam.playing import ALL, FINISH, PLACE, RUN, SIDE_NAMES, Played, Tried, kinds, play
from trainer.benches.beam.rolling import Pass, roll
from trainer.benches.beam.strips import fleet_rows, strips
from trainer.benches.beam.sunlight import across, looks
from trainer.benches.beam.task import Placed, Task
from trainer.benches.beam.told import blinded, listed, where_all
from trainer.benches.frame import Offer, Shown, Table
from trainer.figures.live import Live
from trainer.language.questions import SignalWord
from trainer.sites.sheet import SIDES, NamedBody, Side
from trainer.sites.survey.reader import Reader
from trainer.solver.beam import beam_height


def show(task: Task, acts: Sequence[Act], reader: Reader) -> Shown:
    """The task, the bay as the heads hang now, the last vehicle that rolled, and what can be done."""
    played = play(task, acts)
    stands = played.stands
    passes = _passes(task, stands)
    drawings = [EndView(task, stands.placed, _in_lane(task, stands), reader).drawn("beam-end")]
    tables = [across_table(task, stands.placed, reader)]
    if passes:
        drawings.insert(0, _drawn(passes, reader))
        tables.append(fleet_table(passes, reader))
    if task.sunny:
        tables.append(_sun_table(task, stands.placed, reader))
    return Shown(
        task=_task(task, reader), drawings=tuple(drawings), tables=tuple(tables), offers=_offers(task, played),
        said=_said(task, played, passes, reader), notes=_notes(task, played, reader), caution=_caution(reader),
    )  # fmt: skip


def _task(task: Task, to: Reader) -> tuple[str, ...]:
    eye, reach = task.eye, task.sheet.bay.lane_offset
    names = listed([one.name[to.language] for one in task.vehicles], to)
    bridged = eye.off_delay * task.sheet.conveyor.speed
    sentences = [
        to.say(
            f"{eye.name['en']}: choose how high its two heads hang. No car may slip by over it or under it.",
            f"{eye.name['es']}: escoge a qué altura van sus dos cabezales. Nada debe escaparse por debajo ni por "
            "encima.",
        ),
        to.say(
            f"These vehicles come: {names}. They stand up to {to.tape(reach)} off the middle of the lane.",
            f"Vienen estos vehículos: {names}. Van hasta {to.tape(reach)} fuera del centro del carril.",
        ),
        to.say(
            "Each one must be seen once and whole: the beam breaks at its nose and stays broken to its tail. The "
            f"off-delay bridges holes up to {to.tape(bridged)}; a longer one makes two cars out of one.",
            "Cada uno debe verse una vez y entero: el haz se corta en la trompa y sigue cortado hasta la cola. El "
            f"retardo a la desconexión salva huecos de hasta {to.tape(bridged)}; uno más largo hace de un carro dos.",
        ),
    ]
    sentences.append(_room_task(task, to))
    if task.sunny:
        sentences.append(_sun_task(task, to))
    sentences.append(
        to.say(
            "Set the heads, roll vehicles past as often as you like, and hand it in when nothing gets away.",
            "Pon los cabezales, haz pasar vehículos las veces que quieras y entrega cuando nada se escape.",
        )
    )
    return tuple(sentences)


def _room_task(task: Task, to: Reader) -> str:
    """Where the heads may hang, and why one side has less room."""
    ends = [to.tape(end) for side in SIDES for end in (task.room(side).low, task.room(side).high)]
    text = to.say(
        f"A lens may hang from {ends[0]} to {ends[1]} on the driver's side, from {ends[2]} to {ends[3]} on the "
        "passenger's side.",
        f"Un lente puede ir de {ends[0]} a {ends[1]} del lado del conductor, de {ends[2]} a {ends[3]} del lado del "
        "pasajero.",
    )
    if task.driver.low != task.passenger.low:
        text += to.say(" A low wall takes the rest.", " Un muro bajo quita lo demás.")
    if task.driver.high != task.passenger.high:
        text += to.say(" One post is short.", " Un poste es corto.")
    return text


def _sun_task(task: Task, to: Reader) -> str:
    bearing = to.write(task.sheet.location.bearing, "deg", 0)
    return to.say(
        f"The walls have openings, and low sun that looks into the receiver blinds it. Cars face {bearing} on the "
        "compass (north 0, east 90, south 180, west 270). Choose the receiver's side too.",
        f"Los muros tienen aberturas, y el sol bajo que entra al receptor lo ciega. Los carros miran a {bearing} en la "
        "brújula (norte 0, este 90, sur 180, oeste 270). Escoge también el lado del receptor.",
    )


def _caution(to: Reader) -> tuple[SignalWord, str]:
    return "warning", to.say(
        "On a real bay, mount and aim with the conveyor stopped and locked out by an authorized person, 29 CFR "
        "1910.147. Somebody in the lane can be caught by the chain or a car. Wiring is for those who may; local codes "
        "and licensed practice come first.",
        "En una bahía real, monta y apunta con el transportador parado y bloqueado por una persona autorizada, 29 CFR "
        "1910.147. A quien está en el carril lo puede atrapar la cadena o un carro. Los cables son de quien tiene "
        "permiso; los códigos locales y el electricista con licencia van primero.",
    )


def _passes(task: Task, stands: Tried) -> tuple[Pass, ...]:
    """The last run past the placement that stands: one vehicle, or all."""
    if not stands.runs:
        return ()
    return tuple(Pass(task, stands.placed, one) for one in task.vehicles if stands.runs[-1] in (ALL, one.id))


def _drawn(passes: Sequence[Pass], to: Reader) -> Live:
    return roll(passes[0], to, "beam-roll") if len(passes) == 1 else strips(passes, to, "beam-fleet")


def _in_lane(task: Task, stands: Tried) -> NamedBody:
    """The vehicle that is drawn between the heads: the last one that rolled, else the first."""
    last = stands.runs[-1] if stands.runs else ""
    return next((one for one in task.vehicles if one.id == last), task.vehicles[0])


def _offers(task: Task, played: Played) -> tuple[Offer, ...]:
    if played.over:
        return ()
    stands = played.stands
    values: dict[str, float | str] = {side: getattr(stands.placed, side) for side in SIDES}
    if task.sunny:
        values["receiver"] = stands.placed.receiver
    moved = len(played.tried) > 1
    return tuple(
        {
            PLACE: Offer(kind, values, primary=not moved),
            RUN: Offer(kind, primary=moved and not stands.runs),
            FINISH: Offer(kind, primary=moved and bool(stands.runs)),
        }[kind.kind]
        for kind in kinds(task)
    )


def _said(task: Task, played: Played, passes: Sequence[Pass], to: Reader) -> str:
    if played.last is None:
        return ""
    if played.last.kind == PLACE:
        return to.say("Now: ", "Ahora: ") + where_all(task, played.stands.placed, to) + "."
    if played.last.kind == RUN:
        return _blind(task, played.stands.placed, to) or summary(passes, to)
    return to.say("Handed in.", "Entregado.")


def summary(passes: Sequence[Pass], to: Reader) -> str:
    """One pass in a sentence; of several, how many go wrong and the worst ends."""
    if len(passes) == 1:
        return passes[0].sentence(to)
    wrong = sum(bool(one.fate) for one in passes)
    nose, tail = (
        max(passes, key=lambda one: abs(getattr(one, end)) if getattr(one, end) == getattr(one, end) else 0)
        for end in ("nose", "tail")
    )
    return to.say(
        f"{wrong} of {len(passes)} vehicles go wrong somewhere in the lane.",
        f"{wrong} de {len(passes)} vehículos salen mal en algún lugar del carril.",
    ) + " " + nose.sentence(to) + ("" if tail is nose else " " + tail.sentence(to))  # fmt: skip


def _blind(task: Task, placed: Placed, to: Reader) -> str:
    if not blinded(task, placed):
        return ""
    return to.say(
        "Another pair's light keeps a receiver lit here: no vehicle is seen.",
        "Aquí la luz de otro par mantiene prendido un receptor: no se ve ningún vehículo.",
    )


def _notes(task: Task, played: Played, to: Reader) -> tuple[str, ...]:
    """A line for each placement that was tried, with what rolled past it."""
    names = {one.id: one.name[to.language] for one in task.vehicles}
    names[ALL] = to.say("the whole fleet", "toda la flota")
    lines = []
    for tried in played.tried:
        rolled = listed([names[one] for one in dict.fromkeys(tried.runs)], to)
        after = to.say(f". Rolled: {rolled}", f". Pasó: {rolled}") if rolled else ""
        lines.append(where_all(task, tried.placed, to) + after)
    return tuple(lines)


def across_table(task: Task, placed: Placed, to: Reader) -> Table:
    """How high the beam is at the heads, the wheels, the ends of the lane and its middle."""
    bay, reach = task.sheet.bay.width, task.sheet.bay.lane_offset
    track = _track(task)
    off = to.tape(reach)
    rows = [
        (to.say("driver's side head", "cabezal del conductor"), bay / 2),
        (to.say("left wheels", "llantas izquierdas"), track),
        (to.say(f"middle of a car {off} to the left", f"centro de un carro {off} a la izquierda"), reach),
        (to.say("middle of the lane", "centro del carril"), 0.0),
        (to.say(f"middle of a car {off} to the right", f"centro de un carro {off} a la derecha"), -reach),
        (to.say("right wheels", "llantas derechas"), -track),
        (to.say("passenger's side head", "cabezal del pasajero"), -bay / 2),
    ]
    height = to.say("beam above the floor", "haz sobre el piso")
    return Table(
        to.say("The beam across the lane", "El haz a lo ancho del carril"),
        (to.say("where", "dónde"), height),
        tuple((name, to.tape(_beam_at(task, placed, y))) for name, y in rows),
    )


def _beam_at(task: Task, placed: Placed, y: float) -> float:
    bay = task.sheet.bay.width
    return float(beam_height(placed.passenger, placed.driver, bay, min(max(bay / 2 + y, 0.0), bay)))


def _track(task: Task) -> float:
    """How far the middle of the wheels stands from the center line, of the vehicle that is drawn first [m]."""
    body = task.vehicles[0].body
    wheels = [one for one in body.pieces if min(z for _, z in one.profile) < 0.01 and one.from_y > 0]
    return (wheels[0].from_y + wheels[0].to_y) / 2 if wheels else body.width / 2 * 0.85


def fleet_table(passes: Sequence[Pass], to: Reader) -> Table:
    """What rolled past, each at its worst place in the lane."""
    count = len(places(passes[0].task))
    title = to.say(f"At the worst of {count} places in the lane", f"En el peor de {count} lugares del carril")
    head = (
        to.say("vehicle", "vehículo"), to.say("where", "dónde"), to.say("how it ends", "cómo acaba"),
        to.say("nose", "trompa"), to.say("tail", "cola"),
    )  # fmt: skip
    return Table(title, head, fleet_rows(passes, to))


def _sun_table(task: Task, placed: Placed, to: Reader) -> Table:
    """Where the receiver would look from either side at these heights, and what it would look at."""
    rows = tuple(_sun_row(task, Placed(placed.driver, placed.passenger, side), to) for side in SIDES)
    head = (
        to.say("receiver on the", "receptor en el"), to.say("looks toward", "mira hacia"),
        to.say("up or down", "arriba o abajo"), to.say("wall across", "muro de enfrente"),
    )  # fmt: skip
    return Table(to.say("Where the receiver looks", "Hacia dónde mira el receptor"), head, rows)


def _sun_row(task: Task, placed: Placed, to: Reader) -> tuple[str, ...]:
    seen = looks(task, placed)
    tilt = to.degrees(abs(seen.elevation))
    way = (
        to.say("level", "a nivel")
        if abs(seen.elevation) < 1e-3
        else f"{tilt} " + (to.say("up", "arriba") if seen.elevation > 0 else to.say("down", "abajo"))
    )
    side: Side = placed.receiver
    return to.said(SIDE_NAMES[side]), to.write(seen.azimuth, "deg", 0), way, wall_said(task, across(side), to)


def wall_said(task: Task, side: Side, to: Reader) -> str:
    """The wall of one side: solid, or open from a height to a height."""
    opening = task.wall(side)
    if opening is None:
        return to.say("solid", "cerrado")
    sill, top = to.tape(opening.sill), to.tape(opening.head)
    return to.say(f"open from {sill} to {top}", f"abierto de {sill} a {top}")
