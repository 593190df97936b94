"""Practicals where there is no connection, in a real browser: kept on the device, signed once, gone afterwards."""

import json
import re

import pytest
from playwright.sync_api import expect
from sqlalchemy import select

from tests.acts.certified import STEPS
from tests.cast import PASSWORD
from tests.web.certifying import way_on
from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture by its name
from trainer.acts.accounts import choose
from trainer.records.tables import Practical, PracticalSecond

SIGNED = re.compile(r"/practicals/[0-9a-f]{8}-")
KEPT = "() => Object.keys(localStorage).filter(one => one.startsWith('stringline'))"
ASIDE = """async () => {
  const said = [];
  for (const name of await caches.keys()) {
    const kept = await caches.open(name);
    for (const one of await kept.keys()) {
      const page = await kept.match(one, {ignoreVary: true});
      said.push([new URL(one.url).pathname, await page.text()]);
    }
  }
  return said;
}"""


@pytest.fixture
def room(served, make_page):  # noqa: F811
    return Room(*served, make_page)


class Room:
    """An equipment room: an observer with a phone, a wash that can be out of reach."""

    def __init__(self, stage, address, make_page):
        self.stage, self.address, self.make_page, self.way = stage, address, make_page, way_on(stage)
        ana = stage.cast.public_id(stage.cast.ana)
        self.checklist = f"{address}/practicals/new?person={ana}&machine=conveyor"

    def of_the_second(self):
        """The address of the second observer's checklist."""
        return self.checklist.replace("/new?", "/second?")

    def phone(self, who="tom"):
        page = self.make_page()
        signed_in(self.stage, page, self.address, getattr(self.stage.cast, who))
        return page

    def opened(self, who="tom"):
        """The checklist, opened once while there is a connection."""
        page = self.phone(who)
        page.goto(self.checklist)
        is_put_aside(page)
        return page

    def practicals(self):
        with self.stage.cast.database.reading() as db:
            return [
                (row.passed, row.note, row.filled_offline, set(json.loads(row.device_times)))
                for row in db.scalars(select(Practical).order_by(Practical.id))
            ]


def is_put_aside(page):
    """Until the page's script has run and says that it opens without a connection too."""
    expect(page.locator("#can")).to_contain_text("no connection")


def mark(page, steps=STEPS, what="met"):
    for step in steps:
        page.check(f'[name="step-{step}"][value="{what}"]')


def are_marked(page, count):
    """Once the script has put the marks back."""
    expect(page.locator("input[type=radio]:checked")).to_have_count(count)


def put_back(room, page, kept):
    """Onto the device, from an address without a script that would tidy up in the same moment."""
    page.goto(f"{room.address}/static/mark.svg")
    page.evaluate(
        "kept => Object.entries(kept).forEach(([key, value]) => localStorage.setItem(key, value))", kept
    )


def sign(page, password=PASSWORD):
    page.fill("[name=password]", password)
    page.get_by_role("button", name="Sign this practical").click()


def test_filled_in_and_reloaded_without_a_connection_then_signed_once(room):
    page = room.opened()
    page.context.set_offline(True)
    expect(page.locator("#signing")).to_be_hidden()
    expect(page.locator("#offline")).to_contain_text("your password is kept nowhere")
    mark(page, STEPS[:3])
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile("Ana Ruiz"))
    are_marked(page, 3)
    expect(page.locator("[name=password]")).to_have_count(0)
    mark(page, STEPS[3:])
    page.fill("[name=note]", "Calm.")
    page.reload()
    are_marked(page, len(STEPS))
    expect(page.locator("[name=note]")).to_have_value("Calm.")
    assert room.practicals() == []
    page.context.set_offline(False)
    expect(page.locator("[name=password]")).to_be_visible()
    are_marked(page, len(STEPS))
    sign(page)
    page.wait_for_url(SIGNED)
    assert room.practicals() == [(True, "Calm.", True, set(STEPS))]
    page.wait_for_function(
        "() => !Object.keys(localStorage).some(one => one.startsWith('stringline practical '))"
    )


def test_a_second_observer_fills_in_where_there_is_no_connection_and_signs_once(room):
    room.way.practical(marks={**dict.fromkeys(STEPS, "met"), STEPS[0]: "not_met"})
    page = room.phone("rosa")
    page.goto(room.of_the_second())
    is_put_aside(page)
    page.context.set_offline(True)
    are_marked(page, 0)  # nothing of what the first observer saw
    mark(page, STEPS[:2])
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile("Ana Ruiz"))
    are_marked(page, 2)
    mark(page, STEPS[2:])
    page.context.set_offline(False)
    expect(page.locator("[name=password]")).to_be_visible()
    are_marked(page, len(STEPS))
    sign(page)
    page.wait_for_url(SIGNED)
    with room.stage.cast.database.reading() as db:
        seconds = [(row.observer_id, row.filled_offline) for row in db.scalars(select(PracticalSecond))]
    assert seconds == [(room.stage.cast.rosa, True)]


def test_sent_again_after_a_lost_answer_it_is_one_practical(room):
    page = room.opened()
    mark(page)
    kept = page.evaluate("() => ({...localStorage})")
    sign(page)
    page.wait_for_url(SIGNED)
    # The answer was lost and the device still has the draft; it does not even know that it was sent.
    put_back(room, page, kept)
    page.goto(room.checklist)
    are_marked(page, len(STEPS))
    page.fill("[name=password]", PASSWORD)
    page.get_by_role("button", name="Sign this practical").dblclick()
    page.wait_for_url(SIGNED)
    assert len(room.practicals()) == 1


def test_what_has_arrived_is_not_offered_again(room):
    page = room.opened()
    mark(page)
    kept = page.evaluate("() => ({...localStorage})")
    sign(page)
    page.wait_for_url(SIGNED)
    sent = {key: value.replace('"sent":false', '"sent":true') for key, value in kept.items()}
    put_back(room, page, sent)
    page.goto(room.checklist)
    expect(page.locator("#kept")).to_contain_text("has arrived and is signed")
    are_marked(page, 0)


def test_a_session_that_ended_meanwhile_costs_no_mark(room):
    page = room.opened()
    page.context.set_offline(True)
    mark(page)
    page.reload()
    room.stage.clock.move(hours=13)
    page.context.set_offline(False)
    page.wait_for_url("**/sign-in?**")
    page.fill("[name=sign_in_name]", "tom.becker")
    page.fill("[name=password]", PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url(room.checklist)
    are_marked(page, len(STEPS))
    sign(page)
    page.wait_for_url(SIGNED)
    assert len(room.practicals()) == 1


def test_a_wrong_password_keeps_the_draft_and_a_reload_opens_the_checklist(room):
    page = room.opened()
    mark(page)
    sign(page, "guess")
    expect(page.get_by_role("alert")).to_be_visible()
    is_put_aside(page)
    page.context.set_offline(True)
    page.reload()
    expect(page.locator("form.checklist")).to_be_visible()
    are_marked(page, len(STEPS))
    assert (page.url, room.practicals()) == (room.checklist, [])


def test_no_password_and_nobody_s_name_is_put_aside(room):
    page = room.opened()
    mark(page)
    page.fill("[name=password]", "not to be kept")
    page.context.set_offline(True)
    page.reload()
    aside = page.evaluate(ASIDE)
    paths = {path for path, _ in aside}
    assert "/practicals/without-network" in paths
    assert all(one == "/practicals/without-network" or one.startswith("/static/") for one in paths)
    cast = room.stage.cast
    told = [*("Ana Ruiz", "Tom Becker", "csrf_token"), cast.public_id(cast.ana), cast.public_id(cast.tom)]
    assert [
        (path, one) for path, text in aside if path.startswith("/practicals") for one in told if one in text
    ] == []
    assert "not to be kept" not in json.dumps([aside, page.evaluate("() => ({...localStorage})")])


def test_signing_out_asks_and_then_leaves_nothing_on_the_device(room):
    page = room.opened()
    mark(page, STEPS[:1])
    page.once("dialog", lambda asked: asked.dismiss())
    page.get_by_role("button", name="Sign out").click()
    expect(page).to_have_url(room.checklist)
    assert len(page.evaluate(KEPT)) == 2
    page.once("dialog", lambda asked: asked.accept())
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in")
    page.wait_for_function("async () => !(await caches.keys()).length")
    page.wait_for_function("async () => !(await navigator.serviceWorker.getRegistrations()).length")
    assert page.evaluate(KEPT) == []


def test_the_next_person_on_a_shared_tablet_sees_nothing_of_it(room):
    page = room.opened()
    mark(page, STEPS[:2])
    signed_in(room.stage, page, room.address, room.stage.cast.mia)
    page.goto(f"{room.address}/practicals")
    expect(page.locator("#on-this-device")).to_be_hidden()
    page.context.set_offline(True)
    page.goto(room.checklist)
    expect(page.locator("#offline")).to_contain_text("was not opened on this device")
    assert "Ana" not in page.content()
    expect(page.locator("form.checklist")).to_be_hidden()


def test_the_list_shows_what_is_kept_and_erasing_removes_it(room):
    page = room.opened()
    mark(page, STEPS[:2])
    page.context.set_offline(True)
    page.goto(f"{room.address}/practicals")
    page.get_by_role("link", name="Ana Ruiz").click()
    expect(page.locator("form.checklist")).to_be_visible()
    are_marked(page, 2)
    page.context.set_offline(False)
    page.goto(f"{room.address}/practicals")
    page.get_by_role("link", name="Ana Ruiz").click()
    page.once("dialog", lambda asked: asked.accept())
    page.get_by_role("button", name="Erase these marks").click()
    page.wait_for_url("**/practicals")
    expect(page.locator("#on-this-device")).to_be_hidden()


@pytest.mark.parametrize(("theme", "language"), [("light", "es"), ("dark", "en")])
def test_the_page_without_a_connection_has_no_fault_that_a_program_can_find(room, theme, language):
    cast = room.stage.cast
    choose(cast.database, person_id=cast.tom, language=language, system="us", now=room.way.now)
    page = room.phone()
    page.emulate_media(color_scheme=theme)
    page.set_viewport_size({"width": 320, "height": 800})
    page.goto(room.checklist)
    expect(page.locator("#can")).not_to_be_empty()
    mark(page, STEPS[:1])
    page.context.set_offline(True)
    page.reload()
    expect(page.locator("form.checklist")).to_be_visible()
    assert page.locator("html").get_attribute("lang") == language
    assert faults(page) == []
    page.goto(f"{room.address}/practicals")
    expect(page.locator("#on-this-device")).to_be_visible()
    assert faults(page) == []


def test_the_worker_reaches_no_further_than_the_practicals(stage):
    answer = stage.visitor().get("/practicals/worker.js")
    assert answer.headers["Service-Worker-Allowed"] == "/practicals"
    assert answer.mimetype == "text/javascript"


def test_only_the_observer_learns_whether_it_arrived(stage):
    way = way_on(stage)
    signed = way.practical()
    assert way.by("tom").get(f"/practicals/arrived/{signed}").json == {"arrived": True}
    assert way.by("mia").get(f"/practicals/arrived/{signed}").json == {"arrived": False}
    assert way.by("ana").get(f"/practicals/arrived/{signed}").status_code == 403
