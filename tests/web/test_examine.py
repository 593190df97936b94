"""Pages of exams: the way through, what they never tell, whom they refuse, other kinds of trouble."""

import html
import json
import re
from dataclasses import replace

import pytest
from sqlalchemy import event, select

from tests.cast import MONDAY
from tests.six_kinds import CHOICE, RIGHT, WRONG, form_fields, make_bank, six_kinds
from tests.web.exam_house import make_exam_house
from trainer.acts import exams as acts
from trainer.acts.exam_replay import replay
from trainer.exams.paper import instance_of
from trainer.language.rendering import right_answer
from trainer.records.queries import exams as queries
from trainer.records.tables import Exam, LogEntry, Person
from trainer.web.examine import tools


@pytest.fixture
def wash(tmp_path):
    made = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}")
    yield made
    made.cast.database.dispose()


@pytest.fixture
def tom(wash):
    """A trainer sits like anybody else; his pages are in English."""
    return wash.client(wash.cast.tom)


def begin(client):
    reply = client.post("/exams/about/six")
    assert reply.status_code == 303
    return re.fullmatch(r"/exams/([0-9a-f-]{36})/1", reply.location)[1]


def sitting_of(wash, exam):
    with wash.cast.database.reading() as db:
        return queries.sitting(db, exam)


def slots(wash, exam):
    """Question id by slot number."""
    return {slot.number: slot.question for slot in acts.paper_of(sitting_of(wash, exam)).form.slots}


def key_of(wash, exam, number):
    paper = acts.paper_of(sitting_of(wash, exam))
    slot = paper.slot(number)
    if slot.question in RIGHT:
        return RIGHT[slot.question]
    return right_answer(instance_of(paper, slot, six_kinds().find, wash.house.key_for("instances")))


def post_form(client, exam, number, question, kept, revision=1, json_wanted=False):
    data = {}
    for name, value in form_fields(question, kept):
        data.setdefault(name, []).append(value)
    headers = {"Accept": "application/json"} if json_wanted else {}
    return client.post(f"/exams/{exam}/{number}", data={**data, "revision": str(revision)}, headers=headers)


def answer_all(wash, client, exam, wrong=()):
    for number, question in slots(wash, exam).items():
        kept = WRONG[question] if question in wrong else key_of(wash, exam, number)
        assert post_form(client, exam, number, question, kept).status_code == 303


def text_of(reply):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", reply.text)))


def test_the_lobby_says_what_it_is_and_starts_nothing(wash, tom):
    said = text_of(tom.get("/exams/about/six"))
    for words in (
        "6 questions, 10 minutes",
        "4 of 6",
        "every answer must be right",
        "not accredited certification",
    ):
        assert words in said
    with wash.cast.database.reading() as db:
        assert db.scalars(select(Exam)).all() == []


def test_the_lobby_of_a_cabinet_warns_first(tmp_path):
    wash = make_exam_house(f"sqlite:///{tmp_path / 'test.sqlite3'}", opens_cabinet=True)
    page = wash.client(wash.cast.tom).get("/exams/about/six").text
    assert 'class="signal signal-danger"' in page
    assert "Passing this exam does not let you open a cabinet" in page


def test_the_whole_way_to_a_pass_without_script(wash, tom):
    exam = begin(tom)
    answer_all(wash, tom, exam)
    assert "Every question has an answer" in text_of(tom.get(f"/exams/{exam}/review"))
    handed_in = tom.post(f"/exams/{exam}/review")
    assert (handed_in.status_code, handed_in.location) == (303, f"/exams/{exam}/result")
    said = text_of(tom.get(handed_in.location))
    assert "Passed" in said and "6 of 6 right; 4 are needed." in said
    assert "This exam counts until March 2, 2027." in said
    assert sitting_of(wash, exam).passed
    assert replay(wash.cast.database, public_id=exam, tools=tools(wash.house)).agrees


def test_the_result_names_areas_and_skills_but_no_key(wash, tom):
    exam = begin(tom)
    answer_all(wash, tom, exam, wrong=("lockout.order",))
    tom.post(f"/exams/{exam}/review")
    reply = tom.get(f"/exams/{exam}/result")
    said = text_of(reply)
    for words in (
        "Not yet",
        "5 of 6 right",
        "in something that nothing makes up for",
        "1 of 2",
        "some missed",
    ):
        assert words in said, words
    assert "Skill lockout.order" in said and "Skill lockout.table" not in said
    for secret in ("isolate", "Open the disconnect", "Isolate first", "seed", "exam|"):
        assert secret not in reply.text


def strip_changing(page):
    """A page without what differs between any two requests: names of the exam, times, the person."""
    page = re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}", "ID", page)
    return re.sub(r'name="csrf_token" value="[^"]*"', "", page)


@pytest.mark.parametrize("json_wanted", [False, True])
@pytest.mark.parametrize("question", [*RIGHT, "eyes.length"])
def test_right_and_wrong_answers_get_the_same_bytes(wash, tom, question, json_wanted):
    """One exam, one question, a wrong answer and the right one: every response is equal, byte for byte."""
    exam = begin(tom)
    number = next(n for n, one in slots(wash, exam).items() if one == question)
    other = next(n for n in slots(wash, exam) if n != number)
    right = key_of(wash, exam, number)
    seen = []
    for revision, kept in enumerate((WRONG.get(question, "3 ft 2 in"), right), 1):
        reply = post_form(tom, exam, number, question, kept, revision, json_wanted)
        taken = tom.get(f"/exams/{exam}/{other}").text  # says that the answer was saved
        others = [tom.get(f"/exams/{exam}/{place}").text for place in (other, "review")]
        own = tom.get(f"/exams/{exam}/{number}").text
        # What the person typed, and the number of the next revision, are all that may differ.
        own = re.sub(r' checked| selected|name="revision" value="\d"|data-revision="\d"', "", own)
        own = re.sub(
            r'name="answer" type="text"(.*?)value="[^"]*"|I read it as [^<]*', r"\1", own, flags=re.S
        )
        seen.append(
            [
                reply.status_code,
                reply.location,
                reply.data,
                sorted((name, value) for name, value in reply.headers if name != "Set-Cookie"),
                *map(strip_changing, [taken, *others, own]),
            ]
        )
    assert seen[0] == seen[1]


def test_no_page_of_an_open_exam_holds_key_seed_tolerance_or_slip(wash, tom):
    exam = begin(tom)
    paper = acts.paper_of(sitting_of(wash, exam))
    places = ["", "/review", *(f"/{number}" for number in slots(wash, exam))]
    for place in places:
        page = tom.get(f"/exams/{exam}{place}", follow_redirects=True).text
        for slot in paper.form.slots:
            assert slot.label not in page and slot.fingerprint not in page
            assert slot.question not in page
            if slot.question == "eyes.length":
                assert str(key_of(wash, exam, slot.number)) not in text_of(
                    tom.get(f"/exams/{exam}/{slot.number}")
                )
        for secret in (
            "You multiplied",
            "multiplied",
            "It sends.",
            "Stop first",
            "0.5 in",
            "Divide the pulses",
        ):
            assert secret not in page


def test_no_refusal_and_no_error_holds_key_seed_tolerance_or_slip(wash, tom):
    exam = begin(tom)
    paper = acts.paper_of(sitting_of(wash, exam))
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.length")
    address = f"/exams/{exam}/{number}"
    wash.app.config["PROPAGATE_EXCEPTIONS"] = False
    replies = [
        tom.get(f"/exams/{exam}/77"),
        tom.post(f"/exams/{exam}/77", data={"answer": "1"}),
        tom.put(address),
        tom.post(address, data={"answer": "", "revision": "1"}),
        tom.post(address, data={"answer": "1 ft", "revision": "x"}),
        tom.post(address, data={"answer": "1 ft" * 900, "revision": "1"}),
        tom.post(
            address, data={"answer": "1 ft", "revision": "9" * 40}, headers={"Accept": "application/json"}
        ),
        tom.post(f"{address}/acts", data={"number": "1"}),
        tom.get(f"{address}/drawing"),
        wash.client(wash.cast.mia).get(address),
    ]
    assert {reply.status_code for reply in replies} <= {200, 404, 405, 422}
    secrets = ["You multiplied", "multiplied", "0.5 in", "Traceback", "pulses /", key_of(wash, exam, number)]
    for reply in replies:
        for slot in paper.form.slots:
            assert slot.label not in reply.text and slot.fingerprint not in reply.text
        for secret in secrets:
            assert secret not in reply.text, reply.request.path


def ended_elsewhere(wash, person, **change):
    """What makes a session end from somewhere else, while its browser was seen a moment ago."""
    with wash.cast.database.writing() as db:
        for name, value in change.items():
            setattr(db.get_one(Person, person), name, value)


@pytest.mark.parametrize("change", [{"session_number": 9}, {"left_at": MONDAY}])
@pytest.mark.parametrize("json_wanted", [False, True])
def test_a_session_that_ended_a_moment_ago_saves_nothing(wash, tom, change, json_wanted):
    """The act itself asks the records about the session; a page asked less than a minute ago."""
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    assert post_form(tom, exam, number, "eyes.choice", "cable").status_code == 303
    ended_elsewhere(wash, wash.cast.tom, **change)
    for revision, kept in ((2, "emitter"), (1, "cable"), (3, "")):
        reply = tom.post(
            f"/exams/{exam}/{number}", data={"answer": kept, "revision": str(revision)},
            headers={"Accept": "application/json"} if json_wanted else {},
        )  # fmt: skip
        assert (reply.status_code, reply.location) == (303, "/sign-in")
    with wash.cast.database.reading() as db:
        assert {one.text for one in queries.every_answer(db, sitting_of(wash, exam).id)} == {"cable"}


def test_an_answer_asks_the_records_about_the_session_once(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    post_form(tom, exam, number, "eyes.choice", "cable")
    statements = []
    event.listen(
        wash.cast.database.engine,
        "before_cursor_execute",
        lambda *args: statements.append(args[2].split()[0]),
    )
    post_form(tom, exam, number, "eyes.choice", "emitter", 2, json_wanted=True)
    assert statements == ["BEGIN", "SELECT", "SELECT", "INSERT", "INSERT"] or statements[1:] == [
        "SELECT", "INSERT", "SELECT", "INSERT",
    ]  # fmt: skip


def test_a_number_is_read_back_and_what_cannot_be_read_is_said_so(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.length")
    post_form(tom, exam, number, "eyes.length", "16 ft 4 in")
    assert "I read it as 16 ft 4 in" in text_of(tom.get(f"/exams/{exam}/{number}"))
    again = post_form(tom, exam, number, "eyes.length", "sixteen", revision=2)
    assert again.location == f"/exams/{exam}/{number}"
    assert "cannot be counted as it stands" in text_of(tom.get(again.location))
    assert f"Question {number}" in text_of(tom.get(f"/exams/{exam}/review"))


def test_what_is_typed_comes_back_after_a_reload_and_in_another_window(wash, tom):
    exam = begin(tom)
    for number, question in slots(wash, exam).items():
        if question != "eyes.length":
            post_form(tom, exam, number, question, WRONG[question])
    window = another_window(wash, tom)
    for number, question in slots(wash, exam).items():
        page = window.get(f"/exams/{exam}/{number}").text
        if question in ("eyes.choice", "eyes.parts", "lockout.table"):
            assert page.count(" checked") == len(form_fields(question, WRONG[question]))
        elif question in ("eyes.match", "lockout.order"):
            assert page.count(" selected") == len(form_fields(question, WRONG[question]))
    left = next(n for n, question in slots(wash, exam).items() if question == "eyes.length")
    assert window.get(f"/exams/{exam}").location == f"/exams/{exam}/{left}"


def test_a_half_answer_is_kept_and_listed(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "lockout.order")
    reply = tom.post(f"/exams/{exam}/{number}", data={"place.stop": "2", "revision": "1"})
    assert reply.location == f"/exams/{exam}/{number}"
    page = tom.get(f"/exams/{exam}/{number}")
    assert "Something is still open." in text_of(page)
    assert page.text.count(" selected") == 1


def test_saving_nothing_is_refused_with_the_way_out(wash, tom):
    exam = begin(tom)
    reply = tom.post(f"/exams/{exam}/1", data={"revision": "1"})
    assert reply.status_code == 422
    assert "There is no answer yet" in text_of(reply)


def test_an_answer_can_be_taken_back(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.parts")
    post_form(tom, exam, number, "eyes.parts", RIGHT["eyes.parts"])
    assert tom.post(f"/exams/{exam}/{number}", data={"revision": "2"}).status_code == 303
    assert "6 questions have no answer" in text_of(tom.get(f"/exams/{exam}/review"))


def another_window(wash, client):
    """The same browser, so the same session."""
    window = wash.app.test_client()
    window.set_cookie("stringline", client.get_cookie("stringline").value)
    return window


def test_another_window_got_there_first(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    post_form(another_window(wash, tom), exam, number, "eyes.choice", "cable")
    reply = post_form(tom, exam, number, "eyes.choice", "emitter")
    assert reply.status_code == 422
    assert "saved from somewhere else" in text_of(reply)
    assert 'name="revision" value="2"' in reply.text
    told = post_form(tom, exam, number, "eyes.choice", "emitter", json_wanted=True)
    assert json.loads(told.data)["revision"] == 2
    assert post_form(tom, exam, number, "eyes.choice", "emitter", revision=2).status_code == 303


def test_the_same_request_again_is_acknowledged_again(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    replies = [post_form(tom, exam, number, "eyes.choice", "emitter", json_wanted=True) for _ in range(3)]
    assert {(reply.status_code, reply.data) for reply in replies} == {(200, replies[0].data)}
    with wash.cast.database.reading() as db:
        assert len(db.scalars(select(LogEntry).where(LogEntry.kind == "exam.answered")).all()) == 1


def test_after_the_end_nothing_counts_and_the_result_waits_for_the_sweeper(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    wash.clock.forward(minutes=10)
    late = post_form(tom, exam, number, "eyes.choice", "emitter")
    assert late.status_code == 422 and "time was up" in text_of(late)
    assert tom.get(f"/exams/{exam}/{number}").location == f"/exams/{exam}/result"
    assert "Time is up" in text_of(tom.get(f"/exams/{exam}/result"))
    assert acts.close_overdue(wash.cast.database, tools(wash.house), wash.clock()) == [exam]
    assert "6 questions were left without an answer" in text_of(tom.get(f"/exams/{exam}/result"))


@pytest.mark.parametrize("place", ["", "/1", "/review", "/result", "/1/drawing"])
def test_nobody_sees_somebody_elses_exam(wash, tom, place):
    exam = begin(tom)
    for person in (wash.cast.ana, wash.cast.mia, wash.cast.otto):
        assert wash.client(person).get(f"/exams/{exam}{place}").status_code == 404
    assert wash.client(wash.cast.lee).get(f"/exams/{exam}{place}").status_code == 403
    assert wash.app.test_client().get(f"/exams/{exam}{place}").status_code == 303


@pytest.mark.parametrize("place", ["/1", "/review"])
def test_nobody_acts_in_somebody_elses_exam(wash, tom, place):
    exam = begin(tom)
    assert (
        wash.client(wash.cast.mia)
        .post(f"/exams/{exam}{place}", data={"answer": "x", "revision": 1})
        .status_code
        == 404
    )
    assert wash.client(wash.cast.lee).post(f"/exams/{exam}{place}").status_code == 403
    assert sitting_of(wash, exam).ended_at is None


@pytest.mark.parametrize(
    ("place", "code"),
    [("/exams/nothing", 404), ("/exams/about/nothing", 404), ("/exams/{exam}/7", 404), ("/exams/{exam}/0", 404),
     ("/exams/{exam}/" + "9" * 40, 404), ("/exams/{exam}/1/drawing?theme=pink", 404)],
)  # fmt: skip
def test_there_is_no_such_page(wash, tom, place, code):
    assert tom.get(place.format(exam=begin(tom))).status_code == code


@pytest.mark.parametrize("revision", ["", "x", "-1", "0", "9" * 40])
def test_a_revision_that_is_none_is_refused(wash, tom, revision):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    assert post_form(tom, exam, number, "eyes.choice", "emitter", revision).status_code == 422


def test_an_open_exam_is_offered_and_no_second_one_starts(wash, tom):
    exam = begin(tom)
    page = tom.get("/exams/about/six").text
    assert f'href="/exams/{exam}"' in page and '<button class="act"' not in page
    assert tom.post("/exams/about/six").status_code == 422


def test_the_wait_is_told_with_its_hour_on_the_sites_clock(wash, tom):
    exam = begin(tom)
    tom.post(f"/exams/{exam}/review")
    said = text_of(tom.get("/exams/about/six"))
    # 15:00Z on 2 March 2026 is 9:00 in Chicago (CST); a day later the wait is over.
    assert re.search(r"From Mar 3, 2026, 9:00\sAM on\.", said), said


def test_history_lists_what_was_sat(wash, tom):
    exam = begin(tom)
    tom.post(f"/exams/{exam}/review")
    said = text_of(tom.get("/exams/"))
    assert "Six kinds" in said and "March 2, 2026" in said and "Not yet" in said


def test_a_question_that_changed_says_so_and_the_exam_can_be_handed_in(wash, tom):
    exam = begin(tom)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.choice")
    post_form(tom, exam, number, "eyes.choice", "emitter")
    changed = make_bank([CHOICE.format(name="choice", skill="choice").replace("It sends.", "It shines.")])
    bank = replace(six_kinds(), by_id={**six_kinds().by_id, **changed.by_id})
    wash.app.extensions["stringline"] = replace(wash.house, bank=bank)
    assert "This question was changed" in text_of(tom.get(f"/exams/{exam}/{number}"))
    assert post_form(tom, exam, number, "eyes.choice", "cable", revision=2).status_code == 409
    assert "This question was changed" in text_of(tom.get(f"/exams/{exam}/review"))
    assert tom.post(f"/exams/{exam}/review").status_code == 303
    assert "Does not count" in text_of(tom.get(f"/exams/{exam}/result"))


def test_spanish_from_the_first_screen(wash):
    ana = wash.client(wash.cast.ana)
    exam = begin(ana)
    number = next(n for n, question in slots(wash, exam).items() if question == "eyes.length")
    page = ana.get(f"/exams/{exam}/{number}")
    assert '<html lang="es">' in page.text and "¿Cuánto mide el vehículo?" in page.text
    post_form(ana, exam, number, "eyes.length", "4,98 m")
    assert "4,98 m" in text_of(ana.get(f"/exams/{exam}/{number}"))


def test_every_control_of_every_kind_has_its_label(wash, tom):
    """A label for each control, a legend for each group (WCAG 2.2, 1.3.1 and 4.1.2)."""
    exam = begin(tom)
    for number in slots(wash, exam):
        page = tom.get(f"/exams/{exam}/{number}").text
        form = re.search(r'<form method="post" id="exam-answer".*?</form>', page, re.S)[0]
        controls = re.findall(r"<(?:input|select)\b[^>]*>", form)
        for control in controls:
            if 'type="hidden"' in control:
                continue
            name = re.search(r'\bid="([^"]+)"', control)
            wrapped = name is None and f'<label class="card">{control}' in form
            assert wrapped or f'<label for="{name[1]}">' in form, control
        assert form.count("<fieldset") == form.count("<legend>") == form.count("</fieldset>")
        assert "style=" not in page and "<script>" not in page and " onclick" not in page
