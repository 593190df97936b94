"""What is told after the end: what broke and what it could do to a hand, a right order beside yours, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from trainer.benches.acts import Act
from trainer.benches.frame import Debrief, Moment, Table
from trainer.benches.lockout.cards import FIELD, TRAPS, cards
from trainer.benches.lockout.orders import acts_of, right_order
from trainer.benches.lockout.play import Done
from trainer.benches.lockout.readings import happened
from trainer.benches.lockout.rules import Fault
from trainer.benches.lockout.scoring import Judged, gravest, judge
from trainer.benches.lockout.showing import now_table
from trainer.benches.lockout.sketch import machine
from trainer.benches.lockout.task import Task
from trainer.benches.lockout.units import clause, named_by, units, worth
from trainer.benches.lockout.words import advice, harm, name, no_lock_point, sentence
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader

_MOST_TOLD = 3
_NONE = "–"
_ESTOP = "29 CFR 1910.147(b)"
_THEIRS = "29 CFR 1910.147(e)(3)"

Row = tuple[str, str, str, str]  # step, what broke, clause, what it can do


def debrief(task: Task, acts: Sequence[Act], reader: Reader) -> Debrief:
    """The run looked back on."""
    judged = judge(task, acts)
    right = acts_of(task, right_order(task, judged.done))
    broke = broken_rows(task, judged, reader)
    return Debrief(
        outcome=_outcome(task, judged, broke, reader),
        best=_best(task, judged, right, reader),
        advice=reader.said(_advice(task, judged)),
        drawings=(machine(task, judged.run.now, reader, "end"),),
        tables=(*([_broken(broke, reader)] if broke else []), _beside(task, judged, right, reader)),
        moments=_moments(task, judged, reader),
    )


def broken_rows(task: Task, judged: Judged, reader: Reader) -> list[Row]:
    """Everything that broke, in the order of the steps; what is missing last. Clauses about one thing share its row."""
    found = [_row(task, fault, reader) for fault in judged.faults]
    found += [_trap(judged.run.steps[at], at, reader) for at in judged.traps]
    found += [_missing(task, unit, reader) for unit in _left_out(task, judged)]
    rows: dict[tuple[str, str], Row] = {}
    for step, what, rule, hurt in found:
        known = rows.get((step, what), (step, what, "", hurt))
        rules = dict.fromkeys([*filter(None, known[2].split("; ")), rule])
        rows[step, what] = (step, what, "; ".join(rules), known[3])
    return sorted(rows.values(), key=lambda row: inf if row[0] == _NONE else int(row[0]))


def _row(task: Task, fault: Fault, reader: Reader) -> Row:
    first, _ = named_by(task, fault)
    step = _NONE if fault.at is None else str(fault.at + 1)
    said, hurt = reader.said(sentence(task, fault)), reader.said(harm(task, first))
    return step, said, fault.broken.clause, hurt


def _trap(done: Done, at: int, reader: Reader) -> Row:
    label = reader.said(done.card.label)
    if done.card.act == "estop":
        return str(at + 1), f"{label}.", _ESTOP, reader.said(no_lock_point())
    return str(at + 1), f"{label}.", _THEIRS, reader.said(_THEIR_LOCK)


def _missing(task: Task, unit: str, reader: Reader) -> Row:
    said = reader.say("Missing", "Falta") + f": {reader.said(name(task, unit))}."
    return _NONE, said, clause(units(task)[unit]), reader.said(harm(task, unit))


def _left_out(task: Task, judged: Judged) -> list[str]:
    """Units that were never done and that no broken constraint names."""
    named = {one for fault in judged.faults for one in named_by(task, fault)}
    return [one for one in units(task) if one not in judged.done and one not in named]


_THEIR_LOCK = Said(
    "The lock says that its owner's hands are inside. Taken off, anybody can start it on them.",
    "El candado dice que las manos de su dueño están adentro. Sin él, cualquiera le arranca la máquina.",
)
_CLEAN = Said(
    "Every energy was out and proved out before hands went in, and it stayed out. Nobody could have been hurt.",
    "Cada energía estaba fuera y comprobada antes de meter las manos, y siguió fuera. Nadie se pudo lastimar.",
)
_CLEAN_OWNER = Said(
    "Nobody was inside, the owner knows, and the machine runs. Nobody could have been hurt.",
    "Nadie estaba adentro, el dueño lo sabe y la máquina anda. Nadie se pudo lastimar.",
)
_FIRST_TESTER = Said(
    "The first tester was dead. Live, dead, live is what shows it.",
    "El primer probador estaba muerto. Vivo, muerto, vivo es lo que lo muestra.",
)


def _outcome(task: Task, judged: Judged, broke: Sequence[Row], reader: Reader) -> tuple[str, ...]:
    """The gravest things that broke with what they can do; then what was hidden."""
    if not broke:
        clean = _CLEAN_OWNER if task.variant == "absent_owner" else _CLEAN
        return (reader.said(clean), *_hidden(task, reader))
    grave = list(dict.fromkeys(reader.said(sentence(task, fault)) for fault in gravest(judged)))
    told = sorted(broke, key=lambda row: grave.index(row[1]) if row[1] in grave else len(grave))[:_MOST_TOLD]
    more = len(broke) - len(told)
    rest = reader.say(f"And {more} more: see the table.", f"Y {more} más: mira la tabla.")
    return (
        *(f"{row[1]} {row[3]} ({row[2]})" for row in told),
        *([rest] if more else []),
        *_hidden(task, reader),
    )


def _hidden(task: Task, reader: Reader) -> tuple[str, ...]:
    if task.tester_dies:
        return (reader.said(_FIRST_TESTER),)
    if not task.leaky:
        return ()
    en, es = task.source(task.leaky).what
    return (
        reader.say(
            f"One point leaked: {en}. A drain that stays open, and somebody who watches, keep it at zero.",
            f"Un punto dejaba pasar: {es}. Un desagüe abierto y alguien que vigila lo mantienen en cero.",
        ),
    )


def _best(task: Task, judged: Judged, right: Sequence[Act], reader: Reader) -> str:
    count = len(right) - 1
    lost = len(judged.lost)
    said = reader.say(
        f"A right order has {count} steps. Many are as right: it counts only what must come before what.",
        f"Un orden correcto tiene {count} pasos. Muchos son igual de correctos: solo cuenta qué va antes de qué.",
    )
    if not lost:
        return said + reader.say(" Yours is one of them.", " El tuyo es uno de ellos.")
    return said + reader.say(
        f" Missing or out of place in yours: {lost} of {len(units(task))}.",
        f" En el tuyo faltan o están fuera de lugar: {lost} de {len(units(task))}.",
    )


def _advice(task: Task, judged: Judged) -> Said:
    """About the gravest thing that was lost; where nothing was, to say it aloud."""
    grave = [named_by(task, fault)[0] for fault in gravest(judged)]
    faults = [named_by(task, fault)[0] for fault in judged.faults if fault.at is not None]
    lost = sorted((one for one in judged.lost), key=lambda one: -worth(task)[units(task)[one].part])
    for found in (grave, faults):
        if found:
            return advice(task, found[0])
    if judged.traps:
        trap = judged.run.steps[judged.traps[0]].card.act
        return no_lock_point() if trap == "estop" else advice(task, "cut:")
    return advice(task, lost[0] if lost else ":")


def _broken(rows: Sequence[Row], reader: Reader) -> Table:
    head = reader.say("Step", "Paso"), reader.say("What broke", "Qué se rompió"), reader.say("Rule", "Regla")
    title = reader.say(
        "What broke, and what it can do to a hand (rules: 2015 edition read)",
        "Qué se rompió, y qué le puede hacer a una mano (reglas: edición 2015 leída)",
    )
    return Table(title, head, tuple((step, f"{what} {hurt}", rule) for step, what, rule, hurt in rows))


def _beside(task: Task, judged: Judged, right: Sequence[Act], reader: Reader) -> Table:
    """Both orders side by side."""
    mine = [reader.said(one.card.label) for one in judged.run.steps]
    good = [reader.said(cards(task)[act.pick(FIELD)].label) for act in right if act.values]
    count = max(len(mine), len(good))
    rows = [
        (str(i + 1), mine[i] if i < len(mine) else "–", good[i] if i < len(good) else "–")
        for i in range(count)
    ]
    title = reader.say(
        "Your order beside a right one near it", "Tu orden junto a uno correcto, cercano al tuyo"
    )
    head = reader.say("Step", "Paso"), reader.say("Yours", "El tuyo"), reader.say("Right", "Correcto")
    return Table(title, head, tuple(rows))


def _moments(task: Task, judged: Judged, reader: Reader) -> tuple[Moment, ...]:
    """Each step: what it did, what it broke, and how the machine stood after it."""
    return tuple(_moment(task, judged, at, done, reader) for at, done in enumerate(judged.run.steps))


def _moment(task: Task, judged: Judged, at: int, done: Done, reader: Reader) -> Moment:
    said = [_told(task, fault, reader) for fault in judged.faults if fault.at == at]
    if done.card.act in TRAPS:
        _, what, rule, hurt = _trap(done, at, reader)
        said.append(f"{what} {hurt} ({rule})")
    good = reader.say("In its place.", "En su lugar.")
    text = " ".join((happened(task, done, reader), *(dict.fromkeys(said) or (good,))))
    mark = "✗" if said else "✓"
    drawings = (machine(task, done.after, reader, f"step-{at + 1}"),) if said else ()
    return Moment(
        f"{mark} {reader.said(done.card.label)}",
        text,
        drawings,
        (now_table(task, done.after, reader),),
    )


def _told(task: Task, fault: Fault, reader: Reader) -> str:
    first, _ = named_by(task, fault)
    return f"{reader.said(sentence(task, fault))} {reader.said(harm(task, first))} ({fault.broken.clause})"
