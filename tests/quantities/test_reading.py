"""Reading quantities: what people type in both languages, what is refused and with which mend."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.quantities import (
    UNITS,
    UnreadableQuantity,
    parse_measured,
    parse_quantity,
    read_quantity,
    said_back,
    unit,
)
from trainer.quantities import dimensions as d

FOOT, INCH = 0.3048, 0.0254  # NIST SP 811, appendix B.8: exact


@pytest.mark.parametrize(
    ("typed", "metres"),
    [
        ("16 ft 4 in", 196 * INCH),
        ("16' 4\"", 196 * INCH),
        ("16'4 1/2\"", 196.5 * INCH),
        ("16’ 4”", 196 * INCH),
        ("16′4½″", 196.5 * INCH),
        ("16'-4\"", 196 * INCH),
        ("16´ 4´´", 196 * INCH),
        ("16 ft and 4 in.", 196 * INCH),
        ("16 ft, 4 in", 196 * INCH),
        ("16' 4", 196 * INCH),
        ("16.33 ft", 16.33 * FOOT),
        ("196 in", 196 * INCH),
        ("4.98 m", 4.98),
        ("498cm", 4.98),
        ("3/8 in", 0.375 * INCH),
        ("⅜ in", 0.375 * INCH),
        ("16 3/8 in", 16.375 * INCH),
        ("16-3/8 in", 16.375 * INCH),
        ("4 m 98 cm", 4.98),
        ("12 pies 3 pulgadas", 147 * INCH),
        ("12 pies con 3 pulg", 147 * INCH),
        ("1 pie", FOOT),
        ("−3 ft", -3 * FOOT),
        ("-16 ft 4 in", -196 * INCH),
        ("１６ ft", 16 * FOOT),
        ("16", 16 * FOOT),
        ("½", 0.5 * FOOT),
    ],
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_lengths_as_people_type_them(typed, metres, language):
    reading = read_quantity(typed, unit("ft"), language)
    assert reading.dimension == d.LENGTH
    assert reading.value == pytest.approx(metres, rel=1e-12)
    assert reading.text == typed


@pytest.mark.parametrize(
    ("typed", "english", "spanish"),
    [
        ("1,200", 1200, 1.2),
        ("1.200", 1.2, 1200),
        ("1 200", 1200, 1200),
        ("1\u202f200", 1200, 1200),
        ("1,200.5", 1200.5, 1200.5),
        ("1.200,5", 1200.5, 1200.5),
        ("1,200,300", 1200300, 1200300),
        ("4,98", 4.98, 4.98),
        ("4.98", 4.98, 4.98),
        ("0,125", 0.125, 0.125),
        ("0.125", 0.125, 0.125),
        (".5", 0.5, 0.5),
        (",5", 0.5, 0.5),
        ("16.", 16, 16),
        ("2e-3", 0.002, 0.002),
        ("+7", 7, 7),
        ("–7", -7, -7),
        ("16 1/2", 16.5, 16.5),
    ],
)
def test_commas_and_points_by_language(typed, english, spanish):
    assert read_quantity(typed, unit("1"), "en").value == pytest.approx(english, rel=1e-12)
    assert read_quantity(typed, unit("1"), "es").value == pytest.approx(spanish, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "key", "value"),
    [
        ("3 seg", "s", 3),
        ("2 min 30 s", "min", 150),
        ("1 h 20", "h", 4800),
        ("35 ms", "ms", 0.035),
        ("5%", "%", 0.05),
        ("5 por ciento", "%", 0.05),
        ("1.5°", "deg", math.radians(1.5)),
        ("1,5 grados", "deg", math.radians(1.5)),
        ("90º", "deg", math.pi / 2),
        ("24V", "V", 24),
        ("30 mA", "mA", 0.03),
        ("4.7 kΩ", "kohm", 4700),
        ("22 µF", "uF", 22e-6),
        ("22 uF", "uF", 22e-6),
        ("12 pulses/ft", "pulses/ft", 12 / FOOT),
        ("12 pulsos por pie", "pulses/ft", 12 / FOOT),
        ("90 ft/min", "ft/min", 90 * FOOT / 60),
        ("90 pies por minuto", "ft/min", 90 * FOOT / 60),
        ("12x", "x", 12),
        ("12×", "x", 12),
        ("12 veces", "x", 12),
        ("185 pulsos", "pulses", 185),
        ("$12.50", "usd", 12.5),
        ("12.50 dollars", "usd", 12.5),
        ("3 gal", "gal", 3 * 231 * INCH**3),
        ("10.35 ohm/kft", "ohm/kft", 10.35 / 304.8),
    ],
)
def test_other_units(typed, key, value):
    reading = read_quantity(typed, unit("ft"), "en")
    assert reading.unit.key == key
    assert reading.dimension == unit(key).dimension
    assert reading.value == pytest.approx(value, rel=1e-12)


def test_the_same_length_in_two_units_is_the_same_number():
    typed = ["12 ft", "144 in", "12", "12' 0\"", "365.76 cm", "3.6576 m", "4 yards"]
    assert {read_quantity(one, unit("ft"), "en").value for one in typed} == {3.6576}


def test_a_bare_number_is_taken_in_the_asked_unit_and_says_so():
    reading = read_quantity("16.33", unit("ft"), "en")
    assert reading.unit is None
    assert reading.value == pytest.approx(16.33 * FOOT)
    assert read_quantity("5", unit("%"), "en").value == 0.05


REFUSED = [
    ("16 ft 33 in",
     "I read that as 16 ft 33 in. There are 12 inches in a foot; if you meant 16.33 ft, type 16.33 ft.",
     "Leí eso como 16 pies 33 pulg. Un pie tiene 12 pulgadas; si quisiste decir 16,33 pies, escribe 16,33 pies."),
    ("2 min 75 s", "if you meant 2.75 min, type 2.75 min.", "si quisiste decir 2,75 min"),
    ("16 ft 12 1/2 in", "type fewer inches, or inches alone.", "escribe menos pulgadas"),
    ("16.5 ft 4 in", "the number of feet must be whole.", "el número de pies debe ser entero"),
    ("11-10 1/2", "For feet and inches type 11 ft 10 1/2 in", "escribe 11 pies 10 1/2 pulg"),
    ("16 4", "For feet and inches type 16 ft 4 in", "escribe 16 pies 4 pulg"),
    ("", "There is no answer yet.", "Todavía no hay respuesta."),
    ("  \n", "There is no answer yet.", "Todavía no hay respuesta."),
    ("foo", "I find no number", "No encuentro un número"),
    ("12 parsnips", "I know no unit “parsnips”. Type it as 12.5 ft.", "Escríbelo como 12,5 pies."),
    ("1/0", "The bottom of a fraction cannot be 0.", "no puede tener 0 abajo"),
    ("1.2.3", "Use one decimal point", "una sola coma"),
    ("1,20,3", "Use one decimal point", "una sola coma"),
    ("1e400", "not a number", "no es un número"),
    ("9" * 40, "too large", "demasiado grande"),
    ("9" * 61, "longer than 60", "más de 60"),
    ("4 m 5", "I know no unit", "No conozco"),
    ("16 ft 4 s", "I know no unit", "No conozco"),
    ("5 MV", "I know no unit", "No conozco"),
    ("nan", "I find no number", "No encuentro"),
    ("inf ft", "I find no number", "No encuentro"),
    ("1 degC", "I know no unit", "No conozco"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "english", "spanish"), REFUSED, ids=[row[0][:20] for row in REFUSED])
def test_refusals_say_what_was_read_and_the_mend_in_both_languages(typed, english, spanish):
    with pytest.raises(UnreadableQuantity) as caught:
        read_quantity(typed, unit("ft"), "en")
    assert english in caught.value.sentence("en")
    assert spanish in caught.value.sentence("es")
    assert str(caught.value) == caught.value.sentence("en")
    with pytest.raises(UnreadableQuantity) as again:
        read_quantity(typed, unit("ft"), "es")
    assert str(again.value) == again.value.sentence("es") == caught.value.sentence("es")
    assert caught.value.wrong
    assert caught.value.mend


@given(
    st.text(max_size=70)
    | st.text("0123456789.,/' \"-+%°$eftinmscpulg½″′−x", max_size=25)
    | st.tuples(st.from_regex(r"[0-9]{1,4}[.,/ '-]?[0-9]{0,3}", fullmatch=True), st.text(max_size=12)).map(
        "".join
    ),
    st.sampled_from(sorted(UNITS)),
    st.sampled_from(["en", "es"]),
)
@settings(max_examples=400)
def test_any_text_is_read_or_refused(text, key, language):
    try:
        reading = read_quantity(text, unit(key), language)
    except UnreadableQuantity as refusal:
        assert refusal.sentence("en")
        assert refusal.sentence("es")
    else:
        assert math.isfinite(reading.value)
        assert said_back(reading, language)


@pytest.mark.parametrize(
    ("written", "key", "value"),
    [
        ("10 in", "in", 0.254),
        ("2 %", "%", 0.02),
        ("9 in/s", "in/s", 0.2286),
        ("12 pulses/ft", "pulses/ft", 12 / FOOT),
        ("12 1/ft", "pulses/ft", 12 / FOOT),
        ("3", "1", 3),
        ("-0.5", "1", -0.5),
        ("24V", "V", 24),
        ("6in", "in", 6 * INCH),
        ("1.5deg", "deg", math.radians(1.5)),
        ("6.4 ohm/mile", "ohm/mile", 6.4 / (5280 * FOOT)),
    ],
)
def test_quantities_of_files(written, key, value):
    found, one = parse_quantity(written)
    assert one.key == key
    assert found == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "written",
    ["", "in", "1,5 in", "1 200 in", "10 zorps", "1e999", "16 ft 4 in", "5 degC", "x" * 61, "nan", "1 m**99"],
)
def test_files_are_read_strictly(written):
    with pytest.raises(UnreadableQuantity):
        parse_quantity(written)


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("11 ft 10 1/2 in", 142.5),
        ("11' 10 1/2\"", 142.5),
        ("11'-10 1/2\"", 142.5),
        ("11 ft 10-1/2 in", 142.5),
        ("11ft10.5in", 142.5),
        ("11 pies 10 1/2 pulg", 142.5),
        ("11 ft 10 ½ in", 142.5),
        ("-2 ft 3 in", -27),
        ("10 1/2 in", 10.5),
        ('3/8"', 0.375),
        ("142.5 in", 142.5),
    ],
)
def test_what_a_tape_says_is_read_in_a_site_sheet(written, inches):
    value, one = parse_measured(written)
    assert value == pytest.approx(inches * INCH, rel=1e-12)
    assert one.dimension == UNITS["in"].dimension


@pytest.mark.parametrize(
    "written",
    [
        "11 ft 33 in",
        "11.5 ft 4 in",
        "1,200 in",
        "1 200 in",
        "11 m 10 in",
        "4 ft 1/0 in",
        "11 ft 10",
        "1/2 ft",
    ],
)
def test_what_no_tape_says_is_refused_in_a_site_sheet(written):
    with pytest.raises(UnreadableQuantity):
        parse_measured(written)


@given(
    st.text(max_size=70)
    | st.tuples(st.integers(), st.text("mskft/*^-129 (_)", max_size=12)).map(lambda p: f"{p[0]} {p[1]}")
)
@settings(deadline=None)
def test_any_file_text_is_read_or_refused(text):
    try:
        value, _ = parse_quantity(text)
    except UnreadableQuantity:
        return
    assert math.isfinite(value)
    assert parse_measured(text)[0] == value


@pytest.mark.parametrize(
    ("typed", "asked", "language", "said"),
    [
        ("16' 4\"", "ft", "en", "16 ft 4 in (16.33 ft)"),
        ("16' 4 1/2\"", "ft", "en", "16 ft 4 1/2 in (16.38 ft)"),
        ("196 in", "ft", "en", "196 in (16.33 ft)"),
        ("16.33", "ft", "en", "16.33 ft"),
        ("1234.56", "ft", "en", "1,234.56 ft"),
        ("16.33", "ft", "es", "16,33 pies"),
        ("12.34567 m", "m", "en", "12.34567 m"),
        ("5 s", "ft", "en", "5 s"),
        ("185", "1", "en", "185"),
        ("185 pulses", "1", "es", "185 pulsos"),
        ("$12.5", "usd", "en", "$12.50"),
    ],
)
def test_said_back_keeps_every_typed_figure(typed, asked, language, said):
    assert said_back(read_quantity(typed, unit(asked), language), language).replace("\u00a0", " ") == said
