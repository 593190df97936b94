"""The task's numbers in words: what is known, what each asks of a delay, and how that is worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trainer.benches.delay.asking import region
from trainer.benches.delay.scoring import Setting
from trainer.benches.delay.task import Facts
from trainer.benches.frame import Table
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader
from trainer.solver.delays import Bound

ASKS: Mapping[str, Said] = {
    "walker": Said("person", "persona"),
    "cart": Said("cart", "carrito"),
    "hole": Said("hole", "hueco"),
    "gap": Said("gap", "espacio"),
    "rolled": Said("close gap", "espacio corto"),
    "nose": Said("nose", "nariz"),
}
LOWER = frozenset(
    {"walker", "cart", "hole"}
)  # what asks for a longer delay; the others ask for a shorter one
_WORTH_SAYING = 5e-4  # m
OF_ON = frozenset({"walker", "cart", "nose"})  # what asks something of the on-delay


@dataclass(frozen=True)
class Asked:
    """One line that a setting must be on the good side of: what draws it, and where it stands [s]."""

    name: str
    at: float
    bound: Bound


def asked(facts: Facts) -> tuple[Asked, ...]:
    """What the numbers ask, one line each."""
    bounds = (one for one in region(facts).bounds if one.demand is not None)
    return tuple(Asked(one.demand.name, abs(one.most), one) for one in bounds if one.demand is not None)


def known(facts: Facts, reader: Reader) -> Table:
    """The numbers that may be known before anything is set."""
    return Table(
        reader.say("The numbers of this recording", "Los números de esta grabación"),
        (),
        tuple(_known(facts, reader)),
    )


def _known(facts: Facts, reader: Reader) -> Iterator[tuple[str, str]]:
    tolerance = reader.write(facts.tolerance, "%")
    yield (
        reader.say("Chain speed today", "Velocidad de la cadena hoy"),
        f"{reader.write(facts.speed, 'in/s')} ± {tolerance}",
    )
    yield (
        reader.say("Depth of the deepest person", "Fondo de la persona más ancha"),
        reader.tape(facts.walker_depth),
    )
    yield (
        reader.say("Walking speed of the slowest", "Paso de la más lenta"),
        reader.write(facts.walker_speed, "ft/s"),
    )
    if facts.cart:
        yield (
            reader.say("A person with a cart blocks for", "Una persona con carrito bloquea"),
            reader.write(facts.cart, "s"),
        )
    if facts.hole:
        yield (
            reader.say("Longest hole in a vehicle", "Hueco más largo en un vehículo"),
            reader.tape(facts.hole),
        )
    if facts.other_hole < facts.hole:
        yield (
            reader.say("Hole in the vehicle of the practice part", "Hueco en el vehículo de la práctica"),
            reader.tape(facts.other_hole),
        )
    yield (
        reader.say("Smallest gap between vehicles", "Espacio más corto entre vehículos"),
        reader.tape(facts.gap),
    )
    if facts.rolled:
        yield (
            reader.say("Gap where vehicles were rolled up", "Espacio donde se juntaron vehículos"),
            reader.tape(facts.rolled),
        )
    yield (
        reader.say("A nose may be declared late by", "La nariz se puede declarar tarde por"),
        reader.tape(facts.nose_error),
    )
    if facts.beam_late >= _WORTH_SAYING:
        yield (
            reader.say("The beam itself is late by up to", "El haz mismo llega tarde hasta"),
            reader.tape(facts.beam_late),
        )
    yield (
        reader.say("Input filter of the controller", "Filtro de la entrada del controlador"),
        reader.write(facts.input_filter, "ms"),
    )
    yield (
        reader.say("The controller reads the eye every", "El controlador lee el ojo cada"),
        reader.write(facts.scan, "ms"),
    )


def asks(facts: Facts, setting: Setting, reader: Reader) -> Table:
    """What each number asks of a delay, how that is worked out, and whether a setting meets it."""
    title = reader.say("What the numbers ask", "Lo que piden los números")
    head = (
        reader.say("Because of", "Por"), reader.say("The delay must be", "El retardo debe ser"),
        reader.say("Worked out", "Cálculo"), reader.say("Yours", "El tuyo"),
    )  # fmt: skip
    rows = (
        (
            reader.said(ASKS[one.name]),
            limit(one, reader),
            _how(facts, one.name, reader),
            "✓" if one.bound.holds(*setting) else "✗",
        )
        for one in asked(facts)
    )
    return Table(title, head, tuple(rows))


def limit(one: Asked, reader: Reader) -> str:
    """Which delay, and its limit."""
    value = reader.write(one.at, "s", 2)
    name = reader.say("on-delay", "conexión") if one.name in OF_ON else reader.say("off-delay", "desconexión")
    words = reader.say("at least", "al menos") if one.name in LOWER else reader.say("at most", "a lo más")
    if one.bound.is_open:
        words = reader.say("below", "menos de")
    return f"{name} {words} {value}"


def _how(facts: Facts, name: str, reader: Reader) -> str:
    """The division behind a limit."""
    slow, fast = reader.write(facts.slow, "in/s"), reader.write(facts.fast, "in/s")
    reads = reader.write(2 * facts.scan, "ms")
    less = reader.say(f", less two readings ({reads})", f", menos dos lecturas ({reads})")
    if name == "walker":
        return f"{reader.tape(facts.walker_depth)} ÷ {reader.write(facts.walker_speed, 'ft/s')}"
    if name == "cart":
        return reader.say("as measured", "medido")
    if name == "nose":
        return f"{reader.tape(facts.nose_left)} ÷ {fast}{less}"
    if name == "hole":
        return f"{reader.tape(facts.hole)} ÷ {slow}"
    return f"{reader.tape(facts.rolled if name == 'rolled' else facts.gap)} ÷ {fast}{less}"
