"""Each bench worked to full marks by pulling, by tapping and by keyboard; and what script must not lose or move."""

import re

import pytest
from playwright.sync_api import expect

from tests.story.bench_hands import WAYS, Run, start, touch, work_out
from trainer.benches.catalogue import benches

PHONE = {"width": 360, "height": 740}
TABLET = {"width": 820, "height": 1180}
EVERY = sorted(benches())
FULL = {"june": "100 of 100 points", "rico": "100 de 100 puntos", "pilar": "100 of 100 points"}


@pytest.fixture
def hand(wash, make_page):
    """Makes a page for somebody who has signed in; errors of script are collected on it."""

    def make(who, viewport=PHONE, **more):
        page = make_page(viewport=viewport, has_touch=True, **more)
        page.set_default_timeout(20_000)
        page.errors = []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        wash.sign_in(page, who)
        return page

    return make


# One in Spanish, one in metric, one on a tablet: who works which bench which way.
WHO = {
    ("aiming", "keyboard"): ("june", TABLET),
    ("beam", "tapping"): ("pilar", PHONE),
    ("beam", "pulling"): ("june", TABLET),
    ("delay", "tapping"): ("rico", PHONE),
    ("fault", "pulling"): ("rico", PHONE),
    ("lockout", "keyboard"): ("june", TABLET),
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("bench", EVERY)
def test_a_bench_is_worked_to_full_marks(wash, hand, bench, way):
    who, viewport = WHO.get((bench, way), ("june", PHONE))
    page = hand(who, viewport)
    run = start(wash, page, bench)
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


def rolled(wash, page):
    """A beam bench on which one vehicle was just rolled past."""
    run = start(wash, page, "beam", level="2")
    page.locator("ul.play button").nth(1).tap()
    page.wait_for_selector(".runner:not([hidden])")
    return run


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


# Gaps between frames, and what a frame's callbacks took before this one, which is the last of them [ms].
FRAMES = """() => new Promise(done => {
  const gaps = [], work = []; let last = null;
  const tick = now => {
    work.push(performance.now() - now);
    if (last !== null) gaps.push(now - last);
    last = now;
    if (gaps.length < 120) requestAnimationFrame(tick); else done([gaps, work]);
  };
  requestAnimationFrame(tick);
})"""


def test_what_rolls_is_smooth_on_a_slow_phone(wash, hand):
    """No frame over 32 ms with the processor slowed four times; the best of three, for other tests share these cores.

    A frame that another process held up is a gap of two frames, 33.3 ms: one in a hundred of these is let pass.
    """
    page = hand("june")
    rolled(wash, page)
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    smooth = False
    for _ in range(3):
        if page.get_by_role("button", name="Play").count():
            page.get_by_role("button", name="Play").tap()
        gaps, work = (sorted(one) for one in page.evaluate(FRAMES))
        print(
            f"\nframes: median {gaps[60]:.1f}, then {gaps[117]:.1f}, worst {gaps[-1]:.1f} ms, work {work[-1]:.1f}"
        )
        smooth = smooth or (gaps[117] <= 32 and work[-1] <= 32)
        if smooth:
            break
    assert smooth


def test_an_act_that_finds_no_connection_arrives_by_itself_and_once(wash, hand):
    page = hand("june")
    run = start(wash, page, "delay", level="2")
    page.context.set_offline(True)
    page.fill("#set-on_delay", "0.4")
    page.locator("#do-set").tap()
    expect(page.locator("#offline")).to_be_visible()
    assert run.kept().acts == ()
    page.context.set_offline(False)
    page.wait_for_function("() => document.getElementById('bench').dataset.number === '2'", timeout=30_000)
    expect(page.locator("#offline")).to_be_hidden()
    assert len(run.kept().acts) == 1


def test_an_act_that_had_not_arrived_is_sent_after_a_reload_and_once(wash, hand):
    page = hand("june")
    run = start(wash, page, "delay", level="3")
    page.route(
        "**/bench/*", lambda route: route.abort() if route.request.method == "POST" else route.fallback()
    )
    page.fill("#set-on_delay", "0.5")
    page.locator("#do-set").tap()
    page.wait_for_function(f"() => localStorage.getItem('stringline bench {run.id}') !== null")
    assert run.kept().acts == ()
    page.unroute("**/bench/*")
    page.reload()
    page.wait_for_function("() => document.getElementById('bench').dataset.number === '2'")
    page.reload()
    assert len(run.kept().acts) == 1
    assert page.get_attribute("#bench", "data-number") == "2"


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
