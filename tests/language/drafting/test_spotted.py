"""Numbers in a text as people write it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.language.drafting.spotted import range_around, spotted, usual_name
from trainer.quantities.reading import parse_quantity
from trainer.sites import demo_sheet, site_values

SITE = site_values(demo_sheet())


def found(text, language="en"):
    return [(one.written, one.unit.key) for one in spotted(text, SITE, language)]


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("180 pulses at 12 pulses per foot.", [("180 pulses", "pulses"), ("12 pulses per foot", "pulses/ft")]),
        ("A car 16 ft 4 in long at 45 feet per minute", [("16 ft 4 in", "ft in"), ("45 feet per minute", "ft/min")]),
        ("past 1 1/2 in of gap, 0.5 s later, at 30%", [("1 1/2 in", "in"), ("0.5 s", "s"), ("30%", "%")]),
        ("{{ pulses }} and {{ 3 * foot }} and 2 bays", [("2", "1")]),
        ("no number; B52s and v1.2.3 are names", []),
    ],
    ids=["pulses", "tape", "fraction", "inserts", "none"],
)  # fmt: skip
def test_numbers_with_their_units(text, numbers):
    assert found(text) == numbers


def test_spanish_units():
    assert found("El ojo queda cortado 3 pies y 2 segundos.", "es") == [("3 pies", "ft"), ("2 segundos", "s")]


def test_a_value_of_the_site_sheet_is_known_again():
    [one] = spotted("The chain runs at 45 ft/min.", SITE)
    assert one.matches == ("chain_speed",)
    [other] = spotted("The chain runs at 60 ft/min.", SITE)
    assert (other.matches, other.others) == ((), ("chain_speed",))


def test_a_count_is_offered_no_share_of_the_sheet():
    [one] = spotted("180 pulses", SITE)
    assert one.matches == one.others == ()


@given(
    st.floats(0.01, 5000).map(lambda x: float(f"{x:.3g}")), st.sampled_from(["in", "ft", "s", "V", "%", ""])
)
def test_the_first_range_holds_the_number_and_can_be_written(number, unit):
    text = f"{number:.10g} {unit}".strip()
    [one] = spotted(text, SITE)
    offer = range_around(one)
    first, last, step = (parse_quantity(part)[0] for part in (offer.first, offer.last, offer.step))
    assert 0 < first < last and step > 0
    assert first - step <= one.value <= last + step
    count = (last - first) / step
    assert abs(count - round(count)) < 1e-6 and count <= 40


def test_names_are_those_of_the_unit_and_never_twice():
    [first, second] = spotted("140 pulses and 150 pulses", SITE)
    text = "140 pulses and 150 pulses"
    assert usual_name(first, text, frozenset()) == "pulses"
    assert usual_name(second, text, frozenset({"pulses"})) == "pulses_2"
