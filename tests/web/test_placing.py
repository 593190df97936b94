"""What to change about a pair: the search on its page, its end, how it is stopped, who may use it, on a phone."""

import re
import threading
from datetime import timedelta

import pytest

from tests.cast import MONDAY
from tests.web.certifying import words
from tests.web.test_look import faults, served, signed_in
from trainer.acts.sites import save_sheet
from trainer.sites import demo_text, read_sheet
from trainer.sites.placing.results import Found, Judged, Placement, Progress
from trainer.web import placing
from trainer.web.searches import MOST_KEPT, MOST_RUNNING, Searches

__all__ = ["served"]

ROOM = "may_stand: {lowest: 4 in, highest: 48 in, from: -12 in, to: 12 in}"
SMALL = "may_stand: {lowest: 18 in, highest: 21 in, from: 0 in, to: 0 in}"
TURNED_AWAY = "turned_away: [lifted_pickup, pickup_hitch_rack, sedan_bicycle_rack, suv_with_trailer]"
FEW = TURNED_AWAY.replace(
    "]", ", wagon, minivan, compact_suv, van, pickup_covered, pickup_loaded, sedan_roof_box]"
)


def save(stage, *changes):
    text = demo_text()
    for old, new in ((ROOM, SMALL), (TURNED_AWAY, FEW), *changes):
        assert old in text
        text = text.replace(old, new, 1)
    sheet = read_sheet(text, "sheet")
    save_sheet(
        stage.cast.database, site_id=stage.cast.site, by=stage.cast.tom, sheet=sheet, text=text, now=MONDAY
    )


@pytest.fixture
def small(stage):
    """The wash with a little room for its entry eye, so that a search is short."""
    save(stage)
    return stage


@pytest.fixture
def tom(small):
    return small.visitor(small.cast.tom)


def search(visitor, stage, eye="entry"):
    """Begin a search and let it come to its end."""
    answer = visitor.send(f"/survey/{eye}/change")
    assert (answer.status_code, answer.location) == (303, f"/survey/{eye}/change")
    stage.waiting.pop()()


def test_a_pair_that_is_as_good_as_any_is_left_where_it_stands(small, tom):
    search(tom, small)
    page = words(tom.get("/survey/entry/change"))
    assert "Leave it where it stands." in page
    assert "WARNING" not in page


def test_before_a_search_the_page_says_what_it_would_try(tom):
    page = words(tom.get("/survey/entry/change"))
    assert "from 18 in to 21 in above the floor" in page
    assert "That makes 32 ways" in page
    assert "Look for a better place" in page


@pytest.mark.parametrize(
    ("language", "verdict", "fails"),
    [("en", "Move it.", "fails: small hatchback"), ("es", "Muévelo.", "falla: carro chico")],
)
def test_what_is_found_stands_beside_the_pair_as_it_is_now(small, tom, language, verdict, fails):
    save(small, ("    low: 6 in\n    high: 30 in", "    low: 60 in\n    high: 64 in"))
    tom.send("/preferences", language=language, system="us")
    search(tom, small)
    page = tom.get("/survey/entry/change")
    said = words(page)
    assert verdict in said
    rows = re.findall(
        r'<tr><th scope="row">([^<]+)</th><td data-label[^>]*>(.*?)</td><td[^>]*>(.*?)</td>', page.text
    )
    assert len(rows) in (
        5,
        6,
    )  # two heights, the head that is high unless both are level, and the three that count
    assert ("The rest stays" in said) == (language == "en")
    low, high, error = (row[1:] for row in (rows[0], rows[1], rows[-3]))
    assert [re.match(r"\d+", one)[0] for one in (low[0], high[0])] == ["60", "64"]
    assert "<strong>" in low[1] and "<strong>" in high[1]
    assert fails in error[0]
    assert re.search(r"WARNING|ADVERTENCIA", said)
    table = page.text.split('id="ways"')[1]
    assert len(re.findall(r'<th scope="row">\d+</th>', table)) >= 1


def test_the_drawing_is_an_svg_in_both_themes_and_another_search_has_another_address(small, tom):
    assert tom.get("/survey/entry/change/drawing.svg").status_code == 404
    search(tom, small)
    first = re.findall(r'"(/survey/entry/change/drawing.svg[^"]+)"', tom.get("/survey/entry/change").text)
    assert len(set(first)) == 2
    for address in first:
        answer = tom.get(address.replace("&amp;", "&"))
        assert answer.mimetype == "image/svg+xml"
        assert "<svg" in answer.text
    search(tom, small)
    again = re.findall(r'"(/survey/entry/change/drawing.svg[^"]+)"', tom.get("/survey/entry/change").text)
    assert not set(first) & set(again)


def test_a_running_search_shows_how_far_it_is_and_looks_again_by_itself(small, tom):
    tom.send("/survey/entry/change")
    page = tom.get("/survey/entry/change")
    assert '<progress id="share" max="100" value="0">' in page.text
    assert '<label for="share">' in page.text
    # Without script there is a link that does the same.
    assert re.search(r'<noscript>.*href="/survey/entry/change".*</noscript>', page.text)
    assert "placing.js" in page.text
    assert "Stop looking" in words(page)
    assert 'class="act"' not in page.text


def test_a_stopped_search_ends_at_its_next_step_and_leaves_nothing(small, tom, monkeypatch):
    taken = []

    def steps(*_):
        for share in (0.1, 0.2, 0.3):
            taken.append(share)
            yield Progress(share)
            if share == 0.2:
                assert tom.send("/survey/entry/change/stop").status_code == 303

    monkeypatch.setattr(placing, "search", steps)
    search(tom, small)
    assert taken == [0.1, 0.2, 0.3]  # the third was asked for, and not used
    page = words(tom.get("/survey/entry/change"))
    assert "You stopped the search." in page
    assert "32 ways" in page
    assert tom.get("/survey/entry/change/drawing.svg").status_code == 404
    # Stopping what does not run is harmless.
    assert tom.send("/survey/entry/change/stop").status_code == 303


def test_a_search_that_breaks_off_says_so(small, tom, monkeypatch, caplog):
    def steps(*_):
        yield Progress(0.5)
        raise ZeroDivisionError

    monkeypatch.setattr(placing, "search", steps)
    search(tom, small)
    assert "The search broke off" in words(tom.get("/survey/entry/change"))
    assert "ZeroDivisionError" in caplog.text


def test_a_new_sheet_ends_what_an_older_one_found(small, tom):
    search(tom, small)
    assert "All that nothing beats" in words(tom.get("/survey/entry/change"))
    save(small, ("width: 12 ft", "width: 13 ft"))
    page = words(tom.get("/survey/entry/change"))
    assert "All that nothing beats" not in page
    assert "Look for a better place" in page


def test_what_is_found_is_forgotten_an_hour_after_it_was_last_looked_at(small, tom):
    search(tom, small)
    small.clock.move(minutes=50)
    assert "All that nothing beats" in words(tom.get("/survey/entry/change"))
    small.clock.move(minutes=50)
    assert "All that nothing beats" in words(tom.get("/survey/entry/change"))
    small.clock.move(minutes=61)
    assert "All that nothing beats" not in words(tom.get("/survey/entry/change"))


def test_each_person_has_their_own_search(small, tom):
    search(tom, small)
    mia = small.visitor(small.cast.mia)
    assert "All that nothing beats" not in words(mia.get("/survey/entry/change"))
    search(mia, small)
    assert "All that nothing beats" in words(mia.get("/survey/entry/change"))


def test_a_pair_that_may_not_be_moved_says_what_to_write(stage):
    save(stage, (SMALL, "may_stand: none"))
    tom = stage.visitor(stage.cast.tom)
    assert "nothing of this pair may be moved" in words(tom.get("/survey/entry/change"))
    assert tom.send("/survey/entry/change").status_code == 404
    assert stage.waiting == []


def test_trainer_and_manager_use_it_and_nobody_else(small):
    for who, status in (("tom", 200), ("mia", 200), ("ana", 403), ("lee", 403)):
        visitor = small.visitor(getattr(small.cast, who))
        assert visitor.get("/survey/entry/change").status_code == status
        assert visitor.send("/survey/entry/change").status_code == (303 if status == 200 else 403)
    assert small.visitor(small.cast.tom).get("/survey/nobody/change").status_code == 404
    assert small.visitor(small.cast.tom).send("/survey/nobody/change/stop").status_code == 404


def test_every_pair_of_the_survey_leads_to_it(small, tom):
    page = tom.get("/survey").text
    for eye in ("entry", "profile", "exit"):
        assert f'href="/survey/{eye}/change"' in page


def nothing_found():
    here = Judged(Placement(0.1, 0.7, "driver", "receiver", 0.0), 0.1, 0, 2.0)
    return Found((here,), here, None, (), 1)


def endless(gate):
    while True:
        gate.wait()
        yield Progress(0.5)


def test_few_searches_run_at_once_and_few_are_kept():
    searches, waiting = Searches(), []

    def begin(key, now=MONDAY):
        steps = lambda: iter([Progress(1.0, None, nothing_found())])  # noqa: E731
        return searches.begin(key, (1, 2026), steps, now, waiting.append)

    assert all(begin((person, "entry")) for person in range(MOST_RUNNING))
    assert not begin((99, "entry"))
    # In place of one's own there is always room, and a finished one makes room.
    assert begin((0, "entry"))
    for work in waiting:
        work()
    for person in range(MOST_KEPT + 10):
        assert begin((person, "exit"), MONDAY + timedelta(seconds=person))
        waiting.pop()()
    assert len(searches.kept) <= MOST_KEPT
    assert (MOST_KEPT + 9, "exit") in searches.kept


def test_a_thread_ends_soon_after_it_is_stopped():
    searches, gate, threads = Searches(), threading.Event(), []

    def beside(work):
        threads.append(threading.Thread(target=work))
        threads[-1].start()

    assert searches.begin((1, "entry"), (1, 2026), lambda: endless(gate), MONDAY, beside)
    running = searches.of((1, "entry"), MONDAY)
    running.stop()
    gate.set()
    assert running.ended.wait(5)
    threads[0].join(5)
    assert not threads[0].is_alive()
    assert running.shown.state == "stopped"


def test_beginning_anew_stops_the_earlier_search():
    searches, gate = Searches(), threading.Event()
    gate.set()
    works = []
    for _ in range(2):
        searches.begin((1, "entry"), (1, 2026), lambda: endless(gate), MONDAY, works.append)
    works[0]()  # an endless one comes to its end: it was stopped before it began
    assert searches.of((1, "entry"), MONDAY).shown.state == "running"


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 1280)])
def test_no_state_of_the_page_has_a_fault_that_a_program_can_find(served, make_page, theme, width):
    stage, address = served
    save(stage)
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800}, is_mobile=width < 1000)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/survey/entry/change")
    assert faults(page) == []
    page.get_by_role("button", name="Look for a better place").click()
    page.get_by_role("button", name="Stop looking").wait_for()
    assert faults(page) == []
    stage.waiting.pop()()
    # The page finds out by itself.
    page.get_by_role("heading", name="All that nothing beats").wait_for()
    assert faults(page) == []
    image = page.locator("figure img")
    image.evaluate("image => image.decode()")
    assert image.evaluate("image => image.naturalWidth") > 0
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def test_the_search_is_stopped_by_its_button(served, page):
    stage, address = served
    save(stage)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/survey/entry/change")
    page.get_by_role("button", name="Look for a better place").click()
    page.get_by_role("button", name="Stop looking").click()
    page.get_by_text("You stopped the search.").wait_for()
    stage.waiting.pop()()
    page.reload()
    assert page.get_by_text("You stopped the search.").is_visible()
