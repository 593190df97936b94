import json
from datetime import timedelta

import pytest
from sqlalchemy import event

from tests.acts.certified import ALL_MET, CABINET, STEPS, new_id
from tests.web.certifying import hidden, way_on, words
from trainer.acts.sentences import SENTENCES
from trainer.exams.scoring import AreaResult, Result, result_document


@pytest.fixture
def way(stage):
    return way_on(stage)


def roster(way):
    return f"/cabinets/{way.cast.main_cabinet}"


def deciding(way, person=None):
    return f"{roster(way)}/decide/{way.cast.public_id(person or way.cast.ana)}"


def decided(way, decision, who="mia", **more):
    page = way.by(who).get(deciding(way))
    return way.by(who).send(deciding(way), form_id=hidden(page), decision=decision, **more)


def section(page, heading):
    """The words between a heading and the next."""
    return words(page).split(heading, 1)[1]


def test_the_front_door_of_a_manager(way):
    assert way.by("mia").get("/").location == "/cabinets"
    page = way.by("mia").get("/cabinets")
    assert "No decision waits" in words(page)
    assert "Nobody may open this cabinet now" in words(page)
    assert "Local codes and licensed practice come first" in words(page)


def test_a_decision_waits_until_it_is_made(way):
    way.exam(), way.practical()
    page = way.by("mia").get("/cabinets")
    assert f'href="{deciding(way)}"' in page.text
    way.decide()
    assert f'class="card" href="{deciding(way)}"' not in way.by("mia").get("/cabinets").text


def test_what_lapses_within_sixty_days_is_listed(way):
    way.exam(valid_until=way.now + timedelta(days=61)), way.practical(), way.decide()
    assert "None." in section(way.by("mia").get("/cabinets"), "Lapses in the next 60 days")
    way.stage.clock.move(days=2)
    assert "Ana Ruiz · Main control cabinet" in section(
        way.by("mia").get("/cabinets"), "Lapses in the next 60 days"
    )


def test_the_roster_says_who_may_and_in_words_why_others_may_not(way):
    way.exam(), way.practical(), way.decide()
    page = way.by("mia").get(roster(way))
    may, may_not = words(page).split("May not open it")
    assert "Ana Ruiz" in may
    assert "Ana Ruiz" not in may_not
    for key in ("exam.none_valid", "practical.not_signed", "decision.none", "certificate.none"):
        assert SENTENCES[key].en in may_not
    assert "Otto Vance" not in words(page)


def test_expired_is_not_on_the_roster_a_second_later(way):
    way.exam(), way.practical(), way.decide()
    until = way.certificate().expires_at
    way.stage.clock.now = until - timedelta(seconds=1)
    assert "Ana Ruiz" in words(way.by("mia").get(roster(way))).split("May not open it")[0]
    way.stage.clock.now = until
    page = words(way.by("mia").get(roster(way)))
    assert "Nobody may open this cabinet now" in page
    assert SENTENCES["certificate.expired"].en in page


def test_the_front_door_and_the_roster_take_few_statements(way):
    way.exam(), way.practical(), way.decide()
    for address, most in (("/cabinets", 12), (roster(way), 7)):
        visitor, said = way.by("mia"), []
        visitor.get("/cabinets")
        engine = way.cast.database.engine
        event.listen(engine, "before_cursor_execute", record := lambda *a, said=said: said.append(a[2]))
        visitor.get(address)
        event.remove(engine, "before_cursor_execute", record)
        # One is the caller's own; the rest are the page's.
        assert sum(one.startswith("SELECT") for one in said) <= most, said


def test_the_roster_on_paper(way):
    answer = way.by("mia").get(f"{roster(way)}/roster.pdf")
    assert answer.mimetype == "application/pdf"
    assert answer.data.startswith(b"%PDF-")


def test_the_evidence_is_all_there_to_read(way):
    areas = tuple(AreaResult(one.id, one.critical, one.items, one.items, one.items) for one in CABINET.areas)
    result = Result(CABINET.cut, CABINET.items, CABINET.items, areas, (), (), (), (), True, ())
    way.exam(passed=False)
    way.exam(result=json.dumps(result_document(result)))
    way.practical(note="Asked twice.", marks={**ALL_MET, STEPS[-1]: "met"})
    hidden = words(way.by("mia").get(deciding(way)))
    assert "It waits for a second observer, who could be you" in hidden
    assert "Asked twice." not in hidden
    way.second()
    page = words(way.by("mia").get(deciding(way)))
    for area in CABINET.areas:
        assert f"{area.title.en}" in page
    assert "10 / 10" in page
    assert "Earlier sittings ✗ Not passed" in page
    assert "Trained by: Tom Becker" in page
    assert "Observed by: Tom Becker" in page
    assert "Asked twice." in page
    assert "trained or observed this person" not in page


def test_granting_puts_the_person_on_the_roster(way):
    way.exam(), way.practical()
    answer = decided(way, "grant")
    assert answer.location == roster(way)
    assert "Ana Ruiz" in words(way.by("mia").get(roster(way))).split("May not open it")[0]


def test_refusing_needs_a_reason(way):
    way.exam(), way.practical()
    answer = decided(way, "refuse")
    assert answer.status_code == 422
    assert SENTENCES["decision.no_reason"].en in words(answer)
    assert decided(way, "refuse", reason="One more lockout first.").status_code == 303
    assert "One more lockout first." in words(way.by("mia").get(deciding(way)))


def test_no_grant_without_evidence_even_if_the_form_is_made_up(way):
    page = way.by("mia").get(deciding(way))
    assert "Grant this cabinet" not in page.text
    answer = way.by("mia").send(deciding(way), form_id=hidden(page), decision="grant")
    assert answer.status_code == 422
    assert SENTENCES["exam.none_valid"].en in words(answer)
    assert way.evidence().certificate_public_id is None


@pytest.mark.parametrize("sent", [{"decision": "perhaps"}, {"decision": "grant", "form_id": "x"}, {}])
def test_a_made_up_form_decides_nothing(way, sent):
    way.exam(), way.practical()
    sent = {"form_id": new_id(), **sent}
    assert way.by("mia").send(deciding(way), **sent).status_code == 422
    assert way.evidence().decision_public_id is None


def test_a_double_click_decides_once(way):
    way.exam(), way.practical()
    form_id = hidden(way.by("mia").get(deciding(way)))
    answers = [way.by("mia").send(deciding(way), form_id=form_id, decision="grant") for _ in range(2)]
    assert [one.status_code for one in answers] == [303, 303]
    assert words(way.by("mia").get("/log")).count("Issued a certificate") == 1


def test_a_manager_who_observed_is_warned_and_another_approves(way):
    way.exam(), way.practical(by=way.cast.mia)
    assert "You trained or observed this person" in words(way.by("mia").get(deciding(way)))
    assert SENTENCES["overlap.no_reason"].en in words(decided(way, "grant"))
    decided(way, "grant", overlap_reason="Tom is away.")
    approval = f"/decisions/{way.evidence().pending_public_id}"
    for who in ("mia", "rosa"):
        assert f'href="{approval}"' in way.by(who).get("/cabinets").text
    assert way.by("mia").send(approval).status_code == 422
    assert "Tom is away." in words(way.by("rosa").get(approval))
    answer = way.by("rosa").send(approval)
    assert answer.location == f"/certificates/{way.certificate().public_id}"
    assert "no longer waits" in words(way.by("rosa").get(approval))


def test_nobody_decides_on_themself(way):
    way.exam(way.cast.mia), way.practical(way.cast.mia)
    page = way.by("mia").get(deciding(way, way.cast.mia))
    assert "Another manager has to decide" in words(page)
    assert 'name="decision"' not in page.text


def test_withdrawing_takes_the_person_off_the_roster_for_good(way):
    way.exam(), way.practical(), way.decide()
    here = f"/certificates/{way.certificate().public_id}"
    assert "Active" in words(way.by("mia").get(here))
    assert way.by("mia").send(f"{here}/withdraw").status_code == 422
    assert way.by("mia").send(f"{here}/withdraw", reason="Opened it live.").location == here
    page = words(way.by("mia").get(here))
    assert "Withdrawn" in page
    assert "Opened it live." in page
    assert "Withdraw it" not in page
    assert SENTENCES["certificate.withdrawn"].en in words(way.by("mia").get(roster(way)))


def test_another_site_sees_and_changes_nothing(way):
    way.exam(), way.practical(), way.decide()
    held = way.certificate().public_id
    decision = way.evidence().decision_public_id
    addresses = [roster(way), f"{roster(way)}/roster.pdf", deciding(way), f"/decisions/{decision}"]
    addresses += [f"/certificates/{held}", f"/certificates/{held}/withdraw"]
    for address in addresses:
        assert (address, way.by("otto").get(address).status_code) == (address, 404)
    for address in (deciding(way), f"/decisions/{decision}", f"/certificates/{held}/withdraw"):
        assert way.by("otto").send(address, reason="x").status_code == 404
    log = words(way.by("otto").get("/log"))
    assert "Ana" not in log
    assert "Issued" not in log
    assert way.certificate().withdrawn is None


def test_a_trainer_does_not_manage(way):
    for address in ("/cabinets", roster(way), "/log", deciding(way)):
        assert way.by("tom").get(address).status_code == 403


def test_the_log_reads_in_words_with_names_newest_first(way):
    way.exam(), way.practical(), way.decide()
    page = words(way.by("mia").get("/log"))
    issued, granted, signed = (
        page.index(said)
        for said in ("Issued a certificate", "Granted cabinet main", "signed a practical on conveyor")
    )
    assert issued < granted < signed
    assert "Tom Becker" in page
    assert "Ana Ruiz" in page


def test_the_log_is_paged(way):
    for _ in range(51):
        way.practical()
    first = way.by("mia").get("/log")
    assert words(first).count("signed a practical") == 50
    older = first.text.split('href="/log?before=')[1].split('"')[0]
    second = words(way.by("mia").get(f"/log?before={older}"))
    assert second.count("signed a practical") == 1
    assert way.by("mia").get("/log?before=x").status_code == 200


def test_in_spanish_the_reasons_are_spanish(way):
    from trainer.acts.accounts import choose  # noqa: PLC0415

    choose(way.cast.database, person_id=way.cast.mia, language="es", system="us", now=way.now)
    page = words(way.by("mia").get(roster(way)))
    assert SENTENCES["exam.none_valid"].es in page
    assert "Los códigos locales y el electricista con licencia van primero" in page
    # One of the log's facts is itself called language.
    assert "Eligió el idioma es" in words(way.by("mia").get("/log"))
