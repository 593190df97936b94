"""Each bench worked to full marks by pulling, by tapping and by keyboard; what moves; what a trainer gives."""

import re

import pytest
from playwright.sync_api import expect

from tests.story.bench_hands import FULL, PHONE, TABLET, WAYS, Run, by_form, rolled, start, touch, work_out
from tests.story.wash import press
from trainer.benches.catalogue import benches

EVERY = sorted(benches())

# Two in Spanish, one in metric, three on a tablet: who works which bench which way. The rest: June, on a phone.
WHO = {
    ("aiming", "keyboard"): ("june", TABLET),
    ("beam", "tapping"): ("pilar", PHONE),
    ("beam", "pulling"): ("june", TABLET),
    ("delay", "tapping"): ("rico", PHONE),
    ("fault", "pulling"): ("rico", PHONE),
    ("lockout", "keyboard"): ("june", TABLET),
}
# Where it takes no longer than level 1.
LEVEL = {
    ("aiming", "keyboard"): "2",
    ("beam", "tapping"): "2",
    ("delay", "pulling"): "2",
    ("fault", "keyboard"): "2",
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("bench", EVERY)
def test_a_bench_is_worked_to_full_marks(wash, hand, bench, way):
    who, viewport = WHO.get((bench, way), ("june", PHONE))
    page = hand(who, viewport)
    run = start(wash, page, bench, LEVEL.get((bench, way), "1"))
    wash.look(page)
    middle = len(run.best()) // 2
    seen = []

    def look(act):
        seen.append(act)
        if len(seen) == middle:
            wash.look(page)
            assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"]

    work_out(run, way, look)
    expect(page.locator("#result-title")).to_contain_text(FULL[who])
    wash.look(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"]
    assert page.errors == []
    facts = run.kept().facts
    assert (facts.points, facts.passed) == (100, True)


WHERE = "[...document.querySelectorAll('[data-track]')].map(one => one.getAttribute('transform')).join()"


def test_where_less_motion_is_asked_for_nothing_moves_by_itself(wash, hand):
    page = hand("june", reduced_motion="reduce")
    rolled(wash, page)
    before = page.evaluate(WHERE)
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert page.evaluate(WHERE) == before
    page.get_by_role("button", name="Play").tap()
    page.wait_for_function(f"before => {WHERE} !== before", arg=before)
    page.get_by_role("button", name="Pause").tap()
    stopped = page.evaluate(WHERE)
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert page.evaluate(WHERE) == stopped
    slider = page.locator(".runner input")
    slider.evaluate("s => { s.value = 1; s.dispatchEvent(new Event('input')) }")
    one = page.evaluate(WHERE)
    slider.evaluate("s => { s.value = 2; s.dispatchEvent(new Event('input')) }")
    assert page.evaluate(WHERE) != one


SEEN = """one => { const box = one.getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight; }"""


def test_what_an_act_did_is_in_sight_where_it_was_done(wash, hand):
    page = hand("june")
    run = start(wash, page, "fault", level="3")
    page.locator(run.button(run.best()[0])).tap()
    did = page.locator("#did")
    expect(did).to_be_visible()
    assert did.evaluate(SEEN)
    page.goto(f"{wash.address}/today")
    rolled(wash, page)
    assert page.locator("figure:has([data-track]) svg").first.evaluate(SEEN)
    assert page.locator("#did").evaluate(SEEN)


def test_from_a_lesson_to_a_running_bench_in_two_taps(wash, hand):
    page = hand("june")
    page.goto(f"{wash.address}/lessons/delays.window")
    still = page.locator("figure.still svg").first
    still.scroll_into_view_if_needed()
    expect(page.locator("figure.still .reach").first).to_be_hidden()
    assert still.evaluate("svg => getComputedStyle(svg).pointerEvents") == "none"
    with page.expect_navigation(wait_until="load"):
        page.locator("figure.still figcaption a").first.tap()
    with page.expect_navigation(wait_until="load"):
        page.locator("main button.act").tap()
    assert re.search(r"/bench/[0-9a-f-]{36}$", page.url)
    assert Run(wash, page).kept().facts.lesson == "delays.window"


def test_a_handle_that_is_let_go_where_it_was_sends_nothing(wash, hand):
    page = hand("june")
    run = start(wash, page, "beam", level="3")
    handle = page.locator(".handle").first
    handle.scroll_into_view_if_needed()
    room = handle.locator(".reach").bounding_box()
    at = room["x"] + room["width"] / 2, room["y"] + room["height"] / 2
    touch(page, "touchStart", at)
    touch(page, "touchMove", (at[0], at[1] + 40))
    touch(page, "touchMove", at)
    touch(page, "touchEnd", None)
    page.reload()
    assert run.kept().acts == ()


def test_without_script_a_bench_is_worked_to_full_marks(wash, hand):
    page = hand("june", java_script_enabled=False)
    run = start(wash, page, "delay", level="1")
    for act in run.best():
        by_form(run, act)
    expect(page.locator("#result-title")).to_contain_text(FULL["june"])
    assert run.kept().facts.points == 100


def test_a_trainer_gives_a_task_and_sees_it_passed(wash, hand):
    trainer, learner = hand("dale"), hand("june")
    trainer.goto(f"{wash.address}/benches/given")
    press(trainer, trainer.get_by_role("link", name=benches()["fault"].CARD.title.en, exact=True))
    wash.look(trainer)
    trainer.select_option("[name=person]", label="June Abbot")
    trainer.select_option("[name=level]", "1")
    trainer.fill("[name=note]", "Before your next shift, please.")
    press(trainer)
    row = trainer.locator("table tr", has_text="June Abbot").filter(has_text=benches()["fault"].CARD.title.en)
    expect(row).to_contain_text("not started")
    wash.look(trainer)
    learner.goto(f"{wash.address}/today")
    section = learner.locator("section[aria-labelledby=given-title]")
    expect(section).to_contain_text("From Dale")
    wash.look(learner)
    press(learner, section.get_by_role("link", name=benches()["fault"].CARD.title.en))
    card = learner.locator(".card", has_text="Before your next shift, please.")
    press(learner, card.get_by_role("button"))
    run = Run(wash, learner)
    work_out(run, "tapping")
    expect(learner.locator("#result-title")).to_contain_text(FULL["june"])
    learner.goto(f"{wash.address}/today")
    expect(section.filter(has_text=benches()["fault"].CARD.title.en)).to_have_count(0)
    trainer.reload()
    expect(row).to_contain_text("✓ 100 of 100 points")
    expect(row.get_by_role("button")).to_have_count(0)
