"""The drawings that a page offers: each is fed so that it can be drawn, with values that the site sheet has."""

import pytest

from trainer.figures import FIGURES, draw_svg
from trainer.language.drafting.figures import FED, _usual, site_names, titles


@pytest.mark.parametrize("name", sorted(FED))
def test_what_is_offered_can_be_drawn(name):
    assert set(FIGURES[name].inputs) <= set(FED[name]) <= {*FIGURES[name].inputs, *FIGURES[name].optional}
    assert draw_svg(name, _usual(name), theme="dark", language="es", system="metric").startswith("<svg")
    assert titles("en")[name] != titles("es")[name]


def test_site_values_are_found_in_a_calculation():
    assert site_names("10 * foot * pulses_per_foot - eye_low") == ["eye_low", "pulses_per_foot"]
