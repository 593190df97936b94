"""Benches as items of an exam: the form, the paper that is kept, the mark."""

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.acts.counting_bench import counting, only_counting
from tests.exams.bench_exam import SECRET, bench_paper, bench_scheme, bench_slot, best_acts, tasks
from tests.exams.sittings import SmallPool, make_scheme
from tests.six_kinds import RIGHT, SITE, six_kinds
from trainer.benches import catalogue
from trainer.benches.acts import act_document, read_form
from trainer.exams.bench_slots import NoBench, is_finished, mark_of_bench, read_acts, task_key
from trainer.exams.forms import assemble_form, shortfalls
from trainer.exams.paper import paper_document, read_paper, score_paper, set_paper
from trainer.exams.scheme import BenchItem
from trainer.exams.scoring import result_document
from trainer.exams.setting import Setting
from trainer.exams.sitting import MOST_BENCH_ACTS, GivenAnswer
from trainer.exams.unlike import keys_of
from trainer.sites.reading import demo_sheet

KEPT = Path(__file__).with_name("kept_before_benches.json")
BENCHES = sorted(catalogue.benches())


def kept(acts):
    return rfc8785.dumps([act_document(act) for act in acts]).decode()


def marked(paper, text):
    answers = {bench_slot(paper).number: GivenAnswer(bench_slot(paper).number, 1, text, "en")}
    return score_paper(paper, answers, six_kinds().find, SECRET, tasks(paper))


def test_a_bench_is_one_item_of_its_area():
    form = assemble_form(bench_scheme(), six_kinds(), SECRET, "me")
    eyes = [slot for slot in form.slots if slot.area == "eyes"]
    assert [slot.number for slot in form.slots] == [1, 2, 3, 4, 5, 6]
    assert len(eyes) == 4
    assert [slot.question for slot in eyes if slot.bench] == ["bench.delay"]
    # It stands for its skill: that skill's question gives way, and no other.
    assert Counter(slot.skill for slot in form.slots) == Counter(list(six_kinds().skills))
    assert "eyes.choice" not in {slot.question for slot in form.slots}


def test_a_bench_counts_for_its_skill_before_any_comes_twice():
    area = replace(make_scheme().areas[0], benches=(BenchItem("delay", "1", "eyes.see"),))
    scheme = make_scheme(areas=(area, make_scheme().areas[1]))
    slots = [
        slot for slot in assemble_form(scheme, SmallPool(scheme), SECRET, "me").slots if slot.area == "eyes"
    ]
    counts = Counter(slot.skill for slot in slots)
    assert max(counts.values()) - min(counts.values()) == 1
    assert [slot.skill for slot in slots if slot.bench] == ["eyes.see"]
    assert shortfalls(scheme, SmallPool(scheme, each=1)) == ()


def test_places_of_benches_are_drawn_as_those_of_questions():
    places = {bench_slot(bench_paper(label=f"exam|p|{n}")).number for n in range(20)}
    assert places == {1, 2, 3, 4}


def test_a_slot_keeps_what_makes_its_task_again():
    paper = bench_paper(level="2")
    slot = bench_slot(paper)
    assert slot.fixed == {"level": "2"}
    assert slot.version == catalogue.benches()["delay"].CARD.version
    assert slot.label == f"exam|ana-1|first|{slot.number}|bench.delay@{slot.version}"
    assert slot.fingerprint == catalogue.digest(tasks(paper)(slot))
    assert tasks(bench_paper(label="exam|ana-1|second"))(slot) == tasks(paper)(slot)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("bench", BENCHES)
def test_every_bench_is_right_when_played_best_and_not_reached_when_not_begun(bench, system):
    for level in ("1", "2", "3"):
        paper = bench_paper(bench, level, system=system)
        number, acts = bench_slot(paper).number, best_acts(paper)
        assert len(acts) * 3 < MOST_BENCH_ACTS
        assert marked(paper, kept(acts)).right == 1
        for nothing in ("", "[]"):
            assert number in marked(paper, nothing).not_reached
        # Left before its end, it is reached and not right.
        unfinished = marked(paper, kept(acts[:-1]))
        assert unfinished.right == 0
        assert (number in unfinished.not_reached) == (len(acts) == 1)


def retake(attempt, had, bench="counting"):
    """A paper of somebody who had these tasks, and its bench's slot."""
    setting = Setting(SITE, "us", f"exam|p|{attempt}", sheet=demo_sheet, had=frozenset(had))
    paper = set_paper(bench_scheme(bench), six_kinds(), six_kinds().find, SECRET, setting)
    return paper, bench_slot(paper)


def test_no_task_of_a_bench_comes_again_while_there_is_another(monkeypatch):
    only_counting(monkeypatch)
    had, goals = [], []
    for attempt in range(7):
        paper, slot = retake(attempt, had)
        assert slot.number not in paper.comparison.repeated
        goals.append(tasks(paper)(slot).goal)
        assert set(keys_of(paper, six_kinds().find, SECRET)) >= {task_key(slot)}
        had.append(task_key(slot))
    assert sorted(goals) == [3, 4, 5, 6, 7, 8, 9]  # every goal that the bench draws, once
    paper, slot = retake(7, had)
    assert task_key(slot) in had and paper.comparison.repeated == (slot.number,)
    assert "|again " not in slot.label
    assert read_paper(json.loads(rfc8785.dumps(paper_document(paper)))) == paper


@pytest.mark.parametrize("bench", BENCHES)
def test_the_very_task_that_would_come_gives_way_and_the_new_one_replays(bench):
    first, slot = retake(1, [], bench)
    again, other = retake(1, [task_key(slot)], bench)
    assert other.fingerprint != slot.fingerprint and other.label.startswith(f"{slot.label}|again ")
    assert again.comparison.repeated == first.comparison.repeated == ()
    assert catalogue.digest(tasks(again)(other)) == other.fingerprint


def test_the_paper_is_read_back_as_it_was_kept():
    paper = bench_paper()
    document = json.loads(rfc8785.dumps(paper_document(paper)))
    assert read_paper(document) == paper
    facts = next(one for one in document["slots"] if one["question"] == "bench.delay")
    assert facts["fixed"] == {"level": "1"}
    assert "site" not in facts
    assert all("fixed" not in one for one in document["slots"] if one is not facts)


def test_a_paper_of_before_there_were_benches_reads_and_scores_as_then():
    # Kept by the program as it was before schemes could name benches.
    then = json.loads(KEPT.read_text("utf-8"))
    paper = read_paper(then["form"])
    assert paper_document(paper) == then["form"]
    answers = {int(slot): GivenAnswer(int(slot), 1, text, "en") for slot, text in then["answers"].items()}
    result = score_paper(paper, answers, six_kinds().find, SECRET, no_tasks)
    assert result_document(result) == then["result"]


def no_tasks(slot):
    raise AssertionError(f"slot {slot.number} is no bench")


def test_the_whole_exam_counts_questions_and_bench_together():
    paper = bench_paper()
    answers = {
        slot.number: GivenAnswer(
            slot.number, 1, kept(best_acts(paper)) if slot.bench else RIGHT.get(slot.question, "never"), "en"
        )
        for slot in paper.form.slots
    }
    result = score_paper(paper, answers, six_kinds().find, SECRET, tasks(paper))
    # All but eyes.length, which was answered with a word.
    assert (result.right, result.items, result.passed) == (5, 6, True)


def test_a_critical_area_is_lost_with_its_bench():
    paper = bench_paper("lockout", skill="lockout.order", area="lockout")
    lost = marked(paper, kept(best_acts(paper)[:1]))
    assert "exam.critical_missed" in lost.reasons
    assert "lockout.order" in lost.critical_missed


def test_a_bench_that_was_changed_makes_the_exam_count_neither_way(monkeypatch):
    only_counting(monkeypatch)
    paper = bench_paper("counting")
    assert marked(paper, kept(best_acts(paper))).right == 1
    text = kept(best_acts(paper))
    only_counting(monkeypatch, version=2)
    raised = marked(paper, text)
    assert (raised.passed, raised.changed) == (None, (bench_slot(paper).number,))
    monkeypatch.setattr(catalogue, "benches", dict)
    assert marked(paper, text).passed is None
    # The same version, yet another task: its digest tells.
    other = counting()
    usual = other.make_task
    other.make_task = lambda *a: replace(usual(*a), goal=1)
    monkeypatch.setattr(catalogue, "benches", lambda: {"counting": other})
    assert marked(paper, text).passed is None


def test_where_the_sheet_gives_no_task_there_is_no_paper(monkeypatch):
    stingy = counting()
    stingy.make_task = lambda sheet, fixed, *rest: counting().make_task(
        sheet, {**fixed, "start": "none"}, *rest
    )
    monkeypatch.setattr(catalogue, "benches", lambda: {"counting": stingy})
    none = bench_paper("counting")
    assert isinstance(none, NoBench)
    assert none.why.en == "The sheet has no number to count to."


PAPERS = {bench: bench_paper(bench, "2") for bench in BENCHES}
TASKS = {bench: tasks(paper)(bench_slot(paper)) for bench, paper in PAPERS.items()}
JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=60)
@given(st.sampled_from(BENCHES), st.text(max_size=30) | JUNK.map(json.dumps))
def test_whatever_is_kept_has_a_mark_and_no_error(bench, text):
    assert mark_of_bench(bench_slot(PAPERS[bench]), TASKS[bench], text) in (None, "unreadable")


@st.composite
def runs(draw):
    """Acts of a bench's own kinds, in whatever order, as a form might send them."""
    bench = draw(st.sampled_from(BENCHES))
    task = TASKS[bench]
    kinds = catalogue.benches()[bench].kinds(task)
    acts = []
    for kind in draw(st.lists(st.sampled_from(kinds), max_size=8)):
        fields = {"kind": kind.kind}
        for one in kind.fields:
            if hasattr(one, "options"):
                fields[one.name] = draw(st.sampled_from(one.options)).id if one.options else ""
            else:
                fields[one.name] = str(draw(st.integers(0, 40)))
        read = read_form(kinds, fields, "en", "us")
        if hasattr(read, "values"):
            acts.append(read)
    return bench, tuple(acts)


@settings(max_examples=60, deadline=None)
@given(runs())
def test_any_list_of_acts_has_a_mark(run):
    bench, acts = run
    slot, task, text = bench_slot(PAPERS[bench]), TASKS[bench], kept(acts)
    mark = mark_of_bench(slot, task, text)
    assert (mark is None) == (not acts)
    assert mark in (None, "right", "wrong")
    assert read_acts(catalogue.benches()[bench], task, text) == acts
    if mark == "right":
        assert is_finished(catalogue.benches()[bench], task, text)


def test_acts_of_another_bench_cannot_be_read():
    assert marked(PAPERS["delay"], kept(best_acts(PAPERS["lockout"]))).unreadable


def test_a_form_asks_for_today_s_version(monkeypatch):
    monkeypatch.setattr(
        catalogue, "benches", lambda: {"delay": SimpleNamespace(CARD=SimpleNamespace(version=9))}
    )
    form = assemble_form(bench_scheme(), six_kinds(), SECRET, "me")
    assert next(slot.version for slot in form.slots if slot.bench) == 9


def test_the_site_s_values_are_kept_of_questions_alone():
    paper = bench_paper()
    assert set(paper.site) == {slot.number for slot in paper.form.slots if not slot.bench}
    assert set(SITE) >= {name for values in paper.site.values() for name in values}
