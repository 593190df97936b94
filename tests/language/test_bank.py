"""The built-in bank: it loads, and over thousands of draws of every family no slip is ever graded right."""

from itertools import combinations, product

import numpy as np
import pytest

from trainer.language.admission import Reader, admitted, slip_values
from trainer.language.auditing import audit
from trainer.language.draw_space import space_of
from trainer.language.draws import draw
from trainer.language.grading import grade
from trainer.language.lesson_checks import check_lesson
from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank
from trainer.language.names import SYSTEMS
from trainer.language.questions import NumberTask
from trainer.language.worked_numbers import site_numbers, work_out
from trainer.quantities.units import UNITS
from trainer.quantities.writing import write_quantity
from trainer.sites import demo_sheet, site_values

SECRET = bytes(range(32))
TOPICS = ["sensing", "mounting", "switching", "delays", "measuring", "faults", "parts", "lockout"]
DRAWS = 4000


@pytest.fixture(scope="module")
def bank():
    """The built-in bank."""
    return load_bank()


@pytest.fixture(scope="module")
def site():
    """The numbers of the demo wash."""
    return site_values(demo_sheet())


@pytest.fixture
def numbers(bank, request):
    """The number questions of one topic."""
    return [
        question
        for question in bank.by_id.values()
        if question.topic == request.param and isinstance(question.task, NumberTask)
    ]


def test_skills_stand_in_the_order_people_meet_them(bank):
    assert [topic.id for topic in bank.topics] == TOPICS
    hazards = {skill.id for skill in bank.skills.values() if skill.hazard}
    lockout = {skill.id for skill in bank.topics[-1].skills}
    assert hazards == lockout | {"faults.stop_at_permission"}


def test_of_a_skill_the_easiest_comes_first(bank):
    for skill in bank.skills:
        levels = [question.level for question in bank.of_skill(skill)]
        assert levels == sorted(levels)


@pytest.mark.parametrize("topic", TOPICS)
def test_every_question_passes_its_audit(bank, site, topic):
    found = {one.id: audit(one, site, DRAWS) for one in bank.by_id.values() if one.topic == topic}
    assert not {name: one.findings for name, one in found.items() if one.findings}


def test_every_lesson_passes_its_checks(bank):
    found = {lesson.id: check_lesson(lesson) for lesson in load_lessons(bank=bank).by_id.values()}
    assert not {name: findings for name, findings in found.items() if findings}


@pytest.mark.parametrize("numbers", TOPICS, indirect=True)
def test_over_all_draws_no_slip_lies_within_the_tolerance(numbers, site):
    # Written out here once more, from the rule itself, so that a fault of the audit's own code would show.
    for question, system in product(numbers, SYSTEMS):
        space = space_of(question, system, DRAWS)
        values = dict(site_numbers(question.numbers, site, system))
        for drawn, index in zip(question.numbers.drawn, space.indices, strict=True):
            values[drawn.name] = drawn.grids[system].array[index]
        work_out(question.numbers, values, system, space.count)
        good = np.broadcast_to(admitted(question, values, system, space.count), (space.count,))
        right = question.task.value.numbers(values, space.count)
        tolerance = question.task.within.amount + question.task.within.share * abs(right)
        factors = [question.task.units[system].factor if slip.bare else 1 for slip in question.task.slips]
        slips = [
            slip.value.numbers(values, space.count) * factor
            for slip, factor in zip(question.task.slips, factors, strict=True)
        ]
        for one, other in combinations([right, *slips], 2):
            assert (abs(one - other) > 2 * tolerance)[good].all(), question.id


@pytest.mark.parametrize("numbers", TOPICS, indirect=True)
def test_graded_for_real_right_answers_pass_and_slips_do_not(numbers, site):
    for question, at in product(numbers, range(40)):
        system, language = SYSTEMS[at % 2], ("en", "es")[at // 2 % 2]
        instance = draw(question, site, SECRET, f"bank|{at}", system)
        reader = Reader(instance.values, system)
        asked = question.task.units[system]
        right = reader.number(question.task.value)
        assert grade(instance, write_quantity(right, asked, language), language).right, question.id
        for unit in UNITS.values():
            # A bare number is taken in the asked unit, so a unit without a symbol cannot be told in writing.
            if unit.dimension == asked.dimension and " " not in unit.key and unit.symbol(language):
                typed = write_quantity(right, unit, language, 12)
                assert grade(instance, typed, language).right, (question.id, typed)
        for slip in slip_values(question.task, reader).values():
            typed = write_quantity(slip, asked, language)
            assert not grade(instance, typed, language).right, (question.id, typed)
