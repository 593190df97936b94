"""What the delay bench says, in both languages."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.benches.delay.counting import Outcome
from trainer.benches.delay.task import Facts
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader

TITLE = Said("Set the two delays", "Ajustar los dos retardos")
PURPOSE = Said(
    "Watch what an eye recorded, set its on-delay and off-delay, and see what the counter makes of it.",
    "Mira lo que grabó un ojo, ajusta sus retardos a la conexión y a la desconexión, y ve qué cuenta el "
    "contador.",
)
ON_DELAY = Said("On-delay", "Retardo a la conexión")
OFF_DELAY = Said("Off-delay", "Retardo a la desconexión")
ON_HINT = Said(
    "The beam must stay blocked longer than this before a car counts.",
    "El haz debe seguir bloqueado más que esto para que cuente un carro.",
)
OFF_HINT = Said(
    "The beam must stay clear longer than this before the car is over.",
    "El haz debe seguir libre más que esto para que el carro termine.",
)
SET = Said("Set and play the practice part", "Ajustar y reproducir la parte de práctica")
FINISH = Said("Finish with this setting", "Terminar con este ajuste")
OVER = Said("This run has ended.", "Este intento ya terminó.")
UNKNOWN = Said("This cannot be set here.", "Eso no se puede ajustar aquí.")
ENOUGH = Said(
    "You have tried as often as you can. Finish with the setting that you have.",
    "Ya probaste todas las veces que se puede. Termina con el ajuste que tienes.",
)
LEVEL = Said("Level", "Nivel")
EYE = Said("Eye", "Ojo")
LEVELS: Mapping[str, Said] = {
    "1": Said("1: all demands can be met", "1: todo se puede cumplir"),
    "2": Said("2: more holes, more spray", "2: más huecos, más rocío"),
    "3": Said("3: something has to give", "3: algo se tiene que ceder"),
}
CAUTION = Said(
    "On many sites the delays are set inside an open cabinet. That is work for the authorized person, "
    "under lockout or by "
    "the site's own safe method (29 CFR 1910.147, 1910.333). Local codes and licensed practice come first.",
    "En muchos sitios los retardos se ajustan dentro de un tablero abierto. Es trabajo de la persona "
    "autorizada, con "
    "bloqueo y etiquetado o con el método seguro del sitio (29 CFR 1910.147, 1910.333). Primero van los "
    "códigos locales y "
    "los profesionales con licencia.",
)

PARTS: Mapping[str, Said] = {
    "people": Said("People do not count", "Las personas no cuentan"),
    "spray": Said("Spray does not count", "El rocío no cuenta"),
    "whole": Said("A vehicle with a hole stays one", "Un vehículo con hueco sigue siendo uno"),
    "apart": Said("Two close cars stay two", "Dos carros juntos siguen siendo dos"),
    "nose": Said("Noses are declared in time", "La nariz se declara a tiempo"),
}
_FOUND: Mapping[str, Said] = {
    "people": Said("{right} of {of} people ignored", "{right} de {of} personas ignoradas"),
    "spray": Said("{right} of {of} bursts ignored", "{right} de {of} ráfagas ignoradas"),
    "whole": Said("{right} of {of} counted once", "{right} de {of} contados una vez"),
    "apart": Said("{right} of {of} pairs kept apart", "{right} de {of} parejas separadas"),
    "nose": Said("{right} of {of} noses in time", "{right} de {of} narices a tiempo"),
}


def found(part: str, right: int, of: int) -> Said:
    """What came out of one part."""
    said = _FOUND[part]
    return Said(said.en.format(right=right, of=of), said.es.format(right=right, of=of))


SHORT: Mapping[str, Said] = {
    "car": Said("car", "carro"),
    "person": Said("person", "persona"),
    "cart": Said("cart", "carrito"),
    "spray": Said("spray", "rocío"),
}
STRIP_WORDS = Said("The counter's output is on:", "La salida del contador está activada:")
NEVER = Said("never", "nunca")
DIALS = Said("The two delays", "Los dos retardos")


def clock(seconds: float, decimals: int = 0) -> str:
    """A moment of the recording in minutes and seconds."""
    minutes, rest = divmod(round(seconds, decimals), 60)
    return f"{int(minutes)}:{rest:0{3 + decimals if decimals else 2}.{decimals}f}"


def counter(number: int) -> Said:
    """What the counter shows."""
    return Said(f"Counter: {number}", f"Contador: {number}")


def cars_passed(number: int) -> Said:
    """How many cars there really were."""
    return Said(f"cars that passed: {number}", f"carros que pasaron: {number}")


def delays(on_delay: float, off_delay: float, reader: Reader) -> str:
    """Both delays."""
    on, off = reader.write(on_delay, "s"), reader.write(off_delay, "s")
    return reader.say(
        f"On-delay {on}, off-delay {off}", f"Retardo a la conexión {on}, a la desconexión {off}"
    )


def is_right(facts: Facts, told: Outcome) -> bool:
    """Whether an event came out as it should: cars once and in time, all else never."""
    if told.event.kind != "car":
        return told.times == 0
    return told.times == 1 and told.late <= facts.nose_error + 1e-9


def mark(facts: Facts, told: Outcome) -> str:
    """A tick or a cross."""
    return "✓" if is_right(facts, told) else "✗"


PLANE = Said("All settings at once", "Todos los ajustes a la vez")
PLANE_WORDS = Said(
    "Across: the on-delay. Up: the off-delay. Dashed: where each number draws its line. The heavy outline "
    "meets every "
    "number; the hatched settings are the best on this recording.",
    "A lo ancho: el retardo a la conexión. Hacia arriba: el retardo a la desconexión. A rayas: el límite "
    "de cada número. El "
    "contorno grueso cumple todos los números; los ajustes rayados son los mejores en esta grabación.",
)
STRIP_KEY = Said(
    "above: beam blocked · below: counter's output", "arriba: haz bloqueado · abajo: salida del contador"
)
