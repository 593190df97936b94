"""What is told of a run when it is over: what the setting did, the best, and the one thing to do differently."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.benches.acts import Act
from trainer.benches.delay import plane, strip, words
from trainer.benches.delay.asking import region
from trainer.benches.delay.counting import PARTS, Outcome, worth
from trainer.benches.delay.numbers import LOWER, OF_ON, asked, asks, limit
from trainer.benches.delay.scoring import Setting, best_setting, score, setting, tries
from trainer.benches.delay.showing import counted, event_table
from trainer.benches.delay.strip import Strip, practice_strip, whole_strip
from trainer.benches.delay.task import Task
from trainer.benches.frame import Debrief, Moment
from trainer.sites.survey.reader import Reader

_ROWS = 9


def debrief(task: Task, acts: Sequence[Act], reader: Reader) -> Debrief:
    """The whole recording with the last setting, all settings at once, and each try."""
    mine, best = setting(task, acts), best_setting(task)
    seen = whole_strip(task, mine)
    title = reader.say("The whole recording", "Toda la grabación")
    return Debrief(
        outcome=tuple(_outcome(task, mine, seen, reader)),
        best=_best(task, mine, best, reader),
        advice=_advice(task, acts, mine, best, reader),
        drawings=(
            plane.draw(task, mine, best, reader),
            strip.draw(task, seen, reader, "strip", title, rows=_ROWS),
        ),
        tables=(asks(task.facts, mine, reader), event_table(task, seen, reader, title)),
        moments=tuple(_moment(task, number, one, reader) for number, one in enumerate(tries(task, acts), 1)),
    )


def _outcome(task: Task, mine: Setting, seen: Strip, reader: Reader) -> Iterator[str]:
    """What this setting would have done on the wash floor."""
    yield counted(task, mine, seen, reader)
    started = sum(one.times for one in seen.told if one.event.kind != "car")
    if started:
        yield reader.say(
            f"Starts for no car: {started}. Water and soap would have gone on the floor, and on whoever "
            f"stands there.",
            f"Arranques sin carro: {started}. Agua y jabón habrían ido al piso, y a quien esté ahí.",
        )
    cars = [one for one in seen.told if one.event.kind == "car"]
    split = sum(one.times > 1 for one in cars)
    if split:
        yield reader.say(
            f"Vehicles taken for two or more: {split}. Their rear would have been washed as a car of its own.",
            f"Vehículos tomados por dos o más: {split}. Su parte de atrás se habría lavado como otro carro.",
        )
    lost = sum(not one.times for one in cars)
    if lost:
        yield reader.say(
            f"Cars not told from what came before: {lost}. Their washes would not have been counted or "
            f"charged apart.",
            f"Carros que no se distinguieron de lo anterior: {lost}. Sus lavados no se habrían contado ni "
            f"cobrado aparte.",
        )
    yield from _late(task, cars, reader)


def _late(task: Task, cars: Sequence[Outcome], reader: Reader) -> Iterator[str]:
    late = [one.late for one in cars if one.times and one.late > task.facts.nose_error + 1e-9]
    if late:
        most = reader.tape(max(late))
        yield reader.say(
            f"Noses declared too late: {len(late)}, by up to {most}. What is placed by the nose starts "
            f"that far behind it.",
            f"Narices declaradas muy tarde: {len(late)}, hasta {most}. Lo que se ubica por la nariz "
            f"empieza esa distancia atrás.",
        )


def _best(task: Task, mine: Setting, best: Setting, reader: Reader) -> str:
    """The best setting, and what it still gives up."""
    all_ = worth(task)
    said = words.delays(*best, reader) + ". "
    number = int((all_.raw == all_.most).sum())
    if all_.raw[all_.at(*mine)] == all_.most:
        said += reader.say("Yours is as good. ", "El tuyo es igual de bueno. ")
    said += reader.say(
        f"Of all settings in steps of 0.05 s, {number} are as good as this one.",
        f"De todos los ajustes en pasos de 0,05 s, {number} son tan buenos como este.",
    )
    if all_.most < 100:
        wrong = [
            f"{i} {reader.said(words.SHORT[one.event.kind])}"
            for i, one in enumerate(whole_strip(task, best).told, 1)
            if not words.is_right(task.facts, one)
        ]
        listed = ", ".join(wrong)
        said += reader.say(f" Even it gets these wrong: {listed}.", f" Aun así le salen mal: {listed}.")
    return said


def _advice(task: Task, acts: Sequence[Act], mine: Setting, best: Setting, reader: Reader) -> str:
    """What to change first: where most points were lost, and which way the best lies."""
    parts = score(task, acts).parts
    lost = [one.of - one.got for one in parts]
    if max(lost) < 1e-6:
        return _kept(task, reader)
    worst = PARTS[lost.index(max(lost))]
    on_first = worst in ("people", "spray") or (worst == "nose" and mine[0] > best[0])
    of_on = on_first if mine[0] != best[0] or mine[1] == best[1] else False
    here, there = (mine[0], best[0]) if of_on else (mine[1], best[1])
    name = reader.said(words.ON_DELAY if of_on else words.OFF_DELAY)
    value = reader.write(there, "s")
    reasons = "; ".join(
        limit(one, reader)
        for one in asked(task.facts)
        if (one.name in OF_ON) == of_on
        and (one.name in LOWER) == (there > here)
        and not one.bound.holds(*mine)
    )
    because = (
        reader.say(f" The numbers ask for this: {reasons}.", f" Los números piden esto: {reasons}.")
        if reasons
        else ""
    )
    if there > here:
        return (
            reader.say(
                f"Raise the {name.lower()} to about {value}.", f"Sube el {name.lower()} a unos {value}."
            )
            + because
        )
    return (
        reader.say(f"Lower the {name.lower()} to about {value}.", f"Baja el {name.lower()} a unos {value}.")
        + because
    )


def _kept(task: Task, reader: Reader) -> str:
    """Nothing was lost that could be had."""
    if task.facts.cart:
        return reader.say(
            "No delay keeps carts out of the count. Mark a way around the beam for them.",
            "Ningún retardo deja fuera a los carritos. Marca un paso para ellos que no cruce el haz.",
        )
    if task.facts.rolled:
        gap = reader.tape(task.facts.gap)
        return reader.say(
            f"No delay tells such a gap from a hole. Keep vehicles {gap} apart when they are loaded.",
            f"Ningún retardo distingue ese espacio de un hueco. Deja {gap} entre vehículos al cargarlos.",
        )
    if region(task.facts).empty:
        return reader.say(
            "No delay meets every demand of this site. Slow the chain, or keep people out of the beam.",
            "Ningún retardo cumple todo en este sitio. Baja la velocidad de la cadena o aleja a la gente "
            "del haz.",
        )
    return reader.say(
        "Nothing to change. On your own bay, write the setting down, then walk through the beam and check "
        "that the counter "
        "stays where it is.",
        "Nada que cambiar. En tu propia bahía, anota el ajuste, cruza el haz caminando y comprueba que el "
        "contador no se mueve.",
    )


def _moment(task: Task, number: int, one: Setting, reader: Reader) -> Moment:
    """One try: what the practice part showed, what the whole would have been worth, which numbers it missed."""
    all_ = worth(task)
    raw, most = float(all_.raw[all_.at(*one)]), all_.most
    said = [counted(task, one, practice_strip(task, one), reader)]
    said.append(
        reader.say(
            f"On the whole recording this is worth {reader.number(raw)} of {reader.number(most)} points "
            f"that can be had.",
            f"En toda la grabación esto vale {reader.number(raw)} de los {reader.number(most)} puntos "
            f"posibles.",
        )
    )
    missed = "; ".join(limit(line, reader) for line in asked(task.facts) if not line.bound.holds(*one))
    if missed:
        said.append(reader.say(f"It misses: {missed}.", f"No cumple: {missed}."))
    title = reader.say(
        f"Try {number}: {words.delays(*one, reader)}", f"Prueba {number}: {words.delays(*one, reader)}"
    )
    return Moment(title, " ".join(said))
