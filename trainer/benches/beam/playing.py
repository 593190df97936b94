"""The acts of a beam run: which there are, which can be done, and what they come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.benches.acts import Act, ActKind, Amount, Field, Option, Pick, act_document, read_kept
from trainer.benches.beam.task import Placed, Room, Task
from trainer.sites.said import Said
from trainer.sites.sheet import SIDES, Side

PLACE, RUN, FINISH = "place", "run", "finish"
ALL = "all"  # every vehicle of the task, one after the other
SIDE_NAMES = {
    "driver": Said("driver's side", "lado del conductor"),
    "passenger": Said("passenger's side", "lado del pasajero"),
}


@dataclass(frozen=True)
class Tried:
    """One placement that stood, and which vehicles rolled past it, the last one last."""

    placed: Placed
    runs: tuple[str, ...] = ()


@dataclass(frozen=True)
class Played:
    """What acts came to: placements one after the other, the first as the pair hung at the start."""

    tried: tuple[Tried, ...]
    over: bool
    last: Act | None

    @property
    def stands(self) -> Tried:
        """The placement that stands now."""
        return self.tried[-1]


def kinds(task: Task) -> tuple[ActKind, ...]:
    """Set both heads, roll a vehicle, hand in. Which head is the receiver is asked only where there is sun."""
    fields: list[Field] = [_height(task, side) for side in SIDES]
    if task.sunny:
        sides = tuple(Option(side, SIDE_NAMES[side]) for side in SIDES)
        fields.append(Pick("receiver", Said("Receiver on the", "Receptor en el"), sides))
    every = Option(ALL, Said("The whole fleet", "Toda la flota"))
    vehicles = (Option(one.id, Said(one.name["en"], one.name["es"])) for one in task.vehicles)
    rolling = Pick("vehicle", Said("Vehicle", "Vehículo"), (every, *vehicles))
    return (
        ActKind(PLACE, Said("Set the heads", "Poner los cabezales"), tuple(fields)),
        ActKind(RUN, Said("Roll it past", "Hacer pasar"), (rolling,), cards="vehicle"),
        ActKind(FINISH, Said("Hand it in", "Entregar")),
    )


def _height(task: Task, side: Side) -> Amount:
    label = {
        "driver": Said("Lens height, driver's side", "Altura del lente, lado del conductor"),
        "passenger": Said("Lens height, passenger's side", "Altura del lente, lado del pasajero"),
    }
    room: Room = task.room(side)
    return Amount(side, label[side], "in", room.low, room.high, task.step)


def refusal(task: Task, acts: Sequence[Act], act: Act) -> Said | None:
    """Only what the task does not know, and anything after the end, is refused: trying costs nothing."""
    if is_over(task, acts):
        return Said("You have handed it in.", "Ya lo entregaste.")
    if read_kept(kinds(task), act_document(act)) is None:
        return Said("This cannot be done here.", "Eso no se puede hacer aquí.")
    return None


def is_over(task: Task, acts: Sequence[Act]) -> bool:  # noqa: ARG001 - every bench is asked so
    """Whether it has been handed in."""
    return any(act.kind == FINISH and not act.values for act in acts)


def play(task: Task, acts: Sequence[Act]) -> Played:
    """What the acts come to; those that cannot be done count for nothing."""
    allowed = kinds(task)
    tried, last, over = [Tried(task.start)], None, False
    for act in acts:
        if read_kept(allowed, act_document(act)) is None:
            continue
        last = act
        if act.kind == PLACE:
            tried.append(Tried(_placed(task, act)))
        elif act.kind == RUN:
            tried[-1] = Tried(tried[-1].placed, (*tried[-1].runs, act.pick("vehicle")))
        else:
            over = True
            break
    return Played(tuple(tried), over, last)


def place_act(task: Task, placed: Placed) -> Act:
    """The act that hangs the heads there."""
    heights = {"driver": placed.driver, "passenger": placed.passenger}
    return Act(PLACE, {**heights, "receiver": placed.receiver} if task.sunny else heights)


def _placed(task: Task, act: Act) -> Placed:
    receiver: Side = task.start.receiver
    if task.sunny:
        receiver = "driver" if act.pick("receiver") == "driver" else "passenger"
    return Placed(_snapped(task, act, "driver"), _snapped(task, act, "passenger"), receiver)


def _snapped(task: Task, act: Act, side: Side) -> float:
    return _height(task, side).snapped(float(act.values[side]))
