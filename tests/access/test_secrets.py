import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.access.secrets import BAD_PASSWORDS, password_faults, pin_faults, sign_in_name_faults


@pytest.mark.parametrize(
    ("password", "faults"),
    [
        ("plumb bob and line", ()),
        ("nine char", ("password.short",)),
        ("ten chars!", ()),
        ("password123", ("password.well_known",)),
        ("PassWord123", ("password.well_known",)),
        ("aaaaaaaaaaaa", ("password.well_known",)),
        ("ana.ruiz.2026", ("password.own_name",)),
        ("ana sees a beam", ()),
        ("ana.ruiz12", ("password.own_name",)),
        ("Ana Ruiz 99", ("password.own_name",)),
        ("x" * 3 + "y" * 3 + "z" * 3 + "w" * 192, ("password.long",)),
    ],
)
def test_length_counts_and_what_everybody_tries_does_not_pass(password, faults):
    assert password_faults(password, "ana.ruiz", "Ana Ruiz") == faults


@given(st.text(alphabet=st.characters(categories=("Ll", "Zs")), min_size=12, max_size=40))
def test_no_mixture_of_kinds_of_letters_is_asked(password):
    # NIST SP 800-63B advises against composition rules; lower-case letters alone are enough.
    faults = password_faults(password, "nobody", "Nobody Here")
    assert set(faults) <= {"password.well_known"}


def test_every_password_of_the_list_would_pass_by_its_length():
    assert all(len(password) >= 10 and password == password.casefold() for password in BAD_PASSWORDS)


@pytest.mark.parametrize(
    ("pin", "faults"),
    [
        ("482915", ()),
        ("4829", ("pin.not_six_digits",)),
        ("48291x", ("pin.not_six_digits",)),
        ("٤٨٢٩١٥", ("pin.not_six_digits",)),
        ("000000", ("pin.in_a_row",)),
        ("123456", ("pin.in_a_row",)),
        ("654321", ("pin.in_a_row",)),
        ("123123", ("pin.repeated",)),
        ("474747", ("pin.repeated",)),
        ("198503", ("pin.like_a_date",)),
        ("041985", ("pin.like_a_date",)),
    ],
)
def test_a_pin_is_six_digits_that_are_not_tried_first(pin, faults):
    assert pin_faults(pin) == faults


def test_most_pins_are_left():
    # Years take 100 of 10,000 beginnings and as many ends, repeats 1 in 1,000 and 1 in 10,000: about 98 % stay.
    tried = range(7, 1_000_000, 101)
    left = sum(not pin_faults(f"{number:06d}") for number in tried)
    assert left / len(tried) == pytest.approx(0.979, abs=0.005)


@pytest.mark.parametrize(
    ("name", "fine"), [("ana.ruiz", True), ("Ana.Ruiz", True), ("a", False), ("ana ruiz", False)]
)
def test_a_sign_in_name_has_no_spaces(name, fine):
    assert (sign_in_name_faults(name) == ()) is fine
