"""Attacks on the grammar of expressions: everything but plain arithmetic is refused, and at once."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.language.names import Name, Scope
from trainer.language.syntax import LONGEST, BadExpression
from trainer.quantities.dimensions import LENGTH, PLAIN

SCOPE = Scope(
    {"a": Name("a", PLAIN, None), "b": Name("b", PLAIN, None), "length": Name("length", LENGTH, None)}
)

ATTACKS = {
    "tower": "9**9**9**9",
    "tower in brackets": "(9**8)**(9**8)",
    "large exponent": "2**9",
    "negative exponent": "2**-9",
    "computed exponent": "2**(4+4)",
    "named exponent": "2**a",
    "exponent of signs": "2**--8",
    "long digits": "9" * 380,
    "infinite literal": "1e400",
    "large literal": "1e13",
    "text": "'a'*9",
    "double quotes": '"a"',
    "f-string": "f'{a}'",
    "bytes": "b'a'",
    "format": "'{:>999999999}'.format(a)",
    "percent format": "'%999999999d' % a",
    "range": "range(10)",
    "list": "[1, 2]",
    "tuple": "(1, 2)",
    "bare tuple": "1, 2",
    "set": "{1, 2}",
    "dict": "{1: 2}",
    "comprehension": "[a for a in b]",
    "generator": "sum(a for a in b)",
    "lambda": "lambda: 1",
    "walrus": "(a := 1)",
    "assignment": "a = 1",
    "attribute": "a.real",
    "attribute of number": "(1).real",
    "class": "().__class__",
    "dunder name": "__import__",
    "dunder call": "__import__('os')",
    "underscore": "_a",
    "subscript": "a[0]",
    "slice": "a[0:1]",
    "star": "max(*a)",
    "double star": "max(**a)",
    "await": "await a",
    "yield": "(yield a)",
    "call of call": "max(1, 2)(3)",
    "call of number": "1(2)",
    "unknown call": "open(a)",
    "eval": "eval(a)",
    "imaginary": "3j",
    "hexadecimal": "0xff",
    "underscored number": "1_000",
    "octal": "0777",
    "true": "True",
    "none": "None",
    "ellipsis": "...",
    "modulo": "a % b",
    "floor division": "a // b",
    "matrix product": "a @ b",
    "shift": "a << 2",
    "bits": "a | b",
    "invert": "~a",
    "is": "a is b",
    "in": "a in b",
    "statement": "import os",
    "two lines": "a\nb",
    "comment": "a # b",
    "semicolon": "a; b",
    "backslash": "a \\\n + b",
    "null byte": "a\0",
    "escape": "\x1b[0m",
    "look-alike": "\uff41 + 1",
    "cyrillic": "\u0430 + 1",
    "superscript": "a\u00b2",
    "zero width": "a\u200b + 1",
    "nested brackets": "(" * 1000 + "1" + ")" * 1000,
    "nested within length": "(" * 190 + "1" + ")" * 190,
    "open brackets": "(" * 300,
    "signs": "-" * 390 + "1",
    "nots": "not " * 90 + "a > b",
    "ifs": "1 if a > b else " * 25 + "1",
    "long sum": "+".join(["a"] * 190),
    "very long": "a+" * 100_000 + "a",
    "empty": "",
    "blank": "   ",
}


@pytest.mark.parametrize("text", ATTACKS.values(), ids=ATTACKS.keys())
def test_refuses_what_is_not_arithmetic(text):
    started = time.perf_counter()
    with pytest.raises(BadExpression) as refused:
        SCOPE.compile(text)
    assert time.perf_counter() - started < 0.5
    assert refused.value.wrong and refused.value.mend
    assert 0 <= refused.value.column <= max(len(text), LONGEST)


@given(st.text(max_size=60))
def test_any_text_is_an_expression_or_is_refused(text):
    try:
        found = SCOPE.compile(text)
    except BadExpression:
        return
    assert found.names <= {"a", "b", "length", "shown a"}


PARTS = ["a", "b", "length", "inch", "2", "0", "1.5", "max", "sqrt", "shown", "beam_height", "low"]
SIGNS = [
    "+",
    "-",
    "*",
    "/",
    "**",
    "(",
    ")",
    "<",
    ">",
    "==",
    ",",
    "and",
    "or",
    "not",
    "if",
    "else",
    "lambda",
    ".",
    "=",
]


@given(st.lists(st.sampled_from(PARTS + SIGNS), max_size=25))
def test_any_row_of_words_is_an_expression_or_is_refused(words):
    try:
        found = SCOPE.compile(" ".join(words))
    except BadExpression:
        return
    value = found.number({"a": 2.0, "b": -3.0, "length": 0.5, "shown a": 2.0})
    assert isinstance(value, float | bool)
