"""Every question fits a small phone, in both languages and both unit systems."""

import pytest
from flask import render_template_string

from trainer.language.draws import draw
from trainer.language.rendering import show
from trainer.sites import demo_sheet, site_values

SHEETS = """
{% extends "base.html" %}{% from "question.html" import inputs %}
{% block title %}Every question{% endblock %}
{% block work %}
{% for name, shown in every %}
<section id="{{ name }}">
<div class="ask">{{ shown.ask|safe }}</div>{{ inputs(shown) }}
</section>
{% endfor %}
{% endblock %}
"""
# The right edge of what stands farthest right in each question, where that is beyond the window.
TOO_WIDE = """
() => [...document.querySelectorAll("main section")].flatMap(one => {
  const right = Math.max(...[...one.querySelectorAll("*")].map(part => part.getBoundingClientRect().right));
  return right > screen.width ? [[one.id, Math.round(right)]] : [];
})
"""


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_question_is_wider_than_a_small_phone(stage, content, make_page, language, system):
    values = site_values(demo_sheet())
    every = [
        (question.id, show(draw(question, values, b"k" * 32, "width", system), language))
        for question in content["bank"].by_id.values()
    ]
    assert len(every) > 200
    with stage.app.test_request_context("/"):
        html = render_template_string(SHEETS, every=every)
    page = make_page(viewport={"width": 360, "height": 800})
    page.set_content(html)
    page.add_style_tag(path=f"{stage.app.static_folder}/sheet.css")
    assert page.locator("main section").count() == len(every)
    assert page.evaluate(TOO_WIDE) == []
