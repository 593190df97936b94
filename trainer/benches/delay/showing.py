"""What may be seen of a recording before the end: its practice part, the counter, the two delays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.benches.acts import Act
from trainer.benches.delay import dials, strip, words
from trainer.benches.delay.counting import PARTS, WEIGHTS, Outcome
from trainer.benches.delay.numbers import known
from trainer.benches.delay.scoring import MOST_TRIES, Setting, kinds, setting, tries
from trainer.benches.delay.strip import Strip, practice_strip
from trainer.benches.delay.task import Facts, Task
from trainer.benches.frame import Offer, Shown, Table
from trainer.sites.survey.reader import Reader

_ROWS = 5


def show(task: Task, acts: Sequence[Act], reader: Reader) -> Shown:
    """The practice part as the delays stand now, and the numbers by which the rest can be reasoned out."""
    now, tried = setting(task, acts), tries(task, acts)
    seen = practice_strip(task, now)
    title = reader.say("The practice part", "La parte de práctica")
    change, finish = kinds(task)
    values = {"on_delay": now[0], "off_delay": now[1]}
    offers = [Offer(change, values, primary=not tried)] if len(tried) < MOST_TRIES else []
    return Shown(
        task=tuple(_task(task, reader)),
        drawings=(strip.draw(task, seen, reader, "strip", title, rows=_ROWS), dials.draw(task, now, reader)),
        tables=(known(task.facts, reader), points(reader), event_table(task, seen, reader, title)),
        offers=(*offers, Offer(finish, primary=bool(tried))),
        said=f"{counted(task, now, seen, reader)}" if tried else "",
        notes=tuple(counted(task, one, practice_strip(task, one), reader) for one in tried),
        caution=("warning", reader.said(words.CAUTION)),
    )


def _task(task: Task, reader: Reader) -> Iterator[str]:
    facts, eye = task.facts, reader.said(task.eye)
    yield reader.say(
        f"Set the on-delay and the off-delay of this eye: {eye}. Cars must count once, people and spray never.",
        f"Ajusta el retardo a la conexión y a la desconexión de este ojo: {eye}. Cada carro debe contar "
        f"una vez; las "
        "personas y el rocío, nunca.",
    )
    yield reader.say(
        "You see the practice part of a recording. Your points come from all of it. The hidden part holds "
        "the worst that the "
        "numbers below allow, so work the delays out.",
        "Ves la parte de práctica de una grabación. Tus puntos salen de toda ella. La parte oculta trae lo "
        "peor que permiten "
        "los números de abajo, así que calcula los retardos.",
    )
    yield from _numbers(facts, reader)
    yield reader.say(
        f"All of it: {_whole(facts, reader)}. A vehicle with a rack or a trailer is one car.",
        f"En total: {_whole(facts, reader)}. Un vehículo con parrilla o remolque es un solo carro.",
    )
    if task.level == 3:
        yield reader.say(
            "This time no setting meets every demand. Find the one that loses the fewest points.",
            "Esta vez ningún ajuste cumple todo. Encuentra el que pierde menos puntos.",
        )


def _numbers(facts: Facts, reader: Reader) -> Iterator[str]:
    """The numbers that decide, in sentences."""
    tolerance = reader.write(facts.tolerance, "%")
    speed = reader.write(facts.speed, "in/s")
    yield reader.say(
        f"Today the chain runs at {speed}, give or take {tolerance}.",
        f"Hoy la cadena va a {speed}, más o menos {tolerance}.",
    )
    depth, pace, nose = (
        reader.tape(facts.walker_depth),
        reader.write(facts.walker_speed, "ft/s"),
        reader.tape(facts.nose_error),
    )
    yield reader.say(
        f"For the on-delay: the slowest person is {depth} deep and walks at {pace}. A nose may be declared "
        f"at most {nose} late.",
        f"Para la conexión: la persona más lenta mide {depth} de fondo y camina a {pace}. La nariz se "
        f"puede declarar a lo más "
        f"{nose} tarde.",
    )
    if facts.cart:
        cart = reader.write(facts.cart, "s")
        yield reader.say(
            f"A person with a cart blocks the beam for {cart}.",
            f"Una persona con carrito bloquea el haz {cart}.",
        )
    hole, gap = reader.tape(facts.hole), reader.tape(facts.gap)
    if facts.hole:
        yield reader.say(
            f"For the off-delay: light comes through a vehicle for up to {hole}. The next vehicle is at "
            f"least {gap} behind.",
            f"Para la desconexión: la luz pasa por un vehículo hasta {hole}. El siguiente viene al menos "
            f"{gap} atrás.",
        )
    else:
        yield reader.say(
            f"For the off-delay: the next vehicle is at least {gap} behind.",
            f"Para la desconexión: el siguiente vehículo viene al menos {gap} atrás.",
        )
    if facts.rolled:
        rolled = reader.tape(facts.rolled)
        yield reader.say(
            f"But somebody rolled vehicles up to {rolled} from each other.",
            f"Pero alguien juntó vehículos a {rolled} uno del otro.",
        )


def _whole(facts: Facts, reader: Reader) -> str:
    """How many of each there are in all."""
    carts = (
        reader.say(f" ({facts.carts} with a cart)", f" ({facts.carts} con carrito)") if facts.carts else ""
    )
    rolled = (
        reader.say(f" ({facts.rolled_pairs} rolled up)", f" (juntadas: {facts.rolled_pairs})")
        if facts.rolled_pairs
        else ""
    )
    found = reader.say(
        f"{facts.cars} cars, {facts.pairs} close pairs{rolled} among them; {facts.people} people{carts}; "
        f"{facts.sprays} bursts of spray",
        f"{facts.cars} carros, entre ellos {facts.pairs} parejas cercanas{rolled}; {facts.people} "
        f"personas{carts}; "
        f"{facts.sprays} ráfagas de rocío",
    )
    holed = reader.say(f"; {facts.holed} vehicles with a hole", f"; {facts.holed} vehículos con hueco")
    return found + (holed if facts.holed else "")


def points(reader: Reader) -> Table:
    """What the points are for."""
    rows = tuple(
        (reader.said(words.PARTS[name]), str(weight)) for name, weight in zip(PARTS, WEIGHTS, strict=True)
    )
    title = reader.say("Points, shared out evenly", "Puntos, repartidos por igual")
    return Table(title, (reader.say("For", "Por"), reader.say("Points", "Puntos")), rows)


def event_table(task: Task, seen: Strip, reader: Reader, title: str) -> Table:
    """What passed, when, how long it blocked the beam, and what the counter made of it."""
    head = (
        reader.say("What passed", "Qué pasó"), reader.say("At", "A los"),
        reader.say("Beam blocked", "Haz bloqueado"), reader.say("Counter", "Contador"),
    )  # fmt: skip
    rows = tuple(
        (
            f"{number} {reader.said(one.event.name)}",
            _when(task, one),
            _blocked(task, one, reader),
            told(task.facts, one, reader),
        )
        for number, one in enumerate(seen.told, 1)
    )
    return Table(title, head, rows)


def _when(task: Task, one: Outcome) -> str:
    return words.clock(one.event.blocks[0][0] * task.facts.scan) if one.event.blocks else "–"


def _blocked(task: Task, one: Outcome, reader: Reader) -> str:
    """Each block, and how long the beam was clear between two of them."""
    scan, texts = task.facts.scan, []
    for i, (start, end) in enumerate(one.event.blocks):
        if i:
            clear = reader.write((start - one.event.blocks[i - 1][1]) * scan, "s", 2)
            texts.append(reader.say(f"clear {clear}", f"libre {clear}"))
        texts.append(reader.write((end - start) * scan, "s", 2))
    return ", ".join(texts) or "–"


def told(facts: Facts, one: Outcome, reader: Reader) -> str:
    """What the counter made of one event, with a tick or a cross."""
    late = reader.tape(one.late) if one.times else ""
    if one.event.kind != "car":
        text = (
            reader.say(f"counted as {one.times}", f"contó como {one.times}")
            if one.times
            else reader.say("ignored", "ignorado")
        )
    elif not one.times:
        text = reader.say("not told from what came before", "no se distinguió de lo anterior")
    elif one.times > 1:
        text = reader.say(
            f"counted {one.times} times, nose {late} late", f"contó {one.times} veces, nariz {late} tarde"
        )
    else:
        text = reader.say(f"counted once, nose {late} late", f"contó una vez, nariz {late} tarde")
    return f"{words.mark(facts, one)} {text}"


def counted(task: Task, at: Setting, seen: Strip, reader: Reader) -> str:
    """A setting and what it made of a strip, in a sentence or two."""
    cars = sum(one.event.kind == "car" for one in seen.told)
    wrong = [
        f"{number} {reader.said(words.SHORT[one.event.kind])}"
        for number, one in enumerate(seen.told, 1)
        if not words.is_right(task.facts, one)
    ]
    number = len(seen.outputs)
    said = reader.say(
        f"{words.delays(*at, reader)}: the counter shows {number}, and {cars} cars passed.",
        f"{words.delays(*at, reader)}: el contador marca {number} y pasaron {cars} carros.",
    )
    if not wrong:
        return said + reader.say(" Every event came out right.", " Todo salió bien.")
    return said + reader.say(" Wrong: ", " Mal: ") + ", ".join(wrong) + "."
