"""What an expression may be made of: numbers, names, arithmetic, comparison, if-else, calls by a function's name.

The rule is a whitelist over Python's own syntax tree. Length, depth, numbers and powers are bounded before anything
is worked out, so that no text can take more than a moment or a few bytes.
"""

from __future__ import annotations

import ast
import math
import re

LONGEST = 400
DEEPEST = 24
MOST_PARTS = 150
LARGEST_NUMBER = 1e12
LARGEST_EXPONENT = 8

_CHARACTERS = re.compile(r"[A-Za-z0-9_ .+\-*/(),<>=!]*")
_GLUED = re.compile(r"(?<![A-Za-z0-9_])(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?+(?P<letter>[A-Za-z_])")
_DUNDER = re.compile(r"(?<![A-Za-z0-9])_\w*")

_OPERATORS = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow, ast.UAdd, ast.USub, ast.Not, ast.And, ast.Or)
_COMPARISONS = (ast.Lt, ast.LtE, ast.Gt, ast.GtE, ast.Eq, ast.NotEq)
_PARTS = (ast.BinOp, ast.UnaryOp, ast.BoolOp, ast.Compare, ast.IfExp, ast.Call, ast.Name, ast.Constant)
_GRAMMAR = (
    "Use numbers, names, + - * / **, ( ), comparisons, and, or, not, `a if test else b` and named functions."
)


class BadExpression(ValueError):  # noqa: N818 - named as all our errors are
    """An expression that is refused: at which column (from 0) of its text, what is wrong, how to mend it.

    unknown: the name that it uses and nobody knows
    """

    def __init__(self, column: int, wrong: str, mend: str, unknown: str = "") -> None:
        super().__init__(f"column {column + 1}: {wrong} {mend}")
        self.column, self.wrong, self.mend, self.unknown = column, wrong, mend, unknown


def read_syntax(text: str) -> ast.expr:
    """The syntax tree of an expression, every part of it allowed and within bounds.

    Columns of the tree count in `text`. Raises BadExpression.
    """
    line = re.sub(r"[\r\n\t]", " ", text)
    _check_characters(line)
    lead = len(line) - len(line.lstrip(" "))
    tree = _parse(line.strip(" "), lead)
    _check_parts(tree, lead)
    return tree


def _check_characters(line: str) -> None:
    if not line.strip(" "):
        raise BadExpression(0, "There is no expression here.", _GRAMMAR)
    if len(line) > LONGEST:
        wrong = f"The expression has {len(line)} characters; {LONGEST} are allowed."
        raise BadExpression(LONGEST, wrong, "Divide it with names under `let`.")
    end = _CHARACTERS.match(line).end()  # type: ignore[union-attr]  # the pattern matches the empty text too
    if end < len(line):
        raise BadExpression(end, f"{_named(line[end])} has no place in an expression.", _GRAMMAR)
    if found := _DUNDER.search(line):
        raise BadExpression(found.start(), "A name cannot begin with `_`.", "Begin it with a letter.")
    if found := _GLUED.search(line):
        mend = "Write a quantity as a product: `3 * inch`; write digits without other marks."
        raise BadExpression(found.start(), "A letter follows a number here.", mend)
    _check_brackets(line)


def _named(character: str) -> str:
    code = f"U+{ord(character):04X}"
    return f"The character {character!r} ({code})" if character.isprintable() else f"The character {code}"


def _check_brackets(line: str) -> None:
    depth = 0
    for column, character in enumerate(line):
        depth += (character == "(") - (character == ")")
        if depth > DEEPEST:
            raise _too_deep(column)


def _too_deep(column: int) -> BadExpression:
    wrong = f"Parts stand inside one another more than {DEEPEST} deep."
    return BadExpression(column, wrong, "Divide it with names under `let`.")


def _parse(line: str, lead: int) -> ast.expr:
    try:
        tree = ast.parse(line, mode="eval").body
    except SyntaxError as error:
        column = max((error.offset or 1) - 1, 0) + lead
        raise BadExpression(column, "This cannot be read as arithmetic.", _GRAMMAR) from None
    except (ValueError, MemoryError, RecursionError):
        raise BadExpression(lead, "This cannot be read as arithmetic.", _GRAMMAR) from None
    for node in ast.walk(tree):
        if hasattr(node, "col_offset"):
            node.col_offset += lead
    return tree


def _check_parts(tree: ast.expr, lead: int) -> None:
    """Walk without recursion; every node must be of the whitelist."""
    count = 0
    waiting: list[tuple[ast.expr, int]] = [(tree, 1)]
    while waiting:
        node, depth = waiting.pop()
        count += 1
        if count > MOST_PARTS:
            wrong = f"The expression has more than {MOST_PARTS} parts."
            raise BadExpression(lead, wrong, "Divide it with names under `let`.")
        if depth > DEEPEST:
            raise _too_deep(node.col_offset)
        _check_part(node)
        waiting.extend((child, depth + 1) for child in children(node))


def children(node: ast.expr) -> list[ast.expr]:  # noqa: PLR0911 - one case a part of the grammar
    """The expressions inside an allowed expression; the name of a called function is not one."""
    match node:
        case ast.BinOp():
            return [node.left, node.right]
        case ast.UnaryOp():
            return [node.operand]
        case ast.BoolOp():
            return node.values
        case ast.Compare():
            return [node.left, *node.comparators]
        case ast.IfExp():
            return [node.test, node.body, node.orelse]
        case ast.Call():
            return [*node.args, *(keyword.value for keyword in node.keywords)]
    return []


def _check_part(node: ast.expr) -> None:
    if not isinstance(node, _PARTS):
        raise BadExpression(node.col_offset, f"{_what(node)} has no place in an expression.", _GRAMMAR)
    match node:
        case ast.BinOp(op=op) | ast.UnaryOp(op=op) if not isinstance(op, _OPERATORS):
            raise BadExpression(node.col_offset, "This operator is not one of ours.", _GRAMMAR)
        case ast.Compare(ops=ops) if not all(isinstance(op, _COMPARISONS) for op in ops):
            raise BadExpression(node.col_offset, "This comparison is not one of ours.", _GRAMMAR)
        case ast.Constant():
            _check_number(node)
        case ast.Call():
            _check_call(node)
        case ast.BinOp(op=ast.Pow()):
            exponent_of(node)


def _what(node: ast.expr) -> str:
    names = {ast.Attribute: "A name with a point", ast.Starred: "A star", ast.Tuple: "A comma"}
    return names.get(type(node), f"This ({type(node).__name__.lower()})")


def _check_number(node: ast.Constant) -> None:
    value = node.value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadExpression(node.col_offset, f"{value!r} is not a number.", _GRAMMAR)
    if not abs(value) <= LARGEST_NUMBER:
        mend = "Is a zero too many?"
        raise BadExpression(node.col_offset, f"A number may be at most {LARGEST_NUMBER:g}.", mend)


def _check_call(node: ast.Call) -> None:
    if not isinstance(node.func, ast.Name):
        raise BadExpression(node.col_offset, "Only a function's name can be called.", _GRAMMAR)
    for keyword in node.keywords:
        if keyword.arg is None:
            raise BadExpression(keyword.value.col_offset, "A star has no place in a call.", _GRAMMAR)


def exponent_of(node: ast.BinOp) -> float:
    """The exponent of a power: a plain number, with or without a sign, within bounds."""
    value = signed_number(node.right)
    if value is None or not abs(value) <= LARGEST_EXPONENT or math.isnan(value):
        wrong = f"An exponent must be a number from -{LARGEST_EXPONENT} to {LARGEST_EXPONENT}."
        raise BadExpression(node.right.col_offset, wrong, "Write the number itself, or use `exp` and `log`.")
    return value


def signed_number(node: ast.expr) -> float | None:
    """The value of a number with at most one sign, else None."""
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.UAdd):
        inner = signed_number(node.operand) if isinstance(node.operand, ast.Constant) else None
        return None if inner is None else (-inner if isinstance(node.op, ast.USub) else inner)
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value) if abs(node.value) <= LARGEST_NUMBER else math.inf
    return None
