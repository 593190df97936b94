"""What each fault and each repair is called, where it sits, how likely it is, and what a repair takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.benches.fault.loop import FAULTS, PAIRS, Symptom, parts_of
from trainer.sites.said import Said

BLOCKS: Mapping[str, Said] = {
    "supply": Said("Supply", "Fuente"),
    "control": Said("Fused terminal", "Borne con fusible"),
    "cable": Said("Cable", "Cable"),
    "plug": Said("Connector", "Conector"),
    "emitter": Said("Emitter", "Emisor"),
    "lens": Said("Lens", "Lente"),
    "air": Said("Air", "Aire"),
    "receiver": Said("Receiver", "Receptor"),
    "output": Said("Output", "Salida"),
    "input": Said("Controller input", "Entrada del controlador"),
}


@dataclass(frozen=True)
class Single:
    """One fault: its words, its block, the repair that mends it, and how often it is there among 100 (bare) stops."""

    words: Said
    block: str
    repair: str
    weight: float


# Weights: common practice, no source.
_SINGLES: Mapping[str, Single] = {
    "blocked": Single(Said("Something stands in the beam", "Algo está metido en el haz"), "air", "clear", 12),
    "dirty_lens": Single(Said("A lens is dirty", "Un lente está sucio"), "lens", "clean", 24),
    "misaligned": Single(Said("The emitter points wrong", "El emisor apunta mal"), "emitter", "aim", 14),
    "wet_plug": Single(
        Said("Water in the receiver's connector", "Agua en el conector del receptor"), "plug", "dry_plug", 16
    ),
    "dead_head": Single(Said("The emitter is dead", "El emisor está muerto"), "emitter", "fit_head", 7),
    "wrong_head": Single(
        Said("A receiver stands in the emitter's place", "Hay un receptor en el lugar del emisor"),
        "emitter",
        "fit_head",
        3,
    ),
    "open_wire": Single(
        Said("A conductor of the cable is broken", "Un conductor del cable está roto"), "cable", "cable", 6
    ),
    "short": Single(
        Said("Two conductors of the cable touch", "Dos conductores del cable se tocan"),
        "cable",
        "cable_and_fuse",
        4,
    ),
    "wrong_mode": Single(
        Said("The receiver is set to the wrong operate mode", "El receptor está en el modo equivocado"),
        "receiver",
        "set_mode",
        4,
    ),
    "crosstalk": Single(
        Said("A neighbor's light comes in", "Entra la luz de un ojo vecino"), "air", "part_neighbor", 4
    ),
    "low_supply": Single(
        Said("The supply is too low", "La fuente da poco voltaje"), "supply", "mend_supply", 4
    ),
    "wrong_delay": Single(
        Said("The off-delay is set wrong", "El retardo a la desconexión está mal puesto"),
        "output",
        "set_delay",
        8,
    ),
    "dead_input": Single(
        Said("The controller's input is dead", "La entrada del controlador está muerta"),
        "input",
        "move_input",
        4,
    ),
}
_PAIR_WEIGHTS: Mapping[str, float] = dict(zip(PAIRS, (5, 4, 4, 2, 2), strict=True))

# How much more, or less, a symptom points to a fault: common practice, no source.
POINTS: Mapping[Symptom, Mapping[str, float]] = {
    "always": {},
    "never": {"crosstalk": 3.0, "wrong_mode": 2.0},
    "flickers": {"blocked": 0.4, "wet_plug": 1.5},
    "long": {"blocked": 0.3, "wrong_delay": 3.0},
}


@dataclass(frozen=True)
class Repair:
    """One repair: its words, its minutes, and whether it uses up a head."""

    words: Said
    minutes: float
    head: bool = False


# Minutes: common practice, no source.
_REPAIRS: Mapping[str, Repair] = {
    "clear": Repair(Said("Clear the beam's path", "Despejar el camino del haz"), 3),
    "clean": Repair(Said("Clean both lenses", "Limpiar los dos lentes"), 5),
    "aim": Repair(Said("Aim both heads", "Apuntar los dos cabezales"), 12),
    "dry_plug": Repair(
        Said("Dry and seal the connector, or change it", "Secar y sellar el conector, o cambiarlo"), 20
    ),
    "fit_head": Repair(Said("Fit a good emitter", "Poner un emisor bueno"), 25, head=True),
    "new_receiver": Repair(Said("Buy a new receiver", "Comprar un receptor nuevo"), 25, head=True),
    "cable": Repair(Said("Replace the cable", "Cambiar el cable"), 90),
    "cable_and_fuse": Repair(Said("Replace the cable and the fuse", "Cambiar el cable y el fusible"), 95),
    "set_mode": Repair(Said("Set the operate mode right", "Poner bien el modo de operación"), 4),
    "part_neighbor": Repair(
        Said("Turn or shade the neighbor's head", "Girar o tapar de lado el cabezal vecino"), 20
    ),
    "mend_supply": Repair(Said("Mend the supply", "Reparar la fuente"), 45),
    "set_delay": Repair(Said("Set the delay right", "Poner bien el retardo"), 4),
    "move_input": Repair(Said("Move the wire to a good input", "Pasar el cable a una entrada buena"), 20),
}
NEEDLESS = "new_receiver"  # mends none of these faults, and is what people order first


def label(hypothesis: str) -> Said:
    """A hypothesis in words."""
    return _joined([_SINGLES[one].words for one in hypothesis.split("+")])


def repair_of(hypothesis: str) -> str:
    """The id of the repair that mends it; joined where two are needed."""
    return "+".join(_SINGLES[one].repair for one in hypothesis.split("+"))


def repair_label(repair: str) -> Said:
    """A repair in words."""
    return _joined([_REPAIRS[one].words for one in repair.split("+")])


def repair_minutes(repair: str) -> float:
    """What a repair takes [min]."""
    return sum(_REPAIRS[one].minutes for one in repair.split("+"))


def heads_used(repair: str) -> int:
    """How many heads a repair uses up."""
    return sum(_REPAIRS[one].head for one in repair.split("+"))


def blocks_of(hypothesis: str) -> frozenset[str]:
    """The blocks in which it sits."""
    return frozenset(_SINGLES[one].block for one in parts_of(hypothesis))


def weight(hypothesis: str, symptom: Symptom, site: Mapping[str, float]) -> float:
    """How likely it is, as a bare number; site: what this site makes more or less likely, by single fault."""
    own = _PAIR_WEIGHTS[hypothesis] if hypothesis in _PAIR_WEIGHTS else _SINGLES[hypothesis].weight
    for one in parts_of(hypothesis):
        own *= site.get(one, 1.0) * POINTS[symptom].get(one, 1.0)
    return own


def hypotheses(level: int, neighbor: bool) -> tuple[str, ...]:
    """Everything that may be wrong at a level; without a neighbor nobody's light comes in."""
    if level == 1:
        return FAULTS[:6]
    singles = tuple(one for one in FAULTS if neighbor or one != "crosstalk")
    return singles if level == 2 else singles + PAIRS


def _joined(words: list[Said]) -> Said:
    first, *others = words
    en, es = (
        [one.in_(language) for one in (first, *(_lower(other) for other in others))]
        for language in ("en", "es")
    )
    return Said(", and ".join(en), ", y ".join(es))


def _lower(text: Said) -> Said:
    return Said(*(one[:1].lower() + one[1:] for one in text))
