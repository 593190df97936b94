"""What a site's people learned, in words and tables for a page and a terminal, and as plain values for JSON."""

from __future__ import annotations

from trainer.figures.calibration import CalibrationCurve, CalibrationPoint
from trainer.learning.learned import DAYS, Gained, Learned, LessonsBefore, SkillTime
from trainer.learning.teller import Teller
from trainer.quantities.writing import write_number
from trainer.sites.survey.report import Section, Table
from trainer.statistics import forgetting, gain, mastering, preceding
from trainer.statistics.forgetting import Calibration, Level
from trainer.statistics.mastering import Half, Mastering, Portion, whole
from trainer.statistics.means import Mean
from trainer.statistics.preceding import Pair
from trainer.statistics.simulating import Share

SLOWEST, NEAREST = (
    5,
    3,
)  # skills that are told in sentences: the slowest, and those that lack the fewest people
MOST_PAIRS = 20  # that stand in the table
CALIBRATION = "calibration"  # the name of the drawing


def tell(found: Learned, to: Teller) -> tuple[Section, ...]:
    """The four parts, each with sentences first and a table after."""
    return (_gain(found, to), _forgetting(found, to), _mastery(found, to), _preceding(found.preceding, to))


def scenes(found: Learned) -> dict[str, CalibrationCurve]:
    """The drawings that the sections name."""
    if found.forgetting.calibration is None:
        return {}
    points = (
        CalibrationPoint(one.forecast, one.right.count / one.right.of, *one.right.interval, one.right.of)
        for one in found.forgetting.calibration.levels
    )
    return {CALIBRATION: CalibrationCurve(tuple(points))}


def _gain(found: Learned, to: Teller) -> Section:
    notes = [_gain_said(one, to) for one in found.gained]
    notes.append(
        to.say(
            "It is no proof of learning: who was unlucky first does better later by chance, and who tried once is not "
            "in it. In practice the first answers often have the steps in sight, so what was gained is rather more.",
            "No prueba que se aprendió: quien tuvo mala suerte primero sale mejor después por azar, y quien intentó "
            "una sola vez no cuenta. En práctica las primeras respuestas suelen tener los pasos a la vista, así que "
            "lo ganado es más bien mayor.",
        )
    )
    heads = (
        to.say("What", "Qué"), to.say("People", "Personas"), to.say("First, of 100", "Primero, de 100"),
        to.say("Last, of 100", "Último, de 100"), to.say("Gained (95 %)", "Ganado (95 %)"),
        to.say("Better, worse", "Mejor, peor"),
    )  # fmt: skip
    rows = tuple(_gain_row(one, to) for one in found.gained)
    some = any(one.gain for one in found.gained)
    title = to.say(
        "What people gained from first to last try", "Qué ganó la gente del primer al último intento"
    )
    table = Table(to.say("Gain in numbers", "Lo ganado en números"), heads, rows, (1, 2, 3, 4, 5))
    return Section("gain", title, tables=(table,) if some else (), notes=tuple(notes))


def _gain_said(one: Gained, to: Teller) -> str:
    name = to.thing(one)
    if one.gain is None:
        few = to.few(one.people, gain.LEAST_PEOPLE)
        return f"{name}: {few} {to.say('tried twice or more', 'lo intentaron dos veces o más')}."
    by = one.gain.gained
    first, last = to.hundred(one.gain.first.value), to.hundred(one.gain.last.value)
    said = to.say(
        f"{name}: {one.people} people went from {first} to {last} right of 100",
        f"{name}: {one.people} personas pasaron de {first} a {last} correctas de 100",
    )
    if by.low <= 0 <= by.high:
        return said + to.say("; that may be chance.", "; eso puede ser azar.")
    low, high = sorted((abs(by.low), abs(by.high)))
    much = to.with_interval(abs(by.value), low, high)
    return said + (
        to.say(f": {much} more.", f": {much} más.")
        if by.value > 0
        else to.say(f": {much} fewer.", f": {much} menos.")
    )


def _gain_row(one: Gained, to: Teller) -> tuple[str, ...]:
    if one.gain is None:
        return (to.thing(one), to.needed(one.people, gain.LEAST_PEOPLE), *"––––")
    return (
        to.thing(one), str(one.people), _mean(one.gain.first, to), _mean(one.gain.last, to), _mean(one.gain.gained, to),
        f"{one.gain.better.count}, {one.gain.worse.count}",
    )  # fmt: skip


def _mean(one: Mean, to: Teller) -> str:
    return to.with_interval(one.value, one.low, one.high)


def _forgetting(found: Learned, to: Teller) -> Section:
    title = to.say(
        "Does the forecast of forgetting come true?", "¿Se cumple el pronóstico de lo que se olvida?"
    )
    said = found.forgetting
    if said.calibration is None:
        least = forgetting.LEAST_REVIEWS
        note = to.say(
            f"Not enough reviews to say: {said.reviews} of {least}.",
            f"Faltan repasos para decir: {said.reviews} de {least}.",
        )
        return Section("forgetting", title, notes=(note, _what_counts(to)))
    one = said.calibration
    expected = to.hundred(sum(level.forecast * level.right.of for level in one.levels) / said.reviews, 1)
    came = to.hundred(sum(level.right.count for level in one.levels) / said.reviews, 1)
    reviews = write_number(said.reviews, to.language)
    notes = (
        to.say(
            f"In {reviews} reviews by {said.people} people the schedule forecast {expected} right of 100; {came} came "
            "true. ",
            f"En {reviews} repasos de {said.people} personas la agenda pronosticó {expected} correctas de 100; se "
            f"cumplieron {came}. ",
        )
        + _bias(one.bias, to),
        _brier(one, to),
        _what_counts(to),
    )
    heads = (
        to.say("Forecast, of 100", "Pronóstico, de 100"), to.say("Reviews", "Repasos"),
        to.say("Forecast on average", "Pronóstico en promedio"), to.say("Came true (95 %)", "Se cumplió (95 %)"),
        to.say("The forecast was", "El pronóstico fue"),
    )  # fmt: skip
    rows = tuple(_level(level, to) for level in one.levels)
    table = Table(to.say("The curve in numbers", "La curva en números"), heads, rows, (1, 2, 3))
    return Section("forgetting", title, tables=(table,), drawings=(CALIBRATION,), notes=notes)


def _what_counts(to: Teller) -> str:
    return to.say(
        "A review is an answer without help, a day or more after the last one on the skill. Reviews of one person "
        "hang together, so the intervals are somewhat too narrow; and of 20 rows one is off by chance.",
        "Un repaso es una respuesta sin ayuda, un día o más después de la anterior sobre esa habilidad. Los "
        "repasos de una persona van juntos, así que los intervalos salen algo angostos; y de 20 filas una se sale por "
        "azar.",
    )


def _bias(bias: Mean, to: Teller) -> str:
    low, high = sorted((abs(bias.low), abs(bias.high)))
    much = to.with_interval(abs(bias.value), low, high, 1)
    if bias.low > 0:
        return to.say(
            f"It hopes too much, by {much} of 100: people forget faster than it thinks.",
            f"Espera de más, por {much} de 100: la gente olvida más rápido de lo que cree.",
        )
    if bias.high < 0:
        return to.say(
            f"It is too careful, by {much} of 100: people forget more slowly than it thinks.",
            f"Es demasiado prudente, por {much} de 100: la gente olvida más despacio de lo que cree.",
        )
    return to.say("On the whole that is no more than chance.", "En conjunto no es más que azar.")


def _brier(one: Calibration, to: Teller) -> str:
    score, usual = (write_number(value, to.language, 3) for value in (one.brier.value, one.uncertainty))
    return to.say(
        f"Brier score {score}, 0 best; who forecasts the same average every time scores {usual}.",
        f"Puntaje de Brier {score}, lo mejor es 0; quien pronostica siempre el mismo promedio saca {usual}.",
    )


def _level(one: Level, to: Teller) -> tuple[str, ...]:
    low, high = one.right.interval
    verdict = (
        to.say("too high", "muy alto") if one.forecast > high
        else to.say("too low", "muy bajo") if one.forecast < low
        else to.say("about right", "más o menos acertado")
    )  # fmt: skip
    return (
        to.between(to.hundred(one.low), to.hundred(one.high)), write_number(one.right.of, to.language),
        to.hundred(one.forecast), _share(one.right, to), verdict,
    )  # fmt: skip


def _share(one: Share, to: Teller) -> str:
    return to.with_interval(one.count / one.of, *one.interval)


def _mastery(found: Learned, to: Teller) -> Section:
    title = to.say("How long it takes to master a skill", "Cuánto se tarda en dominar una habilidad")
    told = sorted((one for one in found.mastered if one.days is not None), key=_slowness)
    few = sorted((one for one in found.mastered if one.days is None), key=lambda one: -one.people)
    notes = [_mastery_said(one, to) for one in told[:SLOWEST]]
    least = mastering.LEAST_PEOPLE
    notes += [f"{to.skill(one.skill)}: {to.few(one.people, least)}." for one in few[:NEAREST]]
    if len(few) > NEAREST:
        notes.append(
            to.say(
                f"Not enough people either for {len(few) - NEAREST} more of {len(found.mastered)} skills.",
                f"También falta gente para otras {len(few) - NEAREST} de {len(found.mastered)} habilidades.",
            )
        )
    notes.append(
        to.say(
            "Days and answers count from the first answer on the skill. Whoever has not mastered it yet counts for as "
            "long as they were seen. Who leaves because it is hard makes it look easier than it is.",
            "Los días y las respuestas se cuentan desde la primera respuesta sobre la habilidad. Quien aún no la "
            "domina cuenta por el tiempo en que se le vio. Quien se va porque es difícil la hace ver más fácil de lo "
            "que es.",
        )
    )
    heads = (
        to.say("Skill", "Habilidad"), to.say("People", "Personas"),
        to.say("Half within, days (95 %)", "La mitad en, días (95 %)"),
        *(to.say(f"Within {day} days, of 100", f"En {day} días, de 100") for day in DAYS),
        to.say("Half within, answers (95 %)", "La mitad en, respuestas (95 %)"),
    )  # fmt: skip
    rows = tuple(_mastery_row(one, one.days, one.answers, to) for one in told if one.days and one.answers)
    table = Table(
        to.say("Skill by skill, the slowest first", "Una por una, primero la más lenta"),
        heads,
        rows,
        tuple(range(1, 7)),
    )
    return Section("mastery", title, tables=(table,) if rows else (), notes=tuple(notes))


def _slowness(one: SkillTime) -> tuple[bool, float, str]:
    half = one.days.half.value if one.days else None
    return half is not None, -(half or 0.0), one.skill


def _mastery_said(one: SkillTime, to: Teller) -> str:
    skill = to.skill(one.skill)
    half = one.days.half if one.days else Half(None, None, None)
    days = whole(half.value)
    if days is None:
        return to.say(
            f"{skill}: half of the people have not mastered it in the time they were seen.",
            f"{skill}: la mitad de la gente no la ha dominado en el tiempo en que se le vio.",
        )
    within = to.say(f"{days} day" + "s" * (days > 1), f"{days} día" + "s" * (days > 1))
    return to.say(
        f"{skill}: half of the people master it within {within} ({_half_ends(half, to)}).",
        f"{skill}: la mitad de la gente la domina en {within} ({_half_ends(half, to)}).",
    )


def _half_ends(half: Half, to: Teller) -> str:
    """The interval; only asked where its lower end was seen, which is no later than the half itself."""
    low, high = whole(half.low), whole(half.high)
    return to.say(f"{low} or more", f"{low} o más") if high is None else to.between(str(low), str(high))


def _mastery_row(one: SkillTime, days: Mastering, answers: Mastering, to: Teller) -> tuple[str, ...]:
    by = (_portion(days.by(day), to) for day in DAYS)
    return (to.skill(one.skill), str(one.people), _half(days, to), *by, _half(answers, to))


def _half(one: Mastering, to: Teller) -> str:
    if one.half.low is None:
        return "–"
    return f"{whole(one.half.value) or '–'} ({_half_ends(one.half, to)})"


def _portion(one: Portion | None, to: Teller) -> str:
    return "–" if one is None else to.with_interval(one.value, one.low, one.high)


def _preceding(before: LessonsBefore, to: Teller) -> Section:
    title = to.say("Which lesson comes before which slip", "Qué lección va antes de qué error")
    pairs, count = before.found.pairs, len(before.found.pairs)
    least = preceding.LEAST_PEOPLE
    notes = [_pair_said(one, before, to) for one in pairs if one.sure]
    if not pairs:
        notes.append(
            to.say(
                f"No pair can be compared yet: {least} people are needed on either side.",
                f"Todavía no se puede comparar ningún par: hacen falta {least} personas de cada lado.",
            )
        )
    elif not notes:
        notes.append(
            to.say(
                f"No pair of the {count} that can be compared stands out beyond chance.",
                f"De los {count} pares que se pueden comparar, ninguno resalta más que por azar.",
            )
        )
    notes.append(
        to.say(
            f"This is no proof of cause: people choose what they read and when, and are at different places of the "
            f"course. A pair that stands out is a reason to read the lesson again. Pairs with too few people: "
            f"{before.found.too_few}.",
            f"Esto no prueba una causa: la gente escoge qué lee y cuándo, y va en distintos lugares del curso. Un par "
            f"que resalta es motivo para releer la lección. Pares con muy poca gente: {before.found.too_few}.",
        )
    )
    heads = (
        to.say("Slip", "Error"), to.say("Lesson", "Lección"), to.say("After it, of 100", "Después, de 100"),
        to.say("Without it, of 100", "Sin leerla, de 100"), to.say("Chance, all pairs", "Azar, todos los pares"),
    )  # fmt: skip
    rows = tuple(_pair_row(one, before, to) for one in pairs[:MOST_PAIRS])
    table = Table(
        to.say("The least likely to be chance first", "Primero lo menos probable por azar"),
        heads,
        rows,
        (2, 3, 4),
    )
    return Section("preceding", title, tables=(table,) if rows else (), notes=tuple(notes))


def _pair_said(one: Pair, before: LessonsBefore, to: Teller) -> str:
    slip = before.slips[one.slip]
    lesson, skill, because = (
        to.lesson(before.lessons[one.lesson]),
        to.skill(slip.skill),
        to.plain(slip.because),
    )
    counts = (one.after.count, one.after.of, one.without.count, one.without.of)
    how = to.say("more", "más") if one.more else to.say("less", "menos")
    return to.say(
        "After “{}” people make this slip {} often: {} of {}, {} of {} without it. {}: {}",
        "Después de «{}» la gente comete {} este error: {} de {}, y {} de {} sin leerla. {}: {}",
    ).format(lesson, how, *counts, skill, because)


def _pair_row(one: Pair, before: LessonsBefore, to: Teller) -> tuple[str, ...]:
    slip = before.slips[one.slip]
    return (
        f"{to.skill(slip.skill)}: {to.plain(slip.because)}", to.lesson(before.lessons[one.lesson]),
        _share(one.after, to), _share(one.without, to), to.chance(one.chance),
    )  # fmt: skip
