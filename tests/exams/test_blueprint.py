"""The blueprint from a job analysis: its quotas and reasons, and every gap between tasks and areas at its place."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import DocumentError
from trainer.exams.blueprint import blueprint, should_be_critical, weight_of
from trainer.exams.reading import load_schemes, read_scheme
from trainer.exams.scheme import quotas

SCHEMES = Path(__file__).parents[2] / "questions" / "schemes"
RATED = """\
id: small
version: 1
title: {en: Small, es: Chico}
scope: {en: Eyes, es: Fotoceldas}
opens_cabinet: false
minutes: 10
cut: 2
tries: {most: 2, within_days: 30, wait_hours: 4}
mastery: none
exam_months: 12
certificate_months: 12
analysis:
  rated_by: [{en: trainer, es: instructor}]
  rated_on: 2026-01-10
  review_by: 2028-01-10
  basis: {en: Agreed., es: Acordado.}
  tasks:
    - {id: see, text: {en: See, es: Ver}, importance: 4, frequency: 5, harm: 1, skills: [eyes.see, eyes.aim]}
    - {id: fix, text: {en: Fix, es: Arreglar}, importance: 5, frequency: 2, harm: 2, skills: [eyes.aim, hands.fix]}
    - {id: off, text: {en: Off, es: Apagar}, importance: 5, frequency: 1, harm: 5, skills: [lock.off]}
areas:
  - {id: eyes, title: {en: Eyes, es: Ojos}, skills: [eyes.see, eyes.aim], items: 5}
  - {id: hands, title: {en: Hands, es: Manos}, skills: [hands.fix], items: 1}
  - {id: lock, title: {en: Lock, es: Candado}, critical: true, skills: [lock.off], items: 1}
"""


def test_a_task_counts_by_the_share_of_its_skills_in_an_area():
    scheme = read_scheme(RATED, "small.yaml")
    eyes, hands, lock = blueprint(scheme)
    # By hand: 4 x 5 whole and half of 5 x 2; half of 5 x 2; 5 x 1. Of 7 items: 5.83 → 5, 1.17 → 1, …: 25 5 5 of 35.
    assert [one.weight for one in (eyes, hands, lock)] == [25, 5, 5]
    assert [one.by_tasks for one in (eyes, hands, lock)] == [5, 1, 1]
    assert [task.id for task in eyes.tasks] == ["see", "fix"]
    assert all(one.holds for one in (eyes, hands, lock))
    assert should_be_critical(lock.area, scheme.analysis.tasks)


def test_an_area_with_a_reason_keeps_its_items_and_the_rest_is_shared():
    own = "items: 1}\n  - {id: lock"
    text = RATED.replace(own, "items: 6, because: {en: All of it., es: Todo.}}\n  - {id: lock")
    scheme = read_scheme(text, "small.yaml")
    assert [(one.area.items, one.shared) for one in blueprint(scheme)] == [(5, 5), (6, None), (1, 1)]


def test_items_of_the_scheme_are_given_out_where_the_areas_name_none():
    text = RATED.replace(", items: 5", "").replace(", items: 1", "").replace("cut: 2", "cut: 2\nitems: 14")
    assert [area.items for area in read_scheme(text, "small.yaml").areas] == [10, 2, 2]


@pytest.mark.parametrize(
    ("was", "now", "place", "wrong"),
    [
        ("[hands.fix], items: 1", "[hands.fix], items: 2", "small.yaml:22:5", "has 6 items, not 5"),
        ("skills: [lock.off]}\nareas", "skills: [lock.on]}\nareas", "small.yaml:24:5", "No task rests on lock.off"),
        ("skills: [hands.fix]", "skills: [hands.hold, hands.fix]", "small.yaml:23:5", "No task rests on hands.hold"),
        ("[eyes.aim, hands.fix]}", "[eyes.aim, feet.go]}", "small.yaml:13:3", "feet.go, which no area has"),
        ("critical: true, ", "", "small.yaml:24:5", "can kill or maim"),
        ("harm: 5", "harm: 4", "small.yaml:24:5", "No task of this area has harm 5"),
        ("harm: 5", "harm: 6", "small.yaml:20:", "rating is out of range"),
        ("id: off,", "id: fix,", "small.yaml:20:7", "The task fix stands here twice"),
        ("2026-01-10", "January", "small.yaml:14:13", "A day is expected here"),
        ("2028-01-10", "2025-01-10", "small.yaml:15:14", "The review stands before the rating"),
        ("items: 5}", "items: 5, because: {en: So., es: Así.}, importance: 4}", "small.yaml:22:", "no such field"),
        ("rated_by: [{en: trainer, es: instructor}]", "rated_by: []", "small.yaml:13:13", "At least a role"),
    ],
)  # fmt: skip
def test_a_gap_is_told_with_its_place(was, now, place, wrong):
    assert was in RATED
    with pytest.raises(DocumentError) as told:
        read_scheme(RATED.replace(was, now, 1), "small.yaml")
    assert any(str(f.place).startswith(place) and wrong in str(f) for f in told.value.faults), told.value


def test_reasons_that_take_everything_are_a_fault():
    text = RATED.replace("items: 5", "items: 7, because: {en: So., es: Así.}")
    text = text.replace("cut: 2", "cut: 2\nitems: 7")
    with pytest.raises(DocumentError, match="gets no item"):
        read_scheme(text, "small.yaml")


def test_an_analysis_is_stale_the_day_after_its_review():
    analysis = read_scheme(RATED, "small.yaml").analysis
    assert not analysis.is_stale(date(2028, 1, 10))
    assert analysis.is_stale(date(2028, 1, 11))


@given(st.lists(st.tuples(st.integers(1, 5), st.integers(1, 5)), min_size=1, max_size=9), st.integers(0, 60))
def test_quotas_stay_within_one_of_their_share(ratings, total):
    """The quota rule, which is what the method is chosen for (Balinski & Young, Fair Representation; from memory)."""
    weights = [a * b for a, b in ratings]
    given_out = quotas(weights, total)
    assert sum(given_out) == total
    assert all(
        abs(q - Fraction(w * total, sum(weights))) < 1 for q, w in zip(given_out, weights, strict=True)
    )


def test_the_shipped_schemes_rest_on_their_tasks():
    for scheme in load_schemes(SCHEMES).values():
        rows = blueprint(scheme)
        assert len(rows) == len(scheme.areas) and all(one.holds and one.tasks for one in rows)
        assert [one.area.id for one in rows if one.shared is None] == (
            ["lockout"] if scheme.opens_cabinet else []
        )
        total = sum(one.weight for one in rows)
        assert total == sum(task.weight for task in scheme.analysis.tasks)
        for row in rows:
            critical = any(task.harm == 5 for task in row.tasks)
            assert critical == row.area.critical
        assert weight_of(scheme.skills, scheme.analysis.tasks) == total
        for task in scheme.analysis.tasks:
            assert task.text.en != task.text.es
