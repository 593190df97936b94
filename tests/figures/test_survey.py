"""Drawings of a survey: to scale, told in both languages, free of overlapping text, and the same as black marks."""

import itertools
import math
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from trainer.figures import describe_scene, draw_scene, print_scene
from trainer.figures.drawing import scene_on_paper
from trainer.figures.ink import THEMES
from trainer.figures.marks import Letters, Shape, Stroke
from trainer.figures.survey_bay import BeamAcross, EndView, SideView, from_behind, spread
from trainer.figures.survey_charts import DelayRegion, LengthBudget, Share, SignalStaircase, Step
from trainer.figures.survey_sun import SunCalendar
from trainer.solver.bodies import BODIES

SVG = "{http://www.w3.org/2000/svg}"
INCH = 0.0254
READERS = [("en", "us"), ("es", "metric"), ("es", "us"), ("en", "metric")]
ENTRY = BeamAcross(("Entry eye", "Ojo de entrada"), 6 * INCH, 30 * INCH)
PROFILE = BeamAcross(("Profile eye", "Ojo de perfil"), 60 * INCH, 60 * INCH)
PICKUP = ("a pickup", "una pickup")


def sun(*cells):
    """A calendar with minutes in the cells (month, hour, minutes)."""
    rows = [[0.0] * 24 for _ in range(12)]
    for month, hour, minutes in cells:
        rows[month][hour] = minutes
    return SunCalendar(tuple(map(tuple, rows)))


def stairs(*gains, required=10.0):
    names = ("clean at 60 ft", "limpio a 60 pies"), ("across your bay", "a lo ancho de tu bahía")
    steps = [Step(names[i % 2], gain) for i, gain in enumerate(gains[:-1])]
    return SignalStaircase((*steps, Step(("on a steamy day", "un día con vapor"), gains[-1], required)))


def budget(*ends):
    parts = [Share(("counting pulses", "contar pulsos"), low * INCH, high * INCH) for low, high in ends]
    total = Share(("in all", "en total"), sum(p.least for p in parts), sum(p.most for p in parts))
    return LengthBudget(tuple(parts), total)


def side(body="pickup", low=0.4, high=0.52, blocked=((0.02, 5.75),), nose=0.02, tail=-0.05):
    return SideView(BODIES[body], PICKUP, low, high, blocked, nose, tail)


SCENES = {
    "bay": EndView(144 * INCH, 6 * INCH, (ENTRY, PROFILE), BODIES["suv"], ("an SUV", "una SUV")),
    "bay, three level beams close together": EndView(
        300 * INCH, 24 * INCH, (ENTRY, *[BeamAcross(("Eye", "Ojo"), h * INCH, h * INCH) for h in (29, 31)]),
        BODIES["van"], ("a van", "una van"),
    ),
    "bay, beams that share their heights": EndView(
        144 * INCH, 6 * INCH, (ENTRY, PROFILE, ENTRY, PROFILE), BODIES["van"], ("a van", "una van")
    ),
    "bay, one beam in the middle lane": EndView(96 * INCH, 0.0, (ENTRY,), BODIES["sedan"], ("a sedan", "un sedán")),
    "side": side(),
    "side, two stretches": side(blocked=((0.3, 3.75), (4.1, 5.2)), nose=0.3, tail=-0.6),
    "side, never seen": side(body="sedan", low=1.7, high=1.7, blocked=(), nose=math.nan, tail=math.nan),
    "delays": DelayRegion(((0.3, 0.2), (0.667, 0.2), (0.667, 3.9), (0.3, 3.9)), (0.6, 0.5), (0.5, 2.0)),
    "delays, a thin region": DelayRegion(((0.3, 0.2), (0.31, 0.2), (0.31, 0.21), (0.3, 0.21)), (2, 9), (0.305, 0.205)),
    "delays, nothing fits": DelayRegion((), (0.6, 0.5), None),
    "signal": stairs(3, 75, 40, 20, 4.2),
    "signal, extremes": stairs(10_000, 0.5, 0.0001, required=50),
    "length": budget((-1, 1), (-0.9, -0.9), (-2, 2)),
    "length, one side only": budget((0, 12), (0.01, 0.02)),
    "sun": sun((2, 6, 75), (6, 7, 224), (10, 7, 372)),
    "sun, all day": sun(*[(m, h, 1500.0 if m == 5 else 0.4) for m in range(12) for h in range(5, 21)]),
    "sun, never": sun(),
}  # fmt: skip


def on_paper(scene, language="en", system="us"):
    return scene_on_paper(scene, THEMES["light"], language, system)


def svg(scene, language="en", system="us", theme="light"):
    return ElementTree.fromstring(draw_scene(scene, theme=theme, language=language, system=system))


def marks(scene):
    """The points of every marked line or shape, y up."""
    found = {}
    for group in svg(scene).iter(f"{SVG}g"):
        path = group.find(f"{SVG}path")
        if group.get("id") and path is not None and path.get("d"):
            numbers = [float(n) for n in re.findall(r"-?[0-9.]+(?:e-?[0-9]+)?", path.get("d"))]
            found[group.get("id")] = [(x, -y) for x, y in zip(numbers[::2], numbers[1::2], strict=False)]
    return found


def wide(points):
    return max(x for x, _ in points) - min(x for x, _ in points)


def high(points):
    return max(y for _, y in points) - min(y for _, y in points)


def near(value):
    return pytest.approx(value, rel=0.01, abs=0.02)


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize(("language", "system"), READERS)
def test_no_text_overlaps_another_or_leaves_the_sheet(name, language, system):
    texts = on_paper(SCENES[name], language, system).texts
    assert texts
    overlapping = [
        (a, b) for (one, a), (other, b) in itertools.combinations(texts, 2) if one.overlap(other) > 1
    ]
    assert overlapping == []
    assert [text for box, text in texts if box.left < -0.5 or box.right > 360.5] == []


@pytest.mark.parametrize("name", SCENES)
def test_every_scene_is_one_svg_that_says_what_it_shows_and_loads_nothing(name):
    text = draw_scene(SCENES[name], theme="dark", language="es", system="metric")
    said = describe_scene(SCENES[name], "es", "metric")
    found = ElementTree.fromstring(text)
    assert found.find(f"{SVG}title").text == said.title
    assert found.find(f"{SVG}desc").text == said.text
    assert found.get("width") == "360"
    assert not re.search(r'(href|src)="(?!#)', text)
    assert min(float(size) for size in re.findall(r"font-size: ([0-9.]+)px", text)) >= 12
    assert text == draw_scene(SCENES[name], theme="dark", language="es", system="metric")


@pytest.mark.parametrize("name", SCENES)
def test_both_languages_say_it_and_each_in_its_own_words(name):
    english, spanish = (describe_scene(SCENES[name], language, "us") for language in ("en", "es"))
    assert english.title != spanish.title
    assert english.text != spanish.text


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_only_the_inks_of_the_theme_are_used(theme):
    inks = {THEMES[theme].color(ink) for ink in ("ink", "pencil", "rule", "beam")}
    for scene in SCENES.values():
        text = draw_scene(scene, theme=theme, language="en", system="us")
        assert set(re.findall(r"#[0-9a-f]{6}\b", text)) <= inks


def test_lens_heights_and_lane_offset_share_the_scale_of_the_bay_s_width():
    found = marks(SCENES["bay"])
    scale = wide(found["width"]) / 144
    assert high(found["beam-1"]) / scale == near(30 - 6)
    assert wide(found["beam-1"]) / scale == near(144)
    assert high(found["beam-2"]) == near(0)
    assert wide(found["offset"]) / scale == near(6)
    assert wide(found["body"]) * INCH / scale == near(BODIES["suv"].width)


def test_a_body_from_behind_is_as_wide_and_high_as_itself():
    for body in BODIES.values():
        outline = from_behind(body)
        assert wide(outline) == near(body.width)
        assert high(outline) == near(body.height)


def test_labels_stand_apart_and_in_order_and_stay_where_there_is_room():
    assert spread([0.0, 40.0, 80.0]) == [0.0, 40.0, 80.0]
    close = spread([10.0, 12.0, 14.0], apart=15)
    assert [b - a for a, b in itertools.pairwise(close)] == [15, 15]
    assert close[0] < 10 < close[2]


def test_what_is_blocked_and_the_two_errors_are_to_scale():
    found = marks(SCENES["side, two stretches"])
    scale = wide(found["blocked-0"]) / (3.75 - 0.3)
    assert wide(found["blocked-1"]) / scale == near(5.2 - 4.1)
    assert wide(found["nose"]) / scale == near(0.3)
    assert wide(found["tail"]) / scale == near(0.6)
    assert high(found["beam-height"]) / scale == near(0.52)


def test_the_delays_stand_in_the_region_as_their_numbers_do():
    found = marks(SCENES["delays"])
    per_second = wide(found["region"]) / (0.667 - 0.3)
    upwards = high(found["region"]) / (3.9 - 0.2)
    left, bottom = min(found["region"])
    ring = found["recommended"]
    center = (max(x for x, _ in ring) + min(x for x, _ in ring)) / 2
    assert (center - left) / per_second + 0.3 == near(0.5)
    cross_x = sum(x for x, _ in found["present"]) / 2
    cross_y = sum(y for _, y in found["present"]) / 2
    assert (cross_x - left) / per_second + 0.3 == near(0.6)
    assert (cross_y - bottom) / upwards + 0.2 == pytest.approx(0.5, abs=0.02)


def test_where_nothing_fits_the_drawing_says_so_and_recommends_nothing():
    scene = SCENES["delays, nothing fits"]
    assert "region" not in marks(scene) and "recommended" not in marks(scene)
    assert "No pair of delays meets every demand." in [text for _, text in on_paper(scene).texts]
    assert "No pair of delays meets every demand." in describe_scene(scene, "en", "us").text


def test_the_staircase_falls_on_decades():
    # From 100 to 10 is as far as from 10 to 1.
    found = marks(stairs(100, 10, 1, required=10))
    ends = [max(x for x, _ in found[f"step-{i}"]) for i in range(3)]
    assert ends[0] - ends[1] == near(ends[1] - ends[2])
    assert max(x for x, _ in found["required-2"]) == near(ends[1])


def test_the_words_say_whether_the_signal_is_enough():
    assert describe_scene(stairs(40, 10, required=10), "en", "us").text.endswith("10× (needs 10×: enough).")
    assert describe_scene(stairs(40, 9.9, required=10), "es", "us").text.endswith(
        "9,9× (pide 10×: no alcanza)."
    )


def test_error_bars_share_one_scale_about_no_error():
    found = marks(SCENES["length"])
    scale = wide(found["part-0"]) / 2
    assert wide(found["part-2"]) / scale == near(4)
    assert wide(found["part-3"]) / scale == near(6)
    zero = found["zero-0"][0][0]
    assert (min(x for x, _ in found["part-3"]) - zero) / scale == near(-3.9)


def test_a_cell_of_the_calendar_is_filled_by_its_share_of_the_fullest_and_holds_its_number():
    scene = SCENES["sun"]
    found = marks(scene)
    assert high(found["cell-2-6"]) / high(found["cell-10-7"]) == near(75 / 372)
    texts = [text for _, text in on_paper(scene).texts]
    assert {"75", "224", "372"} <= set(texts)
    assert scene.hours == range(5, 9)
    assert "671" in describe_scene(scene, "en", "us").text


def test_a_full_month_is_told_in_hours_and_less_than_a_minute_as_such():
    texts = [text for _, text in on_paper(SCENES["sun, all day"]).texts]
    assert "25h" in texts and "<1" in texts


@pytest.mark.parametrize("name", SCENES)
def test_black_marks_hold_all_that_the_drawing_holds(name):
    printed = print_scene(SCENES[name], "es", "us")
    paper = on_paper(SCENES[name], "es", "us")
    assert sorted(one.text for one in printed.marks if isinstance(one, Letters)) == sorted(
        t for _, t in paper.texts
    )
    assert len([one for one in printed.marks if isinstance(one, Shape)]) == len(paper.axes.patches)
    assert len([one for one in printed.marks if isinstance(one, Stroke)]) == len(paper.axes.lines)
    assert {one.color for one in printed.marks} <= {"#000000", "#cfcfcf"}
    inside = [point for one in printed.marks if not isinstance(one, Letters) for point in one.points]
    assert all(-1 <= y <= printed.height + 1 for _, y in inside)


def test_saying_a_scene_loads_no_drawing_library():
    code = (
        "import sys; from trainer.figures import describe_scene; from trainer.solver.bodies import BODIES;"
        "from trainer.figures.survey_bay import SideView; import trainer.figures.survey_charts;"
        "import trainer.figures.survey_sun;"
        "describe_scene(SideView(BODIES['van'], ('a van', 'una van'), 0.4, 0.5, ((0, 5),), 0.01, 0.02), 'en', 'us');"
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
