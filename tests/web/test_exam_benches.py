"""Benches on the pages of an exam: played with plain forms or by script, and silent about right and wrong."""

import html
import json
import re
from dataclasses import replace

import pytest

from tests.exams.bench_exam import bench_scheme
from tests.web.exam_house import make_exam_house
from tests.web.test_benches import form_of
from trainer.acts import exams as acts
from trainer.acts.exam_replay import replay
from trainer.benches import catalogue
from trainer.benches.frame import NoTask, done
from trainer.records.queries import exams as queries
from trainer.sites.said import Said
from trainer.web.bench_page import region
from trainer.web.open_exams import tools

EVERY = sorted(catalogue.benches())
JSON = {"Accept": "application/json"}


@pytest.fixture
def make_wash(tmp_path):
    made = []

    def make(bench="delay", level="1", **facts):
        areas = bench_scheme(bench, level).areas
        made.append(make_exam_house(f"sqlite:///{tmp_path / f'{len(made)}.sqlite3'}", areas=areas, **facts))
        return made[-1]

    yield make
    for one in made:
        one.cast.database.dispose()


@pytest.fixture
def wash(make_wash):
    return make_wash()


@pytest.fixture
def tom(wash):
    """A trainer sits like anybody else; his pages are in English."""
    return wash.client(wash.cast.tom)


def begin(client):
    return re.fullmatch(r"/exams/([0-9a-f-]{36})/1", client.post("/exams/about/six").location)[1]


def sitting_of(wash, exam):
    with wash.cast.database.reading() as db:
        return queries.sitting(db, exam)


def on_bench(wash, exam):
    """The number of the bench, the bench and its task."""
    sitting = sitting_of(wash, exam)
    slot = next(slot for slot in acts.paper_of(sitting).form.slots if slot.bench)
    return slot.number, catalogue.benches()[slot.bench], acts.tasks_of(sitting, tools(wash.house))(slot)


def play(client, exam, slot, number, form, **headers):
    return client.post(f"/exams/{exam}/{slot}/acts", data={"number": str(number), **form}, headers=headers)


def play_all(wash, client, exam, plays=None, **headers):
    """Do these acts, or the best there are; gives the replies."""
    slot, bench, task = on_bench(wash, exam)
    plays = bench.best(task).acts if plays is None else plays
    forms = [form_of(bench, task, act) for act in plays]
    return [play(client, exam, slot, number, form, **headers) for number, form in enumerate(forms, 1)]


def text_of(reply):
    page = reply.text if hasattr(reply, "text") else reply
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page)))


def bad_acts(bench, task):
    """The shortest way to an end that is not the best one."""
    last = bench.best(task).acts[-1]
    return () if bench.refusal(task, (), last) else (last,)


@pytest.mark.parametrize("name", EVERY)
def test_every_bench_is_played_in_an_exam_with_plain_forms(make_wash, name):
    wash = make_wash(name)
    tom = wash.client(wash.cast.tom)
    exam = begin(tom)
    slot, bench, _ = on_bench(wash, exam)
    page = tom.get(f"/exams/{exam}/{slot}")
    assert f"Question {slot} of 6" in text_of(page)
    assert "minutes left" in text_of(page)
    assert f'action="/exams/{exam}/{slot}/acts"' in page.text
    replies = play_all(wash, tom, exam)
    assert {(one.status_code, one.location) for one in replies} == {(303, f"/exams/{exam}/{slot}")}
    over = tom.get(f"/exams/{exam}/{slot}")
    assert "You have ended this bench" in text_of(over)
    assert f'action="/exams/{exam}/{slot}/acts"' not in over.text
    tom.post(f"/exams/{exam}/review")
    said = text_of(tom.get(f"/exams/{exam}/result"))
    assert "1 of 6 right" in said
    assert f"Question {slot}, {bench.CARD.title.en}: ✓ 100 of 100 points" in said
    assert replay(wash.cast.database, public_id=exam, tools=tools(wash.house)).agrees


def test_script_gets_the_region_alone(wash, tom):
    exam = begin(tom)
    slot, *_ = on_bench(wash, exam)
    first, last = play_all(wash, tom, exam, **JSON)
    for reply in (first, last):
        answer = json.loads(reply.data)
        assert (reply.status_code, set(answer), answer["done"]) == (200, {"html", "said", "done"}, True)
        assert answer["html"].lstrip().startswith('<div id="bench"')
        assert f'data-key="{exam}/{slot}"' in answer["html"]
        assert "timeleft" not in answer["html"]
    assert json.loads(last.data)["said"] == "This bench is done."


def test_the_last_act_of_a_good_and_a_bad_run_is_answered_alike(wash):
    answers = []
    for person in (wash.cast.tom, wash.cast.mia):
        client = wash.client(person)
        exam = begin(client)
        _, bench, task = on_bench(wash, exam)
        best = bench.best(task).acts
        plays = best if person == wash.cast.tom else best[-1:]
        assert bench.score(task, plays).passed == (person == wash.cast.tom)
        last = json.loads(play_all(wash, client, exam, plays, **JSON)[-1].data)
        verdict = re.search(r'<section class="verdict".*?</section>', last["html"], re.DOTALL)[0]
        answers.append((last["said"], last["done"], re.sub(r"/exams/\S+", "ONWARD", verdict)))
        for page in ("review", slot_of(wash, exam)):
            silent(client.get(f"/exams/{exam}/{page}").text, bench, task, plays)
    assert answers[0] == answers[1]


def slot_of(wash, exam):
    return on_bench(wash, exam)[0]


def silent(page, bench, task, plays):
    """Whether a page says nothing that only the result may say."""
    said = text_of(page)
    for part in bench.score(task, plays).parts:
        assert not part.found.en or part.found.en not in said
    assert "of 100 points" not in said
    assert "One thing to do differently" not in said


@pytest.mark.parametrize("level", ["1", "2", "3"])
@pytest.mark.parametrize("name", EVERY)
def test_a_closed_bench_shows_what_stood_before_its_last_act_and_no_more(make_wash, name, level):
    # Before the end a bench shows nothing that is hidden; so a closed one cannot either.
    wash = make_wash(name, level)
    exam = begin(wash.client(wash.cast.tom))
    _, bench, task = on_bench(wash, exam)
    with wash.app.test_request_context():
        for plays in (bench.best(task).acts, bad_acts(bench, task)):
            kept = done(bench, task, plays)
            if not kept or not bench.is_over(task, kept):
                continue
            before = region(bench, task, kept[:-1], system="us", key="k")
            closed = region(bench, task, kept, system="us", key="k", closed=True)
            assert closed.shown == replace(before.shown, said="")
            assert (closed.offers, closed.result, closed.closed) == ((), None, True)


def test_an_act_sent_again_changes_nothing_and_one_out_of_step_is_told(wash, tom):
    exam = begin(tom)
    slot, bench, task = on_bench(wash, exam)
    form = form_of(bench, task, bench.best(task).acts[0])
    assert [play(tom, exam, slot, 1, form).status_code for _ in range(2)] == [303, 303]
    other = play(tom, exam, slot, 3, form)
    assert other.status_code == 422
    assert "This bench went on somewhere else" in text_of(other)
    told = json.loads(play(tom, exam, slot, 3, form, **JSON).data)
    assert told["done"] is False
    assert "went on somewhere else" in told["said"]


def test_what_cannot_be_read_is_told(wash, tom):
    exam = begin(tom)
    slot, *_ = on_bench(wash, exam)
    for form in ({}, {"kind": "fly"}, {"kind": "set", "on_delay": "soon", "off_delay": "1 s"}):
        reply = play(tom, exam, slot, 1, form)
        assert reply.status_code == 422
        assert 'role="alert"' in reply.text
    assert sitting_of(wash, exam).ended_at is None


def test_the_address_of_answers_takes_none_for_a_bench(wash, tom):
    exam = begin(tom)
    slot, *_ = on_bench(wash, exam)
    reply = tom.post(
        f"/exams/{exam}/{slot}", data={"answer": '[{"kind":"finish","values":{}}]', "revision": "1"}
    )
    assert reply.status_code == 422
    assert "This is a bench: what counts is what you do on it" in text_of(reply)
    assert tom.get(f"/exams/{exam}/{slot}/drawing").status_code == 404
    other = 1 if slot != 1 else 2
    assert play(tom, exam, other, 1, {"kind": "finish"}).status_code == 404
    assert play(tom, exam, 99, 1, {"kind": "finish"}).status_code == 404


def test_somebody_else_s_bench_does_not_exist(wash, tom):
    exam = begin(tom)
    slot, *_ = on_bench(wash, exam)
    mia = wash.client(wash.cast.mia)
    assert mia.get(f"/exams/{exam}/{slot}").status_code == 404
    assert play(mia, exam, slot, 1, {"kind": "finish"}).status_code == 404


def test_a_bench_that_is_not_ended_is_named_before_handing_in(wash, tom):
    exam = begin(tom)
    slot, bench, task = on_bench(wash, exam)
    assert "not finished" not in text_of(tom.get(f"/exams/{exam}/review"))
    play(tom, exam, slot, 1, form_of(bench, task, bench.best(task).acts[0]))
    review = text_of(tom.get(f"/exams/{exam}/review"))
    assert f"Question {slot} : this bench is not finished; as it stands it is not right" in review
    assert "6 questions have no answer" in review
    tom.post(f"/exams/{exam}/review")
    assert "not finished, so it is not right" in text_of(tom.get(f"/exams/{exam}/result"))


def test_after_the_end_nothing_is_taken(wash, tom):
    exam = begin(tom)
    slot, bench, task = on_bench(wash, exam)
    form = form_of(bench, task, bench.best(task).acts[0])
    wash.clock.forward(minutes=10)
    late = play(tom, exam, slot, 1, form)
    assert late.status_code == 422
    assert "The time was up" in text_of(late)
    assert tom.get(f"/exams/{exam}/{slot}").location == f"/exams/{exam}/result"


def test_a_bench_that_was_changed_says_so(wash, tom, monkeypatch):
    exam = begin(tom)
    slot, bench, task = on_bench(wash, exam)
    form = form_of(bench, task, bench.best(task).acts[0])
    assert play(tom, exam, slot, 1, form).status_code == 303
    known = dict(catalogue.benches())
    newer = {**known, "delay": Newer(bench)}
    monkeypatch.setattr(catalogue, "benches", lambda: newer)
    page = tom.get(f"/exams/{exam}/{slot}")
    assert "This question was changed" in text_of(page)
    assert play(tom, exam, slot, 2, form).status_code == 409
    assert "This bench was changed." in text_of(tom.get(f"/exams/{exam}/review"))
    tom.post(f"/exams/{exam}/review")
    assert "Does not count" in text_of(tom.get(f"/exams/{exam}/result"))


class Newer:
    """A bench as it is, of the next version."""

    def __init__(self, bench):
        self.bench = bench
        self.CARD = replace(bench.CARD, version=bench.CARD.version + 1)

    def __getattr__(self, name):
        return getattr(self.bench, name)


def test_the_lobby_names_the_bench_and_what_a_sheet_lacks(wash, tom, monkeypatch):
    title = catalogue.benches()["delay"].CARD.title.en
    assert f"Among them you work on a bench: {title}" in text_of(tom.get("/exams/about/six"))

    def none(*_):
        raise NoTask(Said("The sheet has no eye that counts.", "La hoja no tiene ojo que cuente."))

    stingy = Newer(catalogue.benches()["delay"])
    stingy.make_task = none
    monkeypatch.setattr(catalogue, "benches", lambda: {"delay": stingy})
    refused = tom.post("/exams/about/six")
    assert refused.status_code == 422
    assert "your site's sheet gives no task" in text_of(refused)
    assert "The sheet has no eye that counts." in text_of(refused)


def test_a_learner_reads_it_in_spanish(wash):
    ana = wash.client(wash.cast.ana)
    exam = begin(ana)
    slot, bench, _ = on_bench(wash, exam)
    page = text_of(ana.get(f"/exams/{exam}/{slot}"))
    assert bench.CARD.purpose.es in page
    play_all(wash, ana, exam)
    assert "Terminaste este banco" in text_of(ana.get(f"/exams/{exam}/{slot}"))
