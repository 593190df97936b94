"""Exams in a real browser: by keyboard alone, without script, without a connection, read by axe."""

from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from sqlalchemy import select

from tests.cast import PASSWORD
from tests.six_kinds import RIGHT, form_fields
from tests.web.exam_house import make_exam_house, on_a_port, sign_in
from tests.web.test_examine import key_of, post_form, sitting_of, slots
from trainer.acts import invigilating
from trainer.records.tables import ExamAnswer


@pytest.fixture
def wash(tmp_path):
    with on_a_port(make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", opens_cabinet=True)) as made:
        yield made


@pytest.fixture
def enter(wash):
    """Signs a window in; gives the window."""
    return lambda page, person=None: sign_in(wash, page, person or wash.cast.tom)


def start(wash, page):
    page.goto(f"{wash.address}/exams/about/six")
    page.get_by_role("button", name="Start the exam now").click()
    page.wait_for_url("**/1")
    return page.url.split("/")[-2]


def number_of(wash, exam, question):
    return next(number for number, one in slots(wash, exam).items() if one == question)


def open_question(wash, page, exam, question):
    number = number_of(wash, exam, question)
    page.goto(f"{wash.address}/exams/{exam}/{number}")
    return number


def kept(wash):
    with wash.cast.database.reading() as db:
        return [
            (row.slot, row.revision, row.answer)
            for row in db.scalars(select(ExamAnswer).order_by(ExamAnswer.id))
        ]


def tab_to(page, name):
    """Press Tab until a control of this name has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("name => document.activeElement.name === name", name):
            return
    raise AssertionError(f"Tab never reached {name}")


def answer_by_keyboard(page, question, answer):
    """Type, arrow, space: whatever the kind of control takes."""
    for name, value in form_fields(question, answer):
        kind = page.evaluate("name => document.getElementsByName(name)[0].type", name)
        if kind == "text":
            tab_to(page, name)
            page.keyboard.type(value)
        elif kind == "select-one":
            tab_to(page, name)
            options = page.evaluate(
                "name => [...document.getElementsByName(name)[0].options].map(o => o.value)", name
            )
            for _ in range(options.index(value)):
                page.keyboard.press("ArrowDown")
        else:
            tab_to(page, name)
            for _ in range(8):
                if page.evaluate("() => document.activeElement.value") == value:
                    break
                page.keyboard.press("ArrowDown" if kind == "radio" else "Tab")
            if not page.evaluate("() => document.activeElement.checked"):
                page.keyboard.press("Space")
    for _ in range(20):
        if page.evaluate("() => document.activeElement.matches('button.act')"):
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")


def test_a_whole_exam_by_keyboard_alone(wash, enter, make_page):
    """WCAG 2.2, 2.1.1: everything is done from the keyboard, and the focus goes nowhere it cannot leave."""
    page = enter(make_page(is_mobile=False, has_touch=False))
    exam = start(wash, page)
    for number, question in slots(wash, exam).items():
        expect(page).to_have_url(f"{wash.address}/exams/{exam}/{number}")
        answer_by_keyboard(page, question, key_of(wash, exam, number))
        page.wait_for_url(f"**/{number + 1}" if number < 6 else "**/review")
    expect(page.get_by_role("heading", name="Every question has an answer")).to_be_visible()
    page.get_by_role("button", name="Hand in my exam").press("Enter")
    page.wait_for_url("**/result")
    assert sitting_of(wash, exam).passed, kept(wash)


def test_saving_works_without_script(wash, enter, make_page):
    page = enter(make_page(java_script_enabled=False))
    exam = start(wash, page)
    number = open_question(wash, page, exam, "lockout.order")
    for item, place in (("Stop the machine", "1"), ("Open the disconnect", "2"), ("Put on your lock", "3")):
        page.get_by_label(item).select_option(place)
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#said")).to_contain_text(f"Question {number} is saved.")
    assert kept(wash) == [(number, 1, RIGHT["lockout.order"])]


def test_without_a_connection_the_answer_waits_and_is_sent_once(wash, enter, make_page):
    page = enter(make_page())
    exam = start(wash, page)
    number = open_question(wash, page, exam, "eyes.choice")
    page.context.set_offline(True)
    page.get_by_label("The emitter").check()
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#saving")).to_contain_text("Not saved: no connection.")
    page.get_by_role("button", name="Save my answer").click()
    assert kept(wash) == []
    page.context.set_offline(False)
    page.wait_for_url(lambda url: not url.endswith(f"/{number}"))
    assert kept(wash) == [(number, 1, "emitter")]


def test_two_minutes_without_a_network_lose_nothing_and_are_given_back(wash, enter, make_page):
    """Script's own clock is moved, so that two minutes pass in a moment: it keeps trying, the answer goes once."""
    page = enter(make_page())
    page.clock.install()
    exam = start(wash, page)
    number = open_question(wash, page, exam, "eyes.length")
    page.context.set_offline(True)
    page.get_by_label("Your answer").fill("16 ft 4 in")
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#saving")).to_contain_text("Not saved: no connection.")
    for _ in range(8):
        page.clock.run_for(15_000)
        wash.clock.forward(seconds=15)
    expect(page.locator("#saving")).to_contain_text("Not saved: no connection.")
    assert kept(wash) == []
    assert page.evaluate("() => Object.values(localStorage).some((one) => one.includes('16 ft 4 in'))")
    page.context.set_offline(False)
    page.clock.run_for(15_000)
    page.wait_for_url(lambda url: not url.endswith(f"/{number}"))
    assert kept(wash) == [(number, 1, "16 ft 4 in")]
    before = sitting_of(wash, exam).deadline
    invigilating.give_back(
        wash.cast.database, by=wash.member(wash.cast.mia), exam=exam, much=timedelta(minutes=2),
        reason="The network was out.", now=wash.clock(),
    )  # fmt: skip
    assert sitting_of(wash, exam).deadline == before + timedelta(minutes=2)


def test_another_place_only_looks_on_until_it_is_let_in(wash, enter, make_page):
    """The old page says so by itself when it tries to save, and its draft is not lost."""
    page, phone = enter(make_page()), enter(make_page())
    exam = start(wash, page)
    number = open_question(wash, page, exam, "eyes.length")
    page.get_by_label("Your answer").fill("16 ft")
    phone.goto(f"{wash.address}/exams/{exam}/{number}")
    expect(phone.get_by_role("heading", name="Your exam is open in another place")).to_be_visible()
    phone.get_by_label("What you sign in with").fill(PASSWORD)
    phone.get_by_role("button", name="Go on here").click()
    expect(phone.locator("#said")).to_contain_text("Your exam goes on here now.")
    phone.goto(f"{wash.address}/exams/{exam}/{number}")
    expect(phone.get_by_label("Your answer")).to_be_visible()
    page.get_by_role("button", name="Save my answer").click()
    expect(page.get_by_role("heading", name="Your exam is open in another place")).to_be_visible()
    assert kept(wash) == []


def test_a_stopped_clock_holds_an_answer_back_and_takes_it_when_it_runs(wash, enter, make_page):
    page = enter(make_page())
    exam = start(wash, page)
    number = open_question(wash, page, exam, "eyes.length")
    mia = wash.member(wash.cast.mia)
    invigilating.pause(wash.cast.database, by=mia, exam=exam, reason="A leak.", now=wash.clock())
    page.get_by_label("Your answer").fill("16 ft")
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#saving")).to_contain_text("The clock of your exam stands.")
    assert kept(wash) == []
    invigilating.resume(wash.cast.database, by=mia, exam=exam, now=wash.clock())
    page.wait_for_url(lambda url: not url.endswith(f"/{number}"))
    assert kept(wash) == [(number, 1, "16 ft")]


def test_what_was_typed_and_not_saved_is_there_again_after_a_reload(wash, enter, make_page):
    page = enter(make_page())
    exam = start(wash, page)
    open_question(wash, page, exam, "eyes.length")
    page.get_by_label("Your answer").fill("16 ft 4 in")
    expect(page.locator("#saving")).to_have_text("Not saved yet.")
    page.reload()
    expect(page.get_by_label("Your answer")).to_have_value("16 ft 4 in")
    expect(page.locator("#saving")).to_contain_text("what you typed last on this device")
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#said")).to_contain_text("is saved")
    assert [text for _, _, text in kept(wash)] == ["16 ft 4 in"]


def test_a_draft_older_than_what_was_saved_in_another_window_gives_way(wash, enter, make_page):
    page = enter(make_page())
    exam = start(wash, page)
    number = open_question(wash, page, exam, "eyes.length")
    page.get_by_label("Your answer").fill("3 ft")
    wash.app.config["WTF_CSRF_ENABLED"] = False
    window = wash.app.test_client()
    [mine] = [one for one in page.context.cookies() if one["name"] == "stringline"]
    window.set_cookie("stringline", mine["value"])
    post_form(window, exam, number, "eyes.length", "16 ft")
    wash.app.config["WTF_CSRF_ENABLED"] = True
    page.get_by_role("button", name="Save my answer").click()
    expect(page.locator("#saving")).to_contain_text("saved from somewhere else")
    page.reload()
    expect(page.get_by_label("Your answer")).to_have_value("3 ft")
    page.get_by_role("button", name="Save my answer").click()
    page.wait_for_url(lambda url: not url.endswith(f"/{number}") or number == 6)
    assert kept(wash) == [(number, 1, "16 ft"), (number, 2, "3 ft")]


@pytest.mark.parametrize(
    ("gone", "said"),
    [
        ({"minutes": 5, "seconds": 3}, "5 minutes left."),
        ({"minutes": 9, "seconds": 3}, "1 minute left. Save"),
    ],
)
def test_the_time_left_is_said_aloud(wash, enter, make_page, gone, said):
    page = enter(make_page())
    start(wash, page)
    wash.clock.forward(**gone)
    page.reload()
    expect(page.get_by_role("status").filter(has_text=said)).to_have_count(1)
    expect(page.locator(".timeleft")).to_contain_text("minute")


def test_this_devices_clock_does_not_matter(wash, enter, make_page):
    page = enter(make_page())
    page.clock.install(time="2031-07-01T00:00:00Z")
    start(wash, page)
    expect(page.locator("[data-left]")).to_have_text("10 minutes left")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_is_wider_than_a_small_phone(wash, enter, make_page, scheme):
    page = enter(make_page(color_scheme=scheme, viewport={"width": 320, "height": 640}))
    page.goto(f"{wash.address}/exams/about/six")
    check(page)
    exam = start(wash, page)
    for number in slots(wash, exam):
        page.goto(f"{wash.address}/exams/{exam}/{number}")
        check(page)
    page.goto(f"{wash.address}/exams/{exam}/review")
    check(page)
    page.get_by_role("button", name="Hand in my exam").click()
    page.wait_for_url("**/result")
    check(page)
    page.goto(f"{wash.address}/exams/")
    check(page)


def check(page):
    found = [(one["id"], one["nodes"][0]["html"]) for one in Axe().run(page).response["violations"]]
    assert found == [], page.url
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"], page.url
    small = page.evaluate(
        "() => [...document.querySelectorAll('main :is(button, select, .card, .slots a)')]"
        ".filter(e => e.getBoundingClientRect().height < 48).map(e => e.outerHTML)"
    )
    assert small == [], page.url


def test_the_focus_is_never_under_the_time_left(wash, enter, make_page):
    """WCAG 2.2, 2.4.11, at a window as low as 400 % zoom makes it."""
    page = enter(make_page(is_mobile=False, has_touch=False, viewport={"width": 320, "height": 256}))
    exam = start(wash, page)
    open_question(wash, page, exam, "lockout.table")
    for key in ["Tab"] * 20 + ["Shift+Tab"] * 20:
        page.keyboard.press(key)
        hidden = page.evaluate(
            "() => { const e = document.activeElement; if (!e.closest('main') || e.matches('main')) return false;"
            " const box = e.getBoundingClientRect(), bar = document.querySelector('.timeleft').getBoundingClientRect();"
            " return box.bottom <= bar.bottom && box.top >= bar.top; }"
        )
        assert not hidden, page.evaluate("() => document.activeElement.outerHTML")
