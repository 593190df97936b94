import threading

import pytest
from axe_playwright_python.sync_playwright import Axe
from flask import render_template_string, request
from werkzeug.serving import make_server

from tests.cast import MONDAY
from trainer.acts.tablets import enrol_tablet
from trainer.web.callers import TABLET_COOKIE
from trainer.web.guards import open_to_all

PARTS = """
{% extends "base.html" %}{% import "parts.html" as parts %}
{% block title %}Every part{% endblock %}{% block where %}<p>In a test</p>{% endblock %}
{% block purpose %}All parts on one page.{% endblock %}
{% block drawing %}<figure class="sheet-drawing">
<svg viewBox="0 0 300 200" role="img" aria-label="A beam">
<path d="M10 100H290" fill="none" stroke="currentColor"/></svg>
</figure>{% endblock %}
{% block work %}
{{ parts.string(0, 4, "0 of 4 proven") }}{{ parts.string(2, 4, "2 of 4 proven") }}
{{ parts.string(4, 4, "4 of 4 proven") }}
{{ parts.string(0, 0, "nothing yet") }}
{% for word in ("danger", "warning", "caution", "notice") %}{{ parts.caution(word, "Lock it out first.") }}{% endfor %}
<table class="reflow"><caption>Eyes</caption><thead><tr><th scope="col">Eye</th><th scope="col">Height</th></tr></thead>
<tbody><tr><th scope="row">Entrance</th><td class="number" data-label="Height">24 in</td></tr></tbody></table>
{{ parts.empty("No drill yet.", "Start one", "/") }}{{ parts.refused(["This is why."]) }}
<p class="right">Right.</p><p class="wrong">Not yet.</p>
<form method="post" action="/kept">{{ parts.csrf() }}
{{ parts.button("Check my answer") }}{{ parts.button("Later", "later", "yes", second=True) }}</form>
{% endblock %}
{% block after %}<p>Then the next one.</p>{% endblock %}
"""


@pytest.fixture
def served(stage):
    """The stage on a port of this machine; gives the stage and its address."""
    stage.kept = []

    @stage.app.get("/parts")
    @open_to_all
    def parts():
        return render_template_string(PARTS)

    @stage.app.post("/kept")
    @open_to_all
    def keep():
        stage.kept.append(request.form.to_dict(flat=False))
        return "kept"

    server = make_server("127.0.0.1", 0, stage.app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield stage, f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join(timeout=5)
    server.server_close()


def signed_in(stage, page, address, person):
    client = stage.visitor(person)
    name = stage.app.config["SESSION_COOKIE_NAME"]
    page.context.add_cookies([{"name": name, "value": client.get_cookie(name).value, "url": address}])


def faults(page):
    """What axe finds, and whether the page is wider than its window."""
    found = [(one["id"], one["nodes"][0]["html"]) for one in Axe().run(page).response["violations"]]
    # Not the window's own inner width: a phone's browser widens that to what does not fit.
    wider = page.evaluate("document.documentElement.scrollWidth") - page.viewport_size["width"]
    return found + ([("wider than the window", wider)] if wider > 0 else [])


ADDRESSES = {
    None: ["/sign-in", "/sign-in?language=es", "/parts"],
    "lee": [
        "/preferences", "/preferences/password", "/preferences/pin", "/members", "/members/new", "/members/ana-1",
        "/members/ana-1/password", "/members/ana-1/leave", "/tablets", "/no-such-page",
    ],
}  # fmt: skip


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 1280)])
@pytest.mark.parametrize("who", [None, "lee"])
def test_no_page_has_a_fault_that_a_program_can_find(served, make_page, theme, width, who):
    stage, address = served
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800}, is_mobile=width < 1000)
    if who:
        signed_in(stage, page, address, getattr(stage.cast, who))
    for path in ADDRESSES[who]:
        page.goto(address + path)
        assert (path, faults(page)) == (path, [])


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_tablets_door_has_no_fault_either(served, make_page, theme):
    stage, address = served
    token = enrol_tablet(stage.cast.database, by=stage.cast.lee, name="Bay entrance", now=MONDAY)
    page = make_page(color_scheme=theme)
    page.context.add_cookies([{"name": TABLET_COOKIE, "value": token, "url": address}])
    page.goto(f"{address}/sign-in")
    assert faults(page) == []
    page.get_by_role("link", name="Tom Becker").click()
    page.wait_for_url("**/sign-in/tom-1")
    assert faults(page) == []
    assert page.get_by_label("PIN, six digits").get_attribute("inputmode") == "numeric"


def test_controls_are_as_high_as_a_thumb_and_the_one_button_stands_at_the_bottom(served, page):
    _, address = served
    page.goto(f"{address}/parts")
    heights = page.eval_on_selector_all(
        "button, a.act, a.card, input:not([type=hidden]), select, summary",
        """all => all.filter(one => one.checkVisibility())
            .map(one => [one.outerHTML, one.getBoundingClientRect().height])""",
    )
    assert heights
    assert [one for one in heights if one[1] < 48] == []
    button = page.locator("button.act").bounding_box()
    assert button["y"] + button["height"] == pytest.approx(844 - 8, abs=1)


def test_the_drawing_stands_beside_the_work_on_a_wide_screen_and_above_it_on_a_phone(served, make_page):
    _, address = served
    for width, beside in ((390, False), (1024, True)):
        page = make_page(viewport={"width": width, "height": 800}, is_mobile=False)
        page.goto(f"{address}/parts")
        drawing, work = page.locator(".drawing").bounding_box(), page.locator(".work").bounding_box()
        assert (work["x"] >= drawing["x"] + drawing["width"]) is beside
        assert (work["y"] >= drawing["y"] + drawing["height"]) is not beside


def test_a_string_that_is_done_is_straight(served, page):
    _, address = served
    page.goto(f"{address}/parts")
    sags = page.eval_on_selector_all(
        ".string", "all => all.map(one => one.querySelectorAll('path')[1].getBBox().height)"
    )
    assert sags[0] > sags[1] > sags[2] == 0
    assert sags[3] == sags[0]


def test_signal_words_have_their_symbol_and_their_language(served, page):
    _, address = served
    page.goto(f"{address}/parts?language=es")
    words = page.locator(".signal .word")
    assert [one.strip() for one in words.all_inner_texts()] == [
        "PELIGRO",
        "ADVERTENCIA",
        "PRECAUCIÓN",
        "AVISO",
    ]
    # ANSI Z535.4 (from memory): the safety alert symbol stands with danger, warning and caution, never with notice.
    assert [words.nth(place).locator("svg").count() for place in range(4)] == [1, 1, 1, 0]


def test_without_a_connection_the_page_says_so_and_sends_by_itself_once_there_is_one(served, page):
    stage, address = served
    page.goto(f"{address}/parts")
    page.context.set_offline(True)
    page.get_by_role("button", name="Check my answer").click()
    page.get_by_text("No connection. Nothing you typed is lost").wait_for()
    assert stage.kept == []
    page.context.set_offline(False)
    page.wait_for_url("**/kept")
    assert len(stage.kept) == 1


def test_whose_session_ended_signs_in_in_a_second_window_and_the_first_one_sends_by_itself(served, page):
    stage, address = served
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/parts")
    session = page.context.cookies()
    stage.clock.move(hours=13)
    page.get_by_role("button", name="Check my answer").click()
    page.get_by_text("You were signed out. Nothing you typed is lost").wait_for()
    assert stage.kept == []
    stage.clock.move(hours=-13)
    page.context.add_cookies(session)
    page.wait_for_url("**/kept")
    assert len(stage.kept) == 1


def test_a_second_press_sends_nothing_twice(served, page):
    stage, address = served
    page.goto(f"{address}/parts")
    page.evaluate(
        "() => { const b = document.querySelector('button.act'); b.click(); b.click(); b.click(); }"
    )
    page.wait_for_url("**/kept")
    assert len(stage.kept) == 1


def test_on_paper_there_are_no_buttons_and_no_colours(served, page):
    _, address = served
    page.goto(f"{address}/parts")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.locator("button.act").is_hidden()
    assert page.locator(".mine").is_hidden()
    looks = page.evaluate(
        """() => [...document.querySelectorAll('.signal .word, body, main p')].map(one => {
            const style = getComputedStyle(one); return [style.color, style.backgroundColor]; })"""
    )
    allowed = {"rgb(0, 0, 0)", "rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    assert {colour for pair in looks for colour in pair} <= allowed
