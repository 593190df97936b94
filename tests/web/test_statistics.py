"""How the questions hold up, on their pages: what misbehaves and why, in both languages, and the decision."""

import re

import pytest

from tests.acts.test_questions import NAME, TEXT
from tests.first_answers import practise
from tests.web.certifying import words
from tests.web.test_look import faults, served, signed_in
from trainer.acts import questions as own_acts
from trainer.language.generator import generator
from trainer.language.source import fingerprint
from trainer.records.queries import people
from trainer.records.queries import statistics as queries
from trainer.web import statistics

__all__ = ["served"]

ADDRESS = "/questions/statistics"
ASKED = ("measuring.", "delays.")


def practised(stage, people=60):
    """People answered the fixed and drawn questions of two topics; the first one's key is wrong. Gives its id."""
    questions = [one for one in stage.house.bank.by_id.values() if one.id.startswith(ASKED)][:12]
    practise(stage.cast, questions, people=people, miskeyed=questions[0].id)
    stage.clock.move(days=1)
    return questions[0].id


def looked_at(stage, person, language="en", people=60):
    name = practised(stage, people)
    visitor = stage.visitor(person)
    visitor.send("/preferences", language=language, system="us")
    assert visitor.send(ADDRESS).status_code == 303
    return name, visitor


def test_before_any_look_the_page_says_so(stage):
    page = stage.visitor(stage.cast.tom).get(ADDRESS).text
    assert "The questions were not looked at yet." in page and "<table" not in page


@pytest.mark.parametrize(
    ("language", "said"),
    [
        (
            "en",
            (
                r"Looked at .*, on 720 first answers\.", "These are out of scored use until somebody decides",
                r"get this one wrong more often \(correlation -0\.\d+, -0\.\d+ to -0\.\d+\)",
                "Work it out by hand and compare the key", r"\d+ \(\d+ to \d+\) of 100 right, 60 answers in practice",
                r"not estimable yet: 0 of 0 right, 30 answers needed; by the model \d+ \(\d+ to \d+\) of 100, from",
                r"Not estimable yet: 0 of 30 first sittings", "A model, not data",
            ),
        ),
        (
            "es",
            (
                r"Revisadas .*, con 720 primeras respuestas\.", "Estas no cuentan hasta que alguien decida",
                r"Quienes salen bien en lo demás fallan más en esta \(correlación -0,\d+, -0,\d+ a -0,\d+\)",
                "Resuélvela a mano y compara la clave",
                r"\d+ \(\d+ a \d+\) de 100 correctas, 60 respuestas en práctica",
                r"0 de 0 bien, hacen falta 30 respuestas; por el modelo \d+ \(\d+ a \d+\) de 100",
                r"Aún no se puede estimar: 0 de 30 primeros intentos", "Un modelo, no datos",
            ),
        ),
    ],
)  # fmt: skip
def test_what_misbehaves_stands_first_in_words(stage, language, said):
    _, visitor = looked_at(stage, stage.cast.tom, language)
    text = words(visitor.get(ADDRESS))
    assert [one for one in said if not re.search(one, text)] == []


def test_a_question_is_decided_on_with_a_reason_and_once(stage):
    name, visitor = looked_at(stage, stage.cast.mia)
    address = f"{ADDRESS}/{name}"
    page = visitor.get(address).text
    assert "1 question out of scored use waits for a decision" in visitor.get("/cabinets").text
    [flag] = re.findall(r'name="flag" value="(\d+)"', page)
    assert "Out of scored use until you decide" in page
    silent = visitor.send(address, flag=flag, decision="kept", note=" ")
    assert silent.status_code == 422 and "Say why, in a few words" in silent.text
    assert visitor.send(address, flag=flag, decision="kept", note="The key is right.").status_code == 303
    after = words(visitor.get(address))
    assert "Put back into scored use" in after and "Mia Okafor decided: The key is right." in after
    again = visitor.send(address, flag=flag, decision="out", note="No.")
    assert again.status_code == 422 and "has decided on this question already" in again.text
    assert "waits for a decision" not in visitor.get("/cabinets").text
    assert "Nothing waits for a decision." in visitor.get(ADDRESS).text
    with stage.cast.database.reading() as db:
        assert queries.out_of_use(db, stage.cast.site, stage.house.bank) == set()


def test_an_own_question_that_is_newer_than_the_check_was_not_checked(stage):
    visitor = stage.visitor(stage.cast.tom)
    visitor.send("/sheet/questions")
    stage.waiting.pop()()
    stage.clock.move(minutes=1)
    with stage.cast.database.reading() as db:
        tom, mia = (people.member(db, one) for one in (stage.cast.tom, stage.cast.mia))
    own_acts.begin(stage.cast.database, member=tom, name=NAME, text=TEXT, now=stage.clock())
    for kind, by in (("submitted", tom), ("reviewed", mia), ("published", mia)):
        refused = own_acts.step(
            stage.cast.database, member=by, name=NAME, version=1, kind=kind, findings=(), note="", now=stage.clock(),
            checked=fingerprint(TEXT),
        )  # fmt: skip
        assert refused == ()
    assert "Not checked with the numbers of this site yet." in words(visitor.get(f"{ADDRESS}/{NAME}"))
    visitor.send("/sheet/questions")
    stage.waiting.pop()()
    assert "Nothing was found against it with sheet version 1" in words(visitor.get(f"{ADDRESS}/{NAME}"))


def test_a_question_on_what_can_hurt_keeps_its_caution(stage):
    bank = stage.house.bank
    cautioned = [one for one in bank.by_id.values() if one.id.startswith("lockout.") and one.caution]
    visitor = stage.visitor(stage.cast.tom)
    assert len(cautioned) > 20
    for one in cautioned[:3]:
        page = visitor.get(f"{ADDRESS}/{one.id}").text
        assert f"signal-{one.caution.word}" in page
    plain = next(one for one in bank.by_id.values() if one.caution is None)
    assert "signal-" not in visitor.get(f"{ADDRESS}/{plain.id}").text


def test_many_answers_are_looked_at_beside_the_pages(stage, monkeypatch):
    monkeypatch.setattr(statistics, "AT_ONCE", 10)
    _, visitor = looked_at(stage, stage.cast.tom)
    assert "The questions are being looked at." in visitor.get(ADDRESS).text
    assert "not looked at yet" in visitor.get(ADDRESS).text
    [look] = stage.waiting
    look()
    assert "These are out of scored use" in visitor.get(ADDRESS).text


def test_each_figure_of_a_question_stands_with_its_name(stage):
    name, visitor = looked_at(stage, stage.cast.tom)
    text = words(visitor.get(f"{ADDRESS}/{name}"))
    for figure in ("Correlation with the rest", "Place on the scale", "Infit", "Time, middle half"):
        assert figure in text
    assert re.search(r"\d+ to \d+ s, half within \d+ s", text)
    assert "too few had the same numbers" in text
    assert "Not checked with the numbers of this site yet." in text
    visitor.send("/sheet/questions")
    stage.waiting.pop()()
    assert f"by generator {generator()}." in words(visitor.get(f"{ADDRESS}/{name}"))
    assert visitor.get(f"{ADDRESS}/measuring.no_such_question").status_code == 404


def test_each_site_sees_its_own_and_a_learner_nothing(stage):
    name, _ = looked_at(stage, stage.cast.tom)
    assert "not looked at yet" in stage.visitor(stage.cast.otto).get(ADDRESS).text
    assert "not looked at yet" in stage.visitor(stage.cast.otto).get(f"{ADDRESS}/{name}").text
    assert stage.visitor(stage.cast.ana).get(ADDRESS).status_code == 403


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 360), ("light", 900)])
def test_no_fault_that_a_program_can_find(served, make_page, theme, width):
    stage, address = served
    name, _ = looked_at(stage, stage.cast.tom)
    page = make_page(color_scheme=theme, viewport={"width": width, "height": 800}, is_mobile=width < 700)
    signed_in(stage, page, address, stage.cast.tom)
    for place in (ADDRESS, f"{ADDRESS}/{name}"):
        page.goto(address + place)
        page.eval_on_selector_all("details", "all => all.forEach(one => { one.open = true })")
        assert faults(page) == []
