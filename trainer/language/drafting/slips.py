"""How people could get a calculation wrong, worked out from the calculation itself; each with the number it gives.

A suggestion is only offered where its number can be told from the right one. What people really do is the trainer's
knowledge: every suggestion has a reason in both languages that is meant to be changed.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from math import isfinite

from trainer.language.admission import APART, Reader, numbers_read, slip_values, tolerance_of
from trainer.language.draws import Instance
from trainer.language.functions import UNIT_KEYS, fits
from trainer.language.names import Name, Scope, Units, pair_of_units
from trainer.language.questions import NumberTask, Question
from trainer.language.syntax import BadExpression, read_syntax
from trainer.quantities.dimensions import PLAIN, Dimension, Language
from trainer.quantities.units import unit
from trainer.sites.values import VALUES

Reasons = Mapping[Language, str]
MOST = 8
MOST_OF_THE_SITE = 3
LARGEST_STEP = 100  # between two units that people mix up


@dataclass(frozen=True)
class Suggested:
    """A slip that somebody may want: its id, its expression, a first reason in each language, the number it gives [SI].

    site: a site value that the expression uses and the question does not name yet; "" where there is none
    """

    id: str
    value: str
    because: Reasons
    number: float
    site: str = ""


@dataclass(frozen=True)
class _Wrong:
    """A wrong calculation before anybody knows whether it can be worked out."""

    id: str
    tree: ast.expr
    because: Reasons
    site: str = ""


_TEMPLATES: Mapping[str, tuple[str, str]] = {
    "upside_down": (
        "You divided {b} by {a}. It is the other way round: {a} divided by {b}.",
        "Dividiste {b} entre {a}. Es al revés: {a} entre {b}.",
    ),
    "multiplied": (
        "You multiplied {a} by {b}. It has to be divided by {b}.",
        "Multiplicaste {a} por {b}. Hay que dividir entre {b}.",
    ),
    "divided": (
        "You divided {a} by {b}. The two have to be multiplied.",
        "Dividiste {a} entre {b}. Los dos se multiplican.",
    ),
    "added": (
        "You added {b} to {a}. It has to be taken away.",
        "Le sumaste {b} a {a}. Hay que restarlo.",
    ),
    "taken_away": (
        "You took {b} away from {a}. It has to be added.",
        "Le restaste {b} a {a}. Hay que sumarlo.",
    ),
    "left_out": ("You left out {b}.", "Dejaste fuera {b}."),
    "not_squared": ("You took {a} once. It counts twice: squared.", "Tomaste {a} una vez. Va al cuadrado."),
}
_SWAPS: Mapping[type[ast.operator], tuple[tuple[str, type[ast.operator], bool], ...]] = {
    ast.Div: (("upside_down", ast.Div, True), ("multiplied", ast.Mult, False)),
    ast.Mult: (("divided", ast.Div, False),),
    ast.Sub: (("added", ast.Add, False),),
    ast.Add: (("taken_away", ast.Sub, False),),
}


def suggested(
    question: Question, instance: Instance, site_values: Mapping[str, float]
) -> tuple[Suggested, ...]:
    """Slips of a question about a number, those that a learner's eye would take first.

    instance: one draw, which shows what each would give; site_values: from `site_values(sheet)` [SI]
    """
    task = question.task
    if not isinstance(task, NumberTask):
        return ()
    reader = Reader(instance.values, instance.system)
    apart = APART * float(tolerance_of(task, reader))
    known = [float(reader.number(task.value)), *map(float, slip_values(task, reader).values())]
    known += [float(number) for _, number in numbers_read(question, task, reader)]
    found: list[Suggested] = []
    for wrong in _wrongs(question, task, site_values):
        one = _worked_out(wrong, question, task, instance, site_values)
        if one is None or any(abs(one.number - other) <= apart for other in known):
            continue
        taken = {slip.id for slip in task.slips} | {other.id for other in found}
        name = next(n for n in (one.id, *(f"{one.id}_{k}" for k in range(2, 99))) if n not in taken)
        found.append(replace(one, id=name))
        known.append(one.number)
        if len(found) == MOST:
            break
    return tuple(found)


def _wrongs(question: Question, task: NumberTask, site_values: Mapping[str, float]) -> Iterator[_Wrong]:
    whole = _unfolded(read_syntax(task.value.text), question)
    for at, node in enumerate(ast.walk(whole)):
        if isinstance(node, ast.BinOp):
            yield from _of_operator(whole, at, node)
    yield from _of_unit(whole, task.units)
    yield from _of_site(whole, question, site_values)


def _unfolded(tree: ast.expr, question: Question) -> ast.expr:
    """The calculation with names under `let` written out, so that a wrong turn inside one is found too."""
    worked = {one.name: one.expression.text for one in question.numbers.worked}

    class Unfold(ast.NodeTransformer):
        def visit_Name(self, node: ast.Name) -> ast.expr:
            return self.visit(read_syntax(worked[node.id])) if node.id in worked else node

    unfolded: ast.expr = Unfold().visit(deepcopy(tree))
    return unfolded


def _of_operator(whole: ast.expr, at: int, node: ast.BinOp) -> Iterator[_Wrong]:
    a, b = _insert(node.left), _insert(node.right)
    for name, operator, turned in _SWAPS.get(type(node.op), ()):
        left, right = (node.right, node.left) if turned else (node.left, node.right)
        yield _Wrong(name, _with(whole, at, ast.BinOp(left, operator(), right)), _said(name, a=a, b=b))
    if isinstance(node.op, ast.Add | ast.Sub):
        yield _Wrong("left_out", _with(whole, at, node.left), _said("left_out", b=b))
    if isinstance(node.op, ast.Pow) and isinstance(node.right, ast.Constant) and node.right.value == 2:
        yield _Wrong("not_squared", _with(whole, at, node.left), _said("not_squared", a=a))


def _of_unit(whole: ast.expr, units: Units) -> Iterator[_Wrong]:
    """The number in another unit, given as if it were in the asked one."""
    asked = units["us"]
    for word, key in UNIT_KEYS.items():
        other = unit(key)
        ratio = asked.factor / other.factor
        if (
            other.dimension == asked.dimension
            and other.system in (None, "us")
            and 2 <= max(ratio, 1 / ratio) <= LARGEST_STEP
        ):
            reasons: Reasons = {
                "en": f"That is how many {other.en.many} it is. The question asks for {asked.en.many}.",
                "es": f"Eso son {other.es.many}. Se piden {asked.es.many}.",
            }
            yield _Wrong(f"in_{word}", ast.BinOp(whole, ast.Div(), ast.Name(word)), reasons)


def _of_site(whole: ast.expr, question: Question, site_values: Mapping[str, float]) -> Iterator[_Wrong]:
    """Another value of the site sheet that measures the same thing; those that the question shows come first."""
    shown = question.numbers.site
    rows = sorted(
        (row for row in VALUES.values() if row.name in site_values), key=lambda row: row.name not in shown
    )
    for name in dict.fromkeys(node.id for node in ast.walk(whole) if isinstance(node, ast.Name)):
        row = VALUES.get(name)
        if row is None or row.dimension == PLAIN:
            continue
        like = [other for other in rows if other != row and other.unit == row.unit]
        for other in like[:MOST_OF_THE_SITE]:
            reasons: Reasons = {
                "en": f"You took {{{{ {other.name} }}}} ({other.meaning['en']}). What counts here is"
                f" {{{{ {row.name} }}}} ({row.meaning['en']}).",
                "es": f"Tomaste {{{{ {other.name} }}}} ({other.meaning['es']}). Aquí cuenta"
                f" {{{{ {row.name} }}}} ({row.meaning['es']}).",
            }
            tree = _renamed(whole, row.name, other.name)
            yield _Wrong(f"took_{other.name}"[:40], tree, reasons, other.name)


def _with(whole: ast.expr, at: int, new: ast.expr) -> ast.expr:
    """The calculation with its node number `at` replaced."""
    if at == 0:
        return deepcopy(new)
    tree = deepcopy(whole)
    target = list(ast.walk(tree))[at]
    for parent in ast.walk(tree):
        for field, value in ast.iter_fields(parent):
            if value is target:
                setattr(parent, field, deepcopy(new))
            elif isinstance(value, list) and target in value:
                value[value.index(target)] = deepcopy(new)
    return tree


def _renamed(whole: ast.expr, old: str, new: str) -> ast.expr:
    tree = deepcopy(whole)
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and node.id == old:
            node.id = new
    return tree


def _insert(node: ast.expr) -> str:
    return f"{{{{ {ast.unparse(node)} }}}}"


def _said(name: str, **parts: str) -> Reasons:
    english, spanish = _TEMPLATES[name]
    return {"en": english.format(**parts), "es": spanish.format(**parts)}


def _worked_out(
    wrong: _Wrong, question: Question, task: NumberTask, instance: Instance, site_values: Mapping[str, float]
) -> Suggested | None:
    """The suggestion with its number; None where it cannot be worked out in the answer's dimension or as a number."""
    scope = _scope(question, wrong.site)
    values = dict(instance.values) | ({wrong.site: site_values[wrong.site]} if wrong.site else {})
    asked = task.units[instance.system]
    for tree in (wrong.tree, _in_shown_numbers(wrong.tree, scope)):
        text = ast.unparse(tree)
        try:
            expression = scope.compile(text)
            quantity = fits(expression.kind, asked.dimension)
            if not quantity and expression.dimension != PLAIN:
                continue
            number = expression.number(_with_shown(values, scope, instance)) * (
                1 if quantity else asked.factor
            )
        except BadExpression:
            continue
        return Suggested(wrong.id, text, wrong.because, number, wrong.site) if isfinite(number) else None
    return None


def _scope(question: Question, site: str) -> Scope:
    numbers = question.numbers
    names: dict[str, tuple[Dimension, Units | None]] = {
        name: (VALUES[name].dimension, pair_of_units(VALUES[name].unit))
        for name in (*numbers.site, site)
        if name
    }
    names |= {one.name: (one.dimension, numbers.units.get(one.name)) for one in numbers.drawn}
    return Scope({name: Name(name, dimension, units) for name, (dimension, units) in names.items()})


def _in_shown_numbers(tree: ast.expr, scope: Scope) -> ast.expr:
    """The calculation with the bare numbers that people read, for a result that measures something else."""

    class Bare(ast.NodeTransformer):
        def visit_Name(self, node: ast.Name) -> ast.expr:
            known = scope.names.get(node.id)
            shown = known is not None and known.dimension != PLAIN and known.units is not None
            return ast.Call(ast.Name("shown"), [node], []) if shown else node

        def visit_Call(self, node: ast.Call) -> ast.expr:
            node.args = [self.visit(one) for one in node.args]
            return node

    bare: ast.expr = Bare().visit(deepcopy(tree))
    return bare


def _with_shown(values: Mapping[str, float], scope: Scope, instance: Instance) -> Mapping[str, float]:
    return dict(values) | {
        f"shown {name}": values[name] / one.units[instance.system].factor
        for name, one in scope.names.items()
        if one.units is not None and name in values
    }
