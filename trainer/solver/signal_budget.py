"""How much of a pair's excess gain is left, loss by loss, and whether that is enough.

Dirt counts once: either a row of the table of surroundings is asked for, whose allowance already holds dirt, water and
fog, or those losses are worked out one by one and what is left is held against the row of clean air. Never both.
"""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import BadInput, require_above_zero, require_acute, require_between, require_part
from trainer.solver.signal import (
    aged_gain,
    beam_share,
    excess_gain_at,
    fog_transmission,
    required_excess_gain,
)


@dataclass(frozen=True)
class SignalStep:
    """One step of a budget: its name, the factor on the light, the excess gain after it."""

    name: str
    factor: float
    gain: float


@dataclass(frozen=True)
class SignalBudget:
    """How the excess gain falls, and what it is held against.

    steps: reference and distance, or measured; then, those alone that lose: aim_emitter, aim_receiver, ageing, dirt,
        water, fog
    required: excess gain to be left
    allowance: `row` where dirt, water and fog are in the required gain, `losses` where they are among the steps
    """

    steps: tuple[SignalStep, ...]
    required: float
    allowance: str

    @property
    def gain(self) -> float:
        """The excess gain that is left."""
        return self.steps[-1].gain

    @property
    def margin(self) -> float:
        """Excess gain left over what is required; enough from 1 up."""
        return self.gain / self.required

    @property
    def largest(self) -> SignalStep | None:
        """The loss that takes most; None where nothing is lost."""
        return min((one for one in self.steps if one.factor < 1), key=lambda one: one.factor, default=None)


@dataclass(frozen=True)
class Reference:
    """A clean, well-aimed pair: its excess gain, above 0, at a distance [m], above 0."""

    gain: float
    distance: float


@dataclass(frozen=True)
class Weather:
    """What lies on the lenses and in the way.

    dirt: share of the light that the film on one lens takes, from 0 to below 1; both lenses have it
    water: share that drops and wet film on one lens turn away, from 0 to below 1; both lenses have it
    visibility: in the fog or steam [m], above 0; None is clear air
    contrast: 0.05 or 0.02, the contrast at which that visibility is defined
    """

    dirt: float = 0.0
    water: float = 0.0
    visibility: float | None = None
    contrast: float = 0.05


@dataclass(frozen=True)
class Aim:
    """How far a head's axis is off the line to the other head, and its half-angle [rad].

    off: 0 to π; half_angle: above 0, below π/2; see signal.beam_share for the assumed beam pattern. Raises BadInput.
    """

    off: float
    half_angle: float

    def __post_init__(self) -> None:
        require_between("off", self.off, 0, np.pi, "from 0 to pi rad")
        require_acute("half_angle", self.half_angle)


CLEAR = Weather()


def signal_budget(
    start: Reference | float,
    distance: float,
    *,
    environment: str = "clean",
    weather: Weather = CLEAR,
    emitter_aim: Aim | None = None,
    receiver_aim: Aim | None = None,
    ageing: float = 0.0,
    years: float = 0.0,
) -> SignalBudget:
    """The excess gain that is left after each loss, and the one required.

    start: a Reference, or the excess gain measured on the spot, above 0, which already holds the dirt, aim and age of
        that day
    distance: from lens to lens along the beam, slant and all [m], above 0
    environment: a row of signal.REQUIRED_EXCESS_GAIN. Rows other than clean hold dirt, water and fog already; weather
        with any of them is then refused (dirt counts once)
    weather: what lies on the lenses and in the way; held against the row of clean air
    emitter_aim, receiver_aim: None is well aimed
    ageing: share of its light that the emitter loses in a year, from 0 to below 1; years: 0 or more
    Raises BadInput.
    """
    steps = _start(start, distance)
    required = required_excess_gain(environment)
    if environment != "clean":
        _refuse_twice(environment, weather)
    for name, factor in [
        *_aims(emitter_aim, receiver_aim),
        ("ageing", float(aged_gain(1.0, ageing, years))),
        *_weather_losses(weather, distance),
    ]:
        if factor != 1:
            steps.append(SignalStep(name, factor, steps[-1].gain * factor))
    return SignalBudget(tuple(steps), required, "losses" if environment == "clean" else "row")


def _start(start: Reference | float, distance: float) -> list[SignalStep]:
    """What the budget begins with."""
    require_above_zero("distance", distance, "m")
    if not isinstance(start, Reference):
        require_above_zero("start", start)
        return [SignalStep("measured", 1.0, float(start))]
    factor = float(excess_gain_at(1.0, start.distance, distance))
    gain = float(excess_gain_at(start.gain, start.distance, distance))
    return [SignalStep("reference", 1.0, float(start.gain)), SignalStep("distance", factor, gain)]


def _refuse_twice(environment: str, weather: Weather) -> None:
    """BadInput where a loss is given that the environment's row already holds."""
    given = {"dirt": weather.dirt or None, "water": weather.water or None, "visibility": weather.visibility}
    for name, value in given.items():
        if value is not None:
            raise BadInput(name, value, f"left out: {environment} already counts dirt, water and fog")


def _aims(emitter: Aim | None, receiver: Aim | None) -> list[tuple[str, float]]:
    given = {"aim_emitter": emitter, "aim_receiver": receiver}
    return [(name, float(beam_share(one.off, one.half_angle))) for name, one in given.items() if one]


def _weather_losses(weather: Weather, distance: float) -> list[tuple[str, float]]:
    """Factor of each loss in the way."""
    fog = 1.0
    if weather.visibility is not None:
        fog = float(fog_transmission(weather.visibility, distance, weather.contrast))
    return [("dirt", _both("dirt", weather.dirt)), ("water", _both("water", weather.water)), ("fog", fog)]


def _both(name: str, share: float) -> float:
    """What both lenses let pass when each takes a share."""
    return float((1 - require_part(name, share)) ** 2)
