"""A person sits an exam with a question on trial: told before, never told which, and the full score for the rest."""

import re

import pytest
from playwright.sync_api import expect

from tests.on_trial import LENGTH, LOCK, SENDER, put_on_trial, take
from tests.six_kinds import RIGHT
from tests.web.exam_house import make_exam_house, on_a_port, sign_in
from tests.web.test_examine import begin, key_of, post_form, sitting_of, slots, text_of
from trainer.acts import exams as acts
from trainer.acts.exam_replay import replay
from trainer.web.examine import tools

TOLD = "1 more question may be on trial among these."


@pytest.fixture
def wash(tmp_path):
    made = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", trial_places=1, cut=6)
    yield made
    made.cast.database.dispose()


def start(client):
    """Start as the page does that told of it: with what its form carries."""
    page = client.get("/exams/about/six").text
    fields = dict(re.findall(r'<input type="hidden" name="(on_trial)" value="(\w+)">', page))
    reply = client.post("/exams/about/six", data=fields)
    return re.fullmatch(r"/exams/([0-9a-f-]{36})/1", reply.location)[1]


def number_on_trial(wash, exam):
    [number] = [slot.number for slot in acts.paper_of(sitting_of(wash, exam)).form.slots if slot.pilot]
    return number


def answer_all(wash, client, exam, wrong="cable"):
    """Everything right, and what is on trial wrong."""
    for number, question in slots(wash, exam).items():
        if question == SENDER:
            reply = client.post(f"/exams/{exam}/{number}", data={"answer": wrong, "revision": "1"})
        else:
            reply = post_form(client, exam, number, question, key_of(wash, exam, number))
        assert reply.status_code == 303


@pytest.mark.parametrize("fate", ["stays", "is withdrawn"])
def test_a_person_answers_it_wrong_and_passes_with_the_full_score(wash, fate):
    put_on_trial(wash.cast, SENDER)
    rosa = wash.client(wash.cast.rosa)
    said = text_of(rosa.get("/exams/about/six"))
    assert TOLD in said and "6 questions, 10 minutes." in said and "up to 2 minutes more" in said
    exam = start(rosa)
    first = rosa.get(f"/exams/{exam}/1")
    assert "Question 1 of 7" in text_of(first) and "12 minutes left" in text_of(first)
    if fate == "is withdrawn":
        take(wash.cast, SENDER, "retired", wash.cast.mia)
    answer_all(wash, rosa, exam)
    review = rosa.get(f"/exams/{exam}/review")
    assert "Every question has an answer" in text_of(review)
    rosa.post(f"/exams/{exam}/review")
    result = text_of(rosa.get(f"/exams/{exam}/result"))
    assert "Passed" in result and "6 of 6 right; 6 are needed." in result
    assert "1 more question was on trial and did not count." in result
    assert "4 of 4" in result and "2 of 2" in result
    assert replay(wash.cast.database, public_id=exam, tools=tools(wash.house)).agrees
    assert TOLD not in text_of(rosa.get("/exams/about/six"))  # nobody has it twice, so nothing is announced


def test_no_page_tells_which_it_is(wash):
    """What is shown of it is what would be shown if it counted: to whoever sits, and to whoever watches."""
    put_on_trial(wash.cast, SENDER)
    rosa, mia = wash.client(wash.cast.rosa), wash.client(wash.cast.mia)
    exam = start(rosa)
    number = number_on_trial(wash, exam)

    def pages():
        mine = [rosa.get(f"/exams/{exam}/{one}").text for one in slots(wash, exam)]
        mine += [
            rosa.get(f"/exams/{exam}/review").text,
            mia.get("/invigilate/").text,
            mia.get("/invigilate").text,
        ]
        return [*mine, mia.get(f"/invigilate/{exam}").text]

    shown = pages()
    for page in shown:
        assert (
            SENDER not in page and "own_" not in page and "pilot" not in page.lower() and "trial" not in page
        )
    # Its page has what the page of the choice that counts has, and nothing more.
    other = next(one for one, name in slots(wash, exam).items() if name == "eyes.choice")
    assert marks_in(shown[number - 1]) == marks_in(shown[other - 1])
    answer_all(wash, rosa, exam)
    rosa.post(f"/exams/{exam}/review")
    result = rosa.get(f"/exams/{exam}/result").text
    assert SENDER not in result and f"Question {number}" not in text_of(rosa.get(f"/exams/{exam}/result"))


def marks_in(page):
    """The tags and classes of a question's own part, in order."""
    part = page.partition('<div class="ask"')[2].partition("<nav")[0]
    return re.findall(r'<(\w+)|class="([^"]*)"', part)


def test_an_area_with_a_question_on_trial_does_not_fail_in_the_critical_one(wash):
    put_on_trial(wash.cast, LOCK)
    rosa = wash.client(wash.cast.rosa)
    exam = start(rosa)
    for number, question in slots(wash, exam).items():
        if question != LOCK:
            post_form(rosa, exam, number, question, RIGHT.get(question) or key_of(wash, exam, number))
    assert "1 question has no answer" in text_of(rosa.get(f"/exams/{exam}/review"))
    rosa.post(f"/exams/{exam}/review")
    result = text_of(rosa.get(f"/exams/{exam}/result"))
    assert "6 of 6 right" in result and "left without an answer" not in result


def test_nobody_meets_one_without_a_word_before(wash):
    """The page was loaded before the question came on trial: then the exam has none."""
    rosa = wash.client(wash.cast.rosa)
    assert TOLD not in text_of(rosa.get("/exams/about/six"))
    put_on_trial(wash.cast, LENGTH)
    exam = begin(rosa)
    assert len(slots(wash, exam)) == 6


def test_whoever_wrote_or_read_it_is_told_of_none(wash):
    put_on_trial(wash.cast, SENDER)
    for hand in (wash.cast.tom, wash.cast.mia):
        client = wash.client(hand)
        assert TOLD not in text_of(client.get("/exams/about/six"))
        assert len(slots(wash, start(client))) == 6


def test_it_is_told_in_spanish_too(wash):
    put_on_trial(wash.cast, SENDER)
    said = text_of(wash.client(wash.cast.ana).get("/exams/about/six"))
    assert "Entre estas puede haber 1 pregunta más a prueba." in said


def test_one_that_was_changed_ends_nothing(wash):
    """Its text is gone: its page says that it is left out, and the exam goes on."""
    put_on_trial(wash.cast, SENDER)
    rosa = wash.client(wash.cast.rosa)
    exam = start(rosa)
    number = number_on_trial(wash, exam)
    wash.house.bank.__dict__["older"] = {}
    wash.app.extensions.pop("stringline.instances", None)
    said = text_of(rosa.get(f"/exams/{exam}/{number}"))
    assert "It is left out; go on with the others." in said and "counts neither for nor against" not in said
    for other, question in slots(wash, exam).items():
        if other != number:
            post_form(rosa, exam, other, question, key_of(wash, exam, other))
    rosa.post(f"/exams/{exam}/review")
    assert sitting_of(wash, exam).passed


def test_who_answers_for_exams_sees_how_many_places_there_are(wash):
    page = text_of(wash.client(wash.cast.mia).get("/schemes/six"))
    assert "Beside these, 1 question of yours that is on trial may stand on a form." in page


def test_on_a_phone_by_touch_a_wrong_answer_on_trial_costs_nothing(tmp_path, make_page):
    made = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", trial_places=1, cut=6)
    put_on_trial(made.cast, SENDER)
    with on_a_port(made) as wash:
        phone = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True}
        page = sign_in(wash, make_page(**phone), wash.cast.rosa)
        page.goto(f"{wash.address}/exams/about/six")
        expect(page.get_by_text(TOLD)).to_be_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        page.get_by_role("button", name="Start the exam now").click()
        page.wait_for_url("**/1")
        exam = page.url.split("/")[-2]
        number = number_on_trial(wash, exam)
        wash.app.config["WTF_CSRF_ENABLED"] = False
        window = wash.app.test_client()
        [mine] = [one for one in page.context.cookies() if one["name"] == "stringline"]
        window.set_cookie("stringline", mine["value"])
        for other, question in slots(wash, exam).items():
            if other != number:
                post_form(window, exam, other, question, key_of(wash, exam, other))
        wash.app.config["WTF_CSRF_ENABLED"] = True
        page.goto(f"{wash.address}/exams/{exam}/{number}")
        page.get_by_label("The cable").check()
        page.get_by_role("button", name="Save my answer").click()
        page.wait_for_url(lambda url: not url.endswith(f"/{number}"))
        page.goto(f"{wash.address}/exams/{exam}/review")
        page.get_by_role("button", name="Hand in my exam").click()
        page.wait_for_url("**/result")
        expect(page.get_by_text("6 of 6 right; 6 are needed.")).to_be_visible()
        expect(page.get_by_text("1 more question was on trial and did not count.")).to_be_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
