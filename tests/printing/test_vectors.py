from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from tests.printing.test_sheets import NOW, poppler
from trainer.figures.marks import Letters, Print, Shape, Stroke
from trainer.printing.sheets import open_sheets
from trainer.printing.vectors import drawing_height, hatch_lines, place

SQUARE = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
# A U: an even-odd fill leaves its notch open.
NOTCHED = (
    (0.0, 0.0),
    (30.0, 0.0),
    (30.0, 20.0),
    (20.0, 20.0),
    (20.0, 5.0),
    (10.0, 5.0),
    (10.0, 20.0),
    (0.0, 20.0),
)
DRAWING = Print(
    360, 120,
    (
        Shape(SQUARE, "#000000", 1.6, None, "///"),
        Shape(NOTCHED, "#000000", 0, "#cfcfcf", ""),
        Shape(SQUARE, "#000000", 1, None, "xxx"),
        Stroke(((0, 100), (360, 100)), "#000000", 1, dash=True),
        Letters("señal 4,2×", (180, 50), "center", 12.5, mono=True, bold=True, color="#000000"),
        Letters("retardo", (350, 20), "right", 12.5, mono=False, bold=False, color="#000000"),
    ),
)  # fmt: skip


@pytest.mark.parametrize("corners", [SQUARE, NOTCHED])
@pytest.mark.parametrize("falling", [False, True])
def test_hatch_lines_lie_inside_the_shape_and_fill_it(corners, falling):
    # Shapely is the judge: lines a level `apart` apart at 45 degrees hold length * apart / √2 of area.
    shape, apart = Polygon(corners), 0.25
    lines = [LineString(line) for line in hatch_lines(corners, apart, falling=falling)]
    assert all(shape.buffer(1e-6).contains(line) for line in lines)
    assert sum(line.length for line in lines) * apart / 2**0.5 == pytest.approx(shape.area, rel=0.01)


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=3, max_size=12))
def test_no_shape_makes_hatching_fail_or_leave_its_box(corners):
    for start, end in hatch_lines(corners, 4.0):
        assert start[0] - start[1] == pytest.approx(end[0] - end[1], abs=1e-6)
        for x, y in (start, end):
            assert -1e-6 <= y <= 100 + 1e-6 and -1e-6 <= x <= 100 + 1e-6


def test_hatch_lines_are_evenly_apart():
    offsets = [x - y for (x, y), _ in hatch_lines(SQUARE, 4.0)]
    assert [b - a for a, b in pairwise(offsets)] == pytest.approx([4.0] * (len(offsets) - 1))


def test_a_drawing_s_words_can_be_searched_on_the_page():
    pdf = open_sheets("x", NOW, "es")
    place(pdf, DRAWING, 20, 50, 88)
    text = poppler(bytes(pdf.output()))
    assert "señal 4,2×" in text and "retardo" in text


def test_its_letters_stand_where_the_drawing_has_them():
    pdf = open_sheets("x", NOW, "es")
    place(pdf, DRAWING, 20, 50, 90)
    found = poppler(bytes(pdf.output()), "-bbox")
    [line] = [one for one in found.splitlines() if ">retardo<" in one]
    right = float(line.split('xMax="')[1].split('"')[0])
    assert right * 25.4 / 72 == pytest.approx(20 + 350 * 90 / 360, abs=0.2)
    assert drawing_height(DRAWING, 90) == pytest.approx(30)
