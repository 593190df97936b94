"""The cards a procedure is laid out with: each a step, at a point or for a source, and the group it lies in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from trainer.benches.acts import ActKind, Option, Pick
from trainer.benches.lockout.task import ALIKE, CREW, FORMER, MATE, ME, NAMES, Task
from trainer.sites.said import Said

FIELD = "card"
TAKE_BACK, FINISH = "take_back", "finish"

GROUPS: Mapping[str, Said] = {
    "owner": Said("The lock of somebody who is away", "El candado de alguien que no está"),
    "prepare": Said("Prepare", "Prepara"),
    "isolate": Said("Isolate", "Aísla"),
    "lock": Said("Hang your lock and tag", "Pon tu candado y etiqueta"),
    "hand": Said("The lock of the shift that leaves", "El candado del turno que sale"),
    "box": Said("Lock box", "Caja de candados"),
    "release": Said("Release or block what is stored", "Libera o bloquea lo almacenado"),
    "keep": Said(
        "Keep it from coming back: leave the drain open and watch", "Que no regrese: deja abierto y vigila"
    ),
    "verify": Said("Verify", "Verifica"),
    "work": Said("Work", "Trabaja"),
    "run": Said("Test run", "Movimiento de prueba"),
    "clear": Said("Clear the machine", "Despeja la máquina"),
    "remove": Said("Take off your lock and tag", "Quita tu candado y etiqueta"),
    "back": Said("Give back", "Devuelve"),
}

# What is said of a card outside its group, where the group's own name is long.
_HEADS: Mapping[str, Said] = {
    "lock": Said("Lock and tag", "Candado y etiqueta"),
    "release": Said("Release", "Libera"),
    "keep": Said("Keep it from coming back", "Que no regrese"),
    "remove": Said("Lock and tag off", "Quita candado y etiqueta"),
}

# Cards that stand alone: group, words.
_ALONE: Mapping[str, tuple[str, Said]] = {
    "read": ("prepare", Said("Read the written procedure: every energy, every point",
                             "Lee el procedimiento escrito: cada energía, cada punto")),
    "tell": ("prepare", Said("Tell everyone affected: locks go on", "Avisa a los afectados: se ponen candados")),
    "stop": ("prepare", Said("Stop the machine with its normal controls", "Para la máquina con sus controles")),
    "estop": ("isolate", Said("Press the emergency stop, leave it in", "Oprime el paro de emergencia y déjalo")),
    "try": ("verify", Said("See that nobody is in reach, then try the start",
                           "Ve que nadie esté al alcance e intenta arrancar")),
    "off": ("verify", Said("Controls back to off", "Regresa los controles a apagado")),
    "prove": ("verify", Said("Prove the tester on a live source", "Comprueba el probador en una fuente viva")),
    "fetch": ("verify", Said("Fetch another tester", "Trae otro probador")),
    "work": ("work", Said("Do the work", "Haz el trabajo")),
    "run": ("run", Said("Give power and make the test move", "Da energía y haz el movimiento de prueba")),
    "tools": ("clear", Said("Tools and parts out, covers on", "Saca herramienta y piezas, pon las tapas")),
    "people": ("clear", Said("See that everyone is clear", "Ve que todos estén lejos")),
    "free": ("back", Said("Tell everyone affected: locks are off", "Avisa a los afectados: ya no hay candados")),
    "start": ("back", Said("Give power back and start", "Da energía y arranca")),
    "paper": ("owner", Said("Get the written procedure for this and the manager's word",
                            "Consigue el procedimiento escrito para esto y la orden del gerente")),
    "away": ("owner", Said("Verify that Luis is not on the site", "Verifica que Luis no esté en el sitio")),
    "call": ("owner", Said("Try everything to reach Luis", "Intenta todo para localizar a Luis")),
    "told": ("owner", Said("Tell Luis that his lock is off", "Dile a Luis que su candado ya no está")),
    "resume": ("owner", Said("Luis starts work again", "Luis vuelve a trabajar")),
    "their_lock": ("", Said("Take a mate's lock off for them", "Quita tú el candado de un compañero")),
}  # fmt: skip
TRAPS = frozenset({"estop", "their_lock"})
AGAIN = frozenset({"try", "off", "prove", "fetch"})  # may be done over and over

_VERIFYING = ("try", "off", "prove", "fetch")
_BACK = ("tools", "people", "remove.", "free", "start")
_LOCKING = ("read", "tell", "stop", "estop", "isolate.", "lock.")
_PROVING = ("release.", "keep.", *_VERIFYING, "verify.", "work")


@dataclass(frozen=True)
class Card:
    """One card. act: what is done; key: the point, source or person it is about, '' for the machine."""

    id: str
    act: str
    key: str
    group: str
    short: Said
    more: Said | None = None

    @property
    def label(self) -> Said:
        """The card outside its group: what is done, and where."""
        if not self.key:
            return self.short
        if self.group in ("box", "hand"):
            return self.short
        head = _HEADS.get(self.group, GROUPS[self.group])
        return Said(f"{head.en}: {self.short.en}", f"{head.es}: {self.short.es}")


@cache
def cards(task: Task) -> Mapping[str, Card]:
    """Every card of a task by its id, in the order of a right procedure."""
    found = [card for name in _names(task) for card in _made(task, name)]
    return {card.id: card for card in found}


def kinds(task: Task) -> tuple[ActKind, ...]:
    """Every kind of act of the task: a group of cards each, then take back and finish."""
    groups: dict[str, list[Card]] = {}
    for card in cards(task).values():
        groups.setdefault(card.group, []).append(card)
    laid = tuple(_kind(group, tuple(held)) for group, held in groups.items())
    back = (ActKind(TAKE_BACK, Said("Take the last card back", "Quita la última tarjeta")),)
    return (
        *laid,
        *(() if task.live else back),
        ActKind(FINISH, Said("Finish: nothing is missing", "Termina: no falta nada")),
    )


def _kind(group: str, held: tuple[Card, ...]) -> ActKind:
    options = tuple(Option(card.id, card.short, card.more) for card in held)
    return ActKind(group, GROUPS[group], (Pick(FIELD, GROUPS[group], options),), cards=FIELD)


def _names(task: Task) -> tuple[str, ...]:
    """What is laid out in each variant; a name that ends in a dot is one card a point or source."""
    match task.variant:
        case "absent_owner":
            return ("paper", "away", "call", "tools", "people", "cut.", "free", "start", "told", "resume")
        case "test_run":
            run = ("tools", "people", "remove.", "run")
            return (*run, "stop", "estop", "isolate.", "lock.", *_PROVING, "free", "start")
        case "group":
            return ("box_on.", "their_lock", *_PROVING, "box_off.", *_BACK)
        case "shift_change":
            return ("lock.", "hand_off.", "their_lock", *_VERIFYING, "verify.", "work", *_BACK)
    if task.level == "3" or task.live:
        return (*_PROVING, *_BACK)
    return (*_LOCKING, *_PROVING, *_BACK)


def _made(task: Task, name: str) -> list[Card]:
    if not name.endswith("."):
        return [_alone(task, name)] if _wanted(task, name) else []
    act = name[:-1]
    if act in ("isolate", "lock", "remove"):
        return [Card(f"{act}.{p.id}", act, p.id, act, p.at) for p in task.points]
    if act == "cut":
        return [_cut(task)]
    if act == "hand_off":
        return [_hand_off(point.id, point.at) for point in task.points]
    if act in ("box_on", "box_off"):
        return [_boxed(act, person) for person in (CREW if act == "box_on" else (MATE, FORMER, ME))]
    keys = task.coming_back if act == "keep" else task.ids
    return [_of_source(task, act, key) for key in keys]


def _wanted(task: Task, name: str) -> bool:
    """A tester is at hand only where something is proved dead with it."""
    return name not in ("prove", "fetch") or bool(task.tested)


def _alone(task: Task, name: str) -> Card:
    group, words = _ALONE[name]
    if name == "their_lock":
        return _their_lock(task)
    if name == "work" and task.variant == "group":
        words = Said("All three do the work", "Los tres hacen el trabajo")
    if name == "work" and task.variant in ("test_run", "shift_change"):
        words = Said("Go on with the work", "Sigue con el trabajo")
    return Card(name, name, "", group, words)


def _their_lock(task: Task) -> Card:
    if task.variant == "group":
        words = Said("Take Luis's lock off the box for him", "Quita tú el candado de Luis de la caja")
        return Card("their_lock", "their_lock", "", "box", words)
    words = Said("Take Marta's locks off for her", "Quita tú los candados de Marta")
    return Card("their_lock", "their_lock", "", "hand", words)


def _cut(task: Task) -> Card:
    at = task.point(task.left).at
    words = Said(f"Take Luis's lock off: {at.en}", f"Quita el candado de Luis: {at.es}")
    return Card("cut", "cut", "", "owner", words)


def _hand_off(key: str, at: Said) -> Card:
    words = Said(f"Marta takes hers off: {at.en}", f"Marta quita el suyo: {at.es}")
    return Card(f"hand_off.{key}", "hand_off", key, "hand", words)


def _boxed(act: str, person: str) -> Card:
    en, es = NAMES[person]
    on = {
        ME: Said("Hang your own lock on the box", "Pon tu propio candado en la caja"),
        **{
            one: Said(f"{NAMES[one].en} hangs a lock of their own", f"{NAMES[one].es} pone su propio candado")
            for one in (MATE, FORMER)
        },
    }
    off = Said(f"{en} stops and takes the lock off", f"{es} termina y quita su candado")
    if person == ME:
        off = Said("You stop and take your lock off the box", "Tú terminas y quitas tu candado de la caja")
    return Card(f"{act}.{person}", act, person, "box", on[person] if act == "box_on" else off)


_FEED = Said("Look for a second supply, and open that too", "Busca una segunda alimentación y ábrela también")


def _of_source(task: Task, act: str, key: str) -> Card:
    source = task.source(key)
    if act == "release":
        words = _FEED if source.kind == "electric" else source.release
        return Card(f"release.{key}", act, key, act, words, source.what)
    return Card(f"{act}.{key}", act, key, act, source.what)


def begun(task: Task) -> frozenset[str]:
    """The acts that were done before the task begins."""
    locked = frozenset({"read", "tell", "stop", "isolate", "lock"})
    proved = locked | {"release", "keep", "verify", "work"}
    match task.variant:
        case "test_run" | "shift_change":
            return proved
        case "absent_owner":
            return frozenset({"stop", "isolate"})
        case "group":
            return locked
    return locked if task.variant in ALIKE and task.live else frozenset()
