"""The built-in bank: it loads, and over thousands of draws of every family no slip is ever graded right."""

import pytest

from trainer.language.admission import Reader, admitted, slip_values, tolerance_of
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

BANK = load_bank()
LESSONS = load_lessons(bank=BANK)
SITE = site_values(demo_sheet())
SECRET = bytes(range(32))
NUMBERS = [question for question in BANK.by_id.values() if isinstance(question.task, NumberTask)]
TOPICS = ["sensing", "mounting", "switching", "delays", "measuring", "faults", "parts", "lockout"]


def test_skills_stand_in_the_order_people_meet_them():
    assert [topic.id for topic in BANK.topics] == TOPICS
    hazards = {skill.id for skill in BANK.skills.values() if skill.hazard}
    lockout = {skill.id for skill in BANK.topics[-1].skills}
    assert hazards == lockout | {"faults.stop_at_permission"}


def test_of_a_skill_the_easiest_comes_first():
    for skill in BANK.skills:
        levels = [question.level for question in BANK.of_skill(skill)]
        assert levels == sorted(levels)


@pytest.mark.parametrize("name", BANK.by_id)
def test_every_question_passes_its_audit(name):
    assert audit(BANK.question(name), SITE, samples=4000).findings == ()


def test_every_lesson_passes_its_checks():
    found = {lesson.id: check_lesson(lesson) for lesson in LESSONS.by_id.values()}
    assert not {name: findings for name, findings in found.items() if findings}


@pytest.mark.parametrize("question", NUMBERS, ids=lambda question: question.id)
@pytest.mark.parametrize("system", SYSTEMS)
def test_over_all_draws_no_slip_lies_within_the_tolerance(question, system):
    # Written out here once more, from the rule itself, so that a fault of the audit's own code would show.
    space = space_of(question, system, 4000)
    values = dict(site_numbers(question.numbers, SITE, system))
    for drawn, index in zip(question.numbers.drawn, space.indices, strict=True):
        values[drawn.name] = drawn.grids[system].array[index]
    work_out(question.numbers, values, system, space.count)
    good = admitted(question, values, system, space.count)
    reader = Reader(values, system, space.count)
    right, tolerance = reader.number(question.task.value), tolerance_of(question.task, reader)
    slips = list(slip_values(question.task, reader).values())
    for at, slip in enumerate(slips):
        assert (abs(slip - right) > 2 * tolerance)[good].all()
        assert all((abs(slip - other) > 2 * tolerance)[good].all() for other in slips[:at])


@pytest.mark.parametrize("question", NUMBERS, ids=lambda question: question.id)
def test_graded_for_real_right_answers_pass_and_slips_do_not(question):
    for at in range(12):
        system, language = SYSTEMS[at % 2], ("en", "es")[at // 2 % 2]
        instance = draw(question, SITE, SECRET, f"bank|{at}", system)
        reader = Reader(instance.values, system)
        asked = question.task.units[system]
        right = reader.number(question.task.value)
        assert grade(instance, write_quantity(right, asked, language), language).right
        for unit in UNITS.values():
            if unit.dimension == asked.dimension and " " not in unit.key:
                assert grade(instance, write_quantity(right, unit, language, 9), language).right, unit.key
        for slip in slip_values(question.task, reader).values():
            assert not grade(instance, write_quantity(slip, asked, language), language).right
