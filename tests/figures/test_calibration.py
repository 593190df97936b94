"""The drawing of forecasts beside what came: told in both languages, free of overlapping text, to scale."""

import itertools
from xml.etree import ElementTree

import pytest

from tests.figures.test_survey import READERS, SVG, marks, on_paper
from trainer.figures import describe_scene, draw_scene
from trainer.figures.calibration import CalibrationCurve, CalibrationPoint

SCENES = {
    "one": CalibrationCurve((CalibrationPoint(0.97, 1.0, 0.88, 1.0, 30),)),
    "true": CalibrationCurve(
        tuple(
            CalibrationPoint(s / 8, s / 8, max(0.0, s / 8 - 0.1), min(1.0, s / 8 + 0.1), 90)
            for s in range(1, 9)
        )
    ),
    "none came true": CalibrationCurve(
        (CalibrationPoint(0.3, 0.0, 0.0, 0.1, 30), CalibrationPoint(0.9, 0.0, 0.0, 0.1, 9))
    ),
}


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize(("language", "system"), READERS)
def test_no_text_overlaps_another_or_leaves_the_sheet(name, language, system):
    texts = on_paper(SCENES[name], language, system).texts
    assert [
        (a, b) for (one, a), (other, b) in itertools.combinations(texts, 2) if one.overlap(other) > 1
    ] == []
    assert [text for box, text in texts if box.left < -0.5 or box.right > 360.5] == []


def test_points_lie_where_the_numbers_say_and_true_forecasts_on_the_line():
    found = marks(SCENES["true"])
    (x_0, y_0), (x_1, y_1) = found["as-forecast"]
    for x, y in found["curve"]:
        assert (x - x_0) / (x_1 - x_0) == pytest.approx((y - y_0) / (y_1 - y_0), abs=1e-3)
    assert [(x - x_0) / (x_1 - x_0) for x, _ in found["curve"]] == pytest.approx(
        [s / 8 for s in range(1, 9)], abs=1e-3
    )
    (_, low), (_, high) = found["bar-4"]
    assert abs(high - low) / abs(y_1 - y_0) == pytest.approx(0.2, abs=1e-3)


def test_it_is_one_svg_that_says_each_point():
    found = ElementTree.fromstring(draw_scene(SCENES["one"], theme="dark", language="es", system="metric"))
    said = describe_scene(SCENES["one"], "es", "metric")
    assert (found.find(f"{SVG}title").text, found.find(f"{SVG}desc").text) == (said.title, said.text)
    assert "forecast 97, came true 100 (88 to 100)" in describe_scene(SCENES["one"], "en", "us").text
