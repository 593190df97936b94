"""Lessons and drills through the pages: what a learner sees, and what a trainer sees of it."""

import re

import pytest

from trainer.acts.learning import drill_label
from trainer.language.admission import Reader, slip_values
from trainer.language.draws import draw
from trainer.language.rendering import right_answer
from trainer.quantities.writing import write_quantity
from trainer.records.queries import learning as queries
from trainer.records.queries import people
from trainer.sites import demo_sheet, site_values

SKILL = "measuring.length_from_pulses"


@pytest.fixture
def ana(stage):
    return stage.visitor(stage.cast.ana)


def lesson_of(stage, skill=SKILL):
    return stage.house.lessons.of_skill(skill)[0]


def instance_at(stage, address):
    """The instance behind a drill's page, drawn from the secret as the server draws it."""
    with stage.cast.database.reading() as db:
        shown = queries.drill(db, address.rsplit("/", 1)[1])
        who = people.member(db, shown.person_id).public_id
    question = stage.house.bank.question(shown.question)
    label = drill_label(who, shown.public_id, question.id, question.version)
    return draw(question, site_values(demo_sheet()), stage.house.key_for("instances"), label, shown.system)


def start(stage, visitor, skill=SKILL):
    """Begin a drill of a lesson until it asks the skill's number question."""
    answer = visitor.send("/drill", lesson=lesson_of(stage, skill).id)
    assert answer.status_code == 303, answer.text
    return answer.location


def test_a_lesson_shows_this_sites_numbers_and_leads_to_its_drill(stage, ana):
    lesson = lesson_of(stage)
    page = ana.get(f"/lessons/{lesson.id}").text
    assert 'lang="es"' in page and lesson.title("es") in page
    answer = ana.send(f"/lessons/{lesson.id}", own_bay="4,98 m")
    assert answer.status_code == 303 and "/drills/" in answer.location
    assert "4,98 m" in ana.get(f"/lessons/{lesson.id}").text


def test_what_is_too_long_for_the_own_bay_note_is_told_and_stays_typed(stage, ana):
    lesson = lesson_of(stage)
    answer = ana.send(f"/lessons/{lesson.id}", own_bay="x" * 501)
    assert answer.status_code == 422
    assert 'id="own_bay-wrong"' in answer.text and "x" * 501 in answer.text


def test_every_lesson_reads_in_both_languages_and_its_drawings_are_there(stage):
    for person, language in ((stage.cast.ana, "es"), (stage.cast.tom, "en")):
        visitor = stage.visitor(person)
        for lesson in stage.house.lessons.by_id.values():
            page = visitor.get(f"/lessons/{lesson.id}")
            assert page.status_code == 200 and lesson.title(language) in page.text
            drawings = re.findall(r'(?:src|srcset)="(/lessons/[^"]+\.svg[^"]*)"', page.text)
            assert drawings, lesson.id
            svg = visitor.get(drawings[0].replace("&amp;", "&"))
            assert svg.status_code == 200 and svg.mimetype == "image/svg+xml" and "<svg" in svg.text


def test_a_right_answer_says_so_and_shows_the_steps(stage):
    tom = stage.visitor(stage.cast.tom)
    address = start(stage, tom)
    instance = instance_at(stage, address)
    assert tom.get(address).status_code == 200
    assert instance.question.kind == "number"
    assert tom.send(address, answer=right_answer(instance, "en")).status_code == 303
    page = tom.get(address).text
    assert "✓ Right" in page and "Next question" in page


def test_what_cannot_be_read_is_told_and_stays_typed(stage):
    tom = stage.visitor(stage.cast.tom)
    address = start(stage, tom)
    assert instance_at(stage, address).question.kind == "number"
    answer = tom.send(address, answer="16 ft 33 in")
    assert answer.status_code == 422
    assert "16 ft 33 in" in answer.text and "12 inches in a foot" in answer.text


def test_a_drill_that_waits_is_shown_again(stage, ana):
    first = start(stage, ana)
    assert start(stage, ana) == first


def test_nobody_sees_the_drill_of_somebody_else(stage, ana):
    address = start(stage, ana)
    other = stage.visitor(stage.cast.tom)
    assert other.get(address).status_code == 404
    assert other.send(address, answer="1 ft").status_code == 404
    assert ana.get("/drills/none").status_code == 404


def test_no_page_of_an_open_drill_holds_its_answer(stage):
    tom = stage.visitor(stage.cast.tom)
    address = start(stage, tom)
    instance = instance_at(stage, address)
    page = tom.get(address).text
    for option in getattr(instance.question.task, "options", ()):
        assert option.because["en"].html(instance.values, "en", "us") not in page
    for slip in getattr(instance.question.task, "slips", ()):
        assert slip.because["en"].html(instance.values, "en", "us") not in page


def test_today_names_one_thing_and_every_topic(stage, ana):
    page = ana.get("/today").text
    assert page.count('class="act"') == 1
    for topic in stage.house.bank.topics:
        if any(lesson.topic == topic.id for lesson in stage.house.lessons.by_id.values()):
            assert topic.title["es"] in page


def test_the_trainer_sees_who_slips_on_what(stage):
    learner, tom = stage.visitor(stage.cast.ana), stage.visitor(stage.cast.tom)
    address = start(stage, learner)
    instance = instance_at(stage, address)
    slips = getattr(instance.question.task, "slips", ())
    assert slips
    task = instance.question.task
    value = slip_values(task, Reader(instance.values, instance.system))[slips[0].id]
    learner.send(address, answer=write_quantity(value, task.units[instance.system], "es"))
    with stage.cast.database.reading() as db:
        standing = queries.standings(db, stage.cast.ana)
    assert [one.last_slip for one in standing.values()] == [slips[0].id]
    page = tom.get("/people").text
    assert slips[0].because["en"].html(instance.values, "en", instance.system) in page
    who = stage.cast.public_id(stage.cast.ana)
    assert "✗" in tom.get(f"/people/{who}").text


def test_people_of_another_site_are_not_there(stage):
    tom = stage.visitor(stage.cast.tom)
    assert "Otto" not in tom.get("/people").text
    assert tom.get(f"/people/{stage.cast.public_id(stage.cast.otto)}").status_code == 404


def test_the_glossary_has_every_term_in_both_languages(stage, ana):
    page = ana.get("/glossary").text
    for term in stage.house.bank.glossary.values():
        assert term.term["es"] in page and term.term["en"] in page


def test_a_broken_sheet_is_not_saved_and_names_its_places(stage):
    tom = stage.visitor(stage.cast.tom)
    with stage.cast.database.reading() as db:
        before = people.sheet_in_force(db, stage.cast.site)
    answer = tom.send("/sheet", text=before.text.replace("12 ft", "12 parsecs", 1))
    assert answer.status_code == 422 and "12 parsecs" in answer.text
    with stage.cast.database.reading() as db:
        assert people.sheet_in_force(db, stage.cast.site).version == before.version
    good = tom.send("/sheet", text=before.text + "\n# measured again\n")
    assert good.status_code == 303
    with stage.cast.database.reading() as db:
        assert people.sheet_in_force(db, stage.cast.site).version == before.version + 1
