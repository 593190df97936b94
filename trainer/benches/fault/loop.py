"""A sensing loop with some faults in it: which symptoms they can make, and what every test then says.

A test is made on an empty bay with the chain at rest, and says the same whenever it is made.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.sites.sheet import Operate
from trainer.solver.switching import output_on, reads_vehicle

Symptom = Literal["always", "never", "flickers", "long"]

# always: the bay is empty and the controller says vehicle; never: a car is in the beam and it says none
SYMPTOMS: tuple[Symptom, ...] = ("always", "never", "flickers", "long")
FAULTS = (
    "blocked", "dirty_lens", "misaligned", "wet_plug", "dead_head", "wrong_head", "open_wire", "short",
    "wrong_mode", "crosstalk", "low_supply", "wrong_delay", "dead_input",
)  # fmt: skip
PAIRS = (
    "dirty_lens+misaligned",
    "dirty_lens+wet_plug",
    "blocked+misaligned",
    "dirty_lens+low_supply",
    "short+dead_head",
)

_NO_LIGHT = frozenset({"dead_head", "wrong_head"})
_STUCK = frozenset({"wet_plug", "short", "dead_input"})  # hold the input on, or off, as it happens
_UNPOWERED = frozenset({"open_wire", "low_supply"})  # the input can only be off
_WEAK = frozenset({"dirty_lens", "misaligned"})
_MAKES: Mapping[Symptom, frozenset[str]] = {
    "always": _NO_LIGHT | _WEAK | {"blocked", "wrong_mode"},
    "never": frozenset({"crosstalk", "wrong_mode"}),
    "flickers": _WEAK | {"blocked", "wet_plug", "low_supply", "crosstalk"},
    "long": _WEAK | {"blocked", "low_supply", "wrong_delay"},
}


def parts_of(hypothesis: str) -> frozenset[str]:
    """The single faults of a hypothesis."""
    return frozenset(hypothesis.split("+"))


def can_make(hypothesis: str, symptom: Symptom, operate: Operate) -> bool:
    """Whether every one of these faults alone makes the symptom in this mode."""
    makes = _MAKES[symptom]
    if symptom in ("always", "never"):
        makes |= _STUCK if _held_on(symptom, operate) else _STUCK | _UNPOWERED
    return parts_of(hypothesis) <= makes


def _held_on(symptom: Symptom, operate: Operate) -> bool:
    """Whether the input is on while it is wrong: `always` says vehicle, `never` says none."""
    return reads_vehicle(operate, True) == (symptom == "always")


@dataclass(frozen=True)
class Loop:
    """Faults that are in a loop, the symptom that they make together, and the mode it should work in."""

    faults: frozenset[str]
    symptom: Symptom
    operate: Operate

    @property
    def held_on(self) -> bool | None:
        """The state in which the input stays; None where it comes and goes."""
        return _held_on(self.symptom, self.operate) if self.symptom in ("always", "never") else None

    @property
    def blown(self) -> bool:
        """Whether the fuse is blown: a short that does not hold the input on is one across the supply."""
        return "short" in self.faults and self.held_on is False

    @property
    def powered(self) -> bool:
        """Whether the receiver runs."""
        starved = self.held_on is False and bool(self.faults & {"low_supply", "wet_plug"})
        return not (self.blown or starved or "open_wire" in self.faults)

    @property
    def reading(self) -> str:
        """The receiver's signal over an empty bay: dark (no power), zero, weak or full."""
        if not self.powered:
            return "dark"
        shut = "blocked" in self.faults and self.symptom == "always"
        if shut or self.faults & _NO_LIGHT:
            return "zero"
        return "weak" if self.weakeners else "full"

    @property
    def weakeners(self) -> frozenset[str]:
        """Faults that leave some of the light, or too little."""
        partly: frozenset[str] = frozenset()
        if self.held_on is None:
            partly = frozenset({"blocked", "low_supply", "wet_plug"})
        return self.faults & (_WEAK | partly)

    def lamp(self, lit: bool) -> bool:
        """The output's lamp while the receiver sees light, or none."""
        right = "wrong_mode" not in self.faults
        return self.powered and output_on(self.operate, lit) == right

    @property
    def lit(self) -> bool:
        """Whether the light over an empty bay is enough."""
        return self.reading == "full" or (self.reading == "weak" and self.symptom == "long")

    def without(self, found: frozenset[str]) -> Loop:
        """The same loop with some faults mended."""
        return Loop(self.faults - found, self.symptom, self.operate)


def _mending(*mends: str) -> Callable[[Loop], str]:
    """What a test says that mends these faults for a moment."""

    def said(loop: Loop) -> str:
        found = loop.faults & frozenset(mends)
        if not found:
            return "nothing"
        left = loop.without(found)
        if not left.faults:
            return "cured"
        return "better" if loop.reading == left.reading == "weak" else "found"

    return said


def _seeing(**seen: str) -> Callable[[Loop], str]:
    """What a test says that shows some faults to the eye, each by its own word; `right` where it shows none."""
    return lambda loop: next((word for fault, word in seen.items() if fault in loop.faults), "right")


def _cover(loop: Loop) -> str:
    if loop.symptom == "flickers":
        return "flutters"
    before, after = loop.lamp(loop.lit), loop.lamp(False)
    return f"{'lit' if before else 'out'}_{'lit' if after else 'out'}"


def _compare(loop: Loop) -> str:
    """Lamp against word while the trouble shows; a car in the beam leaves the light of a neighbor alone."""
    if loop.held_on is None:
        return "agree"
    lit = "crosstalk" in loop.faults if loop.symptom == "never" else loop.lit
    return "agree" if loop.lamp(lit) == loop.held_on else "differ"


def _volts(loop: Loop) -> str:
    if loop.blown or "open_wire" in loop.faults:
        return "none"
    return "low" if "low_supply" in loop.faults else "right"


SAYS: Mapping[str, Callable[[Loop], str]] = {
    "look": _seeing(blocked="thing"),
    "signal": lambda loop: loop.reading,
    "cover": _cover,
    "clean": _mending("dirty_lens"),
    "aim": _mending("misaligned"),
    "plug": _seeing(wet_plug="wet"),
    "labels": _seeing(wrong_head="wrong"),
    "swap": _mending("dead_head", "wrong_head"),
    "settings": _seeing(wrong_mode="mode", wrong_delay="delay"),
    "compare": _compare,
    "neighbor": _mending("crosstalk"),
    "volts": _volts,
    "fuse": lambda loop: "blown" if loop.blown else "right",
    "ohms": _seeing(open_wire="open", short="less"),
    "spare_input": _mending("dead_input"),
}
