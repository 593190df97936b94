"""The checks themselves: what they let pass, what they refuse, and that they hand back what they checked."""

import math

import numpy as np
import pytest

from trainer.solver import numbers
from trainer.solver.numbers import BadInput, Told, as_floats, require, shape_of

LEAST = 5e-324  # the least float above 0
HALF_PI = math.nextafter(math.pi / 2, 0)
BELOW_ONE, ABOVE_ONE = math.nextafter(1, 0), math.nextafter(1, 2)

# Check, further arguments, what passes, what is refused, the words.
CHECKS = [
    (numbers.require_finite, (), [0.0, -1e308, 1e308], [math.inf, -math.inf], "finite"),
    (numbers.require_above_zero, ("m",), [LEAST, 1e308], [0.0, -LEAST, math.inf], "finite and above 0 m"),
    (numbers.require_above_zero, (), [LEAST], [0.0], "finite and above 0"),
    (numbers.require_from_zero, ("s",), [0.0, 1e308], [-LEAST, math.inf], "finite and 0 s or more"),
    (numbers.require_from_zero, (), [0.0], [-1.0], "finite and 0 or more"),
    (numbers.require_between, (2, 3, "2 to 3"), [2.0, 2.5, 3.0], [1.999, 3.001, math.inf], "2 to 3"),
    (numbers.require_share, (), [0.0, 1.0], [-LEAST, ABOVE_ONE], "from 0 to 1"),
    (numbers.require_part, (), [0.0, BELOW_ONE], [-LEAST, 1.0], "a share from 0 to below 1"),
    (numbers.require_above_one, (), [ABOVE_ONE, 1e308], [1.0, 0.5, math.inf], "finite and above 1"),
    (numbers.require_whole, (), [1.0, 2.0, 1e300], [0.0, 1.5, math.inf], "a whole number from 1"),
    (numbers.require_whole, (0,), [0.0, 7.0], [-1.0, 0.5], "a whole number from 0"),
    (numbers.require_acute, (), [LEAST, HALF_PI], [0.0, math.pi / 2], "above 0 and below pi/2 rad"),
]  # fmt: skip


@pytest.mark.parametrize(("check", "more", "passes", "refused", "words"), CHECKS)
def test_a_check_gives_back_what_passes_and_says_what_does_not(check, more, passes, refused, words):
    for value in passes:
        assert check("x", value, *more).tolist() == value
    many = check("x", np.array([passes, passes]), *more)
    assert many.dtype == np.float64 and many.tolist() == [passes, passes]
    for value in (*refused, math.nan):
        for given in (value, np.array([passes[0], value])):
            with pytest.raises(BadInput) as bad:
                check("x", given, *more)
            assert str(bad.value) == f"x is {value:g}; it must be {words}"
    with pytest.raises(BadInput, match=r"^x is 'many'; it must be a number$"):
        check("x", "many", *more)


def test_the_first_bad_value_of_an_array_is_named_and_kept():
    with pytest.raises(BadInput) as bad:
        require("at", np.array([0.0, 9.0, 8.0]), np.array([True, False, False]), "from 0 m to span")
    assert str(bad.value) == "at is 9; it must be from 0 m to span"
    assert (bad.value.name, bad.value.was, bad.value.allowed) == ("at", 9.0, "from 0 m to span")


def test_a_condition_may_have_more_elements_than_the_value():
    with pytest.raises(BadInput, match=r"^at is 2; it must be below all$"):
        require("at", 2.0, np.array([True, False]), "below all")
    assert require("at", 2.0, np.array([True, True]), "below all").shape == ()


def test_what_people_wrote_is_quoted_and_what_we_say_is_not():
    assert str(BadInput("code", "IP", "a code")) == "code is 'IP'; it must be a code"
    assert str(BadInput("list", Told("a list of 3"), "shorter")) == "list is a list of 3; it must be shorter"
    assert str(BadInput("list", [1, 2], "shorter")) == "list is [1, 2]; it must be shorter"
    assert str(BadInput("x", None, "given")) == "x is None; it must be given"
    assert shape_of(np.zeros((2, 3))) == "an array of shape [2, 3]"


def test_what_is_no_number_stays_in_the_refusal():
    with pytest.raises(BadInput, match=r"^x is 'many'; it must be a number$"):
        require("x", "many", True, "anything")
    with pytest.raises(BadInput) as bad:
        as_floats("x", [1, "two"])
    assert (bad.value.name, bad.value.was, bad.value.allowed) == ("x", [1, "two"], "a number")
    assert as_floats("x", [1, 2]).dtype == np.float64


def test_a_word_is_one_of_the_list():
    numbers.require_one_of("logic", "or", ("and", "or"))
    with pytest.raises(BadInput, match=r"^logic is 'xor'; it must be one of and, or$"):
        numbers.require_one_of("logic", "xor", ("and", "or"))


def test_alike_gives_all_the_same_shape():
    one, other = numbers.alike(np.array([[1.0], [2.0]]), np.array([3.0, 4.0]))
    assert (one.tolist(), other.tolist()) == ([[1, 1], [2, 2]], [[3, 4], [3, 4]])
    assert [isinstance(value, float) for value in numbers.alike(1.0, 2.0)] == [True, True]
