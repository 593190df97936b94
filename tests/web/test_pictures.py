"""Pictures of a site's own questions: who is served a photo, what a refused one costs, and a phone that brings one."""

import io
import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.acts.test_questions import NAME, TEXT
from tests.certificates.test_picture import located, photo
from tests.web.certifying import words
from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture by its name
from tests.web.test_writing import READ, WRITE, begin, kept, tom, with_file
from tests.web.test_writing_browser import begun, office
from trainer.acts import questions as acts
from trainer.acts.pictures import keep_photo
from trainer.certificates.picture import LARGEST_UPLOAD
from trainer.language.source import fingerprint
from trainer.records.queries import people
from trainer.records.tables import Drill

__all__ = ["office", "tom"]


def sent_photo(tom, data, **fields):
    return tom.send(WRITE, go="look", photo="", picture=(io.BytesIO(data), "arch.jpg"), **fields)


def digest_in(page):
    return re.search(r"/questions/photos/([0-9a-f]{64})\.jpg", page.text)[1]


def test_a_photo_comes_in_with_the_fields_and_is_served_bare(stage, tom):
    begin(tom)
    page = sent_photo(tom, photo(exif=located()), **{"ask-en": "What is wrong at the arch?"})
    assert "What is wrong at the arch?" in page.text
    got = tom.get(f"/questions/photos/{digest_in(page)}.jpg")
    assert (got.mimetype, got.headers["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert got.headers["Cache-Control"] == "private, no-cache"
    assert "default-src 'none'" in got.headers["Content-Security-Policy"]
    with Image.open(io.BytesIO(got.data)) as read:
        assert dict(read.getexif()) == {}
    assert b"Phone of somebody" not in got.data


def test_only_people_of_the_site_are_served_it(stage, tom):
    begin(tom)
    there = f"/questions/photos/{digest_in(sent_photo(tom, photo()))}.jpg"
    assert stage.visitor(stage.cast.ana).get(there).status_code == 200
    assert stage.visitor(stage.cast.otto).get(there).status_code == 404
    assert tom.get(f"/questions/photos/{'0f' * 32}.jpg").status_code == 404


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (photo(kind="GIF"), "That is no JPEG, PNG or WebP picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "That is no JPEG, PNG or WebP picture"),
        (photo((900, 900))[:2000], "breaks off or is damaged"),
        (photo() + bytes(LARGEST_UPLOAD), "larger than 12 MB"),
    ],
    ids=["gif", "svg", "cut", "large"],
)
def test_a_refused_photo_costs_nothing_that_was_typed(stage, tom, data, said):
    begin(tom)
    before = kept(stage).newest.text
    page = sent_photo(tom, data, **{"ask-en": "What is wrong at the arch?"})
    assert page.status_code == 422
    assert said in words(page)
    assert "What is wrong at the arch?" in page.text
    assert kept(stage).newest.text == before


def test_a_photo_is_saved_only_with_words_before_anybody_is_asked(stage, tom):
    begin(tom)
    with stage.cast.database.reading() as db:
        member = people.member(db, stage.cast.tom)
    sha256 = keep_photo(stage.cast.database, member=member, data=photo(), now=stage.clock())
    with_file(tom, f"{TEXT}photo: {{sha256: {sha256}, en: The arch.}}\n")
    assert "The photo has no words (es)." in words(tom.get(READ))
    assert f"{sha256}.jpg" in tom.get(READ).text
    with_file(tom, f"{TEXT}photo: {{sha256: {sha256}, en: The arch., es: El arco.}}\n")
    assert "The check finds nothing against it." in words(tom.get(READ))
    with_file(tom, f"{TEXT}photo: {{sha256: {'0f' * 32}, en: The arch., es: El arco.}}\n")
    assert "There is no such photo." in words(tom.get(READ))


def test_a_drawing_begins_with_the_site_s_numbers_and_is_looked_at(stage, tom):
    begin(tom)
    with_file(tom)
    page = tom.send(WRITE, go="look", photo="", figure="slanted_beam")
    assert 'name="f-low" value="eye_low"' in page.text
    drawn = re.search(r'src="(/questions/drawing\.svg[^"]+)"', tom.get(READ).text)
    assert drawn is None  # nothing is kept by looking
    with_file(
        tom,
        TEXT.replace("site: [pulses_per_foot]", "site: [pulses_per_foot, bay_width]")
        + "figure: {name: tape_across, with: {span: bay_width}}\n",
    )
    seen = re.search(r'src="(/questions/drawing\.svg[^"]+)"', tom.get(READ).text)[1].replace("&amp;", "&")
    assert tom.get(seen).mimetype == "image/svg+xml"
    assert tom.get("/questions/drawing.svg?figure=tape_across&span=0").status_code == 404
    assert tom.get("/questions/drawing.svg?figure=tape_across&span=nan").status_code == 404
    assert tom.get("/questions/drawing.svg?figure=tape_across").status_code == 404


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_phone_brings_a_photo_and_sees_it_beside_the_text(office, theme):
    page = office.phone("tom", color_scheme=theme)
    begun(office, page)
    data = photo((2000, 1500), exif=located())
    page.set_input_files("#photo-file", {"name": "arch.jpg", "mimeType": "image/jpeg", "buffer": data})
    shown = page.locator("#picture .photo img")
    expect(shown).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.get_by_label("What the photo shows, for whoever cannot see it, English").fill("The arch.")
    assert shown.evaluate("(one) => one.decode().then(() => one.naturalWidth)") == 1600
    assert faults(page) == []
    page.get_by_role("button", name="Save the draft").click()
    expect(page.locator(".said").first).to_contain_text("Saved")
    assert "sha256:" in office.one().newest.text
    page.get_by_role("button", name="Take it away the photo").click()
    expect(page.locator("#picture .photo img")).to_have_count(0)


def with_photo(stage):
    """The site's question with a photo, in use; gives the digest."""
    with stage.cast.database.reading() as db:
        tom, mia = (people.member(db, one) for one in (stage.cast.tom, stage.cast.mia))
    sha256 = keep_photo(stage.cast.database, member=tom, data=photo(), now=stage.clock())
    text = f"{TEXT}photo: {{sha256: {sha256}, en: The arch from the side., es: El arco de lado.}}\n"
    acts.begin(stage.cast.database, member=tom, name=NAME, text=text, now=stage.clock())
    for kind, by in (("submitted", tom), ("reviewed", mia), ("published", mia)):
        refused = acts.step(
            stage.cast.database, member=by, name=NAME, version=1, kind=kind, findings=(), note="", now=stage.clock(),
            checked=fingerprint(text),
        )  # fmt: skip
        assert refused == ()
    with stage.cast.database.writing() as db:
        db.add(
            Drill(
                public_id="with-a-photo", person_id=stage.cast.ana, skill="measuring.length_from_pulses", question=NAME,
                version=1, fingerprint=fingerprint(text), sheet_version=1, system="us", support="alone",
                shown_at=stage.clock(),
            )
        )  # fmt: skip
    return sha256


@pytest.mark.parametrize(("language", "alt"), [("en", "The arch from the side."), ("es", "El arco de lado.")])
def test_a_learner_sees_the_photo_in_a_drill_with_its_words(stage, language, alt):
    sha256 = with_photo(stage)
    ana = stage.visitor(stage.cast.ana)
    ana.send("/preferences", language=language, system="us")
    page = ana.get("/drills/with-a-photo")
    shown = re.search(rf'<img[^>]+src="/questions/photos/{sha256}\.jpg"[^>]*>', page.text)
    assert shown and f'alt="{alt}"' in shown[0]
    assert ana.get(f"/questions/photos/{sha256}.jpg").mimetype == "image/jpeg"


def test_a_photo_in_a_drill_is_no_wider_than_a_phone(served, make_page):  # noqa: F811 - a fixture by its name
    stage, address = served
    with_photo(stage)
    page = make_page(viewport={"width": 360, "height": 800}, is_mobile=True)
    signed_in(stage, page, address, stage.cast.ana)
    page.goto(f"{address}/drills/with-a-photo")
    image = page.locator("main img[src*='photos']").first
    expect(image).to_be_visible()
    assert image.evaluate("one => one.complete && one.naturalWidth > 0")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert faults(page) == []
