"""The drawing of places that nothing beats: to scale, free of overlapping text, told in both languages."""

import itertools
import math
from xml.etree import ElementTree

import pytest

from tests.figures.test_survey import READERS, SVG, marks, near, on_paper
from trainer.figures import describe_scene, draw_scene, print_scene
from trainer.figures.placing_front import FrontPlane, FrontPoint

INCH = 0.0254
NOSE_AND_TAIL = ("nose and tail error", "error de trompa y cola")


def plane(*points, now=(10.5, 0, 2.7), chosen=1):
    made = [FrontPoint(error * INCH, sun, margin) for error, sun, margin in (*points, now)]
    return FrontPlane(tuple(made[:-1]), made[-1], chosen, NOSE_AND_TAIL)


PLANES = {
    "sun and light": plane((7.2, 166, 2.73), (8.7, 114, 2.76), (10.3, 18, 2.8), (12, 0, 2.9), now=(9, 166, 2.7)),
    "light alone": plane((7.2, 0, 2.73), (8.7, 0, 2.76), (10.5, 0, 2.82)),
    "all alike": plane((7.2, 0, 2.7), now=(7.2, 0, 2.7), chosen=0),
    "now is out": plane((7.2, 0, 2.73), (70, 2000, 3), now=(math.inf, 12, 2)),
    "nothing is recommended": plane(now=(7.2, 0, 0.4), chosen=None),
    "many": plane(*[(2 + i / 9, 900 - 11 * i, 2 + i / 50) for i in range(60)], chosen=17),
    "close together": plane(*[(7 + i / 100, 40 - i, 2.7 + i / 1000) for i in range(12)], chosen=3),
}  # fmt: skip


@pytest.mark.parametrize("name", PLANES)
@pytest.mark.parametrize(("language", "system"), READERS)
def test_no_text_overlaps_another_or_leaves_the_sheet(name, language, system):
    texts = on_paper(PLANES[name], language, system).texts
    overlapping = [
        (a, b) for (one, a), (other, b) in itertools.combinations(texts, 2) if one.overlap(other) > 1
    ]
    assert overlapping == []
    assert [text for box, text in texts if box.left < -0.5 or box.right > 360.5] == []


@pytest.mark.parametrize("name", PLANES)
def test_it_is_one_svg_that_says_what_it_shows(name):
    found = ElementTree.fromstring(draw_scene(PLANES[name], theme="dark", language="es", system="metric"))
    said = describe_scene(PLANES[name], "es", "metric")
    assert (found.find(f"{SVG}title").text, found.find(f"{SVG}desc").text) == (said.title, said.text)
    assert describe_scene(PLANES[name], "en", "us").text != said.text
    assert print_scene(PLANES[name], "en", "us")


def middle(points):
    xs, ys = zip(*points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def test_points_stand_to_scale_and_the_recommended_one_in_its_ring():
    found = marks(PLANES["sun and light"])
    (x1, y1), (x2, y2), (x3, y3) = (middle(found[f"sun-{number}"]) for number in (1, 2, 3))
    assert (x2 - x1) / (x3 - x1) == near((8.7 - 7.2) / (10.3 - 7.2))
    assert (y2 - y1) / (y3 - y1) == near((114 - 166) / (18 - 166))
    assert middle(found["sun-chosen"]) == pytest.approx((x1, y1), abs=0.1)
    now = middle(found["sun-present"])
    assert (now[0] - x1) / (x3 - x1) == near((9 - 7.2) / (10.3 - 7.2))
    light = [middle(found[f"margin-{number}"]) for number in (1, 2, 4)]
    assert (light[1][1] - light[0][1]) / (light[2][1] - light[0][1]) == near(0.03 / 0.17)


def test_words_tell_every_place_and_which_one_to_choose():
    text = describe_scene(PLANES["sun and light"], "en", "us").text.replace("\u00a0", " ")
    assert "1: 7.2 in, 166 min, 2.73×" in text
    assert "4: 12 in, 0 min, 2.9×" in text
    assert "Now: 9 in, 166 min, 2.7×. Recommended: 1." in text
    assert "no place here" in describe_scene(PLANES["now is out"], "en", "us").text
    assert "as it is now" in describe_scene(PLANES["all alike"], "en", "us").text
