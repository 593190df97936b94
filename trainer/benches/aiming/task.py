"""An aiming task: the pair, what may be done to it, and what is hidden: true angles, dirt, mist, noise."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trainer.benches.acts import Option, Pick
from trainer.benches.frame import LEVELS, NoTask
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.quantities.units import partner, unit
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import beam_length
from trainer.solver.signal import required_excess_gain, spot_width

HEADS = ("emitter", "receiver")
AXES = ("emitter_pan", "emitter_tilt", "receiver_pan", "receiver_tilt")
FINE = 4  # the hidden angles lie on a grid so many times finer than the swivels' steps
MOST_ACTS = 60
KNOCK_STEPS = 2
WIDEST = math.radians(10)  # beyond, pan and tilt no longer add up as the sides of a right triangle do
_STEPS = (0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1.0)  # degrees
_STRING_STEPS: Mapping[System, tuple[float, ...]] = {
    "us": (0.25, 0.5, 1, 2, 3, 4, 6, 8, 12, 18, 24),  # inches
    "metric": (0.5, 1, 2, 5, 10, 15, 20, 30, 50),  # centimeters
}
_EARLIEST = 12  # minutes: whoever knew every angle would have finished by then
_HUNDRED = 100


@dataclass(frozen=True)
class Mist:
    """Mist that drifts through, from one minute to another; visibility in it [m]."""

    start: int
    end: int
    visibility: float


@dataclass(frozen=True)
class Splash:
    """Something that hits one lens at a minute; film: the share of the light that it takes."""

    minute: int
    head: int
    film: float


@dataclass(frozen=True)
class Hidden:
    """What only the debrief tells.

    off: how far each of AXES looks past the other lens at the start, in fine steps, positive forward or up
    squint: how far each lens looks past its own housing, in fine steps; a string shows the housing alone
    strength: the pair's best gain over the one on the sheet; film: on each lens at the start
    wobble: power of 2 on each reading, the first to the last
    """

    off: tuple[int, int, int, int]
    squint: tuple[int, int, int, int]
    strength: float
    film: tuple[float, float]
    wobble: tuple[float, ...]
    mist: Mist | None
    splash: Splash | None


@dataclass(frozen=True)
class Task:
    """One pair to aim. Pairs of numbers are the emitter's and the receiver's, lengths [m], angles [rad].

    steps: of each head's swivel; reach: how many steps it turns either way
    string_steps: how finely a string tells; par: turns that cost nothing; turns: turns that there are
    wobble_share: how far a reading may be off, as a share
    """

    level: int
    system: System
    eye_name: Said
    receiver_right: bool
    width: float
    distance: float
    heights: tuple[float, float]
    half_angles: tuple[float, float]
    site_gain: float
    environment: str
    required: float
    visibility_steam: float
    steps: tuple[float, float]
    reach: tuple[int, int]
    string_steps: tuple[float, float]
    par: int
    turns: int
    wobble_share: float
    hidden: Hidden


@dataclass(frozen=True)
class _Rules:
    """What a level asks: turns, the reading's wobble [powers of 2], the squint [half-angles], what may come."""

    par: int
    turns: int
    wobble: float
    squint: float
    strength: tuple[int, int]  # hundredths of the sheet's gain
    surprises: int


_RULES = {
    1: _Rules(16, 24, 0.06, 0.0, (100, 100), 0),
    2: _Rules(18, 26, 0.09, 0.2, (90, 115), 1),
    3: _Rules(20, 28, 0.12, 0.35, (80, 120), 2),
}


def options(sheet: SiteSheet) -> tuple[Pick, ...]:
    """The level, and which pair is aimed."""
    levels = (
        Option("1", Said("1: known pair, clear air", "1: par conocido, aire limpio")),
        Option(
            "2",
            Said("2: new head, dirt or mist may come", "2: cabezal nuevo, puede llegar suciedad o neblina"),
        ),
        Option(
            "3", Said("3: lenses that look askew, dirt and mist", "3: lentes desviados, suciedad y neblina")
        ),
    )
    pairs = tuple(Option(eye.id, _name(eye)) for eye in sheet.eyes)
    assert tuple(one.id for one in levels) == LEVELS
    return (
        Pick("level", Said("Level", "Nivel"), levels),
        Pick("eye", Said("Photo-eye to aim", "Fotocelda que se apunta"), pairs),
    )


def make_task(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> Task:
    """A pair of the sheet whose heads are mounted crooked. Raises NoTask where no pair is narrow enough to aim."""
    eye = _eye(sheet, fixed.get("eye"), stream)
    level = int(fixed["level"])
    rules = _RULES[level]
    distance = beam_length(sheet, eye)
    halves = (eye.half_angle, eye.view_half_angle)
    steps = (_step(halves[0]), _step(halves[1]))
    low_high = (eye.low, eye.high) if eye.high_head == "receiver" else (eye.high, eye.low)
    return Task(
        level=level,
        system=system,
        eye_name=_name(eye),
        receiver_right=eye.receiver_side == "passenger",
        width=sheet.bay.width,
        distance=distance,
        heights=low_high,
        half_angles=halves,
        site_gain=eye.excess_gain,
        environment=eye.environment,
        required=required_excess_gain(eye.environment),
        visibility_steam=sheet.bay.visibility_steam,
        steps=steps,
        reach=(math.floor(4 * halves[0] / steps[0] + 1e-9), math.floor(4 * halves[1] / steps[1] + 1e-9)),
        string_steps=(_string_step(halves[0], distance, system), _string_step(halves[1], distance, system)),
        par=rules.par,
        turns=rules.turns,
        wobble_share=round(2**rules.wobble - 1, 2),
        hidden=_hidden(sheet, rules, halves, steps, stream),
    )


def _name(eye: EyePair) -> Said:
    return Said(eye.name["en"], eye.name["es"])


def _eye(sheet: SiteSheet, asked: str | None, stream: Stream) -> EyePair:
    usable = [eye for eye in sheet.eyes if asked in (None, eye.id) and _narrow(eye) and eye.excess_gain > 1]
    if not usable:
        raise NoTask(
            Said(
                "This bench aims narrow beams: it needs a pair whose excess gain is above 1 and whose half-angles "
                "are 10° or less. Measure both and correct the site sheet, or pick another pair.",
                "Esta práctica apunta haces angostos: pide un par con ganancia de exceso mayor que 1 y medios "
                "ángulos de 10° o menos. Mídelos y corrige la hoja del sitio, o escoge otro par.",
            )
        )
    return usable[stream.below("eye", len(usable))]


def _narrow(eye: EyePair) -> bool:
    return max(eye.half_angle, eye.view_half_angle) <= WIDEST * (1 + 1e-9)


def _step(half_angle: float) -> float:
    """A round step, a fifth of the half-angle at most [rad]."""
    degrees = math.degrees(half_angle) / 5
    return math.radians(max((one for one in _STEPS if one <= degrees + 1e-9), default=_STEPS[0]))


def _string_step(half_angle: float, distance: float, system: System) -> float:
    """As fine as a face of a few inches tells a string's direction: about half the spot at the other wall [m]."""
    half_spot = float(spot_width(half_angle, distance)) / 2
    factor = partner(unit("in"), system).factor
    steps = [one * factor for one in _STRING_STEPS[system]]
    return min((one for one in steps if one >= half_spot), default=steps[-1])


def _hidden(
    sheet: SiteSheet, rules: _Rules, halves: tuple[float, float], steps: tuple[float, float], stream: Stream
) -> Hidden:
    fine = [FINE * half / step for half, step in zip(halves, steps, strict=True)]
    off = [angle for width in fine for angle in _crooked(width, stream)]
    squint = [_either_way(0, math.floor(rules.squint * width), stream) for width in fine for _ in range(2)]
    least, most = rules.strength
    mist, splash = _surprises(sheet, rules, stream)
    return Hidden(
        off=(off[0], off[1], off[2], off[3]),
        squint=(squint[0], squint[1], squint[2], squint[3]),
        strength=(least + stream.below("strength", most - least + 1)) / _HUNDRED,
        film=(_film(stream), _film(stream)),
        wobble=tuple(rules.wobble * _triangle(stream) for _ in range(MOST_ACTS)),
        mist=mist,
        splash=splash,
    )


def _crooked(width: float, stream: Stream) -> tuple[int, int]:
    """Pan and tilt of a head in fine steps: one of them far off, so that no head may be left as it is."""
    far = _either_way(math.ceil(1.4 * width), math.floor(2.3 * width), stream)
    near = _either_way(math.ceil(0.3 * width), math.floor(1.6 * width), stream)
    return (far, near) if stream.below("far", 2) else (near, far)


def _either_way(least: int, most: int, stream: Stream) -> int:
    size = least + stream.below("angle", most - least + 1)
    return size if stream.below("way", 2) else -size


def _film(stream: Stream) -> float:
    """What mounting left on a lens: from 10 to 25 % of the light."""
    return (10 + 5 * stream.below("film", 4)) / _HUNDRED


def _triangle(stream: Stream) -> float:
    """From -1 to 1, most often near 0."""
    grid = 10_001
    return (stream.below("wobble", grid) + stream.below("wobble", grid)) / (grid - 1) - 1


def _surprises(sheet: SiteSheet, rules: _Rules, stream: Stream) -> tuple[Mist | None, Splash | None]:
    """The mist and the splash that come, or None."""
    start = _EARLIEST + stream.below("mist", 24)
    thin = (20 + stream.below("mist", 31)) / 10
    mist = Mist(start, start + 6 + stream.below("mist", 7), thin * sheet.bay.visibility_steam)
    splash = Splash(
        _EARLIEST + stream.below("splash", 24),
        stream.below("splash", 2),
        (30 + 5 * stream.below("splash", 7)) / _HUNDRED,
    )
    if rules.surprises == 1:
        return (mist, None) if stream.below("surprise", 2) else (None, splash)
    return (mist, splash) if rules.surprises else (None, None)
