"""The walk on a phone, 360 by 800: several screens, a reload in the middle, an implausible number, the finish."""

import pytest

from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture
from trainer.records.queries import people

PHONE = {"width": 360, "height": 800}


@pytest.fixture
def walked(served, make_page):  # noqa: F811
    stage, address = served
    page = make_page(viewport=PHONE)
    signed_in(stage, page, address, stage.cast.tom)
    return stage, address, page


def press(page, name):
    with page.expect_navigation(wait_until="load"):
        page.get_by_role("button", name=name, exact=True).click()


def clean(page):
    page.wait_for_load_state("networkidle")
    assert faults(page) == [], page.url


def test_a_walk_with_a_reload_an_implausible_number_and_the_finish(walked):
    stage, address, page = walked
    page.goto(f"{address}/sheet/measure")
    clean(page)
    page.get_by_role("link", name="Start measuring").click()
    page.wait_for_url("**/location.latitude")
    clean(page)
    page.get_by_label("Your number, with its unit").fill("39.1")
    press(page, "Keep it")
    page.wait_for_url("**/location.longitude")
    press(page, "Still right")
    page.wait_for_url("**/location.bearing")
    press(page, "Skip for now")
    page.wait_for_url("**/eyes.entry.receiver_side")
    clean(page)
    page.get_by_text("driver's side", exact=True).click()
    press(page, "Keep it")
    page.wait_for_url("**/eyes.entry.high_head")
    press(page, "Still right")
    page.wait_for_url("**/eyes.entry.low")

    # Implausible: refused with its mend, and what was typed stays.
    page.get_by_label("Your number, with its unit").fill("6 ft")
    press(page, "Keep it")
    assert page.get_by_text("Did you mean 6 in?").is_visible()
    assert page.get_by_label("Your number, with its unit").input_value() == "6 ft"
    clean(page)

    # Far from the value in force: kept, asked for twice.
    page.get_by_label("Your number, with its unit").fill("18 in")
    press(page, "Keep it")
    assert page.get_by_text("This is 3 times the value in force").is_visible()
    clean(page)
    page.reload()
    assert page.get_by_label("Your number, with its unit").input_value() == "18 in"
    page.get_by_label("Your number, with its unit").fill('6 1/4"')
    press(page, "I measured twice: keep it")
    page.wait_for_url("**/eyes.entry.high")

    page.goto(f"{address}/sheet/measure")
    clean(page)
    assert page.get_by_text("6 of", exact=False).first.is_visible()
    page.get_by_role("link", name="Read the new sheet now").click()
    page.wait_for_url("**/finish")
    clean(page)
    press(page, "Save the sheet")
    page.wait_for_url("**/sheet/questions")
    clean(page)
    with stage.cast.database.reading() as db:
        saved = people.sheet_in_force(db, stage.cast.site)
    assert saved.version == 2
    assert 'low: 6 1/4"' in saved.text
    assert "receiver_side: driver" in saved.text


def test_the_field_is_in_sight_with_the_drawing_and_its_button(walked):
    _, address, page = walked
    for field in ("eyes.entry.high", "eyes.entry.lens_diameter", "business.call_out"):
        page.goto(f"{address}/sheet/measure/{field}")
        page.wait_for_load_state("networkidle")
        box = page.get_by_label("Your number, with its unit").bounding_box()
        button = page.get_by_role("button", name="Keep it", exact=True).bounding_box()
        assert box["y"] + box["height"] <= button["y"], field


def test_it_works_without_script(walked, make_page):
    stage, address, _ = walked
    page = make_page(viewport=PHONE, java_script_enabled=False)
    signed_in(stage, page, address, stage.cast.tom)
    page.goto(f"{address}/sheet/measure/bay.width")
    page.get_by_label("Your number, with its unit").fill("11 ft 10 1/2 in")
    press(page, "Keep it")
    page.goto(f"{address}/sheet/measure/finish")
    press(page, "Save the sheet")
    with stage.cast.database.reading() as db:
        assert "width: 11 ft 10 1/2 in" in people.sheet_in_force(db, stage.cast.site).text


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_kind_of_screen_has_no_fault_that_a_program_can_find(served, make_page, theme):  # noqa: F811
    stage, address = served
    page = make_page(viewport=PHONE, color_scheme=theme)
    signed_in(stage, page, address, stage.cast.tom)
    for path in (
        "measure/location.bearing", "measure/eyes.entry.lens_diameter", "measure/eyes.entry.opening",
        "measure/conveyor.speed", "measure/applications.presoak.distance", "measure/supply.voltage",
        "measure/supply.length", "measure/business.call_out", "measure/drop", "questions",
    ):  # fmt: skip
        page.goto(f"{address}/sheet/{path}")
        clean(page)
