"""Pages of schemes and panels: what they rest on, freezing, a panel to its seal, what a learner never sees."""

import re
from dataclasses import replace

import pytest

from tests.web.certifying import words
from trainer.records.queries import schemes as queries
from trainer.records.tables import Person

SAID = {"tom": 80, "mia": 85, "rosa": 75}


@pytest.fixture
def by(stage):
    return lambda who: stage.visitor(getattr(stage.cast, who))


@pytest.fixture
def short(make_stage, content, stored_cast):
    """An installation whose basics ask two questions, so that a panel is quickly rated."""
    stage = make_stage()
    basics = content["schemes"]["basics"]
    areas = tuple(replace(area, items=1, because=basics.title) for area in basics.areas[:2])
    small = replace(basics, areas=areas, cut=1, analysis=None)
    object.__setattr__(stage.house, "schemes", {**stage.house.schemes, "basics": small})
    return stage


def test_a_scheme_says_what_it_rests_on(by):
    page = words(by("tom").get("/schemes/basics"))
    assert "No panel has set this cut" in page and "Cut: 9 of 12" in page
    assert "A model, not data" in page and "Rated on September 15, 2025" in page
    assert "No exam was set under this version yet" in page
    assert re.search(r"Measuring vehicles 57 4 4", page)
    assert "Every skill of this area is asked once" in words(by("mia").get("/schemes/cabinet"))


def test_it_reads_in_spanish_too(by, stage):
    with stage.cast.database.writing() as db:
        db.get_one(Person, stage.cast.mia).language = "es"
    page = words(by("mia").get("/schemes/cabinet"))
    assert "Preguntas según las tareas del trabajo" in page and "Ningún panel fijó este corte" in page


def test_the_tries_stand_beside_the_cut(by):
    # Binomial, 12 questions, 9 to pass at 75 % each (scipy.stats.binom.sf(8, 12, .75) = .6488): 65, 88, 96, 98.
    page = words(by("tom").get("/schemes/basics"))
    assert "75 % 65 88 96 98" in page


def test_the_matrix_is_complete_and_read_on_a_phone(by):
    page = by("tom").get("/schemes/matrix")
    assert "Complete both ways" in words(page) and 'data-label="Lesson"' in page.text


def test_the_curve_is_drawn(by):
    for theme in ("light", "dark"):
        drawn = by("tom").get(f"/schemes/cabinet/curve.svg?theme={theme}")
        assert drawn.mimetype == "image/svg+xml" and "only just competent" in drawn.text


def test_a_learner_sees_neither_schemes_nor_panels(by):
    for address in ("/schemes", "/schemes/matrix", "/schemes/basics", "/schemes/basics/panel"):
        assert by("ana").get(address).status_code == 403
    assert by("tom").get("/schemes/basics/panel").status_code == 403
    assert by("mia").get("/schemes/nothing").status_code == 404


def test_a_manager_freezes_and_a_changed_text_is_told(by, stage):
    assert by("tom").send("/schemes/basics/freeze").status_code == 403
    assert by("mia").send("/schemes/basics/freeze").status_code == 303
    assert "by Mia Okafor" in words(by("mia").get("/schemes/basics"))
    changed = replace(stage.house.schemes["basics"], minutes=25)
    object.__setattr__(stage.house, "schemes", {**stage.house.schemes, "basics": changed})
    page = by("mia").get("/schemes/basics")
    assert "No exam starts under this version" in words(page) and "Raise the version" in words(page)
    assert by("mia").send("/schemes/basics/freeze").status_code == 422


def test_a_stale_analysis_is_told_on_the_page(by, stage):
    stage.clock.move(days=365 * 5)
    assert "was to be reviewed by September 15, 2030" in words(by("tom").get("/schemes/basics"))


def opened(stage):
    mia = stage.visitor(stage.cast.mia)
    answer = mia.send("/schemes/basics/panel", definition="Knows the words, slow at figures.")
    assert answer.status_code == 303
    return answer.location


def rated(stage, address):
    mia = stage.visitor(stage.cast.mia)
    for who in SAID:
        person = str(getattr(stage.cast, who))
        assert mia.send(f"{address}/judges", person=person, qualification="Ten years.").status_code == 303
    for who, per_cent in SAID.items():
        judge = stage.visitor(getattr(stage.cast, who))
        for _ in range(2):
            sheet = judge.get(f"{address}/rate").location
            page = judge.get(sheet)
            assert "Of 100 people only just competent" in words(page) and "The right answer" in words(page)
            assert judge.send(sheet, per_cent=str(per_cent)).status_code == 303
        assert "Hand in my ratings" in words(judge.get(f"{address}/rate"))
        assert judge.send(f"{address}/hand-in").status_code == 303


def test_a_panel_from_opening_to_sealing(short):
    address = opened(short)
    rated(short, address)
    mia = short.visitor(short.cast.mia)
    page = words(mia.get(address))
    # By hand: 1.6, 1.7, 1.5 of 2; mean 1.6, SD .1, SE .058.
    assert "Mean of the judges' cuts: 1.60 of 2; 2 right answers" in page
    assert "standard deviation 0.10, standard error 0.06" in page
    assert mia.send(f"{address}/seal", cut="1").status_code == 422
    assert mia.send(f"{address}/seal", cut="2").status_code == 303
    assert "It never changes" in words(mia.get(address))
    page = words(mia.get("/schemes/basics"))
    assert "Cut: 2 of 2" in page and "The panel's mean was 1.60 items" in page
    lobby = words(short.visitor(short.cast.ana).get("/exams/about/basics"))
    assert "2 de 2" in lobby and "Fijado por un panel" in lobby and "0.10" not in lobby
    late = mia.send(f"{address}/rate/1", per_cent="10")
    assert late.status_code == 422 and "is sealed and never changes" in words(late)


def test_another_round_shows_what_the_panel_said(short):
    address = opened(short)
    rated(short, address)
    mia, tom = (short.visitor(one) for one in (short.cast.mia, short.cast.tom))
    assert mia.send(f"{address}/round").status_code == 303
    assert "you said 80, the panel's mean was 80" in words(tom.get(f"{address}/rate/1"))


def test_the_page_says_why_a_panel_is_not_sealed_or_opened(short):
    mia = short.visitor(short.cast.mia)
    assert mia.send("/schemes/basics/panel", definition=" ").status_code == 422
    address = opened(short)
    again = mia.send("/schemes/basics/panel", definition="Another.")
    assert again.status_code == 422 and "still sits" in words(again)
    refused = mia.send(f"{address}/seal", cut="1")
    assert refused.status_code == 422 and "three judges or more" in words(refused)
    assert mia.send(f"{address}/judges", person=str(short.cast.ana), qualification="x").status_code == 422
    assert short.visitor(short.cast.tom).get(f"{address}/rate").status_code == 404
    assert mia.send(f"{address}/drop").status_code == 303
    assert "It sets nothing" in words(mia.get(address))


def test_a_panel_of_another_site_is_not_found(short):
    address = opened(short)
    assert short.visitor(short.cast.otto).get(address).status_code == 404
    with short.cast.database.reading() as db:
        assert queries.panel(db, short.cast.other_site, address.rsplit("/", 1)[1]) is None
