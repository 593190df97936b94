"""The drawing of expected scores: told in both languages, free of overlapping text, its marks to scale."""

import itertools
from xml.etree import ElementTree

import pytest

from tests.figures.test_survey import READERS, SVG, marks, on_paper
from trainer.figures import describe_scene, draw_scene, print_scene
from trainer.figures.form_curves import FormCurves

PLACES = tuple(step / 4 for step in range(-6, 7))
RISING = tuple(10 + number for number in range(13))
SCENES = {
    "no forms": FormCurves(PLACES, RISING, (), 19, 24),
    "many forms": FormCurves(
        PLACES, RISING, tuple(tuple(y - 0.02 * n for y in RISING) for n in range(30)), 9, 24
    ),
    "cut at the top": FormCurves(PLACES, RISING, (RISING,), 24, 24),
}


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize(("language", "system"), READERS)
def test_no_text_overlaps_another_or_leaves_the_sheet(name, language, system):
    texts = on_paper(SCENES[name], language, system).texts
    assert [
        (a, b) for (one, a), (other, b) in itertools.combinations(texts, 2) if one.overlap(other) > 1
    ] == []
    assert [text for box, text in texts if box.left < -0.5 or box.right > 360.5] == []


def test_it_is_one_svg_that_says_what_it_shows():
    scene = SCENES["many forms"]
    found = ElementTree.fromstring(draw_scene(scene, theme="dark", language="es", system="metric"))
    said = describe_scene(scene, "es", "metric")
    assert (found.find(f"{SVG}title").text, found.find(f"{SVG}desc").text) == (said.title, said.text)
    assert "A model, not data" in describe_scene(scene, "en", "us").text and print_scene(scene, "en", "us")


def test_the_curve_meets_the_cut_where_the_numbers_say():
    found = marks(SCENES["no forms"])
    (_, level), _ = found["cut"]
    # RISING is 19 at its tenth place.
    assert found["target"][9][1] == pytest.approx(level, abs=0.01)
    assert found["border"][0][0] == pytest.approx(found["target"][6][0], abs=0.01)
