"""Units: every factor against pint, partners and usual units, and the cost of loading them."""

import re
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.quantities import UNITS, partner, unit, usual_unit
from trainer.quantities import dimensions as d
from trainer.quantities.compound import compound_unit, registry
from trainer.quantities.spellings import find_unit, spellings

# Our key to pint's name where they differ. A pulse and a car are counted: `count` is pint's plain number.
PINT = {
    "1": "dimensionless", "%": "percent", "x": "dimensionless", "pulses": "count", "cars": "count",
    "ft in": "ft", "ft in 1/16": "ft", "in2": "in**2", "ft2": "ft**2", "m2": "m**2", "cm2": "cm**2", "m3": "m**3",
    "kohm": "kiloohm", "Mohm": "megaohm", "per_year": "1/year", "d": "day", "kft": "kilofoot",
    "week": "week", "in": "inch", "in/s": "inch/s", "in/min": "inch/min",
}  # fmt: skip


def pint_name(key):
    if key in PINT:
        return PINT[key]
    key = re.sub("^pulses|^cars", "count", key)
    return re.sub("/in$", "/inch", key.replace("/kft", "/kilofoot").replace("/d", "/day"))


@pytest.mark.parametrize("key", sorted(UNITS))
def test_factor_and_dimension_agree_with_pint(key):
    ours = unit(key)
    theirs = registry().Quantity(1.0, registry().parse_units(pint_name(key))).to_base_units()
    assert ours.factor == pytest.approx(float(theirs.magnitude), rel=1e-12)
    lengths = {"[length]": 0, "[time]": 1, "[mass]": 2, "[current]": 3, "[temperature]": 4, "[money]": 6}
    powers = {lengths[name]: power for name, power in theirs.dimensionality.items()}
    assert {i: p for i, p in enumerate(ours.dimension.powers) if p and i != 5} == powers


def test_an_angle_is_a_dimension_of_its_own():
    assert unit("deg").dimension == unit("rad").dimension == d.ANGLE != d.PLAIN


@pytest.mark.parametrize("key", sorted(UNITS))
def test_every_unit_has_both_languages_and_a_partner_of_the_same_dimension(key):
    one = unit(key)
    for system in ("us", "metric"):
        other = partner(one, system)
        assert other.dimension == one.dimension
        assert other.system in (None, system)
    if key != "1":
        assert all((names.symbol and names.one and names.many) for names in (one.en, one.es))


@pytest.mark.parametrize(
    ("us", "metric"),
    [
        ("ft", "m"), ("in", "cm"), ("ft/min", "m/min"), ("in/s", "cm/s"), ("gal", "L"), ("gal/min", "L/min"),
        ("ohm/kft", "ohm/km"), ("pulses/ft", "pulses/m"), ("ft2", "m2"),
    ],
)  # fmt: skip
def test_partners_go_both_ways(us, metric):
    assert partner(unit(us), "metric") == unit(metric)
    assert partner(unit(metric), "us") == unit(us)


@pytest.mark.parametrize("key", ["s", "ms", "V", "ohm", "%", "deg", "1", "x", "usd", "Hz", "uF"])
def test_units_of_both_systems_stay(key):
    assert partner(unit(key), "metric") is partner(unit(key), "us") is unit(key)


@pytest.mark.parametrize(
    ("dimension", "value", "us", "metric"),
    [
        (d.LENGTH, 3 * 0.3048, "ft", "cm"),
        (d.LENGTH, 2.99 * 0.3048, "in", "cm"),
        (d.LENGTH, 1.0, "ft", "m"),
        (d.LENGTH, 0.004, "in", "mm"),
        (d.TIME, 1.5, "s", "s"),
        (d.TIME, 0.02, "ms", "ms"),
        (d.SPEED, 0.2, "ft/min", "m/min"),
        (d.PER_LENGTH, 39.37, "pulses/ft", "pulses/m"),
        (d.RESISTANCE_PER_LENGTH, 0.02, "ohm/kft", "ohm/km"),
        (d.PLAIN, 0.5, "1", "1"),
        (d.ANGLE, 0.02, "deg", "deg"),
        (d.CURRENT, 0.03, "mA", "mA"),
    ],
)
def test_usual_units(dimension, value, us, metric):
    assert usual_unit(dimension, value, "us").key == us
    assert usual_unit(dimension, value, "metric").key == metric


@given(st.tuples(*[st.integers(-4, 4)] * 7), st.floats(-1e9, 1e9), st.sampled_from(["us", "metric"]))
def test_any_dimension_has_a_usual_unit(powers, value, system):
    dimension = d.PLAIN
    for name, power in zip(d.BASES, powers, strict=True):
        dimension = dimension * d.base(name) ** power
    assert usual_unit(dimension, value, system).dimension == dimension
    assert dimension.words("en")
    assert dimension.words("es")


def test_words_of_dimensions():
    assert (d.LENGTH.words("en"), d.LENGTH.words("es")) == ("a length", "una longitud")
    assert (d.LENGTH / d.TIME**2).words("en") == "a quantity in m/s²"
    assert d.VOLTAGE / d.CURRENT == d.RESISTANCE
    assert d.RESISTANCE * d.CAPACITANCE == d.TIME
    assert hash(d.SPEED * d.TIME) == hash(d.LENGTH)


@pytest.mark.parametrize("key", sorted(set(UNITS) - {"1", "ft in", "ft in 1/16"}))
def test_every_spelling_finds_its_own_unit(key):
    for spelling in spellings(unit(key)):
        found = find_unit(spelling)
        assert (found.dimension, found.factor) == (unit(key).dimension, unit(key).factor), spelling


@pytest.mark.parametrize(("written", "key"), [("FEET", "ft"), ("Pulg", "in"), ("pie", "ft"), ("Ω", "ohm"),
                                              ("µF", "uF"), ("pies/min", "ft/min"), ("fpm", "ft/min"),
                                              ("pulsos por pie", "pulses/ft"), ("ano", "year")])  # fmt: skip
def test_spellings_of_both_languages(written, key):
    assert find_unit(written).key == key


@pytest.mark.parametrize("written", ["MV", "mohm", "parsnips", "", "ft in", "1"])
def test_what_is_no_unit_or_wrong_by_a_million_is_not_found(written):
    assert find_unit(written) is None


@pytest.mark.parametrize(
    ("written", "dimension"),
    [
        ("ohm/mile", d.RESISTANCE_PER_LENGTH),
        ("1/furlong", d.PER_LENGTH),
        ("deg/s", d.ANGLE / d.TIME),
        ("m/s**2", d.LENGTH / d.TIME**2),
        ("usd/acre", d.MONEY / d.AREA),
    ],
)
def test_compound_units_come_from_pint(written, dimension):
    assert compound_unit(written).dimension == dimension


@pytest.mark.parametrize(
    "written", ["degC", "m**99", "m**9**9", "__import__", "1e9", "m/", "(m)", "zorp", "m" * 60, "x.y", "1/"]
)
def test_what_is_no_safe_compound_unit_is_none(written):
    assert compound_unit(written) is None


def test_neither_loading_nor_daily_use_loads_pint():
    code = (
        "import sys; from trainer.quantities import *\n"
        "r = read_quantity(\"16' 4\", unit('ft'), 'es'); said_back(r, 'es'); parse_quantity('12 pulses/ft')\n"
        "print(write_quantity(round_shown(r.value, unit('m')), unit('m'), 'en'), 'pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "4.978\u00a0m False\n"


@pytest.mark.parametrize("written", ["U", "mol", "cd", "mol/s", "pixel", "lm"])
def test_what_nothing_on_a_wash_is_measured_in_is_no_unit(written):
    assert compound_unit(written) is None
