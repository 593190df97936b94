"""Every lesson with a table fits a small phone, in both languages: all else of a lesson wraps or scrolls in a box."""

import pytest

from tests.web.test_look import served, signed_in

__all__ = ["served"]


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_table_of_a_lesson_is_wider_than_a_small_phone(served, make_page, language):
    stage, address = served
    visitor = stage.visitor(stage.cast.tom)
    visitor.send("/preferences", language=language, system="us")
    lessons = [f"/lessons/{name}" for name in stage.house.lessons.by_id]
    with_table = [one for one in lessons if "<table" in visitor.get(one).text]
    assert len(with_table) >= 4
    page = make_page(viewport={"width": 360, "height": 800}, is_mobile=True)
    signed_in(stage, page, address, stage.cast.tom)
    wide = {}
    for one in with_table:
        page.goto(address + one, wait_until="domcontentloaded")
        right = page.evaluate("document.documentElement.scrollWidth")
        wide |= {one: right} if right > 360 else {}
    assert wide == {}
