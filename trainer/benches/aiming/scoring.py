"""What a run on the aiming bench is worth: the light left, the light left after a knock, the turns it took."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from trainer.benches.acts import Act
from trainer.benches.aiming.light import Heads, angles, margin
from trainer.benches.aiming.task import AXES, FINE, HEADS, Task
from trainer.benches.aiming.walk import State, walk
from trainer.benches.frame import Best, Part, Score
from trainer.quantities.dimensions import Language
from trainer.quantities.units import unit
from trainer.quantities.writing import write_quantity
from trainer.sites.said import Said

LIGHT, KNOCK, TURNS = 50, 30, 20
# Shares of the best from which points begin and are full: a string alone often leaves two thirds of the light, and the
# last hundredths are luck.
_LIGHT_FROM, _LIGHT_FULL = 0.7, 0.95
_KNOCK_FROM, _KNOCK_FULL = 0.6, 0.9


@dataclass(frozen=True)
class Margins:
    """Light over what is required: as it stands, and with lenses wiped after the worst knock; worst: the axis of it."""

    now: float
    knocked: float
    worst: int


def margins(task: Task, heads: Heads) -> Margins:
    """The margins of heads that stand so, in clear air."""
    wiped = Heads(heads.turned)
    knocks = [margin(task, wiped, axis) for axis in range(len(AXES))]
    worst = min(range(len(AXES)), key=knocks.__getitem__)
    return Margins(margin(task, heads), knocks[worst], worst)


def best_turned(task: Task) -> tuple[int, int, int, int]:
    """The steps that bring each axis nearest to the other lens; of two as near, the smaller turn."""
    off = task.hidden.off
    nearest = [
        min(range(-reach, reach + 1), key=lambda turn: (abs(one + FINE * turn), abs(turn)))
        for one, reach in zip(off, (task.reach[i // 2] for i in range(len(AXES))), strict=True)
    ]
    return nearest[0], nearest[1], nearest[2], nearest[3]


@lru_cache(maxsize=64)
def best_margins(task: Task) -> Margins:
    """The margins of the best aim with clean lenses."""
    return margins(task, Heads(best_turned(task)))


def score(task: Task, acts: Sequence[Act]) -> Score:
    """What the heads are worth as they stand after these acts: light 50, light after a knock 30, turns 20 points.

    merit: 50 and 30 times the shares of the best light, plus 20, less what turns beyond those that are free cost
    """
    state, top = walk(task, acts)[-1], best_margins(task)
    found = margins(task, state.heads)
    light = _points(found.now / top.now, _LIGHT_FROM, _LIGHT_FULL)
    knock = _points(found.knocked / top.knocked, _KNOCK_FROM, _KNOCK_FULL)
    over, each = max(0, state.turns - task.par), TURNS / (task.turns - task.par)
    # Turns that were saved are worth no more than the aim they led to.
    saved = TURNS * (1 - over / (task.turns - task.par)) * knock
    parts = (
        Part(
            Said("Light at the receiver", "Luz en el receptor"),
            LIGHT * light,
            LIGHT,
            _light_found(found, top),
        ),
        Part(
            Said("Light after a knock", "Luz después de un golpe"),
            KNOCK * knock,
            KNOCK,
            _knock_found(found, top),
        ),
        Part(Said("Turns", "Movimientos"), saved, TURNS, _turns_found(task, state)),
    )
    merit = LIGHT * found.now / top.now + KNOCK * found.knocked / top.knocked + TURNS - each * over
    dark = found.now * task.required <= 1
    return Score(parts, merit, _DARK if dark else None)


_DARK = Said(
    "The receiver is dark: the pair would report a car that is not there.",
    "El receptor está a oscuras: el par avisaría de un carro que no está.",
)


def best(task: Task) -> Best:
    """Each axis turned once to its nearest step, both lenses wiped, heads tightened.

    Light falls with the distance of every axis from the line, whatever the others do, and so does light after a knock
    (the axis furthest off loses most to it); film only takes light. Each axis is at its nearest step and the lenses are
    clean, so both shares are 1, and 4 turns cost nothing: no list of acts has any of the three terms larger.
    """
    turns = [
        Act(f"turn_{name}", {"by": steps * task.steps[axis // 2]})
        for axis, (name, steps) in enumerate(zip(AXES, best_turned(task), strict=True))
        if steps
    ]
    acts = (*turns, *(Act("clean", {"head": head}) for head in HEADS), Act("finish", {}))
    return Best(acts, score(task, acts))


def one_head_only(task: Task, state: State) -> int | None:
    """The head that still looks past the other by more than half its half-angle while its mate does not; or None."""
    wide = [_off(task, state, head) > task.half_angles[head] / 2 for head in (0, 1)]
    return wide.index(True) if wide.count(True) == 1 else None


def _off(task: Task, state: State, head: int) -> float:
    fine = angles(task, state.turned)[2 * head : 2 * head + 2]
    return max(map(abs, fine)) * task.steps[head] / FINE


def _points(share: float, start: float, full: float) -> float:
    return min(1.0, max(0.0, (share - start) / (full - start)))


def _times(value: float, language: Language) -> str:
    return write_quantity(float(f"{value:.3g}"), unit("x"), language)


def _light_found(found: Margins, top: Margins) -> Said:
    def say(text: str, language: Language) -> str:
        return text.format(_times(found.now, language), _times(top.now, language))

    return Said(
        say("{} the light that this place asks for; the best is {}", "en"),
        say("{} la luz que pide este lugar; lo mejor es {}", "es"),
    )


def _knock_found(found: Margins, top: Margins) -> Said:
    def say(text: str, language: Language) -> str:
        return text.format(_times(found.knocked, language), _times(top.knocked, language))

    return Said(
        say("{} after the worst knock, lenses wiped; the best keeps {}", "en"),
        say("{} después del peor golpe, con lentes limpios; lo mejor conserva {}", "es"),
    )


def _turns_found(task: Task, state: State) -> Said:
    return Said(
        f"{state.turns} turns; {task.par} cost nothing, if they aim the pair",
        f"{state.turns} movimientos; {task.par} no cuestan nada, si dejan apuntado el par",
    )
