import re

import pytest

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, STEPS, new_id
from tests.cast import PASSWORD
from tests.records.test_benches_queries import make_run
from tests.web.certifying import hidden, way_on, words

NEW = "/practicals/new?person={ana}&machine=conveyor"
SIGN = "/practicals/sign"


@pytest.fixture
def way(stage):
    return way_on(stage)


def ana(way):
    return way.cast.public_id(way.cast.ana)


def checklist(way, who="tom", **more):
    page = way.by(who).get(NEW.format(ana=ana(way)))
    marks = {f"step-{step}": "met" for step in STEPS}
    sent = {name: hidden(page, name) for name in ("form_id", "person", "machine")}
    return {**sent, **marks, "password": PASSWORD, "note": "Calm.", **more}


def test_who_passed_the_exam_waits_for_a_practical(way):
    assert "Nobody waits" in words(way.by("tom").get("/practicals"))
    way.exam()
    page = way.by("tom").get("/practicals")
    assert f'href="/practicals/new?person={ana(way)}&amp;machine=conveyor"' in page.text
    way.practical()
    assert re.search("Ana Ruiz · Conveyor[^:]*: ✓ Practical passed", words(way.by("tom").get("/practicals")))


def test_nobody_is_asked_to_observe_themself(way):
    way.exam(way.cast.mia)
    assert "Mia Okafor · Conveyor" in words(way.by("tom").get("/practicals"))
    assert "Mia Okafor · Conveyor" not in words(way.by("mia").get("/practicals"))
    assert f'value="{way.cast.public_id(way.cast.mia)}"' not in way.by("mia").get("/practicals/new").text


def test_the_checklist_is_the_scheme_s(way):
    page = words(way.by("tom").get(NEW.format(ana=ana(way))))
    for step in CABINET.practical.steps:
        assert step.text.en in page
    assert "Local codes and licensed practice come first" in page


def test_the_checklist_is_in_the_observer_s_language(way):
    page = words(way.by("tom").get(f"{NEW.format(ana=ana(way))}&language=es"))
    assert CABINET.practical.steps[0].text.en in page  # Tom chose English


@pytest.mark.parametrize(
    "address",
    ["?person=nobody&machine=conveyor", "?person={otto}&machine=conveyor", "?person={ana}&machine=x"],
)
def test_another_site_or_machine_is_not_found(way, address):
    there = address.format(ana=ana(way), otto=way.cast.public_id(way.cast.otto))
    assert way.by("tom").get(f"/practicals/new{there}").status_code == 404


def test_signing_ends_in_the_signed_page(way):
    answer = way.by("tom").send(SIGN, **checklist(way))
    assert answer.status_code == 303
    page = words(way.by("tom").get(answer.location))
    assert "Observed and signed by Tom Becker" in page
    assert "Calm." in page
    assert way.evidence().practical_passed


def test_a_critical_step_not_met_is_said_and_signed(way):
    answer = way.by("tom").send(SIGN, **checklist(way, **{f"step-{CRITICAL}": "not_met"}))
    page = words(way.by("tom").get(answer.location))
    assert "✗ Practical not passed" in page
    assert "✗ not met" in page
    assert way.evidence().practical_passed is False


def test_a_missing_mark_shows_the_form_again_with_the_marks(way):
    sent = checklist(way)
    del sent[f"step-{STEPS[0]}"]
    answer = way.by("tom").send(SIGN, **sent)
    assert answer.status_code == 422
    assert "Some steps have no mark" in words(answer)
    assert answer.text.count(" checked") == len(STEPS) - 1
    assert "Calm." in answer.text
    assert PASSWORD not in answer.text
    assert hidden(answer) == sent["form_id"]


@pytest.mark.parametrize("password", ["", "guess"])
def test_without_the_right_password_nothing_is_signed(way, password):
    answer = way.by("tom").send(SIGN, **checklist(way, password=password))
    assert answer.status_code == 422
    assert way.evidence().practical_id is None


def test_many_wrong_passwords_have_to_wait(way):
    answers = [way.by("tom").send(SIGN, **checklist(way, password="guess")) for _ in range(6)]
    assert answers[-1].status_code == 429
    assert int(answers[-1].headers["Retry-After"]) > 0


def test_a_double_click_signs_once(way):
    sent = checklist(way)
    first, second = (way.by("tom").send(SIGN, **sent) for _ in range(2))
    assert first.location == second.location
    assert words(way.by("tom").get("/practicals")).count("✓ Practical passed") == 1


def test_a_form_without_its_id_is_refused(way):
    assert way.by("tom").send(SIGN, **checklist(way, form_id="x")).status_code == 422


def test_a_signed_practical_of_another_site_is_not_found(way):
    signed = way.practical(marks=ALL_MET)
    assert way.by("tom").get(f"/practicals/{signed}").status_code == 200
    assert way.by("otto").get(f"/practicals/{signed}").status_code == 404
    assert way.by("tom").get(f"/practicals/{new_id()}").status_code == 404


def test_a_learner_does_not_sign(way):
    assert way.by("ana").get("/practicals").status_code == 403
    assert way.by("ana").send(SIGN, **checklist(way)).status_code == 403


def bench_run(way, person=None, points=92):
    """An ended run of a bench; gives its public id."""
    public_id = new_id()
    make_run(way.cast, public_id, person, points=points)
    return public_id


def test_the_checklist_offers_the_person_s_ended_runs(way):
    address = NEW.format(ana=ana(way))
    assert "Bench runs" not in words(way.by("tom").get(address))
    run, toms = bench_run(way), bench_run(way, way.cast.tom)
    make_run(way.cast, going_on := new_id())
    page = way.by("tom").get(address)
    assert f'name="bench" value="{run}"' in page.text
    assert toms not in page.text and going_on not in page.text
    assert "✓ 92 of 100 points" in words(page)
    assert "A bench never replaces a step" in words(page)


def test_ten_runs_are_offered_at_most(way):
    for _ in range(12):
        bench_run(way)
    page = way.by("tom").get(NEW.format(ana=ana(way)))
    assert page.text.count('name="bench"') == 10


def test_ticked_runs_stand_with_the_signed_practical_and_before_the_manager(way):
    run, other = bench_run(way), bench_run(way, points=15)
    way.exam()
    answer = way.by("tom").send(SIGN, **checklist(way, bench=[run]))
    way.second()
    manager = way.by("mia").get(f"/cabinets/{way.cast.main_cabinet}/decide/{ana(way)}")
    for page in (way.by("tom").get(answer.location), manager):
        assert "Bench runs shown with it" in words(page)
        assert "A bench never replaces a step" in words(page)
        assert f'href="/bench/{run}"' in page.text
        assert other not in page.text
    assert way.by("mia").get(f"/bench/{run}").status_code == 200


def test_a_practical_without_runs_says_nothing_of_them(way):
    bench_run(way)
    signed = way.practical()
    assert "Bench runs" not in words(way.by("tom").get(f"/practicals/{signed}"))


def test_a_run_of_somebody_else_is_refused_and_the_ticks_stay(way):
    run, toms = bench_run(way), bench_run(way, way.cast.tom)
    answer = way.by("tom").send(SIGN, **checklist(way, bench=[run, toms]))
    assert answer.status_code == 422
    assert "One of the bench runs is not of this person" in words(answer)
    assert f'name="bench" value="{run}" checked' in answer.text
    assert way.evidence().practical_id is None
