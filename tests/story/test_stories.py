"""The stories: a lesson proven, an exam to the roster and off it again, the same in Spanish by PIN."""

import re
from html import unescape

import pytest
from playwright.sync_api import expect

from tests.story.wash import answer_right, fill_in, prepared_learner, press
from trainer import demo
from trainer.language.admission import Reader, slip_values
from trainer.quantities.writing import write_quantity

MOST_ANSWERS = 120


def plain(html) -> str:
    """The words of a piece of HTML."""
    return unescape(re.sub(r"<[^>]+>", "", html)).strip()


def drill_until_proven(wash, page, language="en", slip_first=False) -> int:
    """Answer what is asked until the lesson has nothing more to ask; gives how many slips were told."""
    slips = 0
    for _ in range(MOST_ANSWERS):
        instance = wash.drill_instance(page)
        task = instance.question.task
        if slip_first and not slips and getattr(task, "slips", ()):
            value = slip_values(task, Reader(instance.values, instance.system))[task.slips[0].id]
            fill_in(page, instance, write_quantity(value, task.units[instance.system], language))
            press(page)
            reason = task.slips[0].because[language].html(instance.values, language, instance.system)
            assert plain(reason) in plain(page.inner_html(".verdict"))
            wash.look(page)
            slips += 1
        else:
            answer_right(page, instance, language)
            press(page)
        last = page.get_attribute("main button.act", "value") == "today"
        press(page)
        if last:
            return slips
    raise AssertionError("the lesson never ends")


def test_a_new_hire_reads_slips_learns_and_proves_a_lesson(wash, page):
    page.set_default_timeout(15_000)
    page.goto(wash.address)
    wash.look(page)
    wash.sign_in(page, "june")
    expect(page.locator("h1")).to_have_text("Today")
    wash.look(page)
    lesson = next(iter(wash.house.lessons.by_id.values()))
    page.goto(f"{wash.address}/lessons/{lesson.id}")
    drawing = page.locator("figure img").first
    drawing.scroll_into_view_if_needed()
    assert drawing.evaluate("image => image.complete && image.naturalWidth > 0")
    wash.look(page)
    page.goto(f"{wash.address}/today")
    if page.locator("section.next a.act").count():
        press(page, "section.next a.act")
        press(page)
    else:
        press(page, "section.next button.act")
    wash.look(page)
    assert drill_until_proven(wash, page, slip_first=True) == 1
    expect(page.locator("h1")).to_have_text("Today")
    page.goto(f"{wash.address}/glossary")
    wash.look(page)


def test_from_the_exam_to_the_roster_and_off_it_again(wash, make_page):
    prepared_learner(wash, "kit")
    learner, trainer, manager = make_page(), make_page(), make_page()
    for one in (learner, trainer, manager):
        one.set_default_timeout(15_000)
    sit_exam(wash, learner, trainer)
    sign_practical(wash, trainer)
    decide(wash, manager)
    certificate_holds(wash, manager, learner)
    withdraw(wash, manager)


def let_in(wash, page, trainer):
    """The learner asks, the trainer confirms on their own device, the learner's page then offers to start."""
    press(page)
    wash.look(page)
    wash.sign_in(trainer, "dale")
    press(trainer, trainer.locator("nav.places a", has_text="Exam room"))
    wash.look(trainer)
    assert "Kit Lowell" in trainer.inner_text("section[aria-labelledby=waiting]")
    trainer.check("[name=attested]")
    press(trainer, "section.card button.second")
    assert "Kit Lowell" in trainer.inner_text("#said")
    page.goto(page.url)
    wash.look(page)


def sit_exam(wash, page, trainer):
    wash.sign_in(page, "kit")
    press(page, "section.next a.act")
    wash.look(page)
    press(page, page.locator("main a", has_text=wash.house.schemes["cabinet"].title.en).first)
    wash.look(page)
    let_in(wash, page, trainer)
    press(page)
    looked = set()
    for _ in range(wash.house.schemes["cabinet"].items):
        instance = wash.exam_instance(page)
        if instance.question.kind not in looked:
            wash.look(page)
            looked.add(instance.question.kind)
        answer_right(page, instance)
        before = page.url
        page.click("main button.act")
        page.wait_for_url(lambda url, before=before: url != before)
    assert page.url.endswith("/review")
    wash.look(page)
    press(page)
    page.wait_for_url("**/result")
    wash.look(page)
    for area in wash.house.schemes["cabinet"].areas:
        assert area.title.en in page.inner_text("main")
    page.goto(f"{wash.address}/today")
    assert "practical" in page.inner_text("section.next").lower()


def sign_practical(wash, page):
    page.goto(f"{wash.address}/people")
    expect(page.locator("h1")).to_have_text("People")
    wash.look(page)
    assert "June Abbot" in page.inner_text("main")
    assert "Kit Lowell" in page.inner_text("section[aria-labelledby=waiting-title]")
    page.goto(f"{wash.address}/practicals")
    wash.look(page)
    press(page, page.locator("main a.card", has_text="Kit Lowell").first)
    wash.look(page)
    for one in page.locator('input[type=radio][value="met"]').all():
        one.check()
    page.fill("[name=password]", "not my password")
    press(page)
    assert page.locator(".wrongs").count() == 1
    assert page.locator('input[type=radio][value="not_met"]:checked').count() == 0
    page.fill("[name=password]", demo.PASSWORD)
    press(page)
    assert "Kit Lowell" in page.inner_text("main h1")
    wash.look(page)


def decide(wash, page):
    wash.sign_in(page, "nora")
    expect(page.locator("h1")).to_have_text("Cabinets")
    wash.look(page)
    press(page, page.locator("main a.card", has_text="Kit Lowell").first)
    wash.look(page)
    page.fill("[name=reason]", "Exam and practical seen.")
    press(page, "button[value=grant]")
    page.goto(f"{wash.address}/cabinets")
    section = page.locator("section[aria-labelledby^=cabinet-]", has_text="Kit Lowell").first
    press(page, section.locator("h2 a"))
    wash.look(page)
    assert "Kit Lowell" in page.inner_text("main")
    page.goto(f"{wash.address}/log")
    wash.look(page)
    assert "Kit Lowell" in page.inner_text("main")


def certificate_holds(wash, manager, learner):
    learner.goto(f"{wash.address}/today")
    link = learner.locator("section[aria-labelledby=held-title] a").first
    address = link.get_attribute("href")
    learner.context.clear_cookies()
    learner.goto(f"{wash.address}{address}")
    wash.look(learner)
    assert "Kit Lowell" in learner.inner_text("main")
    # Nobody is signed in here any more: the page is public, the paper is not.
    paper = learner.request.get(f"{wash.address}{address}/certificate.pdf", max_redirects=0)
    assert paper.status == 303 and "/sign-in" in paper.headers["location"]
    pdf = manager.request.get(f"{wash.address}{address}/certificate.pdf")
    assert pdf.status == 200 and pdf.body().startswith(b"%PDF-")
    roster = manager.request.get(f"{manager.url.rsplit('/', 1)[0]}/cabinets/1/roster.pdf")
    assert roster.status == 200 and len(re.findall(rb"/Type\s*/Page\b", roster.body())) == 1


def withdraw(wash, page):
    page.goto(f"{wash.address}/cabinets/1")
    page.locator("main a[href*='/certificates/']", has_text="").first.wait_for()
    row = page.locator("li, tr", has_text="Kit Lowell").locator("a[href*='/certificates/']").first
    press(page, row)
    wash.look(page)
    press(page, page.get_by_role("link", name="Withdraw it"))
    wash.look(page)
    page.fill("[name=reason]", "Moved to another wash.")
    press(page)
    page.goto(f"{wash.address}/cabinets/1")
    may_not = page.inner_text("main")
    assert "withdrawn" in may_not.lower()


@pytest.mark.parametrize("language", ["es"])
def test_the_same_in_spanish_with_a_pin_on_the_shared_tablet(wash, page, language):
    page.set_default_timeout(15_000)
    wash.sign_in(page, "ivy")
    page.goto(f"{wash.address}/tablets")
    wash.look(page)
    page.fill("[name=name]", "Bay entrance")
    press(page)
    page.goto(f"{wash.address}/today")
    press(page, page.locator("header form button"))
    page.goto(f"{wash.address}/sign-in")
    wash.look(page)
    press(page, page.locator("main", has_text="Rico").get_by_text("Rico Salas"))
    page.fill("[name=pin]", "285193")
    wash.look(page)
    press(page)
    expect(page.locator("html")).to_have_attribute("lang", "es")
    expect(page.locator("h1")).to_have_text("Hoy")
    wash.look(page)
    press(page, "section.next a.act")
    assert "En t" in page.inner_text("main") or "bahía" in page.inner_text("main")
    wash.look(page)
    press(page)
    wash.look(page)
    drill_until_proven(wash, page, language="es", slip_first=True)
    expect(page.locator("h1")).to_have_text("Hoy")
    text = page.inner_text("body")
    for english in ("Start the", "Sign out", "proven", "Nothing due"):
        assert english not in text
