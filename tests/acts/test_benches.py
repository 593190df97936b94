"""Benches as acts: a run begun once, each act kept once and in order, its score, tasks that trainers give."""

import json
import threading
from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.acts.counting_bench import ID, add, counting, done, only_counting, touch
from tests.cast import MONDAY, make_cast, make_person
from trainer.access.refusal import Refused
from trainer.acts import benches as acts
from trainer.acts.bench_replay import replay
from trainer.acts.benches import BenchTools, Played
from trainer.benches.acts import MOST_ACTS, Act
from trainer.benches.catalogue import digest
from trainer.records import log
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.records.tables import BenchAct, BenchGiven, BenchRun, LogEntry, Person
from trainer.sites import demo_sheet

TOOLS = BenchTools(bytes(range(32)), lambda site, version: demo_sheet())
DAY = timedelta(days=1)
ACCEPTED, REPEATED = Played(True), Played(True, repeated=True)


@pytest.fixture(autouse=True)
def _bench(monkeypatch):
    only_counting(monkeypatch)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    yield made
    made.database.dispose()


def member(cast, person):
    with cast.database.reading() as db:
        return people.member(db, person)


def start(cast, who=None, *, bench=ID, asked=None, version=1, given=None, lesson=None, now=MONDAY):
    return acts.start(
        cast.database, member=member(cast, who or cast.ana), bench_id=bench, asked=asked or {},
        sheet_version=version, lesson=lesson, given=given, tools=TOOLS, now=now,
    )  # fmt: skip


def play(cast, run, number, act, who=None, now=MONDAY):
    return acts.play(
        cast.database, member=member(cast, who or cast.ana), public_id=run, number=number, act=act,
        tools=TOOLS, now=now,
    )  # fmt: skip


def kept(cast, run):
    with cast.database.reading() as db:
        return queries.run(db, run)


def goal(cast, run):
    return acts.task_of_run(kept(cast, run).facts, TOOLS).goal


def finish(cast, run, who=None, off=0, now=MONDAY):
    """Count to the goal, or `off` past it, and say so."""
    plays = [add()] * (goal(cast, run) + off) + [done()]
    for number, act in enumerate(plays, 1):
        assert play(cast, run, number, act, who, now) == ACCEPTED


def give(cast, by=None, to=None, *, asked=None, note="Mind the last step.", due=None, bench=ID, now=MONDAY):
    return acts.give(
        cast.database, by=member(cast, by or cast.tom), person_id=to or cast.ana, bench_id=bench,
        asked=asked or {}, note=note, due_at=due, sheet_version=1, tools=TOOLS, now=now,
    )  # fmt: skip


def logged(cast):
    with cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        return [json.loads(one) for one in db.scalars(select(LogEntry.record).order_by(LogEntry.seq))]


def kinds(cast):
    return [one["kind"] for one in logged(cast)]


# Starting


def test_a_run_begins_with_all_that_makes_its_task_again(cast):
    run = start(cast, asked={"level": "2", "start": ""}, version=3, lesson="beam.height")
    facts = kept(cast, run).facts
    assert facts.options == {"level": "2"} and facts.sheet_version == 3 and facts.lesson == "beam.height"
    assert (facts.person, facts.site_id, facts.system, facts.started_at) == (
        "Ana Ruiz", cast.site, "us", MONDAY,
    )  # fmt: skip
    assert (facts.ended_at, facts.points, facts.passed, facts.failed, facts.played) == (
        None, None, None, None, 0,
    )  # fmt: skip
    assert digest(acts.task_of_run(facts, TOOLS)) == facts.digest
    assert kinds(cast) == []


def test_starting_again_goes_on_with_the_run_that_is_open(cast):
    run = start(cast)
    assert start(cast, asked={"level": "1"}, version=2, now=MONDAY + DAY) == run
    play(cast, run, 1, add())
    assert start(cast) == run


def test_other_options_another_person_and_other_units_get_a_run_of_their_own(cast):
    runs = [start(cast), start(cast, asked={"level": "2"}), start(cast, asked={"start": "low"})]
    runs.append(start(cast, cast.tom))
    with cast.database.writing() as db:
        db.get_one(Person, cast.ana).system = "metric"
    runs.append(start(cast))
    assert len(set(runs)) == 5
    assert acts.task_of_run(kept(cast, runs[-1]).facts, TOOLS).system == "metric"


def test_when_a_run_is_over_the_next_one_is_new(cast):
    run = start(cast)
    finish(cast, run)
    assert start(cast) != run


def test_a_run_that_is_full_or_of_an_older_bench_is_not_gone_on_with(cast, monkeypatch):
    full = start(cast)
    with cast.database.writing() as db:
        row = db.scalars(select(BenchRun)).one()
        document = acts._document(add())
        db.add_all(
            BenchAct(run_id=row.id, number=number, document=document, received_at=MONDAY)
            for number in range(1, MOST_ACTS + 1)
        )
    fresh = start(cast)
    assert fresh != full
    assert "bench.too_many" in play(cast, full, MOST_ACTS + 1, add()).reasons
    only_counting(monkeypatch, version=2)
    newest = start(cast)
    assert newest not in {full, fresh} and kept(cast, newest).facts.version == 2


def test_a_double_click_at_the_same_moment_makes_one_run(cast):
    found = []
    clicks = [threading.Thread(target=lambda: found.append(start(cast))) for _ in range(4)]
    for one in clicks:
        one.start()
    for one in clicks:
        one.join()
    assert len(found) == 4 and len(set(found)) == 1


def test_what_is_not_to_be_had_is_refused_with_its_reason(cast):
    assert start(cast, bench="none") == Refused(("bench.unknown",))
    assert start(cast, asked={"level": "9"}) == Refused(("bench.no_option",))
    assert start(cast, asked={"colour": "red"}) == Refused(("bench.no_option",))
    lacking = start(cast, asked={"start": "none"})
    assert lacking.reasons == ("bench.no_task",)
    assert lacking.said.es == "La hoja no tiene hasta dónde contar."
    with cast.database.reading() as db:
        assert queries.runs_of(db, cast.ana) == []


# Playing


def test_acts_are_kept_in_order_and_the_last_one_brings_the_score(cast):
    run = start(cast)
    finish(cast, run, off=3, now=MONDAY + DAY)
    facts = kept(cast, run).facts
    assert (facts.points, facts.passed, facts.failed, facts.ended_at) == (70, False, False, MONDAY + DAY)
    assert kept(cast, run).acts[0] == '{"kind":"add","values":{"much":0.0254}}'
    (entry,) = logged(cast)
    assert entry["kind"] == "bench.ended" and entry["about"] == entry["by"] == cast.public_id(cast.ana)
    assert (entry["facts"]["points"], entry["facts"]["level"], entry["facts"]["run"]) == (70, "1", run)
    assert entry["facts"]["digest"] == facts.digest


def test_the_best_list_of_acts_passes_with_full_points(cast):
    run = start(cast)
    task = acts.task_of_run(kept(cast, run).facts, TOOLS)
    for number, act in enumerate(counting().best(task).acts, 1):
        assert play(cast, run, number, act).accepted
    assert (kept(cast, run).facts.points, kept(cast, run).facts.passed) == (100, True)


def test_a_run_that_failed_is_not_passed_whatever_its_points(cast):
    run = start(cast)
    assert play(cast, run, 1, touch()) == ACCEPTED
    for number in range(goal(cast, run)):
        play(cast, run, number + 2, add())
    play(cast, run, goal(cast, run) + 2, done())
    facts = kept(cast, run).facts
    assert (facts.points, facts.passed, facts.failed) == (100, False, True)
    with cast.database.reading() as db:
        assert queries.best_points(db, cast.ana) == {}


def test_the_same_again_is_acknowledged_and_changes_nothing_even_after_the_end(cast):
    run = start(cast)
    finish(cast, run)
    before = kept(cast, run)
    assert play(cast, run, 1, add(), now=MONDAY + DAY) == REPEATED
    assert play(cast, run, len(before.acts), done(), now=MONDAY + DAY) == REPEATED
    assert kept(cast, run) == before and kinds(cast) == ["bench.ended"]


@pytest.mark.parametrize("number", [-1, 0, 1, 3, 4, 10**30])
def test_another_act_under_a_taken_number_and_a_gap_are_refused(cast, number):
    run = start(cast)
    play(cast, run, 1, add())
    before = kept(cast, run)
    assert play(cast, run, number, add(2)) == Played(False, reasons=("bench.out_of_step",))
    assert kept(cast, run) == before


def test_after_the_end_nothing_is_added(cast):
    run = start(cast)
    play(cast, run, 1, done())
    before = kept(cast, run)
    for number, act in ((1, add()), (2, add()), (2, done())):
        assert play(cast, run, number, act) == Played(False, reasons=("bench.over",))
    assert kept(cast, run) == before


def test_what_the_bench_does_not_allow_now_is_refused_in_its_own_words(cast):
    run = start(cast)
    for number in range(1, 11):
        play(cast, run, number, add(10))
    refused = play(cast, run, 11, add(1))
    assert not refused.accepted and refused.said.en == "That is past any number." and refused.reasons == ()
    assert len(kept(cast, run).acts) == 10


@pytest.mark.parametrize(
    "odd",
    [
        Act("fly", {}), Act("add", {}), Act("add", {"much": float("nan")}), Act("add", {"much": 1e308}),
        Act("add", {"much": 0.03}), Act("add", {"much": "\ud800"}), Act("done", {"much": 0.0254}), Act("\0", {}),
    ],
)  # fmt: skip
def test_an_act_that_the_task_does_not_know_is_refused(cast, odd):
    run = start(cast)
    assert play(cast, run, 1, odd) == Played(False, reasons=("bench.no_such_act",))
    assert kept(cast, run).acts == ()


@pytest.mark.parametrize("who", ["tom", "mia", "otto"])
def test_nobody_plays_for_somebody_else(cast, who):
    run = start(cast)
    play(cast, run, 1, add())
    before = kept(cast, run)
    for number in (1, 2):
        refused = play(cast, run, number, add(), who=getattr(cast, who))
        assert refused == Played(False, reasons=("bench.not_yours",))
    assert kept(cast, run) == before
    assert play(cast, "none", 1, add()) == Played(False, reasons=("bench.unknown_run",))


@pytest.mark.parametrize("change", [{"version": 9}, {"digest": "0" * 64}, {"bench": "gone"}])
def test_a_run_whose_task_is_another_now_cannot_go_on(cast, change):
    run = start(cast)
    with cast.database.writing() as db:
        db.query(BenchRun).update(change)
    assert play(cast, run, 1, add()) == Played(False, reasons=("bench.changed",))


def test_one_act_sent_from_two_places_at_once_is_kept_once(cast):
    run, found = start(cast), []
    sent = [threading.Thread(target=lambda: found.append(play(cast, run, 1, add()))) for _ in range(4)]
    for one in sent:
        one.start()
    for one in sent:
        one.join()
    assert sorted(one.repeated for one in found) == [False, True, True, True]
    assert all(one.accepted for one in found) and len(kept(cast, run).acts) == 1


# Replay


def test_a_run_scores_the_same_again(cast):
    run = start(cast)
    finish(cast, run, off=-1)
    again = replay(cast.database, public_id=run, tools=TOOLS)
    assert again.agrees and again.score.points == 90


@pytest.mark.parametrize(
    ("spoil", "found"),
    [
        ({"points": 100}, ("bench.replay_score",)),
        ({"failed": True}, ("bench.replay_score",)),
        ({"digest": "1" * 64}, ("bench.replay_task",)),
        ({"sheet_version": 2}, ("bench.replay_log",)),
    ],
)
def test_a_changed_record_is_found(cast, spoil, found):
    run = start(cast)
    finish(cast, run, off=2)
    with cast.database.writing() as db:
        db.query(BenchRun).update(spoil)
    assert replay(cast.database, public_id=run, tools=TOOLS).differs == found


def test_a_changed_act_is_found(cast):
    run = start(cast)
    finish(cast, run, off=2)
    with cast.database.writing() as db:
        db.query(BenchAct).filter_by(number=1).update({"document": acts._document(add(3))})
    assert replay(cast.database, public_id=run, tools=TOOLS).differs == (
        "bench.replay_score", "bench.replay_log",
    )  # fmt: skip


def test_what_has_not_ended_or_is_of_another_version_is_not_replayed(cast, monkeypatch):
    run = start(cast)
    with pytest.raises(LookupError, match="no ended run"):
        replay(cast.database, public_id=run, tools=TOOLS)
    finish(cast, run)
    only_counting(monkeypatch, version=2)
    with pytest.raises(LookupError, match="version 1"):
        replay(cast.database, public_id=run, tools=TOOLS)


# Tasks that trainers give


def given_to(cast, who=None):
    with cast.database.reading() as db:
        return queries.given_to(db, who or cast.ana)


def test_a_given_task_is_done_by_its_person_with_its_own_options_and_sheet(cast):
    task = give(cast, asked={"level": "3", "start": "low"}, due=MONDAY + DAY)
    run = start(cast, given=task, asked={"level": "1"}, version=8)
    facts = kept(cast, run).facts
    assert facts.options == {"level": "3", "start": "low"}
    assert (facts.sheet_version, facts.given) == (1, task)
    assert start(cast, given=task) == run != start(cast, asked={"level": "3", "start": "low"})
    (line,) = given_to(cast)
    assert (line.public_id, line.given_by, line.note, line.due_at) == (
        task, "Tom Becker", "Mind the last step.", MONDAY + DAY,
    )  # fmt: skip
    assert (line.runs, line.best, line.passed_at, line.open_run) == (0, None, None, run)


def test_a_given_task_shows_how_far_it_is(cast):
    task = give(cast)
    finish(cast, start(cast, given=task), off=4, now=MONDAY + DAY)
    (line,) = given_to(cast)
    assert (line.runs, line.best, line.passed_at, line.open_run) == (1, 60, None, None)
    finish(cast, start(cast, given=task), off=1, now=MONDAY + 2 * DAY)
    finish(cast, start(cast, given=task), now=MONDAY + 3 * DAY)
    (line,) = given_to(cast)
    assert (line.runs, line.best, line.passed_at) == (3, 100, MONDAY + 2 * DAY)


def test_only_its_person_starts_a_given_task(cast):
    task = give(cast)
    assert start(cast, cast.mia, given=task) == Refused(("bench.given_not_yours",))
    assert start(cast, given="none") == Refused(("bench.given_unknown",))
    assert start(cast, bench="other", given=task) == Refused(("bench.given_unknown",))


def test_giving_is_logged_without_the_words_of_the_note(cast):
    task = give(cast, note="Ana, mind your step.")
    (entry,) = logged(cast)
    assert entry["kind"] == "bench.given" and entry["facts"]["given"] == task
    assert (entry["by"], entry["about"]) == (cast.public_id(cast.tom), cast.public_id(cast.ana))
    assert "mind" not in json.dumps(entry)


def test_a_double_click_gives_one_task_and_a_done_one_can_be_given_again(cast):
    task = give(cast)
    assert give(cast, now=MONDAY + timedelta(seconds=1)) == task
    assert give(cast, note="Another.") != task
    assert kinds(cast) == ["bench.given", "bench.given"]
    finish(cast, start(cast, given=task))
    assert give(cast) != task


@pytest.mark.parametrize("who", ["ana", "lee"])
def test_learners_and_administrators_give_nothing(cast, who):
    refused = give(cast, by=getattr(cast, who), to=cast.tom)
    assert refused == Refused(("bench.may_not_give",))
    assert kinds(cast) == []


def test_wrong_tasks_are_refused_with_every_reason(cast):
    gone = make_person(cast.database, cast.site, "Gil Moss", left_at=MONDAY)
    for person in (cast.otto, gone, 10**6):
        assert give(cast, to=person) == Refused(("bench.person_unknown",))
    assert give(cast, by=cast.otto) == Refused(("bench.person_unknown",))
    assert give(cast, bench="none") == Refused(("bench.unknown",))
    assert give(cast, asked={"level": "4"}) == Refused(("bench.no_option",))
    assert give(cast, note="x" * 501, due=MONDAY) == Refused(("bench.note_too_long", "bench.due_past"))
    assert give(cast, note="a\0b") == Refused(("bench.note_not_text",))
    lacking = give(cast, asked={"start": "none"})
    assert lacking.reasons == ("bench.no_task",) and lacking.said.en == "The sheet has no number to count to."
    with cast.database.reading() as db:
        assert db.scalars(select(BenchGiven)).all() == []
    assert give(cast, note="x" * 500) not in (None, "")


def test_a_task_taken_back_is_gone_for_its_person_and_its_runs_stay(cast):
    task = give(cast)
    run = start(cast, given=task)
    for _ in range(2):
        assert take_back(cast, task) is None
    assert given_to(cast) == []
    assert start(cast, given=task) == Refused(("bench.given_withdrawn",))
    assert play(cast, run, 1, add()) == ACCEPTED
    assert kinds(cast) == ["bench.given", "bench.withdrawn"]
    with cast.database.reading() as db:
        (line,) = queries.given_by_site(db, cast.site)
    assert line.withdrawn_at == MONDAY + DAY
    assert give(cast) != task


def take_back(cast, task, by=None):
    return acts.take_back(cast.database, by=member(cast, by or cast.mia), public_id=task, now=MONDAY + DAY)


def test_tasks_are_taken_back_by_those_who_train_at_the_site_alone(cast):
    task = give(cast)
    assert take_back(cast, task, cast.ana) == Refused(("bench.may_not_give",))
    assert take_back(cast, task, cast.otto) == Refused(("bench.given_unknown",))
    assert take_back(cast, "none") == Refused(("bench.given_unknown",))
    assert len(given_to(cast)) == 1
