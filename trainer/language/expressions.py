"""An expression: its dimension proven once, compiled once, worked out on floats or on whole arrays.

What runs is Python's own bytecode of a tree that is built afresh from the allowed parts (`syntax`), with no built-in
names in reach; an evaluation costs about what the same arithmetic costs in Python.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from math import isfinite
from types import CodeType
from typing import Any

import numpy as np
import numpy.typing as npt

from trainer.language import arithmetic
from trainer.language.functions import (
    FUNCTIONS,
    UNIT_WORDS,
    Function,
    Kind,
    Misfit,
    Special,
    common,
    power_of,
    say,
)
from trainer.language.syntax import BadExpression, children, exponent_of, read_syntax, signed_number
from trainer.quantities.dimensions import PLAIN, Dimension

Array = npt.NDArray[Any]
SHOWN = "shown"

_OWN = {"divide": arithmetic.DIVIDE, "power": arithmetic.POWER}
# Functions stand under keys that no name can be, so a name of a question may be called as a function is.
_CALLED = {
    **{f"{name}()": one.arithmetic for name, one in FUNCTIONS.items()},
    **{f" {n}": f for n, f in _OWN.items()},
}
_UNITS = {word: factor for word, (factor, _) in UNIT_WORDS.items()}
_ONE = {"__builtins__": {}, **_UNITS, **{name: form.one for name, form in _CALLED.items()}}
_MANY = {
    "__builtins__": {},
    **_UNITS,
    **{name: form.many for name, form in _CALLED.items()},
    " choose": arithmetic.CHOOSE,
    " both": arithmetic.BOTH,
    " either": arithmetic.EITHER,
    " not": arithmetic.NOT,
}


def shown_key(name: str) -> str:
    """The key under which the values of an instance hold `shown(name)`."""
    return f"{SHOWN} {name}"


@dataclass(frozen=True)
class Expression:
    """An expression that is proven: `kind` is its dimension, or true-or-false.

    names: the names it needs a value for, `shown(x)` among them under `shown_key(x)`.
    """

    text: str
    kind: Kind
    names: frozenset[str]
    _one: CodeType = field(repr=False, compare=False)
    _many: CodeType = field(repr=False, compare=False)

    @property
    def dimension(self) -> Dimension:
        """The dimension; the number zero counts as plain."""
        return PLAIN if isinstance(self.kind, Special) else self.kind

    def number(self, values: Mapping[str, float]) -> float:
        """The value in SI for SI values of the names; NaN where there is none."""
        value: float = eval(self._one, _ONE, values)  # noqa: S307 - the whitelisted tree alone
        return value if isfinite(value) else arithmetic.NAN

    def truth(self, values: Mapping[str, float]) -> bool:
        """Whether a true-or-false expression holds."""
        return bool(eval(self._one, _ONE, values))  # noqa: S307 - the whitelisted tree alone

    def numbers(self, values: Mapping[str, Any], count: int) -> Array:
        """The values in SI for arrays of `count` numbers; NaN where there is none."""
        with np.errstate(all="ignore"):
            found = np.asarray(eval(self._many, _MANY, values), float)  # noqa: S307 - as above
        return np.broadcast_to(np.where(np.isfinite(found), found, arithmetic.NAN), (count,))

    def truths(self, values: Mapping[str, Any], count: int) -> Array:
        """Where a true-or-false expression holds, for arrays of `count` numbers."""
        with np.errstate(all="ignore"):
            found = np.asarray(eval(self._many, _MANY, values), bool)  # noqa: S307 - as above
        return np.broadcast_to(found, (count,))


def compile_expression(text: str, kinds: Mapping[str, Kind], shown: frozenset[str]) -> Expression:
    """Read, prove and compile one expression.

    kinds: the names it may use, with their dimension
    shown: those of them that may stand in `shown(...)`, because how they are shown is known beforehand
    Raises BadExpression with column, what is wrong, how to mend it.
    """
    tree = read_syntax(text)
    kind = _Proof(kinds, shown).kind(tree)
    used = frozenset(_names(tree))
    one, many = _Builder(arrays=False), _Builder(arrays=True)
    return Expression(text.strip(), kind, used, one.code(tree), many.code(tree))


def _names(tree: ast.expr) -> Sequence[str]:
    if isinstance(tree, ast.Name):
        return [] if tree.id in UNIT_WORDS else [tree.id]
    if name := _shown_name(tree):
        return [shown_key(name)]
    return [name for child in children(tree) for name in _names(child)]


def _shown_name(tree: ast.expr) -> str | None:
    """The name inside `shown(name)`."""
    match tree:
        case ast.Call(func=ast.Name(id="shown"), args=[ast.Name(id=name)], keywords=[]):
            return name
    return None


@dataclass(frozen=True)
class _Proof:
    """Works out dimensions over the tree; the first part that does not fit is refused with its column."""

    kinds: Mapping[str, Kind]
    shown: frozenset[str]

    def kind(self, node: ast.expr) -> Kind:  # noqa: PLR0911 - one case a part of the grammar
        match node:
            case ast.Constant(value=value):
                return Special.ZERO if value == 0 else PLAIN
            case ast.Name():
                return self._name(node)
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                return self._truth(operand)
            case ast.UnaryOp(operand=operand):
                return self._fit([operand], common)
            case ast.BoolOp(values=values):
                return [self._truth(value) for value in values][-1]
            case ast.Compare(left=left, comparators=others):
                self._fit([left, *others], common)
                return Special.TRUTH
            case ast.IfExp(test=test, body=body, orelse=orelse):
                self._truth(test)
                return self._branches([body, orelse])
            case ast.BinOp():
                return self._operation(node)
            case ast.Call():
                return self._call(node)
        raise BadExpression(node.col_offset, "This has no place in an expression.", "Leave it out.")

    def _name(self, node: ast.Name) -> Kind:
        if node.id in self.kinds:
            return self.kinds[node.id]
        if node.id in UNIT_WORDS:
            return UNIT_WORDS[node.id][1]
        if node.id in FUNCTIONS or node.id == SHOWN:
            raise BadExpression(node.col_offset, f"`{node.id}` is a function.", "Call it with ( ).")
        raise _unknown(node, "name", node.id, [*self.kinds, *UNIT_WORDS])

    def _truth(self, node: ast.expr) -> Kind:
        kind = self.kind(node)
        if kind is not Special.TRUTH:
            wrong = f"This is {say(kind)}; true or false is needed."
            raise BadExpression(node.col_offset, wrong, "Compare it: `length > 3 * foot`.")
        return kind

    def _branches(self, nodes: Sequence[ast.expr]) -> Kind:
        kinds = [self.kind(node) for node in nodes]
        if Special.TRUTH in kinds and kinds[0] is kinds[1]:
            return Special.TRUTH
        return self._fitted(nodes, kinds, common)

    def _operation(self, node: ast.BinOp) -> Kind:
        if isinstance(node.op, ast.Pow):
            return self._fit([node.left], lambda kinds: power_of(kinds[0], exponent_of(node)))
        if isinstance(node.op, ast.Add | ast.Sub):
            return self._fit([node.left, node.right], common)
        left, right = (self._fit([side], common) for side in (node.left, node.right))
        if isinstance(node.op, ast.Div) and right is Special.ZERO:
            raise BadExpression(
                node.right.col_offset, "Nothing can be divided by zero.", "Use another number."
            )
        if left is Special.ZERO or right is Special.ZERO:
            return Special.ZERO
        assert isinstance(left, Dimension) and isinstance(right, Dimension)
        return left * right if isinstance(node.op, ast.Mult) else left / right

    def _call(self, node: ast.Call) -> Kind:
        assert isinstance(node.func, ast.Name)
        if node.func.id == SHOWN:
            return self._shown(node)
        function = FUNCTIONS.get(node.func.id)
        if function is None:
            raise _unknown(node, "function", node.func.id, [*FUNCTIONS, SHOWN])
        return self._fit(arguments(node, function), function.kind)

    def _shown(self, node: ast.Call) -> Kind:
        name = _shown_name(node)
        if name is None:
            mend = "Give one name that was drawn, is a site value, or was worked out with a unit."
            raise BadExpression(node.col_offset, "`shown` takes one name.", mend)
        if name not in self.kinds:
            raise _unknown(node.args[0], "name", name, list(self.shown))
        if name not in self.shown:
            mend = f"Give it one: `{name}: {{value: …, unit: in}}`."
            raise BadExpression(
                node.args[0].col_offset, f"`{name}` has no unit of its own for showing.", mend
            )
        return PLAIN

    def _fit(self, nodes: Sequence[ast.expr], rule: Any) -> Kind:
        return self._fitted(nodes, [self.kind(node) for node in nodes], rule)

    def _fitted(self, nodes: Sequence[ast.expr], kinds: Sequence[Kind], rule: Any) -> Kind:
        try:
            kind: Kind = rule(kinds)
        except Misfit as misfit:
            raise BadExpression(nodes[misfit.argument].col_offset, misfit.wrong, misfit.mend) from None
        return kind


def _unknown(node: ast.expr, what: str, name: str, known: Sequence[str]) -> BadExpression:
    close = get_close_matches(name, known, n=1)
    mend = (
        f"Did you mean `{close[0]}`?" if close else "Name it under `draw`, `site` or `let`, above this line."
    )
    return BadExpression(node.col_offset, f"There is no {what} `{name}`.", mend, unknown=name)


def arguments(node: ast.Call, function: Function) -> list[ast.expr]:
    """The arguments of a call in the function's own order, whether by position or by name."""
    given = dict(zip(function.parameters, node.args, strict=False))
    extra = node.args[len(function.parameters) :]
    for keyword in node.keywords:
        if keyword.arg not in function.parameters:
            mend = f"It takes {', '.join(function.parameters)}."
            raise BadExpression(keyword.value.col_offset, f"`{function.name}` has no `{keyword.arg}`.", mend)
        if keyword.arg in given:
            raise BadExpression(keyword.value.col_offset, f"`{keyword.arg}` is given twice.", "Keep one.")
        given[keyword.arg] = keyword.value
    count = len(given) + len(extra)
    missing = [name for name in function.parameters[: function.least] if name not in given]
    if missing or count > function.most:
        wrong = f"`{function.name}` takes {', '.join(function.parameters)}."
        mend = f"Add {', '.join(missing)}." if missing else f"Give at most {function.most}."
        raise BadExpression(node.col_offset, wrong, mend)
    _check_decimals(function, extra)
    return [*(given[name] for name in function.parameters if name in given), *extra]


def _check_decimals(function: Function, extra: Sequence[ast.expr]) -> None:
    if function.name != "round" or not extra:
        return
    decimals = signed_number(extra[0])
    if decimals is None or decimals not in range(arithmetic.LARGEST_DECIMALS + 1):
        mend = f"Write a whole number from 0 to {arithmetic.LARGEST_DECIMALS}."
        raise BadExpression(extra[0].col_offset, "The decimals of `round` must be a plain number.", mend)


@dataclass(frozen=True)
class _Builder:
    """Builds a fresh tree of what was proven: for floats, or with numpy's forms for arrays."""

    arrays: bool

    def code(self, tree: ast.expr) -> CodeType:
        whole = ast.fix_missing_locations(ast.Expression(self.build(tree)))
        return compile(whole, "<expression>", "eval")

    def build(self, node: ast.expr) -> ast.expr:  # noqa: PLR0911 - one case a part of the grammar
        match node:
            case ast.Constant():
                return ast.Constant(float(node.value))  # type: ignore[arg-type]  # syntax lets only numbers through
            case ast.Name(id=name):
                return _load(name)
            case ast.UnaryOp(op=op, operand=operand):
                return self._unary(op, self.build(operand))
            case ast.BinOp(left=left, op=op, right=right):
                return self._binary(self.build(left), op, self.build(right))
            case ast.BoolOp(op=op, values=values):
                return self._joined(op, [self.build(value) for value in values])
            case ast.Compare():
                return self._compared(node)
            case ast.IfExp(test=test, body=body, orelse=orelse):
                parts = [self.build(part) for part in (test, body, orelse)]
                return _call(" choose", parts) if self.arrays else ast.IfExp(*parts)
            case ast.Call(func=ast.Name(id=name)):
                if shown := _shown_name(node):
                    return _load(shown_key(shown))
                return _call(f"{name}()", [self.build(one) for one in arguments(node, FUNCTIONS[name])])
        raise AssertionError(f"{type(node).__name__} was let through")

    def _unary(self, op: ast.unaryop, operand: ast.expr) -> ast.expr:
        if isinstance(op, ast.Not) and self.arrays:
            return _call(" not", [operand])
        return ast.UnaryOp(op, operand)

    def _binary(self, left: ast.expr, op: ast.operator, right: ast.expr) -> ast.expr:
        if isinstance(op, ast.Div):
            return _call(" divide", [left, right])
        if isinstance(op, ast.Pow):
            return _call(" power", [left, right])
        return ast.BinOp(left, op, right)

    def _joined(self, op: ast.boolop, parts: Sequence[ast.expr]) -> ast.expr:
        if not self.arrays:
            return ast.BoolOp(op, list(parts))
        name = " both" if isinstance(op, ast.And) else " either"
        joined = parts[0]
        for part in parts[1:]:
            joined = _call(name, [joined, part])
        return joined

    def _compared(self, node: ast.Compare) -> ast.expr:
        sides = [self.build(side) for side in (node.left, *node.comparators)]
        pairs = zip(sides, node.ops, sides[1:], strict=False)
        links: list[ast.expr] = [ast.Compare(left, [op], [right]) for left, op, right in pairs]
        return links[0] if len(links) == 1 else self._joined(ast.And(), links)


def _load(name: str) -> ast.expr:
    return ast.Name(name, ast.Load())


def _call(name: str, parts: Sequence[ast.expr]) -> ast.expr:
    return ast.Call(_load(name), list(parts), [])
