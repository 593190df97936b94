"""A bench in an exam: each act kept once, in order, in time and for good; its mark; the replay. On both databases."""

import json
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
import rfc8785
from sqlalchemy import select, update

from tests.acts.counting_bench import add, counting, done, only_counting, touch
from tests.cast import MONDAY, make_cast
from tests.exams.bench_exam import SECRET, bench_scheme, bench_slot
from tests.six_kinds import SITE, six_kinds
from trainer.acts import exams
from trainer.acts.benches import Played
from trainer.acts.exam_benches import bench_act, on_bench
from trainer.acts.exam_replay import replay
from trainer.acts.sentences import SENTENCES
from trainer.benches import catalogue
from trainer.benches.acts import Act, act_document
from trainer.exams.scoring import read_result
from trainer.exams.sitting import MOST_BENCH_ACTS
from trainer.records import log
from trainer.records.queries import exams as queries
from trainer.records.queries import people
from trainer.records.tables import ExamAnswer, LogEntry, SiteSheetVersion
from trainer.sites.reading import demo_sheet

END = MONDAY + timedelta(minutes=10)
ACCEPTED, REPEATED = Played(True), Played(True, repeated=True)


@pytest.fixture(autouse=True)
def _bench(monkeypatch):
    only_counting(monkeypatch)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    with made.database.writing() as db:
        for site in (made.site, made.other_site):
            db.add(SiteSheetVersion(site_id=site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield made
    made.database.dispose()


def demo(site, version):
    return demo_sheet()


def tools():
    return exams.ExamTools(six_kinds(), {"six": bench_scheme("counting")}, SECRET, lambda *_: SITE, demo)


def member(cast, person=None):
    with cast.database.reading() as db:
        return people.member(db, person or cast.ana)


def begin(cast, now=MONDAY):
    started = exams.start(cast.database, member=member(cast), scheme_id="six", tools=tools(), now=now)
    assert started.refused == ()
    return started.public_id


def sitting_of(cast, exam):
    with cast.database.reading() as db:
        return queries.sitting(db, exam)


def slot_of(cast, exam):
    return bench_slot(exams.paper_of(sitting_of(cast, exam)))


def play(cast, exam, number, act, *, who=None, slot=None, now=MONDAY, language="en"):
    return bench_act(
        cast.database, member=member(cast, who), public_id=exam, slot=slot or slot_of(cast, exam).number,
        number=number, act=act, language=language, tools=tools(), now=now,
    )  # fmt: skip


def goal(cast, exam):
    return exams.tasks_of(sitting_of(cast, exam), tools())(slot_of(cast, exam)).goal


def finish(cast, exam, off=0):
    """Count to the goal, or `off` past it, and say so; gives how many acts that were."""
    plays = [add()] * (goal(cast, exam) + off) + [done()]
    for number, act in enumerate(plays, 1):
        assert play(cast, exam, number, act) == ACCEPTED
    return len(plays)


def submit(cast, exam, now=MONDAY):
    exams.submit(cast.database, member=member(cast), public_id=exam, tools=tools(), now=now)
    return sitting_of(cast, exam)


def rows(cast):
    with cast.database.reading() as db:
        return list(db.scalars(select(ExamAnswer.answer).order_by(ExamAnswer.id)))


def logged(cast, kind="exam.acted"):
    with cast.database.reading() as db:
        records = db.scalars(select(LogEntry.record).where(LogEntry.kind == kind).order_by(LogEntry.seq))
        return [json.loads(one)["facts"] for one in records]


def document(*acts):
    return rfc8785.dumps([act_document(act) for act in acts]).decode()


def test_a_retake_gives_another_task_of_the_bench(cast):
    tasks = []
    for attempt in range(3):
        now = MONDAY + timedelta(days=2 * attempt)
        exam = begin(cast, now)
        tasks.append(goal(cast, exam))
        assert exams.submit(cast.database, member=member(cast), public_id=exam, tools=tools(), now=now).closed
        assert slot_of(cast, exam).number not in exams.paper_of(sitting_of(cast, exam)).comparison.repeated
        assert replay(cast.database, public_id=exam, tools=tools()).agrees
    assert len(set(tasks)) == 3


def test_a_bench_played_to_its_goal_is_right(cast):
    exam = begin(cast)
    finish(cast, exam)
    closed = submit(cast, exam)
    result = read_result(json.loads(closed.result))
    assert (closed.right, result.areas[0].right, result.areas[0].reached) == (1, 1, 1)
    assert replay(cast.database, public_id=exam, tools=tools()).agrees


@pytest.mark.parametrize(
    ("acts", "right", "reached"),
    [([], 0, 0), ([add()], 0, 1), ([done()], 0, 1), ([touch(), done()], 0, 1)],
)
def test_what_is_short_of_it_is_not(cast, acts, right, reached):
    exam = begin(cast)
    for number, act in enumerate(acts, 1):
        assert play(cast, exam, number, act) == ACCEPTED
    area = read_result(json.loads(submit(cast, exam).result)).areas[0]
    assert (area.right, area.reached) == (right, reached)


def test_at_the_goal_and_never_ended_is_not_right(cast):
    exam = begin(cast)
    for number in range(1, goal(cast, exam) + 1):
        play(cast, exam, number, add())
    assert submit(cast, exam).right == 0


def test_each_act_is_a_revision_of_its_own_and_the_longer_list(cast):
    exam = begin(cast)
    play(cast, exam, 1, add(), language="es")
    play(cast, exam, 2, add(2))
    assert rows(cast) == [document(add()), document(add(), add(2))]
    entries = logged(cast)
    assert [(one["revision"], one["act"], one["done_in"]) for one in entries] == [
        (1, document(add())[1:-1], "es"),
        (2, document(add(2))[1:-1], "en"),
    ]
    with cast.database.reading() as db:
        assert log.verify(db).flaws == ()
    for language in ("en", "es"):
        assert "{" not in SENTENCES["log.exam.acted"].say(language, **entries[0])


def test_a_repeat_is_acknowledged_and_changes_nothing(cast):
    exam = begin(cast)
    last = finish(cast, exam)
    kept = rows(cast)
    assert play(cast, exam, 1, add()) == REPEATED
    assert play(cast, exam, last, done()) == REPEATED
    submit(cast, exam)
    assert play(cast, exam, last, done(), now=END + timedelta(days=1)) == REPEATED
    assert (rows(cast), len(logged(cast))) == (kept, last)


def test_nothing_is_taken_back_once_it_was_seen(cast):
    exam = begin(cast)
    play(cast, exam, 1, touch())
    play(cast, exam, 2, add())
    for number in (0, 1, 2, 4, -1, 10**12):
        assert play(cast, exam, number, add(3)).reasons == ("exam.out_of_step",)
    assert play(cast, exam, 3, done()) == ACCEPTED
    assert play(cast, exam, 4, add()).reasons == ("exam.bench_done",)
    assert len(rows(cast)) == 3


def test_the_ordinary_address_takes_no_answer_to_a_bench(cast):
    exam = begin(cast)
    play(cast, exam, 1, add())
    whole = document(*[add()] * goal(cast, exam), done())
    for revision in (1, 2, 9999):
        receipt = exams.answer(
            cast.database, member=member(cast), public_id=exam, slot=slot_of(cast, exam).number,
            revision=revision, text=whole, language="en", now=MONDAY,
        )  # fmt: skip
        assert receipt.reasons == ("exam.bench_slot",)
    assert len(rows(cast)) == 1


def test_a_question_takes_no_acts(cast):
    exam = begin(cast)
    other = 1 if slot_of(cast, exam).number != 1 else 2
    assert play(cast, exam, 1, add(), slot=other).reasons == ("exam.not_bench",)
    assert play(cast, exam, 1, add(), slot=99).reasons == ("exam.unknown_slot",)
    assert rows(cast) == []


def test_it_is_mine_open_and_in_time(cast):
    exam = begin(cast)
    for person in (cast.tom, cast.otto):
        assert play(cast, exam, 1, add(), who=person).reasons == ("exam.not_yours",)
    assert play(cast, exam, 1, add(), now=END - timedelta(microseconds=1)) == ACCEPTED
    assert play(cast, exam, 2, add(), now=END).reasons == ("exam.late",)
    submit(cast, exam)
    assert play(cast, exam, 2, add()).reasons == ("exam.closed",)
    assert play(cast, "no-such-exam", 1, add(), slot=1).reasons == ("exam.unknown",)
    assert len(rows(cast)) == 1


def test_what_the_bench_refuses_is_said_and_not_kept(cast, monkeypatch):
    exam = begin(cast)
    monkeypatch.setattr(catalogue, "benches", lambda: {"counting": counting(limit=3)})
    refused = play(cast, exam, 1, add(5))
    assert (refused.accepted, refused.said.en, refused.reasons) == (False, "That is past any number.", ())
    assert play(cast, exam, 1, Act("fly", {})).reasons == ("exam.no_such_act",)
    assert play(cast, exam, 1, Act("add", {"much": 5.0})).reasons == ("exam.no_such_act",)
    assert rows(cast) == []


def test_there_is_an_end_to_the_acts_of_an_exam(cast):
    exam = begin(cast)
    slot = slot_of(cast, exam).number
    with cast.database.writing() as db:
        row = ExamAnswer(
            exam_id=sitting_of(cast, exam).id, slot=slot, revision=MOST_BENCH_ACTS, language="en",
            answer=document(*[touch()] * MOST_BENCH_ACTS), received_at=MONDAY,
        )  # fmt: skip
        db.add(row)
    assert play(cast, exam, MOST_BENCH_ACTS + 1, touch()).reasons == ("exam.too_many_acts",)


def test_a_changed_bench_takes_nothing_and_the_exam_counts_neither_way(cast, monkeypatch):
    exam = begin(cast)
    play(cast, exam, 1, add())
    only_counting(monkeypatch, version=2)
    assert play(cast, exam, 2, add()).reasons == ("exam.bench_changed",)
    given = next(iter(_answers(cast, exam).values()))
    assert on_bench(sitting_of(cast, exam), given.slot, given, tools()) is None
    assert submit(cast, exam).passed is None


def _answers(cast, exam):
    with cast.database.reading() as db:
        return queries.standing_answers(db, sitting_of(cast, exam).id)


def test_time_up_scores_what_stands(cast):
    exam = begin(cast)
    finish(cast, exam)
    assert exams.close_overdue(cast.database, tools(), END) == [exam]
    closed = sitting_of(cast, exam)
    assert (closed.right, closed.closed_by) == (1, "deadline")


def test_a_kept_list_that_is_not_what_was_done_shows_at_replay(cast):
    exam = begin(cast)
    last = finish(cast, exam, off=3)
    submit(cast, exam)
    whole = document(*[add()] * goal(cast, exam), done())
    with cast.database.writing() as db:
        db.execute(update(ExamAnswer).where(ExamAnswer.revision == last).values(answer=whole))
    assert "exam.replay_answers" in replay(cast.database, public_id=exam, tools=tools()).differs


def test_many_at_once_keep_one(cast):
    exam = begin(cast)
    with ThreadPoolExecutor(6) as pool:
        took = list(pool.map(lambda much: play(cast, exam, 1, add(much)), [1, 1, 1, 2, 2, 2]))
    assert sum(one == ACCEPTED for one in took) == 1
    assert all(one in (ACCEPTED, REPEATED) or one.reasons == ("exam.out_of_step",) for one in took)
    assert len(rows(cast)) == 1


def test_everybody_s_task_is_drawn_anew(cast):
    labels = set()
    for person in (cast.ana, cast.tom, cast.mia, cast.rosa, cast.lee):
        started = exams.start(
            cast.database, member=member(cast, person), scheme_id="six", tools=tools(), now=MONDAY
        )
        labels.add(slot_of(cast, started.public_id).label)
    assert len(labels) == 5


def test_a_sheet_without_a_task_is_said_before_the_exam_begins(cast, monkeypatch):
    stingy = counting()
    usual = stingy.make_task
    stingy.make_task = lambda sheet, fixed, *rest: usual(sheet, {**fixed, "start": "none"}, *rest)
    monkeypatch.setattr(catalogue, "benches", lambda: {"counting": stingy})
    started = exams.start(cast.database, member=member(cast), scheme_id="six", tools=tools(), now=MONDAY)
    assert (started.public_id, started.refused) == (None, ("exam.no_bench_task",))
    assert started.said.en == "The sheet has no number to count to."


def test_the_marks_of_two_runs_come_to_light_with_the_result_alone(cast):
    # Until then an answer to the last act holds nothing but that it is kept.
    exam = begin(cast)
    assert finish(cast, exam) > 1
    assert [set(one) for one in logged(cast)] == [
        {"exam", "slot", "revision", "act", "done_in", "sha256"} for _ in logged(cast)
    ]
    assert sitting_of(cast, exam).right is None
