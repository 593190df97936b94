"""What a simulation of a scheme came to, in words, and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from trainer.exams.simulated import Simulated
from trainer.exams.texts import Text
from trainer.quantities.dimensions import Language
from trainer.statistics.simulating import Share

SENTENCES: Mapping[str, Text] = {
    "head": Text(
        "{title}, version {version}: {learners} invented learners; {cut} of {items} right passes.",
        "{title}, versión {version}: {learners} aprendices inventados; se aprueba con {cut} de {items}.",
    ),
    "critical": Text(
        "In critical areas every answer must be right.",
        "En las áreas críticas toda respuesta debe estar bien.",
    ),
    "admitted": Text(
        "{share} proved in practice what the scheme demands first; half of them took {answers} answers or fewer.",
        "{share} demostraron en práctica lo que el esquema exige; la mitad necesitó {answers} respuestas o menos.",
    ),
    "no_mastery": Text(
        "The scheme demands no proof in practice before the exam.",
        "El esquema no exige demostrar nada en práctica antes del examen.",
    ),
    "lean": Text(
        "Of 1,000 people not up to it, {first} pass at the first try and {last} within {tries} tries. "
        "Of 1,000 who are up to it, {good} have passed by then.",
        "De 1,000 personas que no están listas, {first} aprueban al primer intento y {last} en {tries} intentos. "
        "De 1,000 que sí lo están, {good} han aprobado para entonces.",
    ),
    "lean_once": Text(
        "There is one try. Of 1,000 people not up to it, {first} pass; of 1,000 who are up to it, {good} do.",
        "Hay un intento. De 1,000 personas que no están listas, {first} aprueban; de 1,000 que sí lo están, {good}.",
    ),
    "tries": Text("After tries", "Tras intentos"),
    "false_pass": Text("not up to it, yet passed", "no están listas y aprobaron"),
    "false_fail": Text("up to it, not passed", "están listas y no aprueban"),
    "among_passed": Text("passed, not up to it", "aprobaron sin estar listas"),
    "bands": Text(
        "From the border (logits; half a logit below it, even odds become 38 of 100)",
        "Desde el límite (logits; medio logit por debajo, un 50 de 100 pasa a 38 de 100)",
    ),
    "at_once": Text("pass at once", "aprueban a la primera"),
    "in_the_end": Text("in the end", "al final"),
    "to": Text("{low} to {high}", "{low} a {high}"),
    "range": Text("{value} % ({low} to {high})", "{value} % ({low} a {high})"),
    "nobody": Text("nobody", "nadie"),
    "intervals": Text(
        "In brackets: 95 of 100 such simulations hold the model's own share. They say nothing about the model.",
        "Entre paréntesis: 95 de 100 simulaciones así contienen la parte propia del modelo. Del modelo no dicen nada.",
    ),
    "model": Text(
        "A model, not data: learners stand around the border by {spread} logit, skills by {skill_spread}; an answer in "
        "practice adds {gain}, a day of waiting takes {lost_a_day}. Common practice, no source. "
        "Up to it is who stands at the border or above over the whole form and over each critical area.",
        "Un modelo, no datos: los aprendices se reparten alrededor del límite por {spread} logit, las habilidades por "
        "{skill_spread}; una respuesta en práctica suma {gain}, un día de espera quita {lost_a_day}. Práctica común, "
        "sin fuente. Está lista la persona que alcanza el límite o más en todo el examen y en cada área crítica.",
    ),
    "permission": Text(
        "[WARNING] A passed exam opens no cabinet. The practical on the machine, lockout and the manager's decision "
        "come after it; local codes and licensed practice come first.",
        "[ADVERTENCIA] Aprobar el examen no abre ningún tablero. Después vienen la práctica en la máquina, el bloqueo "
        "y la decisión del gerente; las normas locales y el trabajo con licencia van primero.",
    ),
}


def tell(
    found: Simulated, title: Text, language: Language, *, critical: bool, demanded: bool
) -> Iterator[str]:
    """The lines of a simulation. critical, demanded: whether the scheme has critical areas, and asks for mastery."""

    def say(key: str, **parts: object) -> str:
        return SENTENCES[key].say(language).format(**parts)

    def share(one: Share) -> str:
        if one.value is None:
            return say("nobody")
        low, high = one.interval
        return say("range", value=_hundred(one.value), low=_hundred(low), high=_hundred(high))

    yield say(
        "head", title=title.say(language), version=found.version, learners=f"{found.learners:,}",
        cut=found.cut, items=found.items,
    )  # fmt: skip
    if critical:
        yield say("critical")
    if demanded:
        yield say("admitted", share=share(found.admitted), answers=round(found.answers))
    else:
        yield say("no_mastery")
    first, last = found.tries[0], found.tries[-1]
    if None not in (first.false_pass.value, last.false_fail.value):
        yield say(
            "lean" if len(found.tries) > 1 else "lean_once",
            first=round(1000 * (first.false_pass.value or 0)), last=round(1000 * (last.false_pass.value or 0)),
            tries=last.tries, good=round(1000 * (1 - (last.false_fail.value or 0))),
        )  # fmt: skip
    yield ""
    yield _row(say("tries"), say("false_pass"), say("false_fail"), say("among_passed"))
    for one in found.tries:
        yield _row(one.tries, share(one.false_pass), share(one.false_fail), share(one.among_passed))
    yield ""
    yield say("bands")
    yield _row("", say("at_once"), say("in_the_end"))
    for band in found.bands:
        yield _row(
            say("to", low=f"{band.low:+.1f}", high=f"{band.high:+.1f}"),
            share(band.at_once), share(band.in_the_end),
        )  # fmt: skip
    yield ""
    yield say("intervals")
    yield say("model", **asdict(found.assumptions))
    yield say("permission")


def _row(first: object, *rest: str) -> str:
    return f"{first!s:14}" + "".join(f"{cell:30}" for cell in rest).rstrip()


def _hundred(value: float) -> str:
    return f"{100 * value:.1f}"


def document(found: Simulated) -> dict[str, Any]:
    """The simulation as plain values; each share with count, of, value and its 95 % interval."""
    return {
        "scheme": found.scheme, "version": found.version, "cut": found.cut, "items": found.items,
        "learners": found.learners, "seed": found.seed, "assumptions": asdict(found.assumptions),
        "admitted": found.admitted.plain, "answers_before_exam": found.answers,
        "tries": [
            {
                "tries": one.tries, "false_pass": one.false_pass.plain, "false_fail": one.false_fail.plain,
                "among_passed": one.among_passed.plain,
            }
            for one in found.tries
        ],
        "near_the_border": [
            {"low": one.low, "high": one.high, "at_once": one.at_once.plain, "in_the_end": one.in_the_end.plain}
            for one in found.bands
        ],
    }  # fmt: skip
