"""Expressions: values, dimensions, columns of faults, and the same results alone and in arrays."""

import math
import timeit

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from trainer.language.names import Name, Scope, pair_of_units
from trainer.language.syntax import BadExpression
from trainer.quantities.dimensions import ANGLE, LENGTH, PLAIN, SPEED, TIME
from trainer.quantities.units import unit

SCOPE = Scope(
    {
        "x": Name("x", PLAIN, pair_of_units(unit("1"))),
        "y": Name("y", PLAIN, pair_of_units(unit("1"))),
        "gap": Name("gap", LENGTH, pair_of_units(unit("in"))),
        "span": Name("span", LENGTH, None),
        "wait": Name("wait", TIME, None),
    }
)
VALUES = {"x": 3.0, "y": 4.0, "gap": 0.254, "span": 3.0, "wait": 2.0, "shown gap": 10.0, "shown x": 3.0}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("x + y * 2", 11),
        ("-x ** 2", -9),
        ("x ** -1", 1 / 3),
        ("x ** 0.5", math.sqrt(3)),
        ("(x + y) / 2", 3.5),
        ("hypot(x, y)", 5),
        ("min(x, y, 1)", 1),
        ("max(x, 0)", 3),
        ("round(2.5)", 3),
        ("round(0.125, 2)", 0.13),
        ("floor(gap / inch)", 10),
        ("ceil(x / 2)", 2),
        ("x if x > y else y", 4),
        ("1 if 1 < x < y else 2", 1),
        ("1 if not (x > y) and (y > x or x == y) else 2", 1),
        ("shown(gap) * 2", 20),
        ("atan(1) / degree", 45),
        ("sin(radians(0.5))", math.sin(0.5)),
        ("3 * foot / inch", 36),
        ("2 * minute / second", 120),
        ("exp(log(x))", 3),
        ("beam_height(low=0, high=2*metre, span=4*metre, at=1*metre) / metre", 0.5),
        ("beam_height(0, 2*metre, 4*metre, 1*metre) / metre", 0.5),
        ("vehicle_length_longest(pulses=24, pulses_per_length=12/foot) / foot", 25 / 12),
        ("  x\n  + y", 7),
    ],
)
def test_works_out(text, value):
    assert SCOPE.compile(text).number(VALUES) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("gap * span / wait", LENGTH**2 / TIME),
        ("gap / wait", SPEED),
        ("sqrt(gap * span)", LENGTH),
        ("gap ** 2 / span", LENGTH),
        ("abs(gap - span)", LENGTH),
        ("max(0, gap - span)", LENGTH),
        ("0", PLAIN),
        ("atan(gap / span)", ANGLE),
        ("beam_slope_angle(gap, span, span)", ANGLE),
        ("shown(gap)", PLAIN),
        ("gap if x > y else span", LENGTH),
        ("0 * gap + gap", LENGTH),
    ],
)
def test_proves_the_dimension(text, dimension):
    assert SCOPE.compile(text).dimension == dimension


@pytest.mark.parametrize(
    ("text", "column", "wrong"),
    [
        ("gap + wait", 6, "a time"),
        ("x + gap", 4, "a length"),
        ("gap < wait", 6, "a time"),
        ("sqrt(x) + sin(x)", 14, "an angle is needed"),
        ("floor(gap)", 6, "a plain number is needed"),
        ("x and y", 0, "true or false is needed"),
        ("(x > y) + 1", 1, "true or false"),
        ("gap if x > y else wait", 18, "a time"),
        ("nothing * 2", 0, "no name `nothing`"),
        ("x * gapp", 4, "no name `gapp`"),
        ("max", 0, "is a function"),
        ("maximum(x, y)", 0, "no function `maximum`"),
        ("shown(span)", 6, "no unit of its own"),
        ("shown(x + y)", 0, "takes one name"),
        ("beam_height(gap, gap, span)", 0, "takes low, high, span, at"),
        ("beam_height(gap, gap, span, wait)", 28, "`at` of beam_height is a length"),
        ("beam_height(gap, gap, span, up=gap)", 31, "has no `up`"),
        ("beam_height(gap, gap, span, low=gap)", 32, "given twice"),
        ("hypot(x)", 0, "takes a, b"),
        ("round(x, y)", 9, "decimals"),
        ("x / 0", 4, "divided by zero"),
        ("3in * x", 0, "A letter follows"),
    ],
)
def test_tells_where_and_what_is_wrong(text, column, wrong):
    with pytest.raises(BadExpression) as refused:
        SCOPE.compile(text)
    assert refused.value.column == column
    assert wrong in refused.value.wrong


@pytest.mark.parametrize(
    "text",
    ["1 / (x - 3)", "log(x - 3)", "sqrt(x - 4)", "(x - 4) ** 0.5", "exp(1000)", "asin(x)", "0.0 ** -1 * x",
     "beam_height(gap, gap, span, 2 * span)",
     "min(x, 1 / (x - 3))", "x * 1e12 ** 8 * 1e12 ** 8 * 1e12 ** 8 * 1e12 ** 8"],
)  # fmt: skip
def test_what_has_no_finite_value_is_nan(text):
    expression = SCOPE.compile(text)
    assert math.isnan(expression.number(VALUES))
    assert np.isnan(expression.numbers({name: np.full(3, value) for name, value in VALUES.items()}, 3)).all()


def test_one_draw_out_of_a_functions_range_spoils_no_other():
    expression = SCOPE.compile("beam_height(gap, gap, span, wait / second * metre)")
    waits = np.array([1.0, 5.0, 2.0])
    found = expression.numbers({"gap": np.full(3, 0.3), "span": np.full(3, 3.0), "wait": waits}, 3)
    assert found[0] == pytest.approx(0.3) and np.isnan(found[1]) and found[2] == pytest.approx(0.3)


numbers = st.recursive(
    st.sampled_from(["x", "y", "2", "0.5", "7", "shown(gap)"]),
    lambda inner: st.one_of(
        st.builds("({} {} {})".format, inner, st.sampled_from("+-*/"), inner),
        st.builds(
            "{}({})".format, st.sampled_from(["abs", "sqrt", "exp", "log", "floor", "ceil", "round"]), inner
        ),
        st.builds("min({}, {})".format, inner, inner),
        st.builds("({} if {} < {} and not {} == 2 else {})".format, inner, inner, inner, inner, inner),
        st.builds("({}) ** {}".format, inner, st.sampled_from(["2", "-1", "0.5", "3"])),
    ),
    max_leaves=8,
)


@given(numbers, st.lists(st.tuples(*[st.floats(-50, 50)] * 2), min_size=1, max_size=6))
@example("min(x, (7 / y))", [(0.0, 2.2250738585072014e-308)])
def test_an_array_gives_what_each_number_gives_alone(text, rows):
    try:
        expression = SCOPE.compile(text)
    except BadExpression:
        return  # too deep or too long
    arrays = {"x": np.array([r[0] for r in rows]), "y": np.array([r[1] for r in rows])}
    many = expression.numbers({**arrays, "shown gap": np.full(len(rows), 10.0)}, len(rows))
    for row, found in zip(rows, many, strict=True):
        alone = expression.number({"x": row[0], "y": row[1], "shown gap": 10.0})
        rounding = "floor" in text or "ceil" in text or "round" in text or " < " in text or "==" in text
        if rounding and math.isfinite(alone) and abs(alone - found) <= 1.000001:
            continue  # a last digit may tip a step
        assert found == pytest.approx(alone, rel=1e-9, abs=1e-9, nan_ok=True)


def test_costs_about_what_plain_arithmetic_costs():
    expression = SCOPE.compile("(x + y) * 2 - x * y")
    plain = min(
        timeit.repeat(
            lambda: (VALUES["x"] + VALUES["y"]) * 2 - VALUES["x"] * VALUES["y"], number=2000, repeat=5
        )
    )
    ours = min(timeit.repeat(lambda: expression.number(VALUES), number=2000, repeat=5))
    assert ours < 12 * plain
