import json
import xml.etree.ElementTree as ET

import pytest

from tests.acts.certified import new_id
from tests.web.certifying import way_on, words
from trainer.certificates.credential import public_key_of, verify_credential
from trainer.records.tables import Certificate


@pytest.fixture
def way(stage):
    way = way_on(stage)
    way.exam(), way.practical(note="Slow at the valves."), way.decide()
    return way


def page_of(way):
    return f"/c/{way.certificate().public_id}"


def test_anybody_may_check_a_certificate(way):
    page = words(way.by(None).get(page_of(way)))
    for part in (
        "Ana Ruiz",
        "Plumb Lane Wash",
        "Main control cabinet",
        "Conveyor",
        "Active: it counts now",
        "ASTM E2659",
    ):
        assert part in page
    assert "The signature holds" in page
    assert "Local codes and licensed practice come first" in page


def test_the_public_page_holds_nothing_personal_beyond_the_name(way):
    page = words(way.by(None).get(page_of(way)))
    for hidden in ("Slow at the valves", "Tom Becker", "Mia Okafor", "ana.ruiz"):
        assert hidden not in page


def test_the_credential_to_take_away_is_the_one_issued_and_verifies(way):
    answer = way.by(None).get(f"{page_of(way)}/credential.json")
    assert answer.mimetype == "application/vc"
    assert "attachment" in answer.headers["Content-Disposition"]
    assert answer.text == way.certificate().credential
    assert verify_credential(json.loads(answer.text), {public_key_of(way.key)}).good


def test_states_are_told_at_once(way):
    way.stage.clock.now = way.certificate().expires_at
    assert "Expired: it no longer counts" in words(way.by(None).get(page_of(way)))
    way.withdraw(way.certificate().public_id, reason="Opened it live.")
    page = words(way.by(None).get(page_of(way)))
    assert "Withdrawn: it does not count" in page
    assert "Opened it live" not in page


def test_a_credential_changed_in_the_database_is_told(way):
    with way.cast.database.writing() as db:
        row = db.query(Certificate).one()
        row.credential = row.credential.replace("Ana Ruiz", "Eve Ruiz")
    assert "The signature does not hold" in words(way.by(None).get(page_of(way)))


def test_the_code_is_a_drawing_of_the_address(way):
    answer = way.by(None).get(f"{page_of(way)}/code.svg")
    assert answer.mimetype == "image/svg+xml"
    title = ET.fromstring(answer.text).find("{http://www.w3.org/2000/svg}title").text
    assert title == f"http://localhost{page_of(way)}"


def test_the_paper_is_for_the_holder_and_for_trainers_and_managers(way):
    paper = f"{page_of(way)}/certificate.pdf"
    answers = {who: way.by(who).get(paper).status_code for who in ("ana", "tom", "mia", "lee", "otto")}
    assert answers == {"ana": 200, "tom": 200, "mia": 200, "lee": 404, "otto": 404}
    assert way.by(None).get(paper).status_code == 303
    assert way.by("ana").get(paper).data.startswith(b"%PDF-")
    assert "certificate.pdf" in way.by("ana").get(page_of(way)).text
    assert "certificate.pdf" not in way.by(None).get(page_of(way)).text


@pytest.mark.parametrize("rest", ["", "/credential.json", "/code.svg"])
def test_no_such_certificate(way, rest):
    assert way.by(None).get(f"/c/{new_id()}{rest}").status_code == 404
    assert way.by(None).get(f"/c/nonsense{rest}").status_code == 404


def test_in_spanish_for_whoever_reads_spanish(way):
    page = words(way.by(None).get(f"{page_of(way)}?language=es"))
    assert "Activo: vale ahora" in page
    assert "Vale hasta" in page
