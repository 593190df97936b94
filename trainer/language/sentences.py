"""The sentences that answer a person: one table, both languages side by side. The parts in { } are HTML already."""

from __future__ import annotations

from html import escape

from trainer.quantities.dimensions import LENGTH, Language
from trainer.quantities.units import Unit
from trainer.quantities.writing import write_number

SENTENCES: dict[str, tuple[str, str]] = {
    "right": ("Right: {said}.", "Correcto: {said}."),
    "right_range": (
        "You wrote {said}; worked out to the end it is {answer}. Anything within {within} counts.",
        "Escribiste {said}; calculado hasta el final es {answer}. Vale todo lo que esté a {within} o menos.",
    ),
    "slip": ("You wrote {said}.", "Escribiste {said}."),
    "other_dimension": (
        "You wrote {said}: that is {typed}. The question asks for {asked}, in <strong>{unit}</strong>.",
        "Escribiste {said}: eso es {typed}. La pregunta pide {asked}, en <strong>{unit}</strong>.",
    ),
    "wrong_unit": (
        "You wrote {said}. The number is right in {unit}, so the work is sound and the unit is not.",
        "Escribiste {said}. El número es correcto en {unit}: la cuenta está bien y la unidad no.",
    ),
    "missing_unit": (
        "You wrote no unit, so I took it as {said}. The number is right in {unit}: write the unit with it.",
        "No escribiste unidad, así que lo tomé como {said}. El número es correcto en {unit}: escribe la unidad.",
    ),
    "too_much": ("You wrote {said}. That is {gap} too much.", "Escribiste {said}. Son {gap} de más."),
    "too_little": (
        "You wrote {said}. That is {gap} too little.",
        "Escribiste {said}. Son {gap} de menos.",
    ),
    "times": (
        "It is {times} times the right number.",
        "Es {times} veces el número correcto.",
    ),
    "part": (
        "It is the right number divided by {times}.",
        "Es el número correcto dividido entre {times}.",
    ),
    "ten": ("Look at the decimal point.", "Revisa el punto decimal."),
    "twelve": (
        "Look for inches taken as feet, or feet as inches.",
        "Busca pulgadas tomadas por pies, o pies por pulgadas.",
    ),
    "sixty": (
        "Look for seconds taken as minutes, or minutes as seconds.",
        "Busca segundos tomados por minutos, o minutos por segundos.",
    ),
    "two": ("Something was counted twice, or halved.", "Algo se contó dos veces, o se partió a la mitad."),
    "sign": ("The size is right; the sign is not.", "El tamaño es correcto; el signo no."),
    "near": (
        "You are close: {within} either way counts. Keep all the digits until the last step.",
        "Vas cerca: se acepta {within} de más o de menos. Conserva todas las cifras hasta el último paso.",
    ),
    "begin": ("Begin here:", "Empieza aquí:"),
    "left_out": ("You left out <strong>{text}</strong>.", "Te faltó <strong>{text}</strong>."),
    "chosen": ("You chose <strong>{text}</strong>.", "Escogiste <strong>{text}</strong>."),
    "order": (
        "You put <strong>{then}</strong> before <strong>{first}</strong>.",
        "Pusiste <strong>{then}</strong> antes de <strong>{first}</strong>.",
    ),
    "matched": (
        "You matched <strong>{left}</strong> with <strong>{right}</strong>.",
        "Uniste <strong>{left}</strong> con <strong>{right}</strong>.",
    ),
    "stated": (
        "For <strong>{row}</strong> you wrote {state}.",
        "Para <strong>{row}</strong> escribiste {state}.",
    ),
    "all_right": ("Every one is right.", "Todo está bien."),
    "choose_one": (
        "I find no choice. Choose one of the options.",
        "No encuentro ninguna elección. Escoge una opción.",
    ),
    "choose_some": (
        "I find no choice. Choose every option that is right.",
        "No encuentro ninguna elección. Escoge todas las opciones correctas.",
    ),
    "order_all": (
        "Some of the steps are missing. Put every one of them in order.",
        "Faltan algunos pasos. Pon todos en orden.",
    ),
    "match_all": (
        "Some are still without a partner. Match every one on the left.",
        "Algunos quedan sin pareja. Une todos los de la izquierda.",
    ),
    "state_all": (
        "Some rows are still empty. Give a state for every row.",
        "Quedan renglones vacíos. Da un estado para cada renglón.",
    ),
    "answer": ("Answer: <strong>{answer}</strong>", "Respuesta: <strong>{answer}</strong>"),
    "and": (" and ", " y "),
    "or": (" or ", " o "),
    "plain_number": ("a plain number", "un número sin unidad"),
    "hint_number": ("Type a number, such as {example}.", "Escribe un número, por ejemplo {example}."),
    "hint_unit": (
        "Type a number with its unit, such as {example}. A bare number is taken in {unit}.",
        "Escribe un número con su unidad, por ejemplo {example}. Un número solo se toma en {unit}.",
    ),
}


def say(key: str, language: Language, **parts: str) -> str:
    """A sentence with its parts; the parts are HTML."""
    return SENTENCES[key][language == "es"].format(**parts)


def unit_word(unit: Unit, language: Language) -> str:
    """The unit as a word: `feet`; for plain numbers, that."""
    return escape(unit.word(language) or say("plain_number", language))


def typing_hint(unit: Unit, language: Language) -> str:
    """How to type an answer in this unit; the numbers of the example have nothing to do with the question."""
    if not unit.symbol(language):
        return say("hint_number", language, example=write_number(24, language))
    return say("hint_unit", language, example=_examples(unit, language), unit=unit_word(unit, language))


def _examples(unit: Unit, language: Language) -> str:
    number = write_number(12.5, language)
    gap = "" if unit.tight else " "
    plain = f"{number}{gap}{unit.symbol(language, 12.5)}"
    both = {"en": "12 ft 6 in", "es": "12 pies 6 pulg"}[language]
    if unit.dimension == LENGTH and unit.system == "us":
        plain = both if unit.key.startswith("ft in") else say("or", language).join((both, plain))
    return escape(plain)
