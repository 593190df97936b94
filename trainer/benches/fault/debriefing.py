"""What comes after the end: what the name was worth, the best search, and what was still possible at each step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trainer.benches.acts import Act
from trainer.benches.fault import words
from trainer.benches.fault.drawing import draw_loop
from trainer.benches.fault.faults import (
    NEEDLESS,
    blocks_of,
    heads_used,
    label,
    repair_label,
    repair_minutes,
    repair_of,
)
from trainer.benches.fault.loop_tests import TESTS
from trainer.benches.fault.run import COMES_BACK, OPENED, Judged, Run, best, judge, mends, names, run_of
from trainer.benches.fault.showing import notes, seen, spent
from trainer.benches.fault.task import FaultTask
from trainer.benches.frame import Debrief, Moment, Table
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader
from trainer.solver.diagnosis import Choice
from trainer.solver.electrical import short_distance
from trainer.solver.search_path import ScoredMove, posterior_of
from trainer.solver.search_rules import RULES, rule_minutes
from trainer.solver.spares import downtime_cost

_RULES = {
    "information_per_minute": Said("Most told a minute", "Lo que más dice por minuto"),
    "half_split": Said("Split what is left in halves", "Partir en mitades lo que queda"),
    "cheapest_first": Said("Quickest test first", "Primero la prueba más rápida"),
    "likeliest_first": Said("Likeliest fault first", "Primero la falla más probable"),
}
assert set(_RULES) == set(RULES)
_FEW = 4


def debrief(task: FaultTask, acts: Sequence[Act], to: Reader) -> Debrief:
    """What is shown when the run is over."""
    run = run_of(task, acts)
    judged = judge(task, run)
    hidden = task.hypotheses[task.hidden]
    now = seen(task, run, to)
    there = replace(now, faulty=blocks_of(hidden))
    return Debrief(
        outcome=_outcome(task, run, judged, to),
        best=_best_words(task, to),
        advice=_advice(task, run, judged, to),
        drawings=(draw_loop(task, there, to, "found"),),
        tables=(_best_table(task, to), _rules_table(task, to)),
        moments=_moments(task, run, judged, to),
    )


def _outcome(task: FaultTask, run: Run, judged: Judged, to: Reader) -> tuple[str, ...]:
    hidden = to.said(label(task.hypotheses[task.hidden]))
    lines = [
        _verdict(task, run, judged, to),
        to.say(f"What was wrong: {_lower(hidden)}.", f"La falla: {_lower(hidden)}."),
    ]
    if "short" in task.hypotheses[task.hidden].split("+"):
        lines.append(_where_short(task, to))
    lines += [_spent(task, run, to), _wrong_cost(task, run, to)]
    return tuple(lines)


def _verdict(task: FaultTask, run: Run, judged: Judged, to: Reader) -> str:
    if run.opened:
        return to.said(OPENED)
    if run.named is None:
        return to.say("You named no fault.", "No nombraste ninguna falla.")
    fault, repair = run.named
    if not judged.proven:
        lucky = repair_of(task.hypotheses[task.hidden]) == repair
        return to.say(
            f"You guessed{', and this time it was so' if lucky else ' wrong'}. Other faults were still "
            "possible.",
            f"Adivinaste{', y esta vez acertaste' if lucky else ' mal'}. Todavía eran posibles otras fallas.",
        )
    if names(task, judged, fault) and mends(task, judged, repair):
        return to.say(
            "Right: the fault is found and the repair mends it.",
            "Correcto: hallaste la falla y la reparación la quita.",
        )
    if mends(task, judged, repair):
        return to.say(
            "The repair is right, but you named another fault.",
            "La reparación es la correcta, pero nombraste otra falla.",
        )
    return to.say("Wrong: this repair does not mend it.", "Mal: esta reparación no la quita.")


def _where_short(task: FaultTask, to: Reader) -> str:
    """Where the conductors touch, from the resistance of the loop."""
    read = task.readings
    away = float(short_distance(read.short, read.ohms / (2 * read.cable)))
    short, sound, far = to.write(read.short, "ohm"), to.write(read.ohms, "ohm"), to.write(away, "ft", 0)
    whole = to.write(read.cable, "ft", 0)
    return to.say(
        f"A loop of {short}, where {whole} of sound cable has {sound}: the conductors touch {far} from the "
        "cabinet.",
        f"Un circuito de {short}, donde {whole} de cable sano tienen {sound}: los conductores se tocan a "
        f"{far} del tablero.",
    )


def _spent(task: FaultTask, run: Run, to: Reader) -> str:
    took = spent(task, run)
    lost = _standing(task, took)
    return to.say(
        f"The search took {words.minutes(took, to)}. A line that stands so long turns away "
        f"{to.write(lost, 'usd', 2)} of margin.",
        f"La búsqueda tardó {words.minutes(took, to)}. Una fila parada tanto tiempo pierde "
        f"{to.write(lost, 'usd', 2)} de margen.",
    )


def _standing(task: FaultTask, minutes: float) -> float:
    """Margin lost while the line stands [$]; nobody is called out."""
    return float(downtime_cost(minutes * 60.0, task.money.car_rate, task.money.margin, 0.0))


def _wrong_cost(task: FaultTask, run: Run, to: Reader) -> str:
    """What a repair that mends nothing costs: the one that was named, or the head that people order first."""
    right = repair_of(task.hypotheses[task.hidden])
    repair = run.named[1] if run.named and run.named[1] != right else NEEDLESS
    parts = heads_used(repair) * task.money.head
    took = repair_minutes(repair) + COMES_BACK
    total, name = parts + _standing(task, took), to.said(repair_label(repair))
    lost, cost = words.minutes(took, to), to.write(total, "usd", 2)
    if parts:
        price = to.write(parts, "usd", 2)
        lost = to.say(f"{price} for a head and {lost}", f"{price} por un cabezal y {lost}")
    return to.say(
        f"“{name}” mends nothing here: {lost} until the trouble is back on your list, {cost} in all.",
        f"«{name}» aquí no repara nada: {lost} hasta que la falla vuelve a tu lista, {cost} en total.",
    )


def _best_words(task: FaultTask, to: Reader) -> str:
    here = spent(task, run_of(task, best(task).acts))
    expected = words.minutes(task.policy.expected_minutes, to)
    return to.say(
        f"The best search takes {expected} on average, over everything that could make this symptom. For "
        f"this fault it takes {words.minutes(here, to)}. Each choice is judged by what was known then, so "
        "that luck counts for nothing.",
        f"La mejor búsqueda tarda {expected} en promedio, entre todo lo que puede causar este síntoma. Para "
        f"esta falla tarda {words.minutes(here, to)}. Cada decisión se juzga por lo que se sabía entonces, "
        "así que la suerte no cuenta.",
    )


def _best_table(task: FaultTask, to: Reader) -> Table:
    acts = best(task).acts
    rows = [tuple(line.split(": ", 1)) for line in notes(task, run_of(task, acts), to)]
    fault, repair = acts[-1].pick("fault"), acts[-1].pick("repair")
    rows.append((to.said(label(fault)), to.said(repair_label(repair))))
    head = to.say("Step", "Paso"), to.say("What it shows", "Lo que muestra")
    return Table(
        to.say("The best search for this fault", "La mejor búsqueda para esta falla"), head, tuple(rows)
    )


def _rules_table(task: FaultTask, to: Reader) -> Table:
    """What rules of thumb cost on this table, against the best."""
    table = task.policy.table
    rows = [
        (to.say("The best there is", "Lo mejor que hay"), words.minutes(task.policy.expected_minutes, to))
    ]
    rows += [(to.said(name), words.minutes(rule_minutes(table, rule), to)) for rule, name in _RULES.items()]
    head = (
        to.say("Way to choose the next test", "Modo de elegir la prueba"),
        to.say("On average", "En promedio"),
    )
    return Table(to.say("Rules of thumb", "Reglas prácticas"), head, tuple(rows))


def _advice(task: FaultTask, run: Run, judged: Judged, to: Reader) -> str:
    if run.opened:
        return to.say(
            "Lock out and verify before the door opens, every time.",
            "Bloquea y comprueba antes de abrir la puerta, siempre.",
        )
    if not judged.proven:
        left = _left(task, judged, to)
        return to.say(
            f"Test on before you name. Still possible: {left}.",
            f"Sigue probando antes de decidir. Aún posible: {left}.",
        )
    if run.named is None:
        return to.say("It was proven: name it.", "Ya estaba comprobado: dilo.")
    if not (names(task, judged, run.named[0]) and mends(task, judged, run.named[1])):
        mend = _lower(to.said(repair_label(repair_of(task.hypotheses[judged.known[0]]))))
        return to.say(
            f"Read your notes once more before you name. They left one repair: {mend}.",
            f"Lee otra vez tus notas antes de decidir. Dejaban una reparación: {mend}.",
        )
    return _better_search(task, judged, to)


def _better_search(task: FaultTask, judged: Judged, to: Reader) -> str:
    """The choice that lost most, and what to do there instead."""
    worst = max(judged.path.moves, key=lambda one: one.regret, default=None)
    if worst is None or worst.regret == 0:
        return to.say(
            "Nothing. Now prove the repair: beam clear, beam blocked, one car, and a line in the log.",
            "Nada. Ahora comprueba la reparación: haz libre, haz cortado, un carro y una línea en la bitácora.",
        )
    place, saved = judged.path.moves.index(worst) + 1, words.minutes(worst.regret, to)
    instead = _choice(task, worst.best, to)
    return to.say(
        f"At step {place}, do this instead: {instead}. It saves {saved} on average.",
        f"En el paso {place}, mejor esto: {instead}. Ahorra {saved} en promedio.",
    )


def _left(task: FaultTask, judged: Judged, to: Reader) -> str:
    """What was still possible: by name where that is few."""
    left = [_lower(to.said(label(task.hypotheses[one]))) for one in judged.known]
    if len(left) > _FEW:
        return to.say(f"{len(left)} faults", f"{len(left)} fallas")
    return "; ".join(left)


def _choice(task: FaultTask, choice: Choice, to: Reader) -> str:
    if choice.isolate:
        return to.say("lock out and verify", "bloquear y comprobar")
    if choice.test is None:
        return to.say("name the fault", "decir la falla")
    return _lower(to.said(TESTS[task.tests[choice.test]].label))


def _moments(task: FaultTask, run: Run, judged: Judged, to: Reader) -> tuple[Moment, ...]:
    told = notes(task, run, to)[: len(judged.path.moves)]
    table = task.policy.table
    before: tuple[float, ...] = posterior_of(table, table.everything)
    moments = []
    for line, move in zip(told, judged.path.moves, strict=True):
        title, shown = line.split(": ", 1)
        moments.append(
            Moment(
                title,
                f"{shown} {_beside(task, move, to)}",
                tables=(_possible(task, before, move.posterior, to),),
            )
        )
        before = move.posterior
    return (*moments, _end(task, run, judged, to))


def _beside(task: FaultTask, move: ScoredMove, to: Reader) -> str:
    """What would have been best there, and what this choice lost against it."""
    best_there, left = _choice(task, move.best, to), words.minutes(move.best.minutes, to)
    if move.regret == 0 and move.best.test is None and not move.best.isolate:
        return to.say("One fault was left already.", "Ya quedaba una sola falla.")
    if move.regret == 0:
        return to.say(
            f"Nothing was better: from there it took {left} on average.",
            f"Nada era mejor: desde ahí faltaban {left} en promedio.",
        )
    lost = words.minutes(move.regret, to)
    return to.say(
        f"Best there: {best_there}, with {left} on average to the end. Your choice lost {lost}.",
        f"Lo mejor ahí: {best_there}, con {left} en promedio hasta el final. Tu decisión perdió {lost}.",
    )


def _possible(task: FaultTask, before: Sequence[float], after: Sequence[float], to: Reader) -> Table:
    """What was still possible before and after a step, likeliest first."""
    rows = sorted(zip(after, before, task.hypotheses, strict=True), key=lambda one: (-one[0], -one[1]))
    return Table(
        to.say("What was possible", "Lo que era posible"),
        (to.say("Fault", "Falla"), to.say("Before", "Antes"), to.say("After", "Después")),
        tuple((to.said(label(one)), _share(was, to), _share(now, to)) for now, was, one in rows if was > 0),
    )


def _share(chance: float, to: Reader) -> str:
    if chance == 0:
        return to.say("no", "no")
    return to.write(chance, "%", 0)


def _end(task: FaultTask, run: Run, judged: Judged, to: Reader) -> Moment:
    if run.opened:
        title, what = to.say("The door was opened", "Se abrió la puerta"), to.said(OPENED)
    elif run.named is None:
        title, what = to.say("Not named", "Sin decidir"), _verdict(task, run, judged, to)
    else:
        fault, repair = to.said(label(run.named[0])), to.said(repair_label(run.named[1]))
        title, what = f"{fault}: {_lower(repair)}", _verdict(task, run, judged, to)
    left = _left(task, judged, to)
    return Moment(
        title,
        what + to.say(f" Still possible then: {left}.", f" Entonces aún posible: {left}."),
    )


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
