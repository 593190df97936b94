"""What has been done on the aiming bench: the acts one by one, what each took, what was seen; what can be done next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from trainer.benches.acts import Act, ActKind, Amount, Option, Pick, act_document, read_kept
from trainer.benches.aiming.light import Heads, gain, misses, reading
from trainer.benches.aiming.task import AXES, HEADS, MOST_ACTS, Task
from trainer.sites.said import Said

MINUTES = {"string": 4, "read": 1, "clean": 2, "wait": 5, "finish": 0}  # common practice, no source
TURNING = 1  # minutes
HEAD_WORDS = (Said("emitter", "emisor"), Said("receiver", "receptor"))
AXIS_WORDS = (Said("pan", "giro"), Said("tilt", "inclinación"))
_PLUS_MINUS = (
    Said(
        "Plus is forward, the way cars go. Minus is back.",
        "Más es adelante, hacia donde van los carros. Menos, atrás.",
    ),
    Said("Plus is up, minus is down.", "Más es arriba, menos es abajo."),
)


@dataclass(frozen=True)
class Sighting:
    """What a string on a head told: how far the housing looks past the other lens [m], and the swivel then."""

    head: int
    pan: float
    tilt: float
    turned: tuple[int, int]


@dataclass(frozen=True)
class Reading:
    """One reading: its minute, the excess gain shown, and where all four axes stood."""

    minute: int
    shown: float
    turned: tuple[int, int, int, int]


@dataclass(frozen=True)
class State:
    """Where things stand after some acts. turned: steps of each of AXES since mounting."""

    turned: tuple[int, int, int, int]
    film: tuple[float, float]
    minute: int = 0
    turns: int = 0
    count: int = 0
    sightings: tuple[Sighting, ...] = ()
    readings: tuple[Reading, ...] = ()
    finished: bool = False
    last: Act | None = None

    @property
    def over(self) -> bool:
        """Whether the run has ended."""
        return self.finished or self.count >= MOST_ACTS

    @property
    def heads(self) -> Heads:
        """What the light depends on."""
        return Heads(self.turned, self.film)


def walk(task: Task, acts: Iterable[Act]) -> list[State]:
    """The states from the start to after the last act that could be done."""
    states = [State((0, 0, 0, 0), task.hidden.film)]
    for act in acts:
        if states[-1].over:
            break
        if why_not(task, states[-1], act) is None:
            states.append(_after(task, states[-1], act))
    return states


def kinds(task: Task) -> tuple[ActKind, ...]:
    """String, read, the four turns, clean, wait, finish."""
    return _kinds(task)


@lru_cache(maxsize=64)
def _kinds(task: Task) -> tuple[ActKind, ...]:
    heads = tuple(Option(name, word) for name, word in zip(HEADS, HEAD_WORDS, strict=True))
    return (
        ActKind(
            "string",
            Said("Pull a string and look at it from a head", "Tira un hilo y míralo desde un cabezal"),
            (Pick("head", Said("Look from", "Mirar desde"), heads),),
            cards="head",
        ),
        ActKind("read", Said("Read the signal", "Lee la señal")),
        *(_turning(task, axis) for axis in range(4)),
        ActKind(
            "clean",
            Said("Wipe a lens", "Limpia un lente"),
            (Pick("head", Said("Lens", "Lente"), heads),),
            cards="head",
        ),
        ActKind("wait", Said("Wait 5 minutes", "Espera 5 minutos")),
        ActKind("finish", Said("Tighten both heads and finish", "Aprieta los dos cabezales y termina")),
    )


def of_head(turned: tuple[int, int, int, int], head: int) -> tuple[int, int]:
    """Pan and tilt of a head."""
    return (turned[0], turned[1]) if head == 0 else (turned[2], turned[3])


def _turning(task: Task, axis: int) -> ActKind:
    head, word = HEAD_WORDS[axis // 2], AXIS_WORDS[axis % 2]
    step, most = task.steps[axis // 2], 2 * task.reach[axis // 2] * task.steps[axis // 2]
    by = Amount(
        "by",
        Said(f"Turn the {head.en} ({word.en}) by", f"Mueve el {head.es} ({word.es})"),
        "deg",
        -most,
        most,
        step,
        _PLUS_MINUS[axis % 2],
    )
    return ActKind(
        f"turn_{AXES[axis]}",
        Said(f"Turn the {head.en} ({word.en})", f"Mueve el {head.es} ({word.es})"),
        (by,),
    )


def refusal(task: Task, acts: Sequence[Act], act: Act) -> Said | None:
    """Why an act cannot be done after these; None where it can."""
    return why_not(task, walk(task, acts)[-1], act)


def is_over(task: Task, acts: Sequence[Act]) -> bool:
    """Whether the heads have been tightened, or the acts have run out."""
    return walk(task, acts)[-1].over


def why_not(task: Task, state: State, act: Act) -> Said | None:
    """Why an act cannot be done in this state; nothing hidden is asked."""
    if state.over:
        return Said("The heads are tight. This run is over.", "Los cabezales ya están apretados. Se acabó.")
    if read_kept(kinds(task), act_document(act)) is None:
        return Said("This cannot be done here.", "Eso no se puede hacer aquí.")
    if not act.kind.startswith("turn_"):
        return None
    return _turn_refused(task, state, *turn_of(task, act))


def _turn_refused(task: Task, state: State, axis: int, by: int) -> Said | None:
    if by == 0:
        return Said(
            "Zero turns nothing. Give plus or minus a number.",
            "Cero no mueve nada. Pon más o menos un número.",
        )
    if state.turns >= task.turns:
        return Said(
            f"You have made all {task.turns} turns. Read, wipe, or tighten and finish.",
            f"Ya hiciste los {task.turns} movimientos. Lee, limpia, o aprieta y termina.",
        )
    if abs(state.turned[axis] + by) > task.reach[axis // 2]:
        return Said(
            "The swivel stops before that. Turn it less, or the other way.",
            "La rótula topa antes. Muévela menos o hacia el otro lado.",
        )
    return None


def turn_of(task: Task, act: Act) -> tuple[int, int]:
    """The axis of a turn, and by how many steps."""
    axis = AXES.index(act.kind.removeprefix("turn_"))
    return axis, round(float(act.values["by"]) / task.steps[axis // 2])


def _after(task: Task, state: State, act: Act) -> State:
    minute = state.minute + MINUTES.get(act.kind, TURNING)
    state = _splashed(task, state, minute)
    done = replace(state, minute=minute, count=state.count + 1, last=act)
    if act.kind == "string":
        head = HEADS.index(act.pick("head"))
        seen = Sighting(head, *misses(task, state.turned, head), of_head(state.turned, head))
        return replace(done, sightings=(*state.sightings, seen))
    if act.kind == "read":
        shown = reading(task, state.heads, minute, len(state.readings))
        return replace(done, readings=(*state.readings, Reading(minute, shown, state.turned)))
    if act.kind == "clean":
        return _cleaned(done, HEADS.index(act.pick("head")))
    if act.kind.startswith("turn_"):
        axis, by = turn_of(task, act)
        turned = [at + (by if i == axis else 0) for i, at in enumerate(state.turned)]
        return replace(done, turned=(turned[0], turned[1], turned[2], turned[3]), turns=state.turns + 1)
    return replace(done, finished=act.kind == "finish")


def _splashed(task: Task, state: State, minute: int) -> State:
    splash = task.hidden.splash
    if splash is None or not state.minute < splash.minute <= minute:
        return state
    film = [1 - (1 - one) * (1 - splash.film * (i == splash.head)) for i, one in enumerate(state.film)]
    return replace(state, film=(film[0], film[1]))


def _cleaned(state: State, head: int) -> State:
    return replace(state, film=(0.0, state.film[1]) if head == 0 else (state.film[0], 0.0))


def true_gain(task: Task, state: State) -> float:
    """The excess gain as things stand, without the reading's wobble, mist and all."""
    return gain(task, state.heads, state.minute)
