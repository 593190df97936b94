"""What a learner may see before the end: the symptom, the chances, the tests, and what was found so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trainer.benches.acts import Act, ActKind, Option, Pick
from trainer.benches.fault import words
from trainer.benches.fault.drawing import Seen, draw_loop
from trainer.benches.fault.faults import BLOCKS, label, repair_label
from trainer.benches.fault.loop_tests import CARES, TESTS
from trainer.benches.fault.run import OPENED, Run, refused, repairs, run_of
from trainer.benches.fault.task import FaultTask
from trainer.benches.frame import Offer, Shown, Table
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader


def kinds(task: FaultTask) -> tuple[ActKind, ...]:
    """A test by its card; locking out where a test needs it; the name that ends the run."""
    cards = tuple(Option(one, TESTS[one].label, _more(task, one)) for one in task.tests)
    test = ActKind(
        "test", Said("Make a test", "Haz una prueba"), (Pick("test", Said("Test", "Prueba"), cards),), "test"
    )
    isolate = ActKind("isolate", _isolate_label(task))
    fault = Pick("fault", Said("Fault", "Falla"), tuple(Option(one, label(one)) for one in task.hypotheses))
    mend = Pick(
        "repair", Said("Repair", "Reparación"), tuple(Option(one, repair_label(one)) for one in repairs(task))
    )
    name = ActKind(
        "name",
        Said("Name fault and repair, and end", "Di la falla y la reparación, y termina"),
        (fault, mend),
    )
    return (test, isolate, name) if task.isolation else (test, name)


def _isolate_label(task: FaultTask) -> Said:
    took = f"{task.isolation:.0f}"
    return Said(f"Lock out and verify ({took} min)", f"Bloquea y comprueba ({took} min)")


def _more(task: FaultTask, test: str) -> Said:
    took = f"{task.minutes[task.tests.index(test)]:.0f} min"
    care = CARES[TESTS[test].care] if TESTS[test].care != "bay" else None
    return Said(f"{took}, {care.en}", f"{took}, {care.es}") if care else Said(took, took)


def refusal(task: FaultTask, acts: Sequence[Act], act: Act) -> Said | None:
    """Why an act cannot be done after these; None where it can."""
    return refused(task, run_of(task, acts), act)


def show(task: FaultTask, acts: Sequence[Act], to: Reader) -> Shown:
    """What may be seen now: nothing in it depends on what is hidden but what the tests that were made said."""
    run = run_of(task, acts)
    told = notes(task, run, to)
    return Shown(
        task=_task(task, to),
        drawings=(draw_loop(task, seen(task, run, to), to, "loop"),),
        tables=(_chances(task, to), _facts(task, to), _cards(task, to), _found(task, run, to)),
        offers=_offers(task, run),
        said=told[-1] if told else "",
        notes=told,
        caution=("danger", to.said(words.CAUTION))
        if task.isolation
        else ("warning", to.said(words.CAUTION_OUTSIDE)),
    )


def seen(task: FaultTask, run: Run, to: Reader) -> Seen:
    """What the drawing shows of a run that goes on."""
    tags: dict[str, list[str]] = {}
    for test in _made(task, run):
        tags.setdefault(TESTS[test].block, []).append(words.tag(task, test, task.said(test), to))
    return Seen(tags, spent(task, run), run.isolated, run.opened is not None)


def spent(task: FaultTask, run: Run) -> float:
    """Minutes so far."""
    return sum(task.isolation if move.test is None else task.minutes[move.test] for move in run.moves)


def notes(task: FaultTask, run: Run, to: Reader) -> tuple[str, ...]:
    """What was done and what it showed, a line an act."""
    lines, isolated = [], False
    for move in run.moves:
        if move.test is None:
            isolated = True
            took = words.minutes(task.isolation, to)
            lines.append(
                to.say("Locked out and verified", "Bloqueado y comprobado")
                + f" ({took}): "
                + words.locked_out(task, to)
            )
        else:
            lines.append(_note(task, task.tests[move.test], isolated, to))
    if run.opened:
        lines.append(f"{to.said(TESTS[run.opened].label)}: {to.said(OPENED)}")
    return tuple(lines)


def _note(task: FaultTask, test: str, isolated: bool, to: Reader) -> str:
    took = words.minutes(task.minutes[task.tests.index(test)], to)
    first = words.powered_again(test, isolated, to)
    said = words.sentence(task, test, task.said(test), to)
    return f"{to.said(TESTS[test].label)} ({took}): {first}{' ' if first else ''}{said}"


def _made(task: FaultTask, run: Run) -> list[str]:
    return [task.tests[move.test] for move in run.moves if move.test is not None]


def _task(task: FaultTask, to: Reader) -> tuple[str, ...]:
    eye = to.said(task.eye)
    several = task.level > 2
    lines = [
        f"{eye}: {_lower(to.said(words.SYMPTOM[task.symptom]))}",
        to.say(
            f"{'One fault, or two at once, sit' if several else 'One fault sits'} in this loop. Find it in "
            "as few minutes as you can: each card says what its test takes.",
            f"{'Una falla, o dos a la vez, están' if several else 'Hay una falla'} en este circuito. "
            "Encuéntrala en el menor número de minutos: cada tarjeta dice lo que tarda su prueba.",
        ),
        to.say(
            "Go on until whatever is still possible needs the same repair. Then name fault and repair. A "
            "guess earns nothing, not even a lucky one.",
            "Sigue hasta que todo lo que todavía es posible pida la misma reparación. Entonces di la falla "
            "y la reparación. Adivinar no da puntos, ni cuando se acierta.",
        ),
    ]
    if task.isolation:
        took = words.minutes(task.isolation, to)
        lines.append(
            to.say(
                f"Some tests lie behind the door of “{task.cabinet}”. Lock out and verify first: "
                f"{took}. Opening it before that ends the run.",
                f"Algunas pruebas están detrás de la puerta de «{task.cabinet}». Primero bloquea y "
                f"comprueba: {took}. Abrirla antes termina el ejercicio.",
            )
        )
    return tuple(lines)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _chances(task: FaultTask, to: Reader) -> Table:
    able = [(one, chance) for one, chance in zip(task.hypotheses, task.chances, strict=True) if chance]
    return Table(
        to.say("What makes this symptom, in 100 stops here", "Qué causa este síntoma, en 100 paros aquí"),
        (to.say("Fault", "Falla"), to.say("Stops", "Paros")),
        tuple((to.said(label(one)), to.whole(chance)) for one, chance in able),
    )


def _facts(task: FaultTask, to: Reader) -> Table:
    read = task.readings
    rows = [
        (to.say("Mode", "Modo"), words.mode(task, to)),
        (to.say("Signal, clean and aimed", "Señal, limpio y apuntado"), to.times(read.full)),
        (to.say("The head needs at least", "El cabezal necesita por lo menos"), to.write(read.least, "V")),
    ]
    if task.isolation:
        rows += [
            (to.say("Voltage at a sound head", "Voltaje en un cabezal sano"), to.write(read.volts, "V")),
            (to.say("Cable, one way", "Cable, un sentido"), to.write(read.cable, "ft", 0)),
            (to.say("A sound loop, bridged", "Un circuito sano, puenteado"), to.write(read.ohms, "ohm")),
        ]
    if task.neighbor and "neighbor" in task.tests:
        rows.append((to.say("Nearest neighbor", "Vecino más cercano"), to.said(task.neighbor)))
    return Table(
        to.say("This loop", "Este circuito"), (to.say("Fact", "Dato"), to.say("Here", "Aquí")), tuple(rows)
    )


def _cards(task: FaultTask, to: Reader) -> Table:
    rows = tuple(
        (
            to.said(TESTS[one].label),
            f"{to.said(BLOCKS[TESTS[one].block])}, {words.minutes(took, to)}",
            f"{to.said(TESTS[one].tells)} ({to.said(CARES[TESTS[one].care])})",
        )
        for one, took in zip(task.tests, task.minutes, strict=True)
    )
    head = (
        Said("Test", "Prueba"),
        Said("Where, how long", "Dónde, cuánto"),
        Said("What it tells (care)", "Qué dice (cuidado)"),
    )
    return Table(to.say("The tests", "Las pruebas"), tuple(to.said(one) for one in head), rows)


def _found(task: FaultTask, run: Run, to: Reader) -> Table:
    state = Said("live, door shut", "con corriente, puerta cerrada")
    if run.isolated:
        state = Said("locked out and verified", "bloqueado y comprobado")
    if run.opened:
        state = Said("opened live", "abierto con corriente")
    rows = [
        (to.say("Minutes so far", "Minutos hasta ahora"), words.minutes(spent(task, run), to)),
        (to.say("Cabinet", "Tablero"), to.said(state)),
    ]
    rows += [
        (to.said(TESTS[one].label), words.sentence(task, one, task.said(one), to)) for one in _made(task, run)
    ]
    return Table(
        to.say("Found so far", "Hallado hasta ahora"),
        (to.say("What", "Qué"), to.say("Seen", "Visto")),
        tuple(rows),
    )


def _offers(task: FaultTask, run: Run) -> tuple[Offer, ...]:
    by_kind: Mapping[str, ActKind] = {one.kind: one for one in kinds(task)}
    offers = [Offer(by_kind["test"], barred=run.done)]
    if task.isolation and not run.isolated:
        offers.append(Offer(by_kind["isolate"]))
    return (*offers, Offer(by_kind["name"]))
