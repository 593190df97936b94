"""What an input may be: a rule knows values that are refused, edges that pass, and the words of the refusal."""

import inspect
from collections.abc import Callable
from dataclasses import astuple, dataclass, is_dataclass

import numpy as np

JUST = 1e-9  # a share by which a value lies just beyond an edge


@dataclass(frozen=True)
class Rule:
    """Words of the refusal, values that earn it, edges that must pass; `then`, a rule that is asked next."""

    allowed: str
    bad: tuple[object, ...] = ()
    good: tuple[object, ...] = ()
    numbers: bool = True
    then: "Rule | None" = None

    def refusals(self) -> list[tuple[object, str, str]]:
        """Each bad value, how it is said, and what is allowed."""
        found = [(value, said(value), self.allowed) for value in self.bad]
        if self.numbers:
            found += [(value, said(value), self.allowed) for value in (np.nan, np.inf, -np.inf)]
            found += [(None, "nan", self.allowed), ("many", "'many'", "a number")]
        if self.then:
            found += [(value, said(value), self.then.allowed) for value in self.then.bad]
        return found

    def edges(self) -> tuple[object, ...]:
        return self.good + (self.then.good if self.then else ())


def said(value: object) -> str:
    """A value as a refusal says it."""
    return f"{float(value):g}" if isinstance(value, int | float | np.number) else repr(value)


def above_zero(unit: str = "", *good: float, then: Rule | None = None) -> Rule:
    return Rule(f"finite and above 0 {unit}".rstrip(), (0.0, -1.0), good, then=then)


def from_zero(unit: str = "", *good: float, then: Rule | None = None) -> Rule:
    allowed = f"finite and 0 {unit} or more" if unit else "finite and 0 or more"
    return Rule(allowed, (-JUST, -1.0), (0.0, *good), then=then)


def between(allowed: str, least: float, most: float) -> Rule:
    """Both ends in."""
    beyond = JUST * max(1.0, most - least)
    return Rule(allowed, (least - beyond, most + beyond), (least, most))


def above(allowed: str, least: float, *good: float) -> Rule:
    """The end itself is refused."""
    return Rule(allowed, (least, least - 1), (least + abs(least) * JUST + 1e-12, *good))


def at_least(allowed: str, least: float, *good: float) -> Rule:
    return Rule(allowed, (least - JUST, least - 1), (least, *good))


def whole(least: int, then: Rule | None = None) -> Rule:
    return Rule(f"a whole number from {least}", (least - 1, least + 0.5), (least, least + 1), then=then)


def one_of(*words: str) -> Rule:
    return Rule(
        "one of " + ", ".join(words),
        ("nonsense", words[0] + "x", words[0].title() + "X", ""),
        words,
        numbers=False,
    )


FINITE = Rule("finite", good=(0.0, -1.0))
SHARE = between("from 0 to 1", 0.0, 1.0)
PART = Rule("a share from 0 to below 1", (-JUST, 1.0), (0.0, 1 - JUST))
ABOVE_ONE = above("finite and above 1", 1.0)
ACUTE = Rule("above 0 and below pi/2 rad", (0.0, np.pi / 2), (JUST, np.pi / 2 - JUST))
ANY = Rule("", numbers=False)  # nothing is refused


@dataclass(frozen=True)
class Case:
    """A function, good inputs, and the rule of each."""

    call: Callable[..., object]
    inputs: dict[str, tuple[object, Rule]]
    arrays: bool

    @property
    def good(self) -> dict[str, object]:
        return {name: value for name, (value, _) in self.inputs.items()}

    @property
    def number_inputs(self) -> list[str]:
        return [name for name, (_, rule) in self.inputs.items() if rule.numbers]


def case(call: Callable[..., object], *, arrays: bool = True, **inputs: tuple[object, Rule]) -> Case:
    return Case(call, inputs, arrays)


@dataclass(frozen=True)
class Sentence:
    """A call with structured inputs, and the whole sentence with which it is refused."""

    call: Callable[..., object]
    inputs: dict[str, object]
    sentence: str


def sentence(call: Callable[..., object], words: str, **inputs: object) -> Sentence:
    return Sentence(call, inputs, words)


def results(value: object) -> tuple[object, ...]:
    return astuple(value) if is_dataclass(value) else (value,)


def asks_numbers(call: object) -> bool:
    """Whether a function, or a class that checks what it is made of, takes numbers."""
    if inspect.isclass(call) and "__post_init__" not in vars(call):
        return False
    annotations = [one.annotation for one in inspect.signature(call, eval_str=True).parameters.values()]
    return any(word in str(one) for one in annotations for word in ("float", "int", "ArrayLike", "buffer"))
