"""A question written on a phone, read by somebody else, tried and put into use: what is clicked and typed."""

import re

import pytest
from playwright.sync_api import expect

from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture by its name
from trainer.records.queries import questions as queries

NAME = "measuring.own_long_pickup"
SITUATION = "The pickup of the florist blocks the eye for 230 pulses. How long is it?"
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}


@pytest.fixture
def office(served, make_page):  # noqa: F811
    return Office(*served, make_page)


class Office:
    """The people of the cast, each with a phone."""

    def __init__(self, stage, address, make_page):
        self.stage, self.address, self.make_page = stage, address, make_page

    def phone(self, who, **more):
        page = self.make_page(**{**PHONE, **more})
        signed_in(self.stage, page, self.address, getattr(self.stage.cast, who))
        return page

    def one(self):
        with self.stage.cast.database.reading() as db:
            return queries.own_question(db, self.stage.cast.site, NAME)


def begun(office, page):
    page.goto(f"{office.address}/questions")
    page.get_by_role("link", name="Write a question").click()
    page.get_by_role("link", name=re.compile("Work out a vehicle.s length from pulses")).click()
    page.get_by_label("What happened, and what is asked?").fill(SITUATION)
    page.get_by_label("A short name, for lists").fill("Long pickup")
    page.get_by_role("button", name="Begin this question").click()
    page.wait_for_url(f"**/questions/write/{NAME}")


def written(page):
    """Every field of the question, as a trainer would go through them."""
    page.get_by_role("button", name="Turn the numbers into names").click()
    expect(page.locator("[name=n0-name]")).to_have_value("pulses")
    expect(page.get_by_label("The text, English")).to_have_value(re.compile(r"for \{\{ pulses \}\}\."))
    page.get_by_text("Add a number", exact=True).click()
    page.get_by_label("A number of the site", exact=True).select_option("pulses_per_foot")
    page.get_by_role("button", name="Add it").first.click()
    expect(page.locator("[name=n1-name]")).to_have_value("pulses_per_foot")
    page.get_by_label("The text, English").fill(
        "The pickup of the florist blocks the eye for {{ pulses }}. The chain gives {{ pulses_per_foot }}. "
        "How long is it?"
    )
    page.get_by_label("The text, Spanish").fill(
        "La camioneta de la florería corta el ojo {{ pulses }}. La cadena da {{ pulses_per_foot }}. "
        "¿Cuánto mide?"
    )
    page.get_by_label("The calculation").fill("pulses ÷ pulses_per_foot")
    page.get_by_label("Asked in").fill("ft")
    page.get_by_label("Right within").fill("1 in")
    page.get_by_label("Next step, English").fill("Divide the pulses by the pulses of one foot.")
    page.get_by_label("Next step, Spanish").fill("Divide los pulsos entre los pulsos de un pie.")


def test_a_trainer_writes_a_question_another_reads_it_and_it_comes_into_use(office):
    page = office.phone("tom")
    begun(office, page)
    written(page)
    # The draws follow what is typed, and so do the slips that the calculation suggests.
    expect(page.locator("#beside h3")).to_have_count(3)
    page.get_by_role("button", name=re.compile("Take this slip")).first.click()
    expect(page.get_by_role("group", name="Slip 1")).to_be_visible()
    page.get_by_label("Why it is wrong, English").first.fill(
        "You multiplied {{ pulses }} by the pulses of a foot. More pulses to a foot never make a longer pickup."
    )
    page.get_by_label("Why it is wrong, Spanish").first.fill(
        "Multiplicaste {{ pulses }} por los pulsos de un pie. Más pulsos por pie nunca hacen más larga la camioneta."
    )
    expect(page.locator("#holds")).to_contain_text("The check finds nothing against it")
    page.get_by_role("button", name="Save and read it whole").click()
    page.wait_for_url("**/questions/read/**")
    page.get_by_role("button", name="Give it to be read").click()
    expect(page.get_by_role("status").first).to_contain_text("to be read by somebody else")
    assert office.one().state == "waiting"
    assert page.get_by_role("button", name="Let it on trial").count() == 0

    manager = office.phone("mia")
    manager.goto(f"{office.address}/questions")
    manager.get_by_role("link", name=NAME).click()
    manager.get_by_role("button", name="Let it on trial").click()
    expect(manager.locator(".purpose")).to_contain_text("On trial")
    assert office.one().state == "pilot"

    page.goto(f"{office.address}/questions/read/{NAME}")
    page.get_by_role("button", name="Put it into use").click()
    expect(page.locator(".purpose")).to_contain_text("In use")
    assert office.one().state == "live"
    assert [step.kind for step in office.one().steps] == ["submitted", "reviewed", "published"]


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 1280)])
def test_no_page_has_a_fault_that_a_program_can_find(office, theme, width):
    page = office.phone("tom", color_scheme=theme, viewport={"width": width, "height": 800})
    begun(office, page)
    assert faults(page) == []
    written(page)
    page.get_by_role("button", name=re.compile("Take this slip")).first.click()
    expect(page.get_by_role("group", name="Slip 1")).to_be_visible()
    expect(page.locator("#beside h3")).to_have_count(3)
    page.eval_on_selector_all("details", "all => all.forEach((one) => { one.open = true; })")
    assert faults(page) == []
    page.get_by_role("button", name="Save the draft").click()
    expect(page.locator(".said").first).to_contain_text("Saved")
    for path in ("", "/need", "/need/measuring.length_from_pulses", f"/write/{NAME}/file", f"/read/{NAME}"):
        page.goto(f"{office.address}/questions{path}")
        assert (path, faults(page)) == (path, [])
