"""What people learned, on its page: words first, in both languages, worked out at most once in ten minutes."""

import re

import pytest

from tests.long_history import Misled, store
from tests.web.certifying import words
from tests.web.test_look import faults, served, signed_in

__all__ = ["served"]

ADDRESS = "/questions/learning"
LANGUAGES = {
    "en": (
        r"Practice: \d+ people went from \d+ to \d+ right of 100: \d+ \(\d+ to \d+\) more\.",
        r"the schedule forecast [\d.]+ right of 100; [\d.]+ came true\. It hopes too much, by [\d.]+ \([\d.]+ to ",
        r"half of the people master it within \d+ days? \(\d+ to \d+\)\.",
        r"After “How your eye sees, and how much light it gets” people make this slip more often: \d+ of \d+, \d+ of ",
        r"This is no proof of cause",
    ),
    "es": (
        r"Práctica: \d+ personas pasaron de \d+ a \d+ correctas de 100: \d+ \(\d+ a \d+\) más\.",
        r"la agenda pronosticó [\d,]+ correctas de 100; se cumplieron [\d,]+\. Espera de más, por [\d,]+ \([\d,]+ a ",
        r"la mitad de la gente la domina en \d+ días? \(\d+ a \d+\)\.",
        r"Después de «Cómo ve tu fotocelda, y cuánta luz le llega» la gente comete más este error: \d+ de \d+, y \d+ ",
        r"Esto no prueba una causa",
    ),
}  # fmt: skip


def practised(stage):
    """60 people practised for 200 days, and one lesson misleads."""
    misled = Misled("sensing.how_the_eye_sees", "sensing.signal_from_distance", "not_squared", chance=0.9)
    store(
        stage.cast.database,
        stage.cast.site,
        stage.house.bank,
        stage.house.lessons,
        people=60,
        days=200,
        misled=misled,
    )
    return stage


def trainer(stage, language):
    visitor = stage.visitor(stage.cast.tom)
    visitor.send("/preferences", language=language, system="us")
    return visitor


def test_a_house_that_has_not_practised_is_told_so(stage):
    page = stage.visitor(stage.cast.tom).get(ADDRESS).text
    assert "Nobody has answered in practice yet." in page
    assert "<table" not in page and ".svg?" not in page


def test_what_was_found_stands_in_words_then_in_tables_and_on_a_drawing(stage):
    practised(stage)
    for language, sentences in LANGUAGES.items():
        visitor = trainer(stage, language)
        answer = visitor.get(ADDRESS)
        page, text = answer.text, words(answer)
        assert [one for one in sentences if not re.search(one, text)] == []
        assert page.count("<table") == page.count("<details") - 1 == 4  # one more holds the drawing in words
        [light, dark] = re.findall(r'(/questions/learning/calibration\.svg[^" ]+)', page)[:2]
        drawn = [visitor.get(one.replace("&amp;", "&")) for one in (light, dark)]
        assert [one.mimetype for one in drawn] == ["image/svg+xml"] * 2 and drawn[0].text != drawn[1].text
    assert visitor.get("/questions/learning/another.svg").status_code == 404


def test_what_was_found_is_kept_for_ten_minutes(stage):
    visitor = trainer(stage, "en")
    assert "Nobody has answered" in visitor.get(ADDRESS).text
    practised(stage)
    stage.clock.move(minutes=9)
    assert "Nobody has answered" in visitor.get(ADDRESS).text
    stage.clock.move(minutes=1)
    assert "people have answered in practice" in visitor.get(ADDRESS).text


def test_each_site_sees_its_own(stage):
    practised(stage)
    assert "people have answered" in trainer(stage, "en").get(ADDRESS).text
    assert "Nobody has answered" in stage.visitor(stage.cast.otto).get(ADDRESS).text


def test_the_place_of_questions_leads_there_and_back(stage):
    visitor = stage.visitor(stage.cast.mia)
    assert f'href="{ADDRESS}"' in visitor.get("/questions").text
    assert 'href="/questions"' in visitor.get(ADDRESS).text


def test_few_people_are_told_as_few(stage):
    store(stage.cast.database, stage.cast.site, stage.house.bank, stage.house.lessons, people=4, days=60)
    text = words(stage.visitor(stage.cast.tom).get(ADDRESS))
    assert re.search(r"Practice: not enough people to say: \d of 10 tried twice or more\.", text)
    assert re.search(
        r": not enough people to say: \d of 10\. .*Not enough people either for \d+ more of \d+ skills\.",
        text,
    )
    assert "No pair can be compared yet: 10 people are needed on either side." in text


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 800)])
def test_no_fault_that_a_program_can_find(served, make_page, theme, width):
    stage, address = served
    practised(stage)
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800}, is_mobile=width < 700)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(address + ADDRESS)
    page.eval_on_selector_all("details", "all => all.forEach(one => { one.open = true })")
    assert faults(page) == []
    assert page.evaluate("[...document.images].every(one => one.complete && one.naturalWidth > 0)")
