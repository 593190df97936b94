"""A bench of an exam in a real browser: played without leaving the page, kept through a lost answer, read by axe."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.exams.bench_exam import bench_scheme
from tests.web.exam_house import make_exam_house, on_a_port, sign_in
from tests.web.test_exam_benches import on_bench, sitting_of
from trainer.records.queries import exams as queries


@pytest.fixture
def wash(tmp_path):
    house = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", areas=bench_scheme().areas)
    with on_a_port(house) as made:
        yield made


@pytest.fixture
def page_of(wash, page):
    """Opens the bench of an exam that has just begun; gives the page, the exam and its number."""
    sign_in(wash, page, wash.cast.tom)
    page.goto(f"{wash.address}/exams/about/six")
    page.get_by_role("button", name="Start the exam now").click()
    page.wait_for_url("**/1")
    exam = page.url.split("/")[-2]
    number, *_ = on_bench(wash, exam)
    page.goto(f"{wash.address}/exams/{exam}/{number}")
    return page, exam, number


def kept(wash, exam, number):
    with wash.cast.database.reading() as db:
        given = queries.standing_answers(db, sitting_of(wash, exam).id).get(number)
    return given.revision if given else 0


def try_delays(page, on, off):
    page.locator("#act-set [name=on_delay]").fill(on)
    page.locator("#act-set [name=off_delay]").fill(off)
    page.locator("#do-set").click()


def test_it_is_played_without_leaving_the_page(wash, page_of):
    page, exam, number = page_of
    address = page.url
    for step in (1, 2):
        try_delays(page, f"{step * 0.1:.1f}", "0.5")
        expect(page.locator("#bench")).to_have_attribute("data-number", str(step + 1))
    assert (page.url, kept(wash, exam, number)) == (address, 2)
    page.locator("#do-finish").click()
    expect(page.locator("#ended-title")).to_be_focused()
    expect(page.locator("#ended-title")).to_have_text("You have ended this bench")
    assert "of 100 points" not in page.content()
    page.get_by_role("link", name="Go on").click()
    expect(page.locator("h1")).not_to_have_text(f"Question {number} of 6")


def test_a_lost_answer_is_asked_for_again_and_counts_once(wash, page_of):
    page, exam, number = page_of
    lost = []

    def lose(route):
        if lost:
            return route.continue_()
        lost.append(route.fetch())
        return route.abort()

    page.route("**/acts", lose)
    try_delays(page, "0.1", "0.5")
    expect(page.locator("#bench")).to_have_attribute("data-number", "2", timeout=15000)
    assert (len(lost), kept(wash, exam, number)) == (1, 1)


@pytest.mark.parametrize("over", [False, True])
def test_axe_finds_nothing(page_of, over):
    page, *_ = page_of
    if over:
        try_delays(page, "0.1", "0.5")
        expect(page.locator("#bench")).to_have_attribute("data-number", "2")
        page.locator("#do-finish").click()
        expect(page.locator("#ended-title")).to_be_visible()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("wide", [360, 1280])
def test_nothing_is_wider_than_the_screen(page_of, wide):
    page, *_ = page_of
    page.set_viewport_size({"width": wide, "height": 740})
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
