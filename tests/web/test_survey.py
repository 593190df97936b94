"""The survey's page: what is wrong and only that, in both languages; its drawings and its paper; who may see it."""

import re
import shutil
import subprocess
from xml.etree import ElementTree

import pytest

from tests.cast import MONDAY
from tests.web.certifying import words
from tests.web.test_look import faults, served, signed_in
from trainer.acts.sites import save_sheet
from trainer.sites import demo_sheet, demo_text, read_sheet
from trainer.sites.survey.results import SEVERITIES
from trainer.sites.survey.scenes import survey_scenes
from trainer.sites.survey.sentences import FINDINGS
from trainer.sites.survey.survey import survey
from trainer.web.survey import SKILLS

__all__ = ["served"]

SVG = "{http://www.w3.org/2000/svg}"
# What is wrong at the invented wash, by its sheet: the exit eye's signal in steam and its on-delay, the sun at five.
WRONG = {
    ("exit", "signal_steam"): ("excess gain of 1.23× is left", "ganancia de exceso de 1,23×"),
    ("profile", "sun"): ("The sun looks into this receiver", "El sol le da a este receptor"),
    ("exit", "walkers"): ("people count as cars", "cuenta gente como carros"),
}


@pytest.fixture
def sound(stage):
    """The wash after everything that its survey found was put right."""
    text = demo_text()
    for old, new in (
        ("excess_gain: 12\n    on_delay: 0.1 s", "excess_gain: 30\n    on_delay: 0.6 s"),
        ("opening: {sill: 30 in, head: 96 in, before: 4 ft, after: 8 ft}", "opening: none"),
    ):
        assert old in text
        text = text.replace(old, new)
    save_sheet(
        stage.cast.database,
        site_id=stage.cast.site,
        by=stage.cast.tom,
        sheet=read_sheet(text, "sheet"),
        text=text,
        now=MONDAY,
    )
    return stage


def cards(page):
    return re.findall(r'<li class="card">(.*?)</ul>', page.text, re.DOTALL)


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_is_wrong_at_the_demo_wash_is_shown_worst_first_and_nothing_else(stage, language):
    tom = stage.visitor(stage.cast.tom)
    tom.send("/preferences", language=language, system="us")
    page = tom.get("/survey")
    found = survey(demo_sheet(), MONDAY.year).findings
    assert {(one.part, one.key) for one in found} == set(WRONG)
    assert [SEVERITIES.index(one.severity) for one in found] == sorted(
        SEVERITIES.index(one.severity) for one in found
    )
    shown = cards(page)
    assert len(shown) == len(found) == 3
    for card, one in zip(shown, found, strict=True):
        assert WRONG[one.part, one.key][language == "es"] in card
        assert "<strong>" in card  # what to set instead


def test_a_wash_with_nothing_wrong_says_so_and_what_comes_next(sound):
    page = sound.visitor(sound.cast.tom).get("/survey")
    assert cards(page) == []
    assert "Nothing is wrong by these numbers." in words(page)
    assert "Measure again when" in words(page)
    assert "WARNING" not in words(page)


def test_a_new_sheet_is_surveyed_at_once(stage):
    tom = stage.visitor(stage.cast.tom)
    assert len(cards(tom.get("/survey"))) == 3
    text = demo_text().replace("off_delay: 0.5 s", "off_delay: 4.5 s", 1)  # the entry eye's
    assert text != demo_text()
    assert tom.send("/sheet", text=text).status_code == 303
    page = tom.get("/survey")
    assert len(cards(page)) == 4
    assert "two cars count as one" in words(page)


def test_what_is_changed_on_the_floor_or_in_the_cabinet_carries_its_warning(stage):
    tom = stage.visitor(stage.cast.tom)
    page = words(tom.get("/survey"))
    assert "On the bay floor" in page and "Local codes and licensed practice come first" in page
    assert "In the cabinet" not in page
    text = (
        demo_text()
        .replace("length: 220 ft", "length: 1400 ft")
        .replace("head_current: 60 mA", "head_current: 400 mA")
    )
    tom.send("/sheet", text=text)
    page = words(tom.get("/survey"))
    assert "In the cabinet: live parts and stored charge. Lock out first, wait at least" in page


def test_every_pair_and_the_wash_around_it_have_their_part(stage):
    page = stage.visitor(stage.cast.tom).get("/survey")
    assert re.findall(r'<details class="part" id="([^"]+)"', page.text) == [
        "entry", "profile", "exit", "applications", "crosstalk", "cabinet", "spares", "assumed",
    ]  # fmt: skip
    assert "Nothing: every number stands in the sheet." in words(page)


def test_what_nobody_measured_is_listed_with_what_stands_for_it(stage):
    tom = stage.visitor(stage.cast.tom)
    text = re.sub(r"^  (walker_speed|service_level): .*\n", "", demo_text(), flags=re.MULTILINE)
    tom.send("/sheet", text=text)
    page = words(tom.get("/survey"))
    assert "conveyor.walker_speed how slowly a person walks through 3 ft/s" in page
    assert "business.service_level chance that the shelf lasts 95%" in page


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_drawing_of_the_page_is_an_svg_in_the_reader_s_language(stage, theme):
    tom = stage.visitor(stage.cast.tom)
    tom.send("/preferences", language="es", system="metric")
    page = tom.get("/survey")
    addresses = re.findall(rf'"(/survey/drawings/[^"]+theme={theme})"', page.text)
    assert len(addresses) == len(survey_scenes(survey(demo_sheet(), MONDAY.year))) > 8
    for address in addresses:
        answer = tom.get(address)
        assert answer.mimetype == "image/svg+xml"
        assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
        title = ElementTree.fromstring(answer.text).find(f"{SVG}title").text
        assert title in page.text


def test_only_the_first_drawing_is_fetched_before_a_fold_is_opened(stage):
    page = stage.visitor(stage.cast.tom).get("/survey").text
    images = re.findall(r"<img [^>]*>", page)
    assert [one for one in images if 'loading="lazy"' not in one] == [images[0]]


def test_a_drawing_that_is_not_there_is_not_found(stage):
    tom = stage.visitor(stage.cast.tom)
    assert tom.get("/survey/drawings/nothing.side.svg").status_code == 404
    assert tom.get("/survey/drawings/bay.svg?theme=loud").status_code == 404


def test_each_finding_has_a_lesson_that_teaches_what_it_is_about(stage):
    assert set(SKILLS) == set(FINDINGS)
    for skill in SKILLS.values():
        assert stage.house.lessons.of_skill(skill), skill
    page = stage.visitor(stage.cast.tom).get("/survey").text
    for address in re.findall(r'href="(/lessons/[^"]+)"', page):
        assert stage.visitor(stage.cast.tom).get(address).status_code == 200


def test_trainer_and_manager_see_it_and_nobody_else(stage):
    for address in ("/survey", "/survey.pdf", "/survey/drawings/bay.svg"):
        for who, status in (("tom", 200), ("mia", 200), ("ana", 403), ("lee", 403)):
            assert stage.visitor(getattr(stage.cast, who)).get(address).status_code == status, (address, who)
        assert stage.visitor().get(address).status_code == 303


def test_only_who_may_change_the_sheet_is_sent_to_it(stage):
    assert 'href="/sheet"' in stage.visitor(stage.cast.tom).get("/survey").text
    assert 'href="/sheet"' not in stage.visitor(stage.cast.mia).get("/survey").text


def test_it_is_found_from_where_a_trainer_and_a_manager_work(stage):
    for who, addresses in (("tom", ("/people", "/sheet")), ("mia", ("/people", "/cabinets"))):
        for address in addresses:
            assert 'href="/survey"' in stage.visitor(getattr(stage.cast, who)).get(address).text, address


@pytest.mark.parametrize(("language", "said"), [("en", "Survey of your bay"), ("es", "Revisión de tu bahía")])
def test_the_paper_holds_what_the_page_says(stage, language, said):
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed (Debian package poppler-utils)")
    tom = stage.visitor(stage.cast.tom)
    tom.send("/preferences", language=language, system="us")
    answer = tom.get("/survey.pdf")
    assert answer.mimetype == "application/pdf"
    done = subprocess.run(["pdftotext", "-", "-"], input=answer.data, capture_output=True, check=True)
    text = " ".join(done.stdout.decode().split())
    assert said in text
    assert "2026-03-02" in text  # the stage's day, by the site's clock
    page = words(tom.get("/survey"))
    for key, sentences in WRONG.items():
        assert sentences[language == "es"] in text, key
        assert sentences[language == "es"] in page, key


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 1280)])
def test_the_page_has_no_fault_that_a_program_can_find(served, make_page, theme, width):
    stage, address = served
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800}, is_mobile=width < 1000)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/survey")
    assert faults(page) == []
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    assert faults(page) == []


def test_a_fold_s_drawings_come_when_it_is_opened_and_tables_scroll_inside_themselves(served, make_page):
    stage, address = served
    page = make_page(viewport={"width": 360, "height": 800}, is_mobile=True)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/survey")
    page.locator("#profile > summary").click()
    drawing = page.locator("#profile img").first
    drawing.scroll_into_view_if_needed()
    drawing.evaluate("image => image.decode()")
    assert drawing.evaluate("image => image.naturalWidth") > 0
    box = page.locator("#profile .wide").first
    assert box.evaluate("one => one.scrollWidth > one.clientWidth")
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
    heights = page.eval_on_selector_all(
        "summary", "all => all.map(one => one.getBoundingClientRect().height)"
    )
    assert min(height for height in heights if height) >= 48
