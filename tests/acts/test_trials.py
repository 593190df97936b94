"""Questions on trial in exams, on both databases: who is asked which, and that nothing hangs on them."""

import json
from datetime import timedelta

import pytest
import rfc8785
from sqlalchemy import select

from tests.acts.test_exams import SECRET, cast, check_log, no_sheet, say, sitting_of  # noqa: F401 - a fixture
from tests.cast import MONDAY, make_person
from tests.on_trial import LENGTH, LOCK, SENDER, bank_with_kept, put_on_trial, take, who
from tests.six_kinds import RIGHT, SITE, WRONG, six_kinds, six_scheme
from trainer.acts import exams
from trainer.acts.exam_replay import replay
from trainer.acts.looking import marks_now
from trainer.exams.paper import instance_of
from trainer.exams.scoring import read_result
from trainer.exams.sitting import is_void
from trainer.language.rendering import right_answer
from trainer.records.queries.schemes import recent_forms
from trainer.records.queries.trials import on_trial
from trainer.records.tables import Exam, ExamKeySheet

FULL = {"trial_places": 1, "cut": 6}


@pytest.fixture
def ana(cast):  # noqa: F811
    return who(cast, cast.ana)


def tools(cast, bank=None, **facts):  # noqa: F811
    bank, scheme = bank or bank_with_kept(cast.database), six_scheme(**{**FULL, **facts})
    return exams.ExamTools(bank, {"six": scheme}, SECRET, lambda site, version: SITE, no_sheet)


def begin(cast, member, now=MONDAY, *, trial=True, **facts):  # noqa: F811
    """An exam that was begun; its public id."""
    started = exams.start(
        cast.database, member=member, scheme_id="six", tools=tools(cast, **facts), now=now, trial=trial
    )
    assert started.refused == (), started
    return started.public_id


def paper_of(cast, exam):  # noqa: F811
    return exams.paper_of(sitting_of(cast, exam))


def trials_of(cast, exam):  # noqa: F811
    return [slot.question for slot in paper_of(cast, exam).form.slots if slot.pilot]


def answer(cast, member, exam, wrong=(), empty=()):  # noqa: F811
    """Everything right but these."""
    paper = paper_of(cast, exam)
    for slot in paper.form.slots:
        instance = instance_of(paper, slot, bank_with_kept(cast.database).find, SECRET)
        typed = RIGHT.get(slot.question) or right_answer(instance)
        if slot.question in wrong:
            typed = WRONG.get(slot.question, "cable" if instance.question.kind == "choice" else "1 in")
        if slot.question not in empty:
            assert say(cast, member, exam, slot.number, typed).accepted


def hand_in(cast, member, exam, bank=None, now=MONDAY):  # noqa: F811
    made, later = tools(cast, bank), now + timedelta(minutes=5)
    assert exams.submit(cast.database, member=member, public_id=exam, tools=made, now=later).closed
    return sitting_of(cast, exam)


@pytest.mark.parametrize("name", [SENDER, LENGTH, LOCK])
def test_a_wrong_answer_on_trial_leaves_the_full_score(cast, ana, name):  # noqa: F811
    put_on_trial(cast, name)
    exam = begin(cast, ana)
    assert trials_of(cast, exam) == [name]
    # 10 minutes for six items that count, and two for one more.
    assert sitting_of(cast, exam).deadline == MONDAY + timedelta(minutes=12)
    answer(cast, ana, exam, wrong=[name])
    closed = hand_in(cast, ana, exam)
    assert (closed.right, closed.passed) == (6, True)
    result = read_result(json.loads(closed.result))
    assert (result.items, result.cut, [area.items for area in result.areas]) == (6, 6, [4, 2])
    assert replay(cast.database, public_id=exam, tools=tools(cast)).agrees
    check_log(cast)
    # Its key is kept with the others, and its slot says what it is: so it can be studied, and nothing else.
    [number] = [slot.number for slot in paper_of(cast, exam).form.slots if slot.pilot]
    with cast.database.reading() as db:
        sheet = json.loads(db.scalar(select(ExamKeySheet.sheet)))
        form = json.loads(db.scalar(select(Exam.form)))
    assert len(sheet) == 7 and sheet[str(number)]["kind"] == ("number" if name == LENGTH else "choice")
    assert [slot["number"] for slot in form["slots"] if slot.get("pilot")] == [number]


def test_left_empty_it_is_not_missed(cast, ana):  # noqa: F811
    put_on_trial(cast, LOCK)
    exam = begin(cast, ana)
    answer(cast, ana, exam, empty=[LOCK])
    closed = hand_in(cast, ana, exam)
    result = read_result(json.loads(closed.result))
    assert closed.passed and (result.not_reached, result.critical_missed) == ((), ())


def test_one_that_is_withdrawn_meanwhile_changes_nothing(cast, ana):  # noqa: F811
    put_on_trial(cast, SENDER)
    exam = begin(cast, ana)
    take(cast, SENDER, "retired", cast.mia)
    answer(cast, ana, exam, wrong=[SENDER])
    assert hand_in(cast, ana, exam).passed
    assert replay(cast.database, public_id=exam, tools=tools(cast)).agrees


def test_one_whose_text_is_gone_leaves_the_result_decided(cast, ana):  # noqa: F811
    """A bank without what a site wrote finds no text for it: a question that counts would make the exam void."""
    put_on_trial(cast, LENGTH)
    exam = begin(cast, ana)
    answer(cast, ana, exam, wrong=[LENGTH])
    closed = hand_in(cast, ana, exam, six_kinds())
    assert closed.passed and not is_void(closed)
    [number] = [slot.number for slot in paper_of(cast, exam).form.slots if slot.pilot]
    with cast.database.reading() as db:
        sheet = json.loads(db.scalar(select(ExamKeySheet.sheet)))
    assert sheet[str(number)] == {"kind": "changed"}
    assert replay(cast.database, public_id=exam, tools=tools(cast, six_kinds())).agrees


def test_who_had_a_hand_in_it_is_not_asked_it(cast, ana):  # noqa: F811
    put_on_trial(cast, SENDER)
    for hand in (cast.tom, cast.mia):
        assert trials_of(cast, begin(cast, who(cast, hand))) == []
    assert trials_of(cast, begin(cast, who(cast, cast.rosa))) == [SENDER]
    assert trials_of(cast, begin(cast, who(cast, cast.otto))) == []  # another site's people neither


def test_who_gave_an_earlier_version_back_had_a_hand_in_it(cast):  # noqa: F811
    put_on_trial(cast, SENDER, steps=("submitted",))
    take(cast, SENDER, "returned", cast.rosa)
    take(cast, SENDER, "submitted", cast.tom)
    take(cast, SENDER, "reviewed", cast.mia)
    assert trials_of(cast, begin(cast, who(cast, cast.rosa))) == []


def test_nobody_has_one_twice(cast, ana):  # noqa: F811
    put_on_trial(cast, SENDER)
    for number, expected in enumerate(([SENDER], [], [])):
        now = MONDAY + timedelta(days=2 * number)
        exam = begin(cast, ana, now)
        assert trials_of(cast, exam) == expected
        hand_in(cast, ana, exam, now=now)


def test_those_asked_least_come_first(cast):  # noqa: F811
    for name in (SENDER, LENGTH, LOCK):
        put_on_trial(cast, name)
    asked = []
    for number in range(6):
        person = make_person(cast.database, cast.site, f"Sam{number} Learner")
        asked += trials_of(cast, begin(cast, who(cast, person)))
    assert sorted(asked[:3]) == sorted(asked[3:]) == sorted((SENDER, LENGTH, LOCK))
    with cast.database.reading() as db:
        found = on_trial(db, cast.site, "nobody")
    assert [(one.question.id, one.asked) for one in found] == [(LENGTH, 2), (SENDER, 2), (LOCK, 2)]


@pytest.mark.parametrize("facts", [{"trial_places": 0}, {"trial": False}])
def test_none_without_a_place_or_without_a_word_before(cast, ana, facts):  # noqa: F811
    put_on_trial(cast, SENDER)
    exam = begin(cast, ana, **facts)
    assert trials_of(cast, exam) == []
    assert sitting_of(cast, exam).deadline == MONDAY + timedelta(minutes=10)


@pytest.mark.parametrize("steps", [(), ("submitted",), ("submitted", "reviewed", "published")])
def test_only_what_is_on_trial_is_asked_so(cast, ana, steps):  # noqa: F811
    put_on_trial(cast, SENDER, steps=steps)
    assert trials_of(cast, begin(cast, ana)) == []


def test_a_site_without_any_keeps_the_same_form(cast, ana):  # noqa: F811
    """As canonical JSON: nothing of questions on trial stands in it."""
    exam = begin(cast, ana)
    form = sitting_of(cast, exam).form
    assert "pilot" not in form and rfc8785.dumps(json.loads(form)).decode() == form
    assert json.loads(form)["minutes"] == 10


def test_neither_overlap_nor_marks_look_at_it(cast, ana):  # noqa: F811
    """Both numbers are answered right at once: the one that counts is marked as too fast, the other is let be."""
    put_on_trial(cast, LENGTH)
    exam = begin(cast, ana)
    answer(cast, ana, exam)
    hand_in(cast, ana, exam)
    with cast.database.reading() as db:
        [form] = recent_forms(db, cast.site, "six", 50)
    assert form == set(six_kinds().by_id)
    [counts] = [slot.number for slot in paper_of(cast, exam).form.slots if slot.question == "eyes.length"]
    assert marks_now(cast.database, exam, tools(cast)).fast == (counts,)
