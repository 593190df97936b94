"""Inks stand out from the paper in both themes, by the contrast formula of WCAG 2.2."""

import itertools
import re
from importlib.resources import files

import pytest

from trainer.figures.ink import SIZE, THEMES


def luminance(color: str) -> float:
    """Relative luminance, WCAG 2.2, 'relative luminance'."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, 'contrast ratio'."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_ends():
    # WCAG 2.2: contrast ranges from 1 to 21; black on white is 21.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)  # W3C technique G18's example grey


@pytest.mark.parametrize(("name", "ground"), list(itertools.product(THEMES, ("paper", "sheet"))))
@pytest.mark.parametrize("ink", ["ink", "pencil", "beam"])
def test_text_and_lines_stand_out(name, ground, ink):
    theme = THEMES[name]
    assert contrast(theme.color(ink), getattr(theme, ground)) >= 4.5


def test_the_inks_are_those_of_the_pages():
    css = (files("trainer.web") / "static" / "sheet.css").read_text(encoding="utf-8")
    light, dark = css.split("prefers-color-scheme: dark", 1)
    for name, part in (("light", light), ("dark", dark)):
        for key in ("paper", "sheet", "ink", "pencil", "rule", "beam"):
            assert re.search(rf"--{key}: {getattr(THEMES[name], key)};", part), (name, key)


def test_the_smallest_letters_are_twelve_units():
    assert SIZE >= 12
