"""Pages on which a certificate is suspended, given back and reduced, machines change, inspections and threats stand."""

import re
from datetime import timedelta

import pytest

from tests.acts.certified import new_id
from tests.web.certifying import hidden, way_on, words
from trainer.acts.accounts import choose
from trainer.acts.sentences import SENTENCES
from trainer.records.tables import Practical


@pytest.fixture
def way(stage):
    choose(stage.cast.database, person_id=stage.cast.ana, language="en", system="us", now=stage.clock.now)
    return way_on(stage)


@pytest.fixture
def here(way):
    """The page of Ana's certificate."""
    way.exam(), way.practical(), way.decide()
    return f"/certificates/{way.certificate().public_id}"


def may_open(way):
    page = words(way.by("mia").get(f"/cabinets/{way.cast.main_cabinet}"))
    return "Ana Ruiz" in page.split("May not open it")[0]


def sent(way, who, address, **fields):
    """Open a form and send it with its own id."""
    page = way.by(who).get(address)
    return way.by(who).send(address, form_id=hidden(page), **fields)


def lifting(way, here):
    return re.search(rf'href="({here}/lift/[^"]+)"', way.by("mia").get(here).text)[1]


def test_suspended_and_lifted_by_hand(way, here):
    assert sent(way, "mia", f"{here}/suspend").status_code == 422
    assert sent(way, "mia", f"{here}/suspend", reason="An incident is looked into.").location == here
    page = words(way.by("mia").get(here))
    assert "Suspended: it does not count" in page
    assert "An incident is looked into." in page
    assert not may_open(way)
    assert "suspended, see whether it can be lifted" in words(way.by("mia").get("/cabinets"))
    assert "suspended" in words(way.by("ana").get("/today"))
    lift = lifting(way, here)
    assert sent(way, "mia", lift).status_code == 422
    assert sent(way, "mia", lift, reason="Looked into.").location == here
    assert may_open(way)
    assert SENTENCES["lift.not_suspended"].en in words(sent(way, "mia", lift, reason="Again."))


def test_reduced_says_what_is_gone(way, here):
    assert SENTENCES["reduction.nothing"].en in words(sent(way, "mia", f"{here}/reduce", reason="x"))
    answer = sent(way, "mia", f"{here}/reduce", reason="Not alone.", task="open_alone")
    assert answer.location == here
    page = words(way.by("mia").get(here))
    assert "It no longer covers: Open the cabinet alone, under lockout" in page
    assert not may_open(way)
    assert 'value="open_alone"' not in way.by("mia").get(f"{here}/reduce").text


def test_a_change_of_the_machine_suspends_until_retraining(way, here):
    form = {
        "kind": "procedure",
        "place": str(way.cast.conveyor),
        "since": "2026-03-02",
        "what": "New disconnect.",
    }
    assert sent(way, "mia", "/changes/new", **{**form, "what": ""}).status_code == 422
    assert sent(way, "mia", "/changes/new", **{**form, "since": ""}).status_code == 422
    assert sent(way, "mia", "/changes/new", **{**form, "place": "999"}).status_code == 422
    assert sent(way, "mia", "/changes/new", **form).location == "/changes"
    assert "New disconnect." in words(way.by("mia").get("/changes"))
    roster = words(way.by("mia").get(f"/cabinets/{way.cast.main_cabinet}"))
    assert SENTENCES["change.procedure"].en in roster
    assert SENTENCES["lift.no_retraining"].en in words(sent(way, "mia", lifting(way, here), reason="Seen."))
    way.practical()
    assert sent(way, "mia", lifting(way, here), reason="Retrained by Tom.").location == here
    assert may_open(way)


def test_a_form_that_is_made_up_changes_nothing(way, here):
    for address in ("suspend", "reduce"):
        answer = way.by("mia").send(f"{here}/{address}", form_id="x", reason="x", task="open_alone")
        assert answer.status_code == 422
    assert may_open(way)


def test_another_site_and_a_trainer_are_kept_out(way, here):
    sent(way, "mia", f"{here}/suspend", reason="x")
    lift = lifting(way, here)
    for address in (f"{here}/suspend", f"{here}/reduce", lift, f"{here}/lift/{new_id()}"):
        assert way.by("otto").get(address).status_code == 404
        assert way.by("otto").send(address, form_id=new_id(), reason="x").status_code == 404
        assert way.by("tom").get(address).status_code == 403
    assert way.by("tom").get("/changes").status_code == 403


def test_an_inspection_is_written_down_and_no_longer_overdue(way):
    way.exam(way.cast.rosa), way.practical(way.cast.rosa), way.decide(way.cast.rosa)
    assert "Conveyor and drive: no inspection on record · overdue" in words(way.by("mia").get("/cabinets"))
    roster = words(way.by("mia").get(f"/cabinets/{way.cast.main_cabinet}"))
    assert "no inspection on record · overdue" in roster
    ana, rosa = (way.cast.public_id(one) for one in (way.cast.ana, way.cast.rosa))
    form = {"machine": str(way.cast.conveyor), "day": "2026-03-02", "inspector": rosa, "included": ana}
    assert SENTENCES["inspection.nobody_used"].en in words(sent(way, "mia", "/inspections/new", **form))
    assert sent(way, "mia", "/inspections/new", **{**form, "day": ""}).status_code == 422
    assert sent(way, "tom", "/inspections/new", **form, used=ana).location == "/inspections"
    page = words(way.by("mia").get("/inspections"))
    assert "Employees included: Ana Ruiz (used it)" in page
    assert "inspection due by March 2, 2027" in page
    assert (
        "Conveyor" not in words(way.by("mia").get("/cabinets")).split("Due or overdue")[1].split("Lapses")[0]
    )
    way.stage.clock.move(days=340)
    assert "Conveyor and drive: inspection due by March 2, 2027" in words(way.by("mia").get("/cabinets"))
    way.stage.clock.move(days=26)
    assert "Conveyor and drive: inspection due by March 2, 2027 · overdue" in words(
        way.by("mia").get("/cabinets")
    )


def test_a_threat_is_written_looked_at_again_and_closed(way):
    rosa = way.cast.public_id(way.cast.rosa)
    form = {
        "threat": "A bonus for each pass.",
        "treatment": "Paid by cars.",
        "owner": rosa,
        "review_on": "2026-06-01",
    }
    assert SENTENCES["threat.nothing_said"].en in words(
        sent(way, "mia", "/impartiality/new", **{**form, "threat": ""})
    )
    assert sent(way, "mia", "/impartiality/new", **form).location == "/impartiality"
    page = way.by("mia").get("/impartiality")
    one = re.search(r'href="(/impartiality/[0-9a-f-]{36})"', page.text)[1]
    way.stage.clock.move(days=92)
    assert "review by June 1, 2026 · overdue" in words(way.by("mia").get("/cabinets"))
    assert SENTENCES["threat.review_past"].en in words(sent(way, "mia", one, **form))
    assert sent(way, "mia", one, **{**form, "review_on": "2026-09-01"}).location == "/impartiality"
    assert sent(way, "mia", one, **form, closed="y").location == "/impartiality"
    assert "closed" in words(way.by("mia").get("/impartiality"))
    assert words(way.by("mia").get(one)).count("A bonus for each pass.") >= 3
    assert way.by("otto").get(one).status_code == 404


def judged(way, observer, met, failed):
    """Practicals on record as signed by an observer, so many passed and so many not."""
    with way.cast.database.writing() as db:
        for number in range(met + failed):
            db.add(
                Practical(
                    public_id=new_id(), person_id=way.cast.ana, machine_id=way.cast.conveyor, scheme="cabinet",
                    scheme_version=1, observer_id=observer, steps="{}", passed=number < met, signed_at=way.now,
                )
            )  # fmt: skip


def test_an_odd_pass_rate_is_said_with_its_numbers_and_stands_on_the_front_page(way):
    assert "Nobody has signed a practical" in words(way.by("mia").get("/impartiality"))
    judged(way, way.cast.rosa, 6, 3), judged(way, way.cast.tom, 30, 0)
    page = words(way.by("mia").get("/impartiality"))
    assert "Rosa Lind 6 of 9 30 of 30 too few to say" in page and "odd:" not in page
    assert "Odd pass rate" not in words(way.by("mia").get("/cabinets"))
    judged(way, way.cast.rosa, 12, 9), judged(way, way.cast.mia, 20, 10)
    page = words(way.by("mia").get("/impartiality"))
    # Tom's 30 of 30 beside 38 of 60: p 0.0000415 (scipy.stats.fisher_exact), three times that after Holm.
    assert "Tom Becker 30 of 30 38 of 60 ✗ odd: more often than the others (chance under 0.1%)" in page
    assert "Mia Okafor 20 of 30 48 of 60 nothing odd" in page
    assert "Odd pass rate of Tom Becker: look into it" in words(way.by("mia").get("/cabinets"))
    choose(way.cast.database, person_id=way.cast.mia, language="es", system="us", now=way.now)
    assert "extraño: más veces que los demás" in words(way.by("mia").get("/impartiality"))


def test_decisions_are_compared_too_and_another_sites_are_not(way):
    way.exam(), way.practical()
    way.decide(granted=False, reason="One more lockout first.")
    page = words(way.by("mia").get("/impartiality"))
    assert "Decisions by manager" in page and "Mia Okafor 0 of 1 Nobody else yet too few to say" in page
    assert "Tom Becker 1 of 1 Nobody else yet" in page
    assert "Tom Becker" not in words(way.by("otto").get("/impartiality"))


# Appeals


@pytest.fixture
def refused(way):
    way.exam(), way.practical()
    return way.decide(granted=False, reason="One more lockout first.")


def appeal(way, who="ana"):
    [address] = re.findall(r'href="(/appeals/against/[^"]+)"', way.by("ana").get("/appeals").text)
    return sent(way, who, address, grounds="I did check for zero energy.").location


def test_a_person_appeals_and_is_told_the_outcome(way, refused):
    assert "Ask for another look" in words(way.by("ana").get("/today"))
    [address] = re.findall(r'href="(/appeals/against/[^"]+)"', way.by("ana").get("/appeals").text)
    assert sent(way, "ana", address).status_code == 422
    here = appeal(way)
    assert "Your appeal: Cabinet refused" in words(way.by("ana").get("/today"))
    assert "Take it" not in words(way.by("ana").get(here))
    assert "Appeal of Ana Ruiz: take it on by March 9, 2026" in words(way.by("mia").get("/cabinets"))
    assert "You had a hand in" in words(way.by("mia").get(here))
    assert SENTENCES["handler.not_independent"].en in words(way.by("mia").send(f"{here}/take"))
    assert way.by("rosa").send(f"{here}/take").location == here
    assert SENTENCES["appeal.no_outcome"].en in words(way.by("rosa").send(f"{here}/decide", reason="x"))
    assert (
        way.by("rosa").send(f"{here}/decide", outcome="upheld", reason="The mark was wrong.").location == here
    )
    page = words(way.by("ana").get(here))
    assert "upheld · Rosa Lind" in page
    assert "The mark was wrong." in page
    assert "Your appeal: Cabinet refused · upheld" in words(way.by("ana").get("/today"))
    way.stage.clock.move(days=31)
    assert "Your appeal" not in words(way.by("ana").get("/today"))


def test_the_evidence_is_for_whoever_hears_it_alone(way, refused):
    here = appeal(way)
    pack = way.by("rosa").get(f"{here}/evidence.json")
    assert pack.json["decision"]["reason"] == "One more lockout first."
    assert pack.mimetype == "application/json"
    assert "evidence.json" not in way.by("ana").get(here).text
    for who, status in (("ana", 403), ("tom", 403), ("otto", 404)):
        assert way.by(who).get(f"{here}/evidence.json").status_code == status
    assert way.by("tom").get(here).status_code == 404
    assert way.by("otto").get(here).status_code == 404
    assert way.by("lee").get(here).status_code == 200


def test_a_letter_of_somebody_else_is_a_managers_work(way, refused):
    ana = way.cast.public_id(way.cast.ana)
    letter = f"/appeals/letter/{ana}"
    for page in (f"/people/{ana}", f"/members/{ana}"):
        assert f'href="{letter}"' in way.by("mia").get(page).text
    assert letter not in way.by("tom").get(f"/people/{ana}").text
    [address] = re.findall(r'href="(/appeals/against/[^"]+)"', way.by("mia").get(letter).text)
    assert way.by("tom").get(address).status_code == 404
    here = sent(way, "mia", address, grounds="By letter of 3 March.").location
    assert "Filed by Mia Okafor" in words(way.by("ana").get(here))
    assert way.by("ana").get("/appeals/against/exam/" + new_id()).status_code == 404


def test_the_time_to_appeal_ends(way, refused):
    way.stage.clock.move(days=30)
    assert "You may appeal until April 1, 2026." in words(way.by("ana").get("/appeals"))
    way.stage.clock.move(days=1)
    assert "Nothing was decided against you" in words(way.by("ana").get("/appeals"))
    assert "Ask for another look" not in words(way.by("ana").get("/today"))


def test_a_late_appeal_says_so(way, refused):
    appeal(way)
    way.stage.clock.now += timedelta(days=8)
    assert "Appeal of Ana Ruiz: take it on by March 9, 2026 · overdue" in words(
        way.by("mia").get("/cabinets")
    )
    assert "overdue" in words(way.by("mia").get("/appeals/site"))
