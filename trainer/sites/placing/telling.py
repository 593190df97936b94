"""A search in words: what was looked for, what to do and why, today's placement beside it, all that nothing beats."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.figures.placing_front import FrontPlane, FrontPoint
from trainer.sites.fleet import fleet
from trainer.sites.placing.candidates import candidates
from trainer.sites.placing.results import Found, Judged, Placement
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet, StandingRoom
from trainer.sites.survey.reader import Reader

_SIDES = {
    "driver": Said("driver's side", "lado del conductor"),
    "passenger": Said("passenger side", "lado del pasajero"),
}
_HEADS = {"emitter": Said("emitter", "emisor"), "receiver": Said("receiver", "receptor")}
_NOSE_AND_TAIL = Said("nose and tail error", "error de trompa y cola")
_WANDERING = Said("wandering of the edges", "vaivén de los bordes")


@dataclass(frozen=True)
class Line:
    """One fact of a placement: its name, how it is now, how it would be; `changes`: whether the two differ."""

    name: str
    now: str
    then: str

    @property
    def changes(self) -> bool:
        """Whether the two differ."""
        return self.now != self.then


@dataclass(frozen=True)
class FoundTold:
    """What a search found, in words.

    lines: of today's placement and the recommended one, what changes and what counts; none where nothing is
        recommended
    stays: what does not change, in a sentence
    heads, rows: all that nothing beats, numbered as the drawing numbers it
    """

    verdict: str
    why: tuple[str, ...]
    lines: tuple[Line, ...]
    stays: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def tell_room(eye: EyePair, room: StandingRoom, to: Reader) -> str:
    """What a search would try."""
    number = to.whole(candidates(eye, room).pair.size)
    return to.say(
        f"The heads may stand from {to.tape(room.lowest)} to {to.tape(room.highest)} above the floor, and from "
        f"{_along(room.from_position, to)} to {_along(room.to_position, to)} along the conveyor. That makes {number} "
        "ways: every inch of height, the receiver on either side, either head high.",
        f"Los cabezales pueden ir de {to.tape(room.lowest)} a {to.tape(room.highest)} sobre el piso, y de "
        f"{_along(room.from_position, to)} a {_along(room.to_position, to)} a lo largo del transportador. Son {number} "
        "maneras: cada pulgada de altura, el receptor en cualquier lado, cualquier cabezal arriba.",
    )


def tell_best(one: Judged, to: Reader) -> str:
    """The best so far, in one line."""
    at = one.placement
    side = to.said(_SIDES[at.receiver_side])
    return to.say(
        f"Best so far: {to.tape(at.low)} and {to.tape(at.high)}, receiver on the {side}.",
        f"Lo mejor hasta ahora: {to.tape(at.low)} y {to.tape(at.high)}, receptor del {side}.",
    )


def tell_found(sheet: SiteSheet, eye: EyePair, found: Found, to: Reader) -> FoundTold:
    """All of it."""
    telling = _Telling(sheet, eye, found, to)
    return FoundTold(
        verdict=telling.verdict(),
        why=tuple(telling.why()),
        lines=telling.lines(),
        stays=telling.stays(),
        heads=telling.heads(),
        rows=tuple(telling.row(number, one) for number, one in enumerate(found.front, 1)),
        notes=tuple(telling.notes()),
    )


def before_moving(to: Reader) -> str:
    """What to read before a head is moved."""
    return to.say(
        "Before you move a head: a conveyor that starts can crush you, spray can burn, wet floors and ladders slip. "
        "Lock out first. A new cable or a changed one is electrical work. Local codes and licensed practice come first "
        "(29 CFR 1910.147; 2015 edition read).",
        "Antes de mover un cabezal: un transportador que arranca puede aplastarte, un chorro puede quemarte, el piso "
        "mojado y las escaleras resbalan. Bloquea primero. Un cable nuevo o cambiado es trabajo eléctrico. Los códigos "
        "locales y el trabajo con licencia van primero (29 CFR 1910.147; edición de 2015 leída).",
    )


def front_scene(eye: EyePair, found: Found) -> FrontPlane:
    """The drawing of it."""
    chosen = None
    if found.recommended is not None:
        same = [one == found.recommended.judged for one in found.front]
        chosen = 0 if found.recommended.stays else same.index(True) + 1
    points = tuple(_point(one) for one in found.front)
    return FrontPlane(points, _point(found.present), chosen, _error_name(eye))


def _point(one: Judged) -> FrontPoint:
    return FrontPoint(one.error, one.sun, one.margin)


def _error_name(eye: EyePair) -> Said:
    return _WANDERING if eye.purpose == "profile" else _NOSE_AND_TAIL


def _along(position: float, to: Reader) -> str:
    """A position along the conveyor from the entry eye."""
    said = to.write(abs(position), "ft" if abs(position) >= 3 else "in")
    return f"−{said}" if position < 0 else said


@dataclass(frozen=True)
class _Telling:
    """One search to be told to one reader."""

    sheet: SiteSheet
    eye: EyePair
    found: Found
    to: Reader

    def verdict(self) -> str:
        """What to do, in one sentence."""
        say, chosen = self.to.say, self.found.recommended
        if chosen is None:
            return say(
                "No allowed place does this pair's work.", "Ningún lugar permitido cumple con este par."
            )
        if chosen.stays:
            return say("Leave it where it stands.", "Déjalo donde está.")
        return say("Move it.", "Muévelo.")

    def why(self) -> list[str]:
        """The reasons, in numbers."""
        to, chosen, found = self.to, self.found.recommended, self.found
        tried = to.whole(found.tried)
        if chosen is None:
            return [to.say(f"I tried {tried} ways.", f"Probé {tried} maneras."), *self._fleet_needed()]
        least, pulse, sun = to.tape(chosen.least), to.tape(chosen.tolerance), to.whole(chosen.judged.sun)
        error, name = to.tape(chosen.judged.error), to.said(_error_name(self.eye))
        body = self.body(chosen.judged.worst)
        first = to.say(
            f"Beaten by none: {len(found.front)} of {tried} ways. Of these, within one pulse ({pulse}) of the least "
            f"error, {least}: {chosen.rivals}.",
            f"Sin otra que las supere: {len(found.front)} de {tried} maneras. De ellas, a un pulso ({pulse}) o menos "
            f"del menor error, {least}: {chosen.rivals}.",
        )
        if chosen.stays:
            second = to.say(
                f"As it stands now it is as good: {name} {error}, sun {sun} minutes a year.",
                f"Como está ahora es igual de bueno: {name} {error}, sol {sun} minutos al año.",
            )
        else:
            second = to.say(
                f"This one has the least sun of them, {sun} minutes a year, and changes least. Its {name}: {error}",
                f"Esta tiene el menor sol de ellas, {sun} minutos al año, y es la que menos cambia. Su {name}: {error}",
            ) + (f" ({body})." if body else ".")
        return [first, second, *self._light(enough=chosen.enough_light)]

    def _light(self, *, enough: bool) -> list[str]:
        if enough:
            return []
        return [
            self.to.say(
                "None of them leaves enough light on a steamy day, and no place makes up for that: clean and aim the "
                "pair, or fit a stronger one.",
                "Ninguna deja luz suficiente en un día de vapor, y ningún lugar lo compensa: limpia y apunta el par, o "
                "pon uno más fuerte.",
            )
        ]

    def _fleet_needed(self) -> list[str]:
        return [
            self.to.say(
                "Give the heads more room in the site sheet, or turn away what they cannot see whole.",
                "Dales más lugar a los cabezales en la hoja del sitio, o no aceptes lo que no pueden ver entero.",
            )
        ]

    def lines(self) -> tuple[Line, ...]:
        """What changes of the placement, then all that counts."""
        if self.found.recommended is None:
            return ()
        now, then = self.found.present, self.found.recommended.judged
        places = [line for line in self._places(then.placement) if line.changes]
        gives = zip(self._gives(now), self._gives(then), strict=True)
        return (*places, *(Line(name, told, other) for (name, told), (_, other) in gives))

    def stays(self) -> str:
        """What of the placement does not change; empty where that is everything or nothing."""
        if self.found.recommended is None or self.found.recommended.stays:
            return ""
        lines = self._places(self.found.recommended.judged.placement)
        same = "; ".join(f"{line.name.lower()}: {line.now}" for line in lines if not line.changes)
        return self.to.say(f"The rest stays: {same}.", f"Lo demás queda: {same}.") if same else ""

    def _places(self, then: Placement) -> list[Line]:
        both = zip(self._place(self.found.present.placement), self._place(then), strict=True)
        return [Line(name, told, other) for (name, told), (_, other) in both]

    def _gives(self, one: Judged) -> tuple[tuple[str, str], ...]:
        """What a placement gives, each with its name."""
        say = self.to.say
        return (
            (self.to.said(_error_name(self.eye)).capitalize(), self.error(one)),
            (
                say("Sun in the receiver, minutes a year", "Sol en el receptor, minutos al año"),
                self.to.whole(one.sun),
            ),
            (
                say("Light in steam over what is needed", "Luz con vapor entre la necesaria"),
                self.to.times(one.margin),
            ),
        )

    def _place(self, at: Placement) -> tuple[tuple[str, str], ...]:
        say, said = self.to.say, self.to.said
        return (
            (say("Low head", "Cabezal bajo"), self.to.tape(at.low)),
            (say("High head", "Cabezal alto"), self.to.tape(at.high)),
            (say("Receiver", "Receptor"), said(_SIDES[at.receiver_side])),
            (say("Which head is high", "Cuál cabezal va arriba"), self.high_head(at)),
            (say("Along the conveyor", "A lo largo del transportador"), _along(at.position, self.to)),
        )

    def high_head(self, at: Placement) -> str:
        """Which head stands high."""
        if at.low == at.high:
            return self.to.say("level", "a nivel")
        return self.to.said(_HEADS[at.high_head])

    def error(self, one: Judged) -> str:
        """The error and the body that sets it; why, where the placement is out of the question."""
        body = self.body(one.worst)
        if one.possible:
            return f"{self.to.tape(one.error)} ({body})" if body else self.to.tape(one.error)
        if not body:
            return self.to.say("another pair's light blinds it", "lo ciega la luz de otro par")
        return self.to.say(f"fails: {body}", f"falla: {body}")

    def body(self, id_: str) -> str:
        """A body's name; empty for none."""
        names = {one.id: one.name for one in fleet(self.sheet)}
        return names[id_][self.to.language] if id_ else ""

    def heads(self) -> tuple[str, ...]:
        """The heads of the table of all that nothing beats."""
        say = self.to.say
        return (
            say("Way", "Manera"), say("Low", "Bajo"), say("High", "Alto"), say("Receiver", "Receptor"),
            say("High head", "Arriba"), say("Along", "A lo largo"), say("Error", "Error"),
            say("Sun, min", "Sol, min"), say("Light", "Luz"),
        )  # fmt: skip

    def row(self, number: int, one: Judged) -> tuple[str, ...]:
        """A row of that table."""
        at = one.placement
        return (
            str(number), self.to.tape(at.low), self.to.tape(at.high), self.to.said(_SIDES[at.receiver_side]),
            self.high_head(at), _along(at.position, self.to), self.to.tape(one.error), self.to.whole(one.sun),
            self.to.times(one.margin),
        )  # fmt: skip

    def notes(self) -> list[str]:
        """What to know before anything is moved, and what to do after."""
        say, found, chosen = self.to.say, self.found, self.found.recommended
        notes = []
        if found.beyond:
            names = ", ".join(self.body(one) for one in found.beyond)
            notes.append(
                say(f"Left out, because no place sees them whole: {names}.",
                    f"Quedan fuera, porque ningún lugar los ve enteros: {names}.")
            )  # fmt: skip
        if any(one.placement.receiver_side != self.eye.receiver_side for one in found.front):
            notes.append(
                say("Of the wall behind the receiver the sheet says nothing: for the other side I counted all the sky.",
                    "De la pared detrás del receptor la hoja no dice nada: para el otro lado conté todo el cielo.")
            )  # fmt: skip
        if chosen is None or chosen.stays:
            return notes
        if chosen.judged.placement.position != self.eye.position:
            notes.append(
                say("Along the conveyor the distance to every device changes with it: measure them again.",
                    "A lo largo del transportador cambia con él la distancia a cada equipo: mídelas otra vez.")
            )  # fmt: skip
        notes.append(
            say("After you have moved it: aim both heads, measure the excess gain, write the new numbers into the site "
                "sheet, set the delays by the survey.",
                "Después de moverlo: apunta los dos cabezales, mide la ganancia de exceso, escribe los números nuevos "
                "en la hoja del sitio, ajusta los retardos según la revisión.")
        )  # fmt: skip
        return notes
