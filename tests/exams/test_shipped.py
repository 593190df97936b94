"""The shipped schemes over the shipped questions at the invented wash: forms can be set, no figure tells the answer."""

import re

import pytest

from trainer.exams.forms import shortfalls
from trainer.exams.paper import Paper, Setting, set_paper
from trainer.exams.reading import load_schemes
from trainer.exams.reading_back import gives_away
from trainer.figures import describe, draw_svg
from trainer.language.draws import NoInstance, draw
from trainer.language.loading import content_folder, load_bank
from trainer.language.questions import NumberTask
from trainer.language.rendering import right_answer, show
from trainer.sites.reading import demo_sheet
from trainer.sites.values import site_values

SECRET = bytes(range(32))


@pytest.fixture(scope="module")
def bank():
    return load_bank()


@pytest.fixture(scope="module")
def values():
    return site_values(demo_sheet())


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_shipped_scheme_gives_forms(bank, values, system):
    for scheme in load_schemes(content_folder() / "questions" / "schemes").values():
        assert shortfalls(scheme, bank) == ()
        for attempt in range(5):
            paper = set_paper(
                scheme,
                bank,
                bank.find,
                SECRET,
                Setting(values, system, f"exam|p|{attempt}", sheet=demo_sheet),
            )
            assert isinstance(paper, Paper)
            for area in scheme.areas:
                assert sum(slot.area == area.id for slot in paper.form.slots) == area.items
            critical = {skill for area in scheme.areas if area.critical for skill in area.skills}
            assert critical <= {slot.skill for slot in paper.form.slots}


def test_what_does_not_hold_at_a_site_stands_on_no_form_there(bank, values):
    for scheme in load_schemes(content_folder() / "questions" / "schemes").values():
        easiest = {
            bank.of_skill(skill)[0].id
            for area in scheme.areas
            for skill in area.skills
            if bank.of_skill(skill)[1:]
        }
        barred = frozenset(easiest)
        for attempt in range(3):
            setting = Setting(values, "us", f"exam|p|{attempt}", barred=barred, sheet=demo_sheet)
            paper = set_paper(scheme, bank, bank.find, SECRET, setting)
            if isinstance(paper, Paper):
                assert not barred & {slot.question for slot in paper.form.slots}
            else:
                assert paper == shortfalls(scheme, bank, barred)


def test_no_figure_of_an_exam_writes_the_answer(bank, values):
    """What stands in the picture or its words, of every numeric question whose figure is shown in an exam."""
    looked_at, left_out = 0, set()
    for question in bank.by_id.values():
        if not isinstance(question.task, NumberTask) or question.figure is None:
            continue
        try:
            instance = draw(question, values, SECRET, "look", "us")
        except NoInstance:
            continue
        figure = show(instance, "en").figure
        if gives_away(instance, figure):
            left_out.add(question.id)
            continue
        looked_at += 1
        said = describe(figure.name, figure.numbers, "en", "us")
        drawn = draw_svg(figure.name, figure.numbers, theme="light", language="en", system="us")
        answer = re.escape(right_answer(instance, "en"))
        assert not re.search(rf"(?<![\d.,]){answer}(?!\d)", f"{said.title} {said.text} {drawn}"), question.id
    assert looked_at > 10
    # Its figure dimensions the very length that is asked.
    assert "measuring.length_from_pulses" in left_out
