"""The refusals of a reader of quantities, one function each: what was read, what is wrong, the mend."""

from __future__ import annotations

from trainer.quantities.dimensions import Language
from trainer.quantities.faults import Said, UnreadableQuantity
from trainer.quantities.units import Unit

LONGEST_TEXT = 60
_LANGUAGES: tuple[Language, Language] = ("en", "es")
_NOTHING = Said("", "")


def no_answer(asked: Unit, language: Language) -> UnreadableQuantity:
    """Nothing was typed."""
    wrong = Said("There is no answer yet.", "Todavía no hay respuesta.")
    return UnreadableQuantity(_NOTHING, wrong, example(asked), language)


def too_long(asked: Unit, language: Language) -> UnreadableQuantity:
    """More was typed than any quantity needs."""
    wrong = Said(
        f"That is longer than {LONGEST_TEXT} characters.", f"Eso tiene más de {LONGEST_TEXT} caracteres."
    )
    return UnreadableQuantity(_NOTHING, wrong, example(asked), language)


def too_large(asked: Unit, language: Language) -> UnreadableQuantity:
    """The number is beyond anything on a wash."""
    wrong = Said("That number is too large to be right.", "Ese número es demasiado grande.")
    return UnreadableQuantity(_NOTHING, wrong, example(asked), language)


def no_number(line: str, asked: Unit, language: Language) -> UnreadableQuantity:
    """The text does not begin with a number."""
    wrong = Said("I find no number at the beginning.", "No encuentro un número al principio.")
    return UnreadableQuantity(_both(clip(line)), wrong, example(asked), language)


def no_file_number(text: str) -> UnreadableQuantity:
    """A quantity in a file does not begin with a number."""
    return UnreadableQuantity(
        _both(f"`{clip(text)}`"),
        Said("A quantity begins with a number.", "Una cantidad empieza con un número."),
        Said("Write it as 10 in, 2.5 s or 3.", "Escríbela como 10 in, 2.5 s o 3."),
    )


def not_a_number(typed: str, language: Language) -> UnreadableQuantity:
    """Digits, commas and points that make no number."""
    if "/" in typed:
        mend = Said("The bottom of a fraction cannot be 0.", "Una fracción no puede tener 0 abajo.")
    else:
        mend = Said("Use one decimal point, as in 1200.5.", "Usa una sola coma decimal, como en 1200,5.")
    wrong = Said("That is not a number.", "Eso no es un número.")
    return UnreadableQuantity(_both(typed), wrong, mend, language)


def unknown_unit(number: str, rest: str, asked: Unit, language: Language) -> UnreadableQuantity:
    """What stands after the number is no unit."""
    rest = clip(rest)
    read = Said(f"{number} and then “{rest}”", f"{number} y luego “{rest}”")
    wrong = Said(f"I know no unit “{rest}”.", f"No conozco la unidad “{rest}”.")
    return UnreadableQuantity(read, wrong, example(asked), language)


def two_numbers(first: str, second: str, language: Language) -> UnreadableQuantity:
    """Two numbers with nothing, or only a dash, between them."""
    return UnreadableQuantity(
        Said(f"{first} and then {second}", f"{first} y luego {second}"),
        Said("I cannot tell what joins the two numbers.", "No sé qué une los dos números."),
        Said(
            f"For feet and inches type {first} ft {second} in; for one number type it alone.",
            f"Para pies y pulgadas escribe {first} pies {second} pulg; si es un solo número, escríbelo solo.",
        ),
        language,
    )


def first_not_whole(read: Said, above: Unit, below: Unit, language: Language) -> UnreadableQuantity:
    """16.5 ft 4 in: a broken number of feet with inches behind it."""
    wrong = Said(
        f"With {below.en.many} behind it, the number of {above.en.many} must be whole.",
        f"Si siguen {below.es.many}, el número de {above.es.many} debe ser entero.",
    )
    mend = Said(
        f"Type {above.en.many} alone, or whole {above.en.many} and {below.en.many}.",
        f"Escribe solo {above.es.many}, o {above.es.many} enteros y {below.es.many}.",
    )
    return UnreadableQuantity(read, wrong, mend, language)


def second_too_many(
    read: Said, typed: tuple[str, str], units: tuple[Unit, Unit], rule: Said, language: Language
) -> UnreadableQuantity:
    """16 ft 33 in: more inches than a foot has; often a decimal that was typed as inches."""
    (first, second), (above, below) = typed, units
    if second.isdigit():
        en, es = f"{first}.{second} {above.en.symbol}", f"{first},{second} {above.es.symbol}"
        mend = Said(f"if you meant {en}, type {en}.", f"si quisiste decir {es}, escribe {es}.")
    else:
        mend = Said(
            f"type fewer {below.en.many}, or {below.en.many} alone.",
            f"escribe menos {below.es.many}, o solo {below.es.many}.",
        )
    return UnreadableQuantity(read, rule, mend, language)


def pair_said(typed: tuple[str, str], units: tuple[Unit, Unit]) -> Said:
    """Two parts as typed, with our symbols: 16 ft 33 in."""
    (first, second), (above, below) = typed, units
    amount = 1 if first == "1" else 2
    return Said(
        *(f"{first} {above.symbol(tongue, amount)} {second} {below.symbol(tongue)}" for tongue in _LANGUAGES)
    )


def example(asked: Unit) -> Said:
    """How to type an answer in the asked unit."""
    if asked.key in {"ft in", "ft in 1/16"}:
        return Said("Type it as 16 ft 4 in.", "Escríbelo como 16 pies 4 pulg.")
    if not asked.en.symbol:
        return Said("Type a number alone, such as 12.5.", "Escribe solo un número, como 12,5.")
    if asked.key == "usd":
        return Said("Type it as $12.50.", "Escríbelo como $12,50.")
    gap = "" if asked.tight else " "
    return Said(f"Type it as 12.5{gap}{asked.en.symbol}.", f"Escríbelo como 12,5{gap}{asked.es.symbol}.")


def clip(text: str) -> str:
    """A text on one line, short enough to be said back."""
    line = " ".join(text.split())
    return line if len(line) <= 30 else line[:29] + "…"


def _both(text: str) -> Said:
    return Said(text, text)
