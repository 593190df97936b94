"""The list beside a cabinet: who sees it, what stands on it, to the second, and how it grows old in a browser."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from tests.acts.certified import Way, new_id
from tests.web.certifying import way_on, words
from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture by its name
from trainer.acts.standing import Asked, reduce, suspend
from trainer.acts.tablets import enrol_tablet, withdraw_tablet
from trainer.web.callers import TABLET_COOKIE


@pytest.fixture
def way(stage):
    return certified(way_on(stage))


def certified(way: Way):
    way.exam(), way.practical(note="Slow at the valves."), way.decide()
    return way


def address(way):
    return f"/roster/{way.cast.main_cabinet}"


def tablet(way, by="lee"):
    token = enrol_tablet(way.cast.database, by=getattr(way.cast, by), name="Bay", now=way.tick())
    visitor = way.by(None)
    visitor.set_cookie(TABLET_COOKIE, token)
    return visitor


def names(answer):
    return re.findall(r"<strong>([^<]+)</strong>", answer.text)


def test_an_enrolled_tablet_shows_names_and_until_when_in_both_languages_and_no_more(way):
    answer = tablet(way).get(address(way))
    assert names(answer) == ["Ana Ruiz"]
    page = words(answer)
    for part in ("May open it now, under lockout", "Pueden abrirlo ahora, con bloqueo", "until Mar", "hasta"):
        assert part in page
    for hidden in ("Tom Becker", "Mia Okafor", "Slow at the valves", "Otto Vance", "No passed exam"):
        assert hidden not in page


def test_nobody_else_sees_it(way):
    assert way.by(None).get(address(way)).status_code == 303
    assert way.by("ana").get(address(way)).status_code == 200
    assert way.by("otto").get(address(way)).status_code == 404
    visitor = tablet(way)
    assert visitor.get(f"/roster/{way.cast.other_cabinet}").status_code == 404
    withdraw_tablet(way.cast.database, by=way.cast.lee, tablet_id=1, now=way.tick())
    assert visitor.get(address(way)).status_code == 303


def test_one_second_after_expiry_nobody_stands_there(way):
    visitor, end = tablet(way), way.certificate().expires_at
    way.stage.clock.now = end - timedelta(seconds=1)
    assert names(visitor.get(address(way))) == ["Ana Ruiz"]
    assert 'data-left="1"' in visitor.get(address(way)).text
    way.stage.clock.now = end
    answer = visitor.get(address(way))
    assert names(answer) == []
    assert "Nobody may open it now" in words(answer)
    way.stage.clock.now = end + timedelta(seconds=1)
    assert names(visitor.get(address(way))) == []


def test_a_year_over_a_change_of_clocks_ends_at_the_same_hour_at_the_site(stage):
    # Issued on 2 March 2026 (UTC-6). Sat exams count a year by the stored instant here; the practical's and the
    # certificate's months are reckoned by the site's clock, and both ends are shown in it.
    way = way_on(stage)
    way.now = stage.clock.now = datetime(2026, 3, 8, 7, 30, tzinfo=UTC)
    certified(way)
    page = words(way.by("ana").get(address(way)))
    end = way.certificate().expires_at
    assert end == datetime(2027, 3, 8, 7, 31, tzinfo=UTC)
    assert "Mar 8, 2027, 1:31:00" in page.replace("\u202f", " ")


def test_suspended_is_off_at_once_and_reduced_says_what_not(way):
    visitor, held = tablet(way), way.certificate()
    ask = Asked(new_id(), held.public_id, "Parts only by others.")
    reduce(way.cast.database, ask, ["replace_parts"], by=way.cast.mia, now=way.tick())
    page = words(visitor.get(address(way)))
    assert "But not: Replace eyes, relays and terminals in it" in page
    assert "Pero no: Cambiar ojos" in page
    suspend(
        way.cast.database, Asked(new_id(), held.public_id, "To be seen."), by=way.cast.mia, now=way.tick()
    )
    assert names(visitor.get(address(way))) == []


def test_expiries_are_a_calendar_for_managers(way):
    answer = way.by("mia").get("/cabinets/expiries.ics")
    assert answer.content_type == "text/calendar; charset=utf-8"
    assert "attachment" in answer.headers["Content-Disposition"]
    assert b"SUMMARY:Cabinet certificate expires: Ana Ruiz" in answer.data
    assert way.by("ana").get("/cabinets/expiries.ics").status_code == 403


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 1280)])
def test_the_pages_have_no_fault_that_a_program_can_find(served, make_page, theme, width):  # noqa: F811
    stage, where = served
    way = certified(way_on(stage))
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800})
    signed_in(stage, page, where, way.cast.mia)
    found = []
    for path in (address(way), "/keys", "/check", "/keys?language=es"):
        page.goto(where + path)
        found += [(path, fault) for fault in faults(page)]
    assert found == []


def test_a_list_that_gets_no_answer_grows_old_and_is_taken_away(served, page):  # noqa: F811
    stage, where = served
    way = certified(way_on(stage))
    signed_in(stage, page, where, way.cast.ana)
    page.clock.install(time=datetime(2026, 3, 2, 16, tzinfo=UTC))
    page.goto(where + address(way))
    page.get_by_text("Ana Ruiz").wait_for()
    page.route("**/roster/*", lambda route: route.abort())
    page.clock.run_for(100_000)
    assert page.locator("#stale").is_hidden()
    page.clock.run_for(100_000)
    page.get_by_text("This list is old").wait_for()
    page.get_by_text("Esta lista es vieja").wait_for()
    assert page.get_by_text("Ana Ruiz").is_hidden()
    page.unroute("**/roster/*")
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("Ana Ruiz").wait_for()
    assert page.locator("#stale").is_hidden()


def test_a_name_goes_when_its_time_is_up_without_waiting_for_the_next_look(served, page):  # noqa: F811
    stage, where = served
    way = certified(way_on(stage))
    signed_in(stage, page, where, way.cast.ana)
    stage.clock.now = way.certificate().expires_at - timedelta(seconds=20)
    signed_in(stage, page, where, way.cast.ana)
    page.clock.install(time=stage.clock.now)
    page.goto(where + address(way))
    page.get_by_text("Ana Ruiz").wait_for()
    page.clock.run_for(21_000)
    assert page.get_by_text("Ana Ruiz").is_hidden()
    assert page.get_by_text("Nobody may open it now").is_visible()
