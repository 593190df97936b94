"""`stringline calc`: any published function, with units as people write them or with SI numbers as JSON."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click
import numpy as np

from trainer.quantities import UnreadableQuantity, json_input, parse_quantity, read_quantity, write_quantity
from trainer.quantities.dimensions import PLAIN, Dimension
from trainer.quantities.published import PUBLISHED, Input, Published, Result
from trainer.quantities.units import unit
from trainer.solver.numbers import BadInput

LARGEST_INPUT = 64_000_000
LONGEST_MESSAGE = 300
VALUES_SHOWN = 6


class CalcError(click.ClickException):
    """Bad use: one line on standard error, exit code 2."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        """One line, whatever stood in the input."""
        line = "".join(c if c.isprintable() else " " for c in self.message)
        line = " ".join(line.encode("utf-8", "backslashreplace").decode().split())
        click.echo(f"stringline calc: {line[:LONGEST_MESSAGE]}", file=file, err=file is None)


class _RawCommand(click.Command):
    """Takes its words as they are: inputs are names of the function, and values may begin with `-`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if "--help" in args:
            click.echo(ctx.get_help())
            ctx.exit()
        ctx.params["words"] = tuple(args)
        return []


@click.command(
    "calc",
    cls=_RawCommand,
    options_metavar="",
    epilog='For example: stringline calc beam_height --low 6in --high 30in --span "12 ft" --at 4ft',
)
@click.argument(
    "words", nargs=-1, metavar="NAME [--INPUT VALUE]… [--input FILE|-] [--json] | --list [--json]"
)
def calc(words: tuple[str, ...]) -> None:
    """Work out a published function.

    Values carry units as people write them: 6in, "16 ft 4 in", 24V, 1.5deg, "12 pulses/ft". --input reads a JSON
    object of SI numbers from a file or from standard input (-); any number may be an array. --json prints SI.
    A bare number whose name states its unit, such as failures_per_year, is in that unit, here and in JSON.
    """
    options = _Words(words)
    if options.list:
        click.echo(_listing_json() if options.json else _listing())
        return
    function = _function(options.name)
    inputs, typed = _inputs(function, options)
    result = _result(function, inputs, typed)
    click.echo(_as_json(function, inputs, result) if options.json else _as_line(function, result))


class _Words:
    """The words of the command line, sorted: the name, the switches, the input file, the values."""

    def __init__(self, words: tuple[str, ...]) -> None:
        self.name: str | None = None
        self.list = self.json = False
        self.file: str | None = None
        self.values: dict[str, str] = {}
        rest = list(words)
        while rest:
            self._take(rest.pop(0), rest)

    def _take(self, word: str, rest: list[str]) -> None:
        if not word.startswith("--"):
            if self.name is not None:
                raise CalcError(f"{word} stands alone; every value must follow its input, as in --low 6in")
            self.name = word.replace("-", "_")
            return
        name, given, value = word[2:].partition("=")
        if name in {"list", "json"} and not given:
            setattr(self, name, True)
            return
        if not given:
            if not rest:
                raise CalcError(f"{name} is missing its value; it must be given as --{name} VALUE")
            value = rest.pop(0)
        self._set(name.replace("-", "_"), value)

    def _set(self, name: str, value: str) -> None:
        if name == "input":
            if self.file is not None:
                raise CalcError(f"input is given twice, {self.file} and {value}; it must be given once")
            self.file = value
        elif name in self.values:
            raise CalcError(f"{name} is given twice, {self.values[name]} and {value}; it must be given once")
        else:
            self.values[name] = value


def _function(name: str | None) -> Published:
    if name is None:
        raise CalcError("NAME is missing; it must be one of those that `stringline calc --list` shows")
    if name not in PUBLISHED:
        close = get_close_matches(name, PUBLISHED, n=1)
        hint = f", such as {close[0]}" if close else ""
        raise CalcError(f"NAME is {name}; it must be one of those that `stringline calc --list` shows{hint}")
    return PUBLISHED[name]


def _inputs(function: Published, options: _Words) -> tuple[dict[str, Any], dict[str, str]]:
    """The inputs in SI (or the unit that their name states), and as they were given, for the refusals."""
    from_file = _read_json(options.file) if options.file is not None else {}
    known = {one.name: one for one in function.inputs}
    for name, value in [*options.values.items(), *from_file.items()]:
        if name not in known:
            shown = value if isinstance(value, str) else json_input.shown(value)
            raise CalcError(
                f"{name} is {shown}; {function.name} has no such input, its inputs are {', '.join(known)}"
            )
        if name in options.values and name in from_file:
            raise CalcError(
                f"{name} is given twice, on the command line and in the file; it must be given once"
            )
    found: dict[str, Any] = {}
    for name, one in known.items():
        if name in options.values:
            found[name] = _typed(one, options.values[name])
        elif name in from_file:
            found[name] = _from_json(one, from_file[name])
        elif not one.optional:
            raise CalcError(f"{name} is missing; it must be {_allowed(one)}")
    as_given = {name: json_input.shown(value) for name, value in from_file.items() if known[name].bare}
    return found, options.values | as_given


def _allowed(one: Input) -> str:
    if one.kind != "number" or one.dimension == PLAIN:
        return one.allowed
    unit_said = f"its unit, such as {one.handy.key}"
    said = f"{unit_said}, or bare in that unit" if one.bare else unit_said
    return f"{one.dimension.words('en')}, {one.allowed}, with {said}"


def _typed(one: Input, text: str) -> Any:
    if one.kind == "structure":
        raise CalcError(f"{one.name} is {text!r}; it must come as JSON by --input: {one.allowed}")
    if one.kind == "word":
        return _word(one, text)
    if one.kind == "moment":
        return _moments(one, text)
    try:
        value, dimension, bare = _quantity(text)
    except UnreadableQuantity as error:
        wrong = f"{error.wrong} {error.mend}"
        raise CalcError(f"{one.name} is {text!r}; it must be {_allowed(one)}. {wrong}") from None
    if bare and (value == 0 or one.bare):
        return value
    if dimension != one.dimension:
        said = "a plain number" if bare else dimension.words("en")
        raise CalcError(f"{one.name} is {text!r}, {said}; it must be {_allowed(one)}")
    return float(f"{value / one.handy.factor:.15g}") if one.bare else value


def _quantity(text: str) -> tuple[float, Dimension, bool]:
    """SI value, dimension, and whether no unit was given; compound units that people do not type go to pint."""
    try:
        reading = read_quantity(text, unit("1"), "en")
    except UnreadableQuantity as refusal:
        try:
            value, one = parse_quantity(text)
        except UnreadableQuantity:
            raise refusal from None
        return value, one.dimension, False
    return reading.value, reading.dimension, reading.unit is None


def _word(one: Input, value: object) -> str:
    if not isinstance(value, str) or value not in one.choices:
        raise CalcError(f"{one.name} is {json_input.shown(value)}; it must be {one.allowed}")
    return value


def _moments(one: Input, value: object) -> str | np.ndarray[Any, Any]:
    """The texts as they are: readable, and in an array whose shape broadcasts."""
    try:
        json_input.moments(one.name, value)
    except BadInput as error:
        raise CalcError(str(error)) from None
    return value if isinstance(value, str) else np.array(value, dtype=np.str_)


def _from_json(one: Input, value: object) -> Any:
    if one.kind == "word":
        return _word(one, value)
    if one.kind == "moment":
        return _moments(one, value)
    if one.kind == "structure":
        return value
    try:
        return json_input.numbers(one.name, value)
    except BadInput as error:
        raise CalcError(str(error)) from None


def _read_json(file: str) -> dict[str, Any]:
    try:
        data = sys.stdin.buffer.read(LARGEST_INPUT + 1) if file == "-" else _read_file(Path(file))
        if len(data) > LARGEST_INPUT:
            raise CalcError(f"input {file} is too large; it must be at most {LARGEST_INPUT} bytes")
        found = json.loads(data.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_no_constant)
    except (OSError, ValueError, RecursionError) as error:
        raise CalcError(
            f"input {file} is not usable ({_why(error)}); it must be a JSON object of SI numbers"
        ) from None
    if not isinstance(found, dict):
        raise CalcError(f"input {file} is {json_input.shown(found)}; it must be a JSON object of SI numbers")
    return found


def _read_file(path: Path) -> bytes:
    with path.open("rb") as opened:
        return opened.read(LARGEST_INPUT + 1)


def _why(error: Exception) -> str:
    if isinstance(error, RecursionError):
        return "nested too deeply"
    if isinstance(error, UnicodeDecodeError):
        return "not UTF-8 text"
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(name for i, (name, _) in enumerate(pairs) if name in dict(pairs[:i]))
        raise ValueError(f"{twice} is given twice")
    return found


def _no_constant(word: str) -> None:
    raise ValueError(f"{word} is no finite number")


def _result(function: Published, inputs: dict[str, Any], typed: Mapping[str, str]) -> dict[str, Any]:
    arrays = {name: value for name, value in inputs.items() if isinstance(value, float | np.ndarray)}
    if json_input.rectangular([np.shape(value) for value in arrays.values()]) is None:
        shapes = ", ".join(f"{name} {list(np.shape(value))}" for name, value in arrays.items())
        raise CalcError(
            f"the shapes are {shapes}; they must broadcast, to {json_input.LARGEST_ARRAY} numbers at most"
        )
    try:
        with np.errstate(all="ignore"):
            result = function.call(_in_si(function, inputs))
    except BadInput as error:
        was = f" ({typed[error.name]})" if error.name in typed else ""
        raise CalcError(str(error).replace("; it must be", f"{was}; it must be", 1)) from None
    except (OverflowError, ZeroDivisionError):
        result = {one.name: math.inf for one in function.results}
    numeric = {
        name: value for name, value in arrays.items() if not np.issubdtype(np.asarray(value).dtype, np.str_)
    }
    _refuse_not_finite(function, numeric, result)
    return result


def _in_si(function: Published, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs as the function takes them: those whose name states their unit stand in that unit until here."""
    factors = {one.name: one.handy.factor for one in function.inputs if one.bare}
    return {name: value * factors[name] if name in factors else value for name, value in inputs.items()}


def _refuse_not_finite(function: Published, numeric: Mapping[str, Any], result: Mapping[str, Any]) -> None:
    """Numbers so large or small that their product is none: say which input is the farthest from daily size."""
    for one in function.results:
        if one.structure or np.all(np.isfinite(result[one.name])):
            continue
        size = {name: np.max(np.abs(np.log10(np.abs(value) + 1e-320))) for name, value in numeric.items()}
        worst = max(size, key=lambda name: size[name])
        was = float(np.max(np.abs(numeric[worst])))
        raise CalcError(
            f"{worst} is {was:g}; it must be nearer to daily size: {one.name} is then no finite number"
        )


def _as_json(function: Published, inputs: Mapping[str, Any], result: Mapping[str, Any]) -> str:
    said = {"name": function.name, "inputs": _plain(inputs), "result": _plain(result)}
    return json.dumps(said, ensure_ascii=False, allow_nan=False)


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    return value.tolist() if isinstance(value, np.ndarray | np.generic) else value


def _as_line(function: Published, result: Mapping[str, Any]) -> str:
    if len(function.results) == 1:
        return _shown(function.results[0], result[function.results[0].name])
    return ", ".join(f"{one.name} {_shown(one, result[one.name])}" for one in function.results)


def _shown(one: Result, value: Any) -> str:
    if one.structure:
        return json.dumps(_plain(value), ensure_ascii=False, allow_nan=False)
    flat = np.ravel(value)
    said = [write_quantity(float(v), one.handy, "en").replace("\u00a0", " ") for v in flat[:VALUES_SHOWN]]
    more = f" … ({flat.size} values)" if flat.size > VALUES_SHOWN else ""
    return ("; ".join(said) + more) or "no values"


def _listing() -> str:
    return "\n".join(_listed(one) for one in PUBLISHED.values())


def _listed(one: Published) -> str:
    inputs, results = ", ".join(i.name for i in one.inputs), ", ".join(r.name for r in one.results)
    return f"{one.name}({inputs}) -> {results}: {one.meaning}"


def _listing_json() -> str:
    return json.dumps([_described(one) for one in PUBLISHED.values()], ensure_ascii=False, indent=2)


def _described(one: Published) -> dict[str, Any]:
    return {
        "name": one.name,
        "meaning": one.meaning,
        "inputs": [
            {
                "name": i.name,
                "kind": i.kind,
                "dimension": i.dimension.words("en"),
                "si_unit": i.handy.key if i.bare else i.dimension.symbol,
                "range": i.allowed,
                "required": not i.optional,
                "such_as": i.handy.key,
            }
            for i in one.inputs
        ],
        "result": [
            {"name": r.name, "dimension": r.dimension.words("en"), "si_unit": r.dimension.symbol}
            for r in one.results
        ],
        "source": one.source,
    }
