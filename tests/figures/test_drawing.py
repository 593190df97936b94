"""Every figure draws, typical and extreme, in both languages, systems and themes; it says itself; it is one SVG."""

import itertools
import math
import re
import subprocess
import sys
from functools import cache
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.ranges import RANGES, numbers
from trainer.figures import FIGURES, describe, draw_svg
from trainer.figures.drawing import draw_on_paper
from trainer.figures.given import Given
from trainer.quantities import usual_unit, write_quantity

SVG = "{http://www.w3.org/2000/svg}"
LANGUAGES, SYSTEMS, THEMES = ("en", "es"), ("us", "metric"), ("light", "dark")


def drawn(name, values, language="en", system="us", theme="light"):
    return ElementTree.fromstring(draw_svg(name, values, theme=theme, language=language, system=system))


@cache
def typical(name):
    """A figure's SVG from typical numbers."""
    return draw_svg(name, numbers(name), theme="light", language="en", system="us")


def on_paper(name, values, language="en", system="us", theme="light"):
    figure = FIGURES[name]
    given_numbers = Given(values, {**figure.inputs, **figure.optional}, language, system)
    return draw_on_paper(given_numbers, name, theme)


def texts(svg):
    return [one.text for one in svg.iter(f"{SVG}text")]


def test_the_ranges_name_every_figure_and_every_input():
    assert set(RANGES) == set(FIGURES)
    for name, row in RANGES.items():
        assert set(row) == set(FIGURES[name].inputs), name


@pytest.mark.parametrize("name", FIGURES)
@pytest.mark.parametrize(
    ("language", "system", "theme"), [("en", "us", "light"), ("es", "metric", "dark"), ("es", "us", "light")]
)
def test_every_figure_is_one_svg_with_title_and_description_and_text_as_text(name, language, system, theme):
    svg = drawn(name, numbers(name), language, system, theme)
    said = describe(name, numbers(name), language, system)
    assert svg.tag == f"{SVG}svg"
    assert svg.find(f"{SVG}title").text == said.title
    assert svg.find(f"{SVG}desc").text == said.text
    assert svg.get("width") == "360"
    assert texts(svg)


@pytest.mark.parametrize("name", FIGURES)
def test_both_languages_say_it_and_each_in_its_own_words(name):
    english, spanish = (describe(name, numbers(name), language, "us") for language in LANGUAGES)
    assert english.title and english.text and spanish.title and spanish.text
    assert english.title != spanish.title
    assert english.text != spanish.text


@pytest.mark.parametrize("name", [name for name in FIGURES if RANGES[name]])
@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_given_number_is_written_as_the_reader_writes_it(name, language, system):
    written = " ".join(texts(drawn(name, numbers(name), language, system)))
    unit_texts = described_numbers(name, language, system)
    for forms in unit_texts.values():
        assert any(form in written for form in forms), (forms, written)


def described_numbers(name, language, system):
    """Each number in its usual unit, or in inches or feet a second, where a figure prefers those."""
    found = {}
    for key, value in numbers(name).items():
        dimension = FIGURES[name].inputs[key]
        units = [usual_unit(dimension, value, system)]
        if system == "us":
            units += [usual_unit(dimension, 0.01, "us")]
        forms = [write_quantity(value, unit, language) for unit in units]
        if key == "speed" and name == "walker_and_nose":
            forms += ["3.5\xa0ft/s", "3,5\xa0pies/s", "1.067\xa0m/s", "1,067\xa0m/s"]
        if key.endswith("gain"):
            forms += [f"{form}×" for form in forms]
        found[key] = forms + [form.replace("in", "pulg") for form in forms]
    return found


@pytest.mark.parametrize("name", [name for name in FIGURES if RANGES[name]])
def test_a_hidden_number_is_drawn_but_not_told(name):
    key = next(iter(numbers(name)))
    plain, hidden = (drawn(name, numbers(name) | extra) for extra in ({}, {f"hide_{key}": 1.0}))
    said = describe(name, numbers(name) | {f"hide_{key}": 1.0}, "en", "us")
    assert "?" in " ".join(texts(hidden))
    assert set(texts(hidden)) != set(texts(plain))
    assert "?" in said.text


@pytest.mark.parametrize("name", FIGURES)
def test_the_same_numbers_give_the_same_drawing(name):
    again = draw_svg(name, numbers(name), theme="light", language="en", system="us")
    assert again == typical(name)


@pytest.mark.parametrize("name", FIGURES)
def test_a_drawing_paints_no_background_and_loads_nothing(name):
    text = typical(name)
    assert not re.search(r'(href|src)="(?!#)', text)
    assert "<script" not in text
    assert "DOCTYPE" not in text
    assert "fill: #ffffff" not in text


@pytest.mark.parametrize("name", FIGURES)
def test_letters_are_at_least_twelve_pixels_on_a_narrow_phone(name):
    text = typical(name)
    sizes = [float(size) for size in re.findall(r"font-size: ([0-9.]+)px", text)]
    assert sizes
    assert min(sizes) >= 12


def crowding(paper):
    """Pairs of texts that overlap, and texts that leave the sheet."""
    pairs = itertools.combinations(paper.texts, 2)
    overlapping = [(a, b) for (one, a), (other, b) in pairs if one.overlap(other) > 1]
    outside = [text for box, text in paper.texts if box.left < -0.5 or box.right > 360.5]
    return overlapping, outside


@pytest.mark.parametrize("name", FIGURES)
@pytest.mark.parametrize(("language", "system"), [("en", "us"), ("es", "us"), ("es", "metric")])
@pytest.mark.parametrize("which", [0, 1, 2])
def test_no_text_overlaps_another_or_leaves_the_sheet(name, language, system, which):
    assert crowding(on_paper(name, numbers(name, which), language, system)) == ([], [])


@pytest.mark.parametrize("name", [name for name in FIGURES if len(RANGES[name]) > 1])
@settings(max_examples=5)
@given(data=st.data())
def test_any_mixture_of_extremes_draws_without_overlap(name, data):
    which = {key: data.draw(st.sampled_from([0, 1, 2]), label=key) for key in RANGES[name]}
    language, system = data.draw(st.sampled_from(LANGUAGES)), data.draw(st.sampled_from(SYSTEMS))
    assert crowding(on_paper(name, numbers(name, which), language, system)) == ([], [])


def test_a_number_that_the_site_lacks_gives_a_drawing_that_says_so():
    svg = drawn("slanted_beam", {"low": math.nan, "high": 1.0, "span": 3.0})
    assert texts(svg) == ["The site sheet lacks a number", "that this drawing needs."]


def test_a_missing_or_an_unknown_number_is_refused():
    with pytest.raises(KeyError, match="span"):
        drawn("slanted_beam", {"low": 0.1, "high": 1.0})
    with pytest.raises(KeyError, match="wide"):
        drawn("slanted_beam", {"low": 0.1, "high": 1.0, "span": 3.0, "wide": 1.0})


def test_naming_and_saying_figures_loads_no_drawing_library():
    code = (
        "import sys; from trainer.figures import FIGURES, describe; "
        "describe('slanted_beam', {'low': 0.15, 'high': 0.76, 'span': 3.66}, 'es', 'metric'); "
        "import trainer.language.question_files; "
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_over_an_open_bed_the_eye_below_the_rail_is_blocked_and_the_one_above_it_is_clear():
    # The bed's rails stand 1.38 m high in the solver's pickup, its roof 1.90 m.
    said = describe("two_eyes_bed", {"low": 1.0, "high": 1.5}, "en", "us").text
    assert said.endswith("the first is blocked and the second clear.")
    said = describe("two_eyes_bed", {"low": 1.0, "high": 1.3}, "es", "metric").text
    assert said.endswith("el primero está cortado y el segundo cortado.")
