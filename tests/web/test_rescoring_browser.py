"""A wrong key is corrected on phones: written, read, put into use, scored again, and the person is told."""

import re

import pytest
from playwright.sync_api import expect

from tests.acts.mended import BAD, GOOD, NAME, WHY
from tests.cast import PASSWORD
from tests.web.exam_house import on_a_port, sign_in
from tests.web.mended_house import make_mended_house, on_time
from tests.web.test_look import faults

PHONE = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True}


@pytest.fixture
def mended(tmp_path):
    made, wash = make_mended_house(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    wash.put_into_use(BAD)
    with on_a_port(made):
        yield made, wash


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_from_a_wrong_key_to_the_new_score(mended, make_page, theme):
    made, wash = mended
    exam = wash.sit("ana")
    on_time(made, wash)

    def phone(who):
        return sign_in(made, make_page(color_scheme=theme, **PHONE), getattr(made.cast, who))

    tom = phone("tom")
    tom.goto(f"{made.address}/questions/write/{NAME}/file")
    tom.get_by_label("The file", exact=True).fill(GOOD)
    tom.get_by_role("button", name="Save the file").click()
    expect(tom.locator(".said").first).to_contain_text("Saved")
    tom.goto(f"{made.address}/questions/read/{NAME}")
    tom.get_by_role("button", name="Give it to be read").click()
    expect(tom.get_by_role("status").first).to_contain_text("to be read by somebody else")

    mia = phone("mia")
    mia.goto(f"{made.address}/questions/read/{NAME}")
    mia.get_by_role("button", name="Let it on trial").click()
    expect(mia.locator(".purpose")).to_contain_text("On trial")
    mia.get_by_role("button", name="Put it into use").click()
    mia.wait_for_url("**/touched")
    expect(mia.get_by_role("row").filter(has_text="Ana Ruiz")).to_contain_text("✗ wrong → ✓ right")
    assert faults(mia) == []

    mia.get_by_label("What was wrong, and why exams are scored again").fill(WHY)
    mia.get_by_label("Your password, as your signature").fill(PASSWORD)
    mia.get_by_role("button", name="Score 1 exam again by the newer key").click()
    expect(mia.get_by_text("Nobody is touched.")).to_be_visible()
    assert (wash.sitting(exam).right, wash.sitting(exam).passed) == (6, True)
    assert faults(mia) == []

    ana = phone("ana")
    ana.goto(f"{made.address}/today")
    expect(ana.get_by_text(re.compile("se calificó otra vez"))).to_be_visible()
    assert faults(ana) == []
    ana.get_by_role("link", name="Ver qué cambió y por qué").click()
    expect(ana.locator(".purpose")).to_contain_text("6 de 6")
    expect(ana.get_by_text(WHY)).to_be_visible()
    assert faults(ana) == []
    ana.get_by_role("button", name="Ya lo leí").click()
    expect(ana.get_by_role("button", name="Ya lo leí")).to_have_count(0)
    expect(ana.get_by_text(WHY)).to_be_visible()
    ana.goto(f"{made.address}/today")
    expect(ana.get_by_text(re.compile("se calificó otra vez"))).to_have_count(0)
