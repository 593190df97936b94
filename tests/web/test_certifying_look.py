"""The pages of practicals, decisions and certificates in a real browser: nothing a program can find at fault."""

import re
from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.acts.certified import new_id
from tests.cast import PASSWORD
from tests.records.test_benches_queries import make_run
from tests.web.certifying import way_on
from tests.web.test_look import faults, served, signed_in  # noqa: F401 - a fixture by its name
from trainer.acts import appeals, standing
from trainer.acts.accounts import choose
from trainer.acts.impartiality import ThreatWritten, write_threat
from trainer.records.queries import appeals as appeals_of_record
from trainer.records.tables import ObserverQualification
from trainer.web.open_exams import tools

LONG = "The yearly bonus of whoever decides counts how many people are certified, and nobody has looked at that yet."


def addresses(way):
    held, who = way.certificate().public_id, way.cast.public_id(way.cast.rosa)
    cabinet = f"/cabinets/{way.cast.main_cabinet}"
    pending = way.evidence(way.cast.rosa).pending_public_id
    return [
        "/cabinets", cabinet, f"{cabinet}/decide/{who}", f"/decisions/{pending}", f"/certificates/{held}",
        f"/certificates/{held}/withdraw", "/log", "/practicals", "/practicals/new",
        f"/practicals/new?person={who}&machine=conveyor", f"/c/{held}",
    ]  # fmt: skip


def answering_addresses(way):
    """The pages on which a wash answers for its certificates, each with something to show."""
    cast, manager = way.cast, way.cast.mia
    held, who = way.certificate().public_id, cast.public_id(cast.ana)
    standing.suspend(
        cast.database,
        standing.Asked(new_id(), held, "An incident is looked into."),
        by=manager,
        now=way.tick(),
    )
    with cast.database.reading() as db:
        [suspended, *_] = appeals_of_record.adverse_of(db, cast.ana)
        qualified = db.scalars(select(ObserverQualification.public_id)).first()
    appeal = appeals.file_appeal(
        cast.database, appeals.Filed(new_id(), "change", suspended.public_id, "I was not there."), by=cast.ana,
        tools=tools(way.stage.house), now=way.tick(),
    )  # fmt: skip
    entry = new_id()
    threat = ThreatWritten(entry, entry, LONG, LONG, manager, (way.now + timedelta(days=90)).date())
    write_threat(cast.database, threat, by=manager, now=way.tick())
    certificate = f"/certificates/{held}"
    return [
        "/appeals", "/appeals/site", f"/appeals/{appeal}", f"/appeals/letter/{who}", "/changes", "/changes/new",
        certificate, f"{certificate}/suspend", f"{certificate}/reduce", f"{certificate}/lift/{suspended.public_id}",
        "/inspections", "/inspections/new", "/impartiality", "/impartiality/new", f"/impartiality/{entry}",
        "/keeping", "/keeping/hold", "/observers", f"/observers/{qualified}/end", "/practicals/agreement",
        "/keys", "/check", f"/people/{who}", f"/members/{who}",
    ]  # fmt: skip


SCREENS = [("light", 320, "es"), ("dark", 390, "en"), ("light", 820, "es"), ("light", 1280, "en")]


@pytest.mark.parametrize(("theme", "width", "language"), SCREENS)
def test_no_page_that_answers_for_certificates_has_a_fault_either(served, make_page, theme, width, language):  # noqa: F811
    stage, address = served
    way = way_on(stage)
    way.exam(), way.practical(), way.second(), way.decide()
    choose(stage.cast.database, person_id=way.cast.mia, language=language, system="us", now=way.now)
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 844}, is_mobile=width < 1000)
    paths = answering_addresses(way)
    signed_in(stage, page, address, way.cast.mia)
    found = []
    for path in paths:
        answer = page.goto(address + path)
        found += [
            (path, fault) for fault in [*faults(page), *([answer.status] if answer.status != 200 else [])]
        ]
    assert found == []


@pytest.mark.parametrize(
    ("theme", "width", "language"), [("light", 320, "es"), ("dark", 390, "en"), ("light", 1280, "en")]
)
def test_no_page_has_a_fault_that_a_program_can_find(served, make_page, theme, width, language):  # noqa: F811
    stage, address = served
    way = way_on(stage)
    way.exam(), way.practical(), way.decide()
    make_run(way.cast, run := new_id(), way.cast.rosa, points=92)
    way.exam(way.cast.rosa)
    signed = way.practical(way.cast.rosa, by=way.cast.mia, benches=(run,))
    way.decide(way.cast.rosa, overlap_reason="Tom is away.")
    choose(stage.cast.database, person_id=way.cast.mia, language=language, system="us", now=way.now)
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 844}, is_mobile=width < 1000)
    signed_in(stage, page, address, way.cast.mia)
    found = []
    for path in [*addresses(way), f"/practicals/{signed}"]:
        page.goto(address + path)
        found += [(path, fault) for fault in faults(page)]
    assert found == []


def test_a_practical_is_marked_and_signed_by_keyboard_alone(served, page):  # noqa: F811
    stage, address = served
    way = way_on(stage)
    signed_in(stage, page, address, way.cast.tom)
    page.goto(f"{address}/practicals/new?person={way.cast.public_id(way.cast.ana)}&machine=conveyor")
    steps = page.locator("fieldset").count()
    page.locator("fieldset input").first.focus()
    for _ in range(steps):
        page.keyboard.press("Space")
        page.keyboard.press("Tab")  # to the remark, which stays folded away
        page.keyboard.press("Tab")
    page.keyboard.type("Calm.")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/practicals/[0-9a-f]{8}-"))
    assert "Observed and signed by Tom Becker" in page.text_content("main")
    assert way.evidence().practical_passed is True


def test_the_roster_prints_on_one_page(served, make_page):  # noqa: F811
    stage, address = served
    way = way_on(stage)
    way.exam(), way.practical(), way.decide()
    page = make_page(viewport={"width": 1280, "height": 900}, is_mobile=False)
    signed_in(stage, page, address, way.cast.mia)
    page.goto(f"{address}/cabinets/{way.cast.main_cabinet}")
    assert page.pdf(format="Letter").count(b"/Type /Page\n") == 1
