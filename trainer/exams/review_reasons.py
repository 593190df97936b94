"""Why a question is flagged and what to do about it, in both languages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.exams.texts import Text
from trainer.learning.teller import Teller
from trainer.quantities.writing import write_number
from trainer.statistics.flags import OTHER, RIGHT, Reason


@dataclass(frozen=True)
class Why:
    """Why a question is flagged, and what to do about it."""

    why: Text
    todo: Text


_READ_KEY = Text(
    "Work it out by hand and compare the key. Let somebody who knows the job do the same.",
    "Resuélvela a mano y compara la clave. Que alguien que conoce el trabajo haga lo mismo.",
)
_READ_WORDS = Text(
    "Read it as a new hire would. Can it be understood in another way?",
    "Léela como alguien nuevo. ¿Se puede entender de otra manera?",
)
REASONS: Mapping[str, Why] = {
    "under_guessing": Why(
        Text(
            "{right} of {of} have it right: fewer than by guessing ({guess} of 100).",
            "{right} de {of} la contestan bien: menos que adivinando ({guess} de 100).",
        ),
        _READ_KEY,
    ),
    "hardly_anybody": Why(
        Text("Hardly anybody has it right: {right} of {of}.", "Casi nadie la contesta bien: {right} de {of}."),
        _READ_KEY,
    ),
    "nearly_everybody": Why(
        Text(
            "Nearly everybody has it right: {right} of {of}. It tells nobody apart any more.",
            "Casi todos la contestan bien: {right} de {of}. Ya no distingue a nadie.",
        ),
        Text(
            "Leave it, if everybody must know this. Else ask something harder of the same skill.",
            "Déjala, si todos deben saberlo. Si no, pregunta algo más difícil de la misma habilidad.",
        ),
    ),
    "the_better_miss_it": Why(
        Text(
            "Those who do well on the rest get this one wrong more often (correlation {rest}, {low} to {high}).",
            "Quienes salen bien en lo demás fallan más en esta (correlación {rest}, {low} a {high}).",
        ),
        _READ_KEY,
    ),
    "maybe_the_better_miss_it": Why(
        Text(
            "Those who do well on the rest seem to do no better here (correlation {rest}, {low} to {high}).",
            "Quienes salen bien en lo demás no parecen salir mejor aquí (correlación {rest}, {low} a {high}).",
        ),
        _READ_WORDS,
    ),
    "tells_nobody_apart": Why(
        Text(
            "It hardly tells apart who knows and who does not (correlation {rest}, {low} to {high}).",
            "Casi no distingue a quien sabe de quien no (correlación {rest}, {low} a {high}).",
        ),
        _READ_WORDS,
    ),
    "the_best_choose_wrong": Why(
        Text(
            "The best give “{chosen}” more often than the right answer: {upper} of 100 against {right}. The key may be "
            "wrong.",
            "Los mejores dan «{chosen}» más que la respuesta correcta: {upper} de 100 contra {right}. La clave puede "
            "estar mal.",
        ),
        _READ_KEY,
    ),
    "maybe_the_best_choose_wrong": Why(
        Text(
            "Of the best, {upper} of 100 give “{chosen}” and {right} the right answer.",
            "De los mejores, {upper} de 100 dan «{chosen}» y {right} la respuesta correcta.",
        ),
        _READ_KEY,
    ),
    "scattered": Why(
        Text(
            "Right and wrong answers are more scattered than knowledge explains (infit {infit}; 1 is expected).",
            "Las respuestas están más dispersas de lo que explica el conocimiento (infit {infit}; se espera 1).",
        ),
        _READ_WORDS,
    ),
    "harder_than_level": Why(
        Text(
            "It is harder than its level says, by {off} logits.", "Es más difícil que su nivel, por {off} logits."
        ),
        Text("Raise its level, or make it plainer.", "Súbele el nivel, o hazla más clara."),
    ),
    "easier_than_level": Why(
        Text("It is easier than its level says, by {off} logits.", "Es más fácil que su nivel, por {off} logits."),
        Text("Lower its level, or ask for one step more.", "Bájale el nivel, o pide un paso más."),
    ),
    "became_easier": Why(
        Text(
            "In the last twelve months it became easier beside the others, by {moved} logits. It may have got about.",
            "En los últimos doce meses se volvió más fácil que las demás, por {moved} logits. Puede que ya se sepa.",
        ),
        Text(
            "Ask whether the answer is passed on. Draw other numbers, or replace it.",
            "Pregunta si la respuesta se pasa. Sortea otros números, o reemplázala.",
        ),
    ),
    "became_harder": Why(
        Text(
            "In the last twelve months it became harder beside the others, by {moved} logits.",
            "En los últimos doce meses se volvió más difícil que las demás, por {moved} logits.",
        ),
        Text(
            "Look what changed: the lesson, the site's numbers, or how people are shown this.",
            "Mira qué cambió: la lección, los números del sitio, o cómo se enseña esto.",
        ),
    ),
    "harder_in_spanish": Why(
        Text(
            "For people who know as much, it is harder in Spanish than in English.",
            "Para personas que saben lo mismo, es más difícil en español que en inglés.",
        ),
        Text("Read both texts side by side with somebody who speaks both.", "Lee ambos textos con alguien bilingüe."),
    ),
    "harder_in_english": Why(
        Text(
            "For people who know as much, it is harder in English than in Spanish.",
            "Para personas que saben lo mismo, es más difícil en inglés que en español.",
        ),
        Text("Read both texts side by side with somebody who speaks both.", "Lee ambos textos con alguien bilingüe."),
    ),
}  # fmt: skip
HUNDREDS = frozenset({"upper", "guess"})  # numbers of reasons that are shares


def why(reason: Reason, to: Teller, known: Mapping[str, str] | None = None) -> tuple[str, str]:
    """Why, and what to do. known: words for what can be chosen, by option or slip."""
    told = REASONS[reason.key]
    parts = {name: _part(name, value, reason.key, to, known or {}) for name, value in reason.numbers.items()}
    return told.why.say(to.language).format(**parts), told.todo.say(to.language)


def _part(name: str, value: float | str, key: str, to: Teller, known: Mapping[str, str]) -> str:
    if isinstance(value, str):
        return chosen_words(value, to, known)
    if name in HUNDREDS or (name == "right" and key.endswith("choose_wrong")):
        return to.hundred(value)
    return write_number(value, to.language, 0 if name in ("right", "of") else 2)


def chosen_words(name: str, to: Teller, known: Mapping[str, str]) -> str:
    """What was chosen, in words."""
    if name == RIGHT:
        return to.say("right", "correcta")
    if name == OTHER:
        return to.say("another wrong answer", "otra respuesta equivocada")
    return known.get(name, name)
