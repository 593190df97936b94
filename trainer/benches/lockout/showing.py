"""What the learner sees before the end: the task, the machine as it stands, the cards that can be laid."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.benches.acts import Act, ActKind, Pick
from trainer.benches.frame import Offer, Shown, Table
from trainer.benches.lockout.cards import TAKE_BACK, cards, kinds
from trainer.benches.lockout.play import Run, State, barred, run
from trainer.benches.lockout.readings import happened
from trainer.benches.lockout.sketch import machine, rows, strip
from trainer.benches.lockout.task import ALIKE, Task
from trainer.benches.lockout.words import DANGER
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader


def show(task: Task, acts: Sequence[Act], reader: Reader) -> Shown:
    """What may be seen now."""
    played = run(task, acts)
    return Shown(
        task=told(task, reader),
        drawings=(machine(task, played.now, reader), strip(played.steps, reader)),
        tables=(now_table(task, played.now, reader),),
        offers=_offers(task, played),
        said=happened(task, played.steps[-1], reader) if played.steps else "",
        notes=tuple(reader.said(one.card.label) for one in played.steps),
        caution=("danger", reader.said(DANGER)),
    )


def now_table(task: Task, now: State, reader: Reader) -> Table:
    """How the machine stands, as a table."""
    head = Said("Energy", "Energía"), Said("Point", "Punto"), Said("How it stands", "Cómo está")
    seen = Said("What is seen", "Qué se ve")
    return Table(
        reader.say("The machine now", "La máquina ahora"),
        tuple(reader.said(one) for one in (*head, seen)),
        rows(task, now, reader),
    )


def _offers(task: Task, played: Run) -> tuple[Offer, ...]:
    """The groups in which a card can be laid."""
    return tuple(_offer(task, played, kind) for kind in kinds(task) if _open(task, played, kind))


def _open(task: Task, played: Run, kind: ActKind) -> bool:
    if not kind.fields:
        return kind.kind != TAKE_BACK or bool(played.steps)
    return len(_barred(task, played, kind)) < len(_ids(kind))


def _offer(task: Task, played: Run, kind: ActKind) -> Offer:
    return Offer(kind, barred=_barred(task, played, kind))


def _barred(task: Task, played: Run, kind: ActKind) -> frozenset[str]:
    return frozenset(one for one in _ids(kind) if barred(played.now, cards(task)[one]) is not None)


def _ids(kind: ActKind) -> tuple[str, ...]:
    return tuple(option.id for field in kind.fields if isinstance(field, Pick) for option in field.options)


def told(task: Task, reader: Reader) -> tuple[str, ...]:
    """The task in short sentences."""
    count, points = len(task.sources), len(task.points)
    name = reader.said(task.machine)
    first = Said(
        f"{name}. Energy sources: {count}. Points that isolate them: {points}.",
        f"{name}. Fuentes de energía: {count}. Puntos que las aíslan: {points}.",
    )
    lines = [first, *_STORY[task.variant if task.variant not in ALIKE else _alike(task)]]
    charge = any(one.kind == "stored_charge" for one in task.sources)
    if charge and task.variant != "absent_owner":
        lines.append(_draining(task, reader))
    lines.append(_LIVE if task.live else _PAPER)
    return tuple(reader.said(one) for one in lines)


def _alike(task: Task) -> str:
    return "locked" if task.live else "plain"


def _draining(task: Task, reader: Reader) -> Said:
    bus, safe, wait = (
        reader.write(task.bus, "V"),
        reader.write(task.safe, "V"),
        reader.write(task.wait, "s", 0),
    )
    return Said(
        f"The drive holds {bus}. It falls to {safe} in {wait} after its point is open; then it is measured.",
        f"El variador guarda {bus}. Baja a {safe} en {wait} después de abrir su punto; luego se mide.",
    )


_LIVE = Said(
    "You are at the machine: what is done is done. Look at it after each step. Finish when nothing is missing.",
    "Estás en la máquina: lo hecho, hecho está. Mírala después de cada paso. Termina cuando no falte nada.",
)
_PAPER = Said(
    "You plan on paper: a card can be taken back. Finish when nothing is missing.",
    "Planeas en papel: puedes quitar la última tarjeta. Termina cuando no falte nada.",
)
_STORY = {
    "plain": (
        Said(
            "You work alone. Lay the whole procedure card by card: lock out, prove zero, work, give back.",
            "Trabajas solo. Pon todo el procedimiento, tarjeta por tarjeta: bloquea, comprueba el cero, trabaja, "
            "devuelve.",
        ),
    ),
    "locked": (
        Said(
            "You work alone. You have read the procedure, told everyone, stopped the machine, isolated every point and "
            "hung your lock and tag on each.",
            "Trabajas solo. Ya leíste el procedimiento, avisaste a todos, paraste la máquina, aislaste cada punto y "
            "pusiste tu candado y etiqueta en cada uno.",
        ),
        Said(
            "Go on from there: let out what is stored, keep it out, prove zero, work, give back.",
            "Sigue desde ahí: libera lo almacenado, que no regrese, comprueba el cero, trabaja, devuelve.",
        ),
    ),
    "test_run": (
        Said(
            "You locked out and proved zero at every source, and the work is half done. Now the machine must move "
            "once, to see whether it runs right.",
            "Bloqueaste, comprobaste el cero en cada fuente y el trabajo va a la mitad. Ahora la máquina debe moverse "
            "una vez, para ver si anda bien.",
        ),
        Said(
            "Make the test run, go back to work under lockout, then give back. The people you told know that you work.",
            "Haz el movimiento de prueba, regresa al trabajo con bloqueo y devuelve. La gente ya sabe que trabajas.",
        ),
    ),
    "absent_owner": (
        Said(
            "Luis finished his work here, took his tools and went. One lock of his still hangs, and he has the key. "
            "The manager wants the machine back.",
            "Luis terminó aquí su trabajo, recogió y se fue. Queda un candado suyo, y él tiene la llave. El gerente "
            "quiere la máquina de vuelta.",
        ),
        Said(
            "You act under the manager's direction. Lay what must be done until it runs and Luis is back at work.",
            "Actúas por orden del gerente. Pon lo que debe hacerse hasta que ande y Luis vuelva a trabajar.",
        ),
    ),
    "group": (
        Said(
            "You, Luis and Marta do this job, and you are responsible for the group. Every point is isolated and holds "
            "your lock and tag; the keys lie in the lock box.",
            "Tú, Luis y Marta hacen este trabajo, y tú eres responsable del grupo. Cada punto está aislado y tiene tu "
            "candado y etiqueta; las llaves están en la caja.",
        ),
        Said(
            "Go on from there until the machine runs again.",
            "Sigue desde ahí hasta que la máquina ande de nuevo.",
        ),
    ),
    "shift_change": (
        Said(
            "Marta locked this machine out and proved zero. The work is half done, her shift ends, and you take over. "
            "Her locks hang at every point; the drains stay open.",
            "Marta bloqueó esta máquina y comprobó el cero. El trabajo va a la mitad, su turno termina y sigues tú. "
            "Sus candados están en cada punto; los desagües siguen abiertos.",
        ),
        Said(
            "Take over, finish the work and give the machine back.",
            "Recibe, termina el trabajo y devuelve la máquina.",
        ),
    ),
}
