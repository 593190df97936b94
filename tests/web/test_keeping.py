"""Keeping and forgetting as managers and administrators see it."""

from datetime import timedelta

import pytest

from tests.acts.certified import new_id
from tests.web.certifying import hidden, way_on, words
from trainer.acts.accounts import leave


@pytest.fixture
def way(stage):
    way = way_on(stage)
    way.exam(), way.practical(note="Slow at the valves."), way.decide(reason="Ready.")
    leave(stage.cast.database, by=stage.cast.lee, public_id="ana-1", now=way.tick())
    return way


def years_on(way, years=6):
    way.now += timedelta(days=365 * years)
    way.tick()


def proposed(way):
    """Mia proposes to forget Ana; gives the address of the proposal."""
    mia = way.by("mia")
    form = mia.get("/keeping/people/ana-1")
    sent = mia.send("/keeping/people/ana-1", form_id=hidden(form), reason="She asked for it.")
    assert sent.status_code == 303, words(sent)
    page = mia.get("/keeping").text
    return page.split('href="/keeping/proposals/')[1].split('"')[0]


def test_the_page_says_until_when_and_what_is_kept(way):
    page = words(way.by("mia").get("/keeping"))
    assert "Ana Ruiz" in page and "kept until" in page and "Propose to forget" not in page
    assert "36 months" in page and "for ever" in page and "common practice, no source" in page
    years_on(way)
    assert "Propose to forget Ana Ruiz" in words(way.by("mia").get("/keeping"))


def test_a_manager_proposes_and_an_administrator_forgets(way):
    public = f"/c/{way.certificate().public_id}"
    assert way.by(None).get(public).status_code == 200
    years_on(way)
    address = f"/keeping/proposals/{proposed(way)}"
    page = words(way.by("mia").get(address))
    assert "She asked for it." in page and "Forget this person" not in page
    assert way.by("mia").send(address).status_code == 403
    assert "It cannot be taken back" in words(way.by("lee").get(address))
    assert way.by("lee").send(address).status_code == 303
    page = words(way.by("lee").get("/keeping"))
    assert "Ana" not in page and "#ana-1" in page and "forgotten on" in page
    gone = way.by(None).get(public)
    assert gone.status_code == 410 and "The holder was forgotten" in words(gone)
    for part in ("credential.json", "certificate.pdf"):
        assert way.by("mia").get(f"{public}/{part}").status_code == 404
    assert way.by("lee").get(address).status_code == 404, "it is closed"


def test_pages_about_a_forgotten_person_still_open(way):
    certificate = way.certificate().public_id
    years_on(way)
    way.by("lee").send(f"/keeping/proposals/{proposed(way)}")
    for address in ("/cabinets", "/cabinets/log", f"/certificates/{certificate}", "/people", "/practicals"):
        answer = way.by("mia").get(address)
        assert answer.status_code in (200, 404), address
        assert "Ana Ruiz" not in answer.text


def test_a_hold_stops_it_and_says_so(way):
    years_on(way)
    address = f"/keeping/proposals/{proposed(way)}"
    mia = way.by("mia")
    form_id = hidden(mia.get("/keeping/hold?person=ana-1"))
    assert mia.send("/keeping/hold", form_id=form_id, person="ana-1", reason="").status_code == 422
    assert mia.send("/keeping/hold", form_id="x", person="ana-1", reason="x").status_code == 422
    sent = mia.send("/keeping/hold", form_id=form_id, person="ana-1", reason="Letter of the insurer.")
    assert sent.status_code == 303
    refused = way.by("lee").send(address)
    assert refused.status_code == 422 and "A legal hold covers this person" in words(refused)
    page = mia.get("/keeping").text
    assert "Letter of the insurer." in page
    lift = "/keeping/holds/" + page.split('href="/keeping/holds/')[1].split('"')[0]
    assert mia.send(lift, reason=" ").status_code == 422
    assert mia.send(lift, reason="They agree.").status_code == 303
    assert way.by("lee").send(address).status_code == 303


def test_a_proposal_can_be_dropped(way):
    years_on(way)
    address = f"/keeping/proposals/{proposed(way)}"
    assert way.by("lee").send(f"{address}/drop").status_code == 303
    assert "Propose to forget Ana Ruiz" in words(way.by("lee").get("/keeping"))


def test_other_sites_and_nobody_are_not_found(way):
    mia = way.by("mia")
    for gone in ("people/otto-2", "people/tom-1", "holds/none", "proposals/none"):
        assert mia.get(f"/keeping/{gone}").status_code == 404
    sent = mia.send("/keeping/hold", form_id=new_id(), person="otto-2", reason="x")
    assert sent.status_code == 422 and "another site" in words(sent)


def test_in_spanish(way):
    way.by("mia").send("/preferences", language="es", system="us")
    page = words(way.by("mia").get("/keeping"))
    assert "Guardar y olvidar" in page and "Retenciones legales" in page
