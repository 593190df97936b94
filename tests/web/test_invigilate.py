"""Pages about sitting under somebody's eye: asking, confirming, the one place, the clock, extra time."""

import re
from dataclasses import replace

import pytest

from tests.cast import PASSWORD
from tests.six_kinds import RIGHT, six_scheme
from tests.web.exam_house import make_exam_house
from tests.web.test_examine import begin, post_form, sitting_of, slots, text_of
from trainer.exams.scheme import Tries
from trainer.records.tables import Person


@pytest.fixture
def wash(tmp_path):
    made = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", invigilated=True)
    yield made
    made.cast.database.dispose()


@pytest.fixture
def open_wash(wash):
    """The same, with a scheme that asks for no invigilator."""
    wash.app.extensions["stringline"] = replace(wash.house, schemes={"six": six_scheme()})
    return wash


def waiting(client):
    """The addresses of the requests on the list."""
    return re.findall(r'action="(/invigilate/requests/[^/]+)/confirm"', client.get("/invigilate").text)


def in_english(wash, person):
    with wash.cast.database.writing() as db:
        db.get_one(Person, person).language = "en"
    return wash.client(person)


def choice_of(wash, exam):
    return next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")


def test_the_whole_way_in(wash):
    ana, tom = in_english(wash, wash.cast.ana), wash.client(wash.cast.tom)
    assert "First somebody confirms who you are" in ana.get("/exams/about/six").text
    assert ana.post("/exams/about/six").status_code == 422
    assert ana.post("/exams/about/six/ask").location == "/exams/about/six"
    lobby = ana.get("/exams/about/six").text
    assert "You are on the list" in lobby and "Start the exam now" not in lobby
    [request] = waiting(tom)
    assert "Ana Ruiz" in tom.get("/invigilate").text
    refused = tom.post(f"{request}/confirm")
    assert refused.status_code == 422 and "Tick what you confirm" in text_of(refused)
    assert tom.post(f"{request}/confirm", data={"attested": "yes"}).status_code == 303
    assert waiting(tom) == []
    assert "Start the exam now" in ana.get("/exams/about/six").text
    other = in_english(wash, wash.cast.ana)
    assert "Start the exam now" not in other.get("/exams/about/six").text, (
        "confirmed at the other device alone"
    )
    assert other.post("/exams/about/six").status_code == 422
    exam = begin(ana)
    assert post_form(ana, exam, choice_of(wash, exam), "eyes.choice", RIGHT["eyes.choice"]).status_code == 303


def test_somebody_turned_away_is_told_and_may_ask_again(wash):
    ana, tom = in_english(wash, wash.cast.ana), wash.client(wash.cast.tom)
    ana.post("/exams/about/six/ask")
    [request] = waiting(tom)
    assert tom.post(f"{request}/turn-away").status_code == 303
    assert "You were not confirmed" in ana.get("/exams/about/six").text
    assert tom.post(f"{request}/confirm", data={"attested": "yes"}).status_code == 422
    ana.post("/exams/about/six/ask")
    assert len(waiting(tom)) == 1


def test_nobody_confirms_themself_and_nobody_elsewhere_sees_the_list(wash):
    tom = wash.client(wash.cast.tom)
    tom.post("/exams/about/six/ask")
    assert waiting(tom) == []
    [request] = waiting(wash.client(wash.cast.mia))
    assert tom.post(f"{request}/confirm", data={"attested": "yes"}).status_code == 422
    assert waiting(wash.client(wash.cast.otto)) == []


def started(wash, client):
    tom = wash.client(wash.cast.tom)
    client.post("/exams/about/six/ask")
    [request] = waiting(tom)
    tom.post(f"{request}/confirm", data={"attested": "yes"})
    return begin(client), tom


def test_another_device_asks_the_invigilator_and_the_first_can_then_only_look_on(wash):
    ana = in_english(wash, wash.cast.ana)
    exam, tom = started(wash, ana)
    phone, number = in_english(wash, wash.cast.ana), choice_of(wash, exam)
    post_form(ana, exam, number, "eyes.choice", "emitter")
    page = phone.get(f"/exams/{exam}/{number}")
    assert "open in another place" in page.text and 'id="exam-answer"' not in page.text
    assert "1 of 6 answers are saved" in page.text
    refused = post_form(phone, exam, number, "eyes.choice", "cable", 2, json_wanted=True)
    assert (refused.status_code, refused.json["moved"]) == (422, True)
    assert phone.post(f"/exams/{exam}/here").status_code == 303
    assert "on the list" in phone.get(f"/exams/{exam}/{number}").text
    [request] = waiting(tom)
    tom.post(f"{request}/confirm", data={"attested": "yes"})
    assert 'id="exam-answer"' in phone.get(f"/exams/{exam}/{number}").text
    assert post_form(phone, exam, number, "eyes.choice", "cable", 2).status_code == 303
    for address in (f"/exams/{exam}/{number}", f"/exams/{exam}/review"):
        assert "open in another place" in ana.get(address).text
    handed = ana.post(f"/exams/{exam}/review")
    assert handed.status_code == 422 and "open in another place" in handed.text
    assert sitting_of(wash, exam).ended_at is None


def test_without_an_invigilator_the_password_moves_the_exam(open_wash):
    tom = open_wash.client(open_wash.cast.tom)
    exam = begin(tom)
    phone = open_wash.client(open_wash.cast.tom)
    wrong = phone.post(f"/exams/{exam}/here", data={"secret": "no"})
    assert wrong.status_code == 422 and "not what you sign in with" in text_of(wrong)
    assert phone.post(f"/exams/{exam}/here", data={"secret": PASSWORD}).status_code == 303
    assert 'id="exam-answer"' in phone.get(f"/exams/{exam}/1").text
    assert "open in another place" in tom.get(f"/exams/{exam}/1").text


def test_signing_out_and_in_again_on_the_same_browser_goes_on(open_wash):
    tom = open_wash.client(open_wash.cast.tom)
    exam = begin(tom)
    tom.post("/sign-out")
    tom.post("/sign-in", data={"sign_in_name": "tom.becker", "password": PASSWORD})
    assert 'id="exam-answer"' in tom.get(f"/exams/{exam}/1").text


def test_a_stopped_clock_hides_the_questions_and_takes_nothing(wash):
    ana = in_english(wash, wash.cast.ana)
    exam, tom = started(wash, ana)
    address, number = f"/invigilate/exams/{exam}", choice_of(wash, exam)
    assert "Write why" in text_of(tom.post(f"{address}/stop", data={"reason": ""}))
    assert tom.post(f"{address}/stop", data={"reason": "No network."}).status_code == 303
    assert "The clock of your exam stands" in ana.get(f"/exams/{exam}/{number}").text
    told = post_form(ana, exam, number, "eyes.choice", "emitter", json_wanted=True)
    assert (told.status_code, told.json["again"]) == (422, True)
    assert ana.post(f"/exams/{exam}/review").status_code == 422
    wash.clock.forward(minutes=9)
    assert tom.post(f"{address}/go-on").status_code == 303
    assert "9 min 0 s" in tom.get(address).text and "No network." in tom.get(address).text
    assert "No network." not in ana.get(f"/exams/{exam}/{number}").text
    wash.clock.forward(minutes=9, seconds=59)
    assert post_form(ana, exam, number, "eyes.choice", "emitter").status_code == 303
    assert tom.post(f"{address}/give-back", data={"minutes": "many", "why": "x"}).status_code == 422
    given = tom.post(f"{address}/give-back", data={"minutes": "2", "why": "The page stood."})
    assert given.status_code == 303


def test_an_exam_room_is_for_others_of_the_site(wash):
    tom = wash.client(wash.cast.tom)
    mia = wash.client(wash.cast.mia)
    tom.post("/exams/about/six/ask")
    [request] = waiting(mia)
    mia.post(f"{request}/confirm", data={"attested": "yes"})
    exam = begin(tom)
    assert tom.get(f"/invigilate/exams/{exam}").status_code == 404
    assert wash.client(wash.cast.otto).get(f"/invigilate/exams/{exam}").status_code == 404
    assert mia.get(f"/invigilate/exams/{exam}").status_code == 200
    assert exam in mia.get("/invigilate").text and exam not in tom.get("/invigilate").text


def test_extra_time_is_approved_by_a_manager_and_seen_by_nobody_else(wash):
    ana, mia = in_english(wash, wash.cast.ana), wash.client(wash.cast.mia)
    who = wash.member(wash.cast.ana).public_id
    address = f"/people/{who}/exam-time"
    refused = mia.post(address, data={"extra": "9", "reason": ""})
    assert refused.status_code == 422 and "Choose how much" in text_of(refused)
    assert mia.post(address, data={"extra": "3/2", "reason": "Reads slowly."}).status_code == 303
    assert "Half as much again" in mia.get(address).text
    exam, tom = started(wash, ana)
    assert "Half as much again" in tom.get("/invigilate").text
    assert "15 minutes left" in ana.get(f"/exams/{exam}/1").text
    wash.clock.forward(minutes=14)
    ana.post(f"/exams/{exam}/review")
    result = ana.get(f"/exams/{exam}/result").text
    for said in ("Half as much", "3/2", "extra", "Reads slowly"):
        assert said not in result
    assert mia.post(f"{address}/end").status_code == 303
    assert mia.post(f"{address}/end").status_code == 422
    assert (
        "This is about yourself" in mia.get(f"/people/{wash.member(wash.cast.mia).public_id}/exam-time").text
    )


def test_an_exam_without_a_limit_shows_no_clock(open_wash):
    ana, mia = in_english(open_wash, open_wash.cast.ana), open_wash.client(open_wash.cast.mia)
    who = open_wash.member(open_wash.cast.ana).public_id
    mia.post(f"/people/{who}/exam-time", data={"extra": "none", "reason": "Agreed with the doctor."})
    exam = begin(ana)
    page = ana.get(f"/exams/{exam}/1").text
    assert "You have no time limit." in page and "data-deadline" not in page


def test_a_persons_page_tells_their_tries_and_what_a_fail_asks_for(wash):
    again = six_scheme(tries=Tries(3, 90, 24, practise_again=2), cut=5)
    wash.app.extensions["stringline"] = replace(wash.house, schemes={"six": again})
    ana, mia = in_english(wash, wash.cast.ana), wash.client(wash.cast.mia)
    address = f"/people/{wash.member(wash.cast.ana).public_id}"
    assert "None sat yet." in mia.get(address).text
    exam = begin(ana)
    ana.post(f"/exams/{exam}/review")
    page = text_of(mia.get(address))
    assert "Not yet" in page and "Skill lockout.order (2)" in page
    # Binomial by hand: 5 of 6 at p = 5/6 - 0.1 = 0.7333: 6 p^5 (1-p) + p^6 = 0.4949; 1 - 0.5051^3 = 0.871.
    assert "Of 100 people who know 73 % of what is asked, 49 pass at once and 87 within 3 tries." in page
    assert f"/invigilate/exams/{exam}" in mia.get(address).text
    assert (
        "Extra time in exams" in page
        and "Extra time in exams" not in wash.client(wash.cast.tom).get(address).text
    )
    lobby = text_of(ana.get("/exams/about/six"))
    assert "Right answers without help still missing" in lobby
