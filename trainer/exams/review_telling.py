"""What a look at the questions says, in words for a page and a terminal: what misbehaves, why, and what to do."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.exams.question_review import Reviewed, SchemeReviewed
from trainer.exams.texts import Text
from trainer.learning.teller import Teller
from trainer.quantities.writing import write_number
from trainer.statistics.flags import LEAST, Figures, Verdict
from trainer.statistics.scores import LEAST_SITTINGS, Between

VERDICTS: Mapping[Verdict, Text] = {
    "out": Text("Take it out of scored use", "Sacarla de lo que cuenta"),
    "watch": Text("Watch it", "Vigilarla"),
    "fine": Text("Fine", "Bien"),
    "too_few": Text("Not enough answers to say", "Faltan respuestas para decir"),
}
DECISIONS: Mapping[str, Text] = {
    "kept": Text("Put back into scored use", "Devuelta a lo que cuenta"),
    "out": Text("Left out of scored use", "Dejada fuera de lo que cuenta"),
}


def how_right(one: Reviewed, to: Teller) -> str:
    """How many have it right; of few answers the model's value with its prior, never a bare figure."""
    figures = one.judgement.figures
    where = to.say(
        "in exams" if one.source == "exams" else "in practice",
        "en exámenes" if one.source == "exams" else "en práctica",
    )
    if figures.right.of < LEAST or figures.right.value is None:
        return believed(figures, to)
    share = to.with_interval(figures.right.value, *figures.right.interval)
    return to.say(
        f"{share} of 100 right, {figures.right.of} answers {where}",
        f"{share} de 100 correctas, {figures.right.of} respuestas {where}",
    )


def believed(figures: Figures, to: Teller) -> str:
    """What the model says of a question with few answers."""
    by_model, prior = figures.believed, to.hundred(figures.believed.prior)
    share = to.with_interval(by_model.value, by_model.low, by_model.high)
    few = to.say(
        f"not estimable yet: {figures.right.count} of {figures.right.of} right, {LEAST} answers needed",
        f"aún no se puede estimar: {figures.right.count} de {figures.right.of} bien, hacen falta {LEAST} respuestas",
    )
    model = to.say(
        f"by the model {share} of 100, from its level ({prior}, worth {figures.believed.weight:.0f} answers) and these",
        f"por el modelo {share} de 100, de su nivel ({prior}, vale {figures.believed.weight:.0f} respuestas) y estas",
    )
    return f"{few}; {model}"


def scheme_lines(one: SchemeReviewed, to: Teller) -> list[str]:
    """How far the exams of a scheme can be trusted, in sentences."""
    people, scores = one.people, one.scores
    if scores is None:
        lines = [
            to.say(
                f"Not estimable yet: {people} of {LEAST_SITTINGS} first sittings of version {one.version}.",
                f"Aún no se puede estimar: {people} de {LEAST_SITTINGS} primeros intentos de la versión {one.version}.",
            )
        ]
        return lines + _by_the_model(one, to) + _in_common(one, to)
    share = to.with_interval(scores.passed.value or 0.0, *scores.passed.interval)
    lines = [
        to.say(
            f"{people} people sat version {one.version} for the first time. {share} of 100 passed; {scores.cut} of "
            f"{scores.items} are needed, and {_number(scores.mean.value, to)} is the mean "
            f"(standard deviation {_number(scores.deviation, to)}).",
            f"{people} personas presentaron la versión {one.version} por primera vez. Aprobaron {share} de 100; hacen "
            f"falta {scores.cut} de {scores.items}, y la media es {_number(scores.mean.value, to)} "
            f"(desviación estándar {_number(scores.deviation, to)}).",
        ),
        to.say(
            f"At the cut, a person's score varies from form to form by {_number(scores.error_at_cut, to)} answers "
            "(Lord's standard error).",
            f"En el corte, el puntaje de una persona varía de examen a examen por {_number(scores.error_at_cut, to)} "
            "respuestas (error estándar de Lord).",
        ),
    ]
    if scores.reliability is None or scores.agreement is None or scores.kappa is None:
        lines.append(
            to.say(
                "People's scores hardly differ, so how far they can be trusted is not defined by them.",
                "Los puntajes casi no difieren, así que con ellos no se define cuánto se puede confiar.",
            )
        )
        return lines + _by_the_model(one, to) + _in_common(one, to)
    agreed, kappa, reliable = (
        _between(figure, to) for figure in (scores.agreement, scores.kappa, scores.reliability)
    )
    lines.append(
        to.say(
            f"Two forms would judge {_hundreds(scores.agreement, to)} of 100 people alike (p0 {agreed}; beyond chance, "
            f"kappa {kappa}). Reliability {reliable} at least (KR-21).",
            f"Dos exámenes juzgarían igual a {_hundreds(scores.agreement, to)} de 100 personas (p0 {agreed}; más allá "
            f"del azar, kappa {kappa}). Confiabilidad {reliable} por lo menos (KR-21).",
        )
    )
    return lines + _in_common(one, to)


def _by_the_model(one: SchemeReviewed, to: Teller) -> list[str]:
    model = one.model
    if model is None:
        return []
    kappa = model.verdicts.kappa
    return [
        to.say(
            f"By the model, with {model.learners} invented learners who proved their practice: two forms judge "
            f"{to.hundred(model.verdicts.agreement)} of 100 alike "
            f"(kappa {_number(kappa, to) if kappa is not None else 'not defined'}), reliability "
            f"{_number(model.reliability, to)}, {_number(model.error_at_cut, to)} answers from form to form at the "
            "border. A model, not data.",
            f"Por el modelo, con {model.learners} aprendices inventados que demostraron su práctica: dos exámenes "
            f"juzgan "
            f"igual a {to.hundred(model.verdicts.agreement)} de 100 "
            f"(kappa {_number(kappa, to) if kappa is not None else 'no definida'}), confiabilidad "
            f"{_number(model.reliability, to)}, {_number(model.error_at_cut, to)} respuestas de examen a examen en el "
            "límite. Un modelo, no datos.",
        )
    ]


def _in_common(one: SchemeReviewed, to: Teller) -> list[str]:
    if one.in_common is None:
        return []
    share = to.hundred(one.in_common)
    return [
        to.say(
            f"Of the last year's forms, two share {share} of 100 questions on average (with other numbers).",
            f"De los exámenes del último año, dos comparten en promedio {share} de 100 preguntas (con otros números).",
        )
    ]


def figure_rows(one: Reviewed, to: Teller) -> list[tuple[str, str]]:
    """Every figure of a question, each with its name; what is not estimable says so."""
    figures = one.judgement.figures
    few = to.needed(figures.right.of, LEAST)
    rows = [
        (to.say("Right", "Correctas"), how_right(one, to)),
        (
            to.say("Correlation with the rest", "Correlación con lo demás"),
            few if figures.right.of < LEAST else _interval(figures.rest, to, "value"),
        ),
        (
            to.say("Best quarter less weakest quarter", "Cuarto mejor menos cuarto más débil"),
            few if figures.difference is None else _number(figures.difference, to),
        ),
        (to.say("Place on the scale", "Lugar en la escala"), _place(figures, to)),
        (
            to.say("Infit", "Infit"),
            few
            if figures.fit is None
            else f"{_number(figures.fit.infit, to)} ± {_number(figures.fit.error, to)}",
        ),
        (to.say("Spread of its instances", "Dispersión de sus casos"), _spread(figures, to)),
        (to.say("Change in twelve months", "Cambio en doce meses"), _interval(figures.drift, to, "moved")),
        (to.say("Spanish beside English", "Español junto a inglés"), _groups(figures, to)),
        (to.say("Time, middle half", "Tiempo, mitad central"), _time(figures, to)),
    ]
    if one.met.value is not None:
        said = to.say(
            f"on {one.met.count} of {one.met.of} forms of the last year ({to.hundred(one.met.value)} of 100)",
            f"en {one.met.count} de {one.met.of} exámenes del último año ({to.hundred(one.met.value)} de 100)",
        )
        rows.append((to.say("How often it was met", "Qué tan seguido salió"), said))
    return rows


def _place(figures: Figures, to: Teller) -> str:
    place, error = _number(figures.place.place, to), _number(figures.place.error, to)
    if figures.place.source == "prior":
        return to.say(
            f"{place} ± {error} logits, from its level alone", f"{place} ± {error} logits, solo por su nivel"
        )
    level = _number(figures.expected, to)
    return to.say(
        f"{place} ± {error} logits (its level says {level}; 0 is who is only just competent)",
        f"{place} ± {error} logits (su nivel dice {level}; 0 es quien apenas es competente)",
    )


def _spread(figures: Figures, to: Teller) -> str:
    if figures.instances is None:
        return to.say("too few had the same numbers", "muy pocas personas tuvieron los mismos números")
    one = figures.instances
    return f"{_number(one.spread, to)} ({to.between(_number(one.low, to), _number(one.high, to))}) logits"


def _groups(figures: Figures, to: Teller) -> str:
    if figures.groups is None or figures.groups.size is None:
        return to.say("too few in one language", "muy pocas personas en un idioma")
    one = figures.groups
    interval = to.between(_number(one.low, to), _number(one.high, to))
    return f"{one.size}: {_number(one.delta, to)} ({interval})"


def _time(figures: Figures, to: Teller) -> str:
    if figures.seconds is None:
        return to.say("not known", "no se sabe")
    low, middle, high = (write_number(one, to.language, 0) for one in figures.seconds)
    return to.say(f"{low} to {high} s, half within {middle} s", f"{low} a {high} s, la mitad en {middle} s")


def _interval(one: object, to: Teller, name: str) -> str:
    if one is None:
        return to.say("not estimable", "no se puede estimar")
    value, low, high = (_number(getattr(one, part), to) for part in (name, "low", "high"))
    return f"{value} ({to.between(low, high)})"


def _between(one: object, to: Teller) -> str:
    return _interval(one, to, "value")


def _hundreds(one: Between, to: Teller) -> str:
    return to.with_interval(one.value, one.low, one.high)


def _number(value: float, to: Teller) -> str:
    return write_number(value, to.language, 2)
