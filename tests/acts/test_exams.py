"""Sitting an exam: every act on both databases, with its log, its repeats and its refusals."""

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import func, select, text

from tests.cast import MONDAY, make_cast
from tests.six_kinds import CHOICE, NUMBER, RIGHT, SITE, WRONG, make_bank, six_kinds, six_scheme
from trainer.acts import exams
from trainer.acts.exam_replay import replay
from trainer.acts.sentences import SENTENCES
from trainer.exams.paper import instance_of
from trainer.exams.scoring import read_result
from trainer.language.rendering import right_answer
from trainer.records import log
from trainer.records.queries import exams as queries
from trainer.records.queries import people
from trainer.records.tables import Exam, ExamAnswer, LogEntry, SiteSheetVersion

SECRET = bytes(range(32))
END = MONDAY + timedelta(minutes=10)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    with made.database.writing() as db:
        for site in (made.site, made.other_site):
            db.add(SiteSheetVersion(site_id=site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield made
    made.database.dispose()


@pytest.fixture
def ana(cast):
    return who(cast, cast.ana)


def who(cast, person):
    with cast.database.reading() as db:
        return people.member(db, person)


def no_sheet(site, version):
    raise AssertionError("an exam without benches asks for no sheet")


def make_tools(bank=None, **facts):
    return exams.ExamTools(
        bank or six_kinds(), {"six": six_scheme(**facts)}, SECRET, lambda site, version: SITE, no_sheet
    )


def tools(**facts):
    return make_tools(**facts)


def begin(cast, member, now=MONDAY, **facts):
    started = exams.start(cast.database, member=member, scheme_id="six", tools=tools(**facts), now=now)
    assert started.refused == ()
    return started.public_id


def say(cast, member, exam, slot, typed, revision=1, now=MONDAY, language="en"):
    words = {"text": typed, "language": language}
    return exams.answer(
        cast.database, member=member, public_id=exam, slot=slot, revision=revision, now=now, **words
    )


def sitting_of(cast, exam):
    with cast.database.reading() as db:
        return queries.sitting(db, exam)


def keys(cast, exam):
    """A right answer for every slot."""
    paper = exams.paper_of(sitting_of(cast, exam))
    return {
        slot.number: RIGHT.get(slot.question)
        or right_answer(instance_of(paper, slot, six_kinds().find, SECRET))
        for slot in paper.form.slots
    }


def slot_of(cast, exam, question):
    paper = exams.paper_of(sitting_of(cast, exam))
    return next(slot.number for slot in paper.form.slots if slot.question == question)


def entries(cast, kind=None):
    with cast.database.reading() as db:
        rows = db.scalars(select(LogEntry).order_by(LogEntry.seq)).all()
        return [json.loads(row.record) for row in rows if kind in (None, row.kind)]


def check_log(cast):
    with cast.database.reading() as db:
        report = log.verify(db)
    assert report.flaws == ()
    for entry in entries(cast):
        for language in ("en", "es"):
            assert "{" not in SENTENCES[f"log.{entry['kind']}"].say(language, **entry["facts"])


def count(cast, table=ExamAnswer):
    with cast.database.reading() as db:
        return db.scalar(select(func.count()).select_from(table))


def test_an_exam_is_started_answered_submitted_and_passed(cast, ana):
    exam = begin(cast, ana)
    sitting = sitting_of(cast, exam)
    assert (sitting.deadline, sitting.scheme, sitting.system) == (END, "six", "us")
    for slot, typed in keys(cast, exam).items():
        assert say(cast, ana, exam, slot, typed).accepted
    later = MONDAY + timedelta(minutes=5)
    assert exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=later).closed
    closed = sitting_of(cast, exam)
    assert (closed.right, closed.passed, closed.closed_by, closed.ended_at) == (6, True, "person", later)
    # Twelve calendar months on the site's clock (America/Chicago); both days are on standard time.
    assert closed.valid_until == later.replace(year=2027)
    assert [entry["kind"] for entry in entries(cast)] == [
        "scheme.frozen",
        "exam.started",
        *["exam.answered"] * 6,
        "exam.closed",
    ]
    assert replay(cast.database, public_id=exam, tools=tools()).agrees
    check_log(cast)


def test_one_critical_miss_fails_whatever_the_total(cast, ana):
    exam = begin(cast, ana)
    for slot, typed in keys(cast, exam).items():
        say(cast, ana, exam, slot, typed)
    say(cast, ana, exam, slot_of(cast, exam, "lockout.order"), WRONG["lockout.order"], revision=2)
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    closed = sitting_of(cast, exam)
    assert (closed.right, closed.passed, closed.valid_until) == (5, False, None)
    assert read_result(json.loads(closed.result)).critical_missed == ("lockout.order",)


def test_the_log_holds_every_revision_as_typed(cast, ana):
    exam = begin(cast, ana)
    slot = slot_of(cast, exam, "eyes.length")
    for revision, typed in enumerate(["4.20", "4.2", "16' 4\""], 1):
        say(cast, ana, exam, slot, typed, revision, language="es")
    facts = [entry["facts"] for entry in entries(cast, "exam.answered")]
    assert [(one["slot"], one["revision"], one["answer"], one["typed_in"]) for one in facts] == [
        (slot, 1, "4.20", "es"), (slot, 2, "4.2", "es"), (slot, 3, "16' 4\"", "es"),
    ]  # fmt: skip
    # SHA-256 of the text "4.20", by sha256sum(1).
    assert facts[0]["sha256"] == "a767288f7354d045d9efd0a0a89fa297b4aef91d4c54f3b4c0de10173ee1e5fc"
    assert "Ana" not in json.dumps(entries(cast))


def test_the_highest_revision_counts_not_the_last_arrival(cast, ana):
    exam = begin(cast, ana)
    slot = slot_of(cast, exam, "eyes.choice")
    assert say(cast, ana, exam, slot, RIGHT["eyes.choice"], revision=3).accepted
    assert say(cast, ana, exam, slot, WRONG["eyes.choice"], revision=2).accepted
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    assert sitting_of(cast, exam).right == 1


def test_a_repeat_writes_nothing_and_another_text_is_refused(cast, ana):
    exam = begin(cast, ana)
    assert say(cast, ana, exam, 1, "a") == exams.Receipt(True)
    assert say(cast, ana, exam, 1, "a") == exams.Receipt(True, repeated=True)
    assert say(cast, ana, exam, 1, "b").reasons == ("exam.revision_taken",)
    assert (count(cast), len(entries(cast, "exam.answered"))) == (1, 1)


def test_a_comma_is_read_in_the_language_it_was_typed_in(cast, ana):
    exam = begin(cast, ana)
    number = slot_of(cast, exam, "eyes.length")
    typed = keys(cast, exam)[number]
    paper = exams.paper_of(sitting_of(cast, exam))
    values = instance_of(paper, paper.slot(number), six_kinds().find, SECRET).values
    feet = values["pulses"] / values["rate"]
    assert typed
    say(cast, ana, exam, number, f"{feet:.3f}".replace(".", ","), language="es")
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    assert sitting_of(cast, exam).right == 1


def test_nobody_answers_or_submits_for_somebody_else(cast, ana):
    exam = begin(cast, ana)
    for person in (cast.tom, cast.otto):
        other = who(cast, person)
        assert say(cast, other, exam, 1, "x").reasons == ("exam.not_yours",)
        done = exams.submit(cast.database, member=other, public_id=exam, tools=tools(), now=MONDAY)
        assert done.refused == ("exam.not_yours",)
    assert sitting_of(cast, exam).ended_at is None
    assert count(cast) == 0


@pytest.mark.parametrize(
    ("slot", "revision", "typed", "reason"),
    [
        (7, 1, "x", "exam.unknown_slot"),
        (10**30, 1, "x", "exam.unknown_slot"),
        (1, 10**30, "x", "exam.revision_unknown"),
        (1, 1, "x\0", "exam.answer_not_text"),
        (1, 1, "x" * 3000, "exam.answer_too_long"),
    ],
)
def test_what_cannot_be_kept_is_refused(cast, ana, slot, revision, typed, reason):
    exam = begin(cast, ana)
    assert say(cast, ana, exam, slot, typed, revision).reasons == (reason,)
    assert count(cast) == 0


def test_there_is_no_exam_by_a_wrong_name(cast, ana):
    assert say(cast, ana, "nothing", 1, "x").reasons == ("exam.unknown",)
    assert exams.submit(
        cast.database, member=ana, public_id="nothing", tools=tools(), now=MONDAY
    ).refused == ("exam.unknown",)
    started = exams.start(cast.database, member=ana, scheme_id="nothing", tools=tools(), now=MONDAY)
    assert started.refused == ("exam.unknown_scheme",)


def test_late_is_late_and_the_sweeper_closes_without_a_browser(cast, ana):
    exam = begin(cast, ana)
    slot = slot_of(cast, exam, "eyes.choice")
    say(cast, ana, exam, slot, "emitter", now=END - timedelta(microseconds=1))
    assert say(cast, ana, exam, slot, "cable", 2, now=END).reasons == ("exam.late",)
    assert exams.close_overdue(cast.database, tools(), END - timedelta(microseconds=1)) == []
    assert exams.close_overdue(cast.database, tools(), END + timedelta(hours=3)) == [exam]
    assert exams.close_overdue(cast.database, tools(), END + timedelta(hours=4)) == []
    closed = sitting_of(cast, exam)
    assert (closed.closed_by, closed.ended_at, closed.right, closed.passed) == ("deadline", END, 1, False)
    assert [entry["by"] for entry in entries(cast, "exam.closed")] == ["system"]
    # An acknowledgement that got lost can still be had; nothing new can.
    assert say(cast, ana, exam, slot, "emitter", now=END + timedelta(hours=5)).repeated
    assert say(cast, ana, exam, slot, "cable", 2, now=END + timedelta(hours=5)).reasons == ("exam.closed",)


def test_submitting_after_the_end_closes_as_of_the_deadline(cast, ana):
    exam = begin(cast, ana)
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=END + timedelta(seconds=3))
    closed = sitting_of(cast, exam)
    assert (closed.closed_by, closed.ended_at) == ("deadline", END)


def test_submitting_twice_changes_nothing(cast, ana):
    exam = begin(cast, ana)
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    first = sitting_of(cast, exam)
    done = exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY + timedelta(1))
    assert done.closed
    assert sitting_of(cast, exam) == first
    assert len(entries(cast, "exam.closed")) == 1


def test_two_sweepers_and_a_person_at_once_close_once(cast, ana):
    exam = begin(cast, ana)
    with ThreadPoolExecutor(6) as pool:
        sweeps = [pool.submit(exams.close_overdue, cast.database, tools(), END) for _ in range(4)]
        presses = [
            pool.submit(exams.submit, cast.database, member=ana, public_id=exam, tools=tools(), now=END)
            for _ in range(2)
        ]
        closed = [one for sweep in sweeps for one in sweep.result()]
        assert all(press.result().closed for press in presses)
    assert len(closed) <= 1
    assert len(entries(cast, "exam.closed")) == 1
    check_log(cast)


def test_the_same_answer_from_many_hands_at_once_is_kept_once(cast, ana):
    exam = begin(cast, ana)
    with ThreadPoolExecutor(8) as pool:
        receipts = list(pool.map(lambda n: say(cast, ana, exam, 1, f"text {n % 2}"), range(8)))
    assert sum(one.accepted and not one.repeated for one in receipts) == 1
    assert sum(one.repeated for one in receipts) == 3
    assert sum("exam.revision_taken" in one.reasons for one in receipts) == 4
    assert count(cast) == 1
    check_log(cast)


def test_two_starts_at_once_give_one_exam(cast, ana):
    with ThreadPoolExecutor(4) as pool:
        starts = list(
            pool.map(
                lambda _: exams.start(cast.database, member=ana, scheme_id="six", tools=tools(), now=MONDAY),
                range(4),
            )
        )
    assert sum(one.public_id is not None for one in starts) == 1
    assert [one.refused for one in starts if one.refused] == [("exam.one_open",)] * 3
    assert count(cast, Exam) == 1


def test_the_wait_is_told_with_its_end(cast, ana):
    exam = begin(cast, ana)
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    again = exams.start(cast.database, member=ana, scheme_id="six", tools=tools(), now=MONDAY)
    assert (again.refused, again.not_before) == (("exam.wait",), MONDAY + timedelta(hours=24))
    assert begin(cast, ana, now=MONDAY + timedelta(hours=24))


def test_skills_that_must_be_proven_first_stand_in_the_way(cast, ana):
    started = exams.start(
        cast.database, member=ana, scheme_id="six", tools=tools(mastery="critical"), now=MONDAY
    )
    assert started.refused == ("exam.skills_open",)


def test_a_site_without_a_sheet_cannot_examine(cast, ana):
    with cast.database.writing() as db:
        db.execute(text("DELETE FROM site_sheet_version"))
    started = exams.start(cast.database, member=ana, scheme_id="six", tools=tools(), now=MONDAY)
    assert started.refused == ("exam.no_sheet",)


def test_a_bank_without_enough_questions_is_refused(cast, ana):
    few = make_bank([CHOICE.format(name="choice", skill="choice")])
    few = replace(few, topics=six_kinds().topics)
    started = exams.start(cast.database, member=ana, scheme_id="six", tools=make_tools(few), now=MONDAY)
    assert started.refused == ("exam.too_few_questions",)


def test_a_question_that_the_site_cannot_draw_is_passed_over(cast, ana):
    needs_site = NUMBER.format(name="site", skill="length").replace(
        "  rate: {pick: [10, 11, 12, 13]}\n", ""
    ).replace("draw:", "site: [pulses_per_foot]\ndraw:").replace("rate * foot", "pulses_per_foot").replace(
        "{{ rate }}", "{{ pulses_per_foot }}"
    ).replace("pulses * rate / 144", "pulses * shown(pulses_per_foot) / 144")  # fmt: skip
    bank = make_bank([needs_site, NUMBER.format(name="length", skill="length")])
    both = replace(six_kinds(), by_id={**six_kinds().by_id, **bank.by_id})
    bare = replace(make_tools(both), sheet_values=lambda site, version: {})
    for day in range(0, 4, 2):
        started = exams.start(
            cast.database, member=ana, scheme_id="six", tools=bare, now=MONDAY + timedelta(days=day)
        )
        paper = exams.paper_of(sitting_of(cast, started.public_id))
        assert "eyes.site" not in {slot.question for slot in paper.form.slots}
        exams.submit(
            cast.database,
            member=ana,
            public_id=started.public_id,
            tools=bare,
            now=MONDAY + timedelta(days=day),
        )


def test_a_question_that_changed_under_an_exam_makes_it_void(cast, ana):
    exam = begin(cast, ana)
    for slot, typed in keys(cast, exam).items():
        say(cast, ana, exam, slot, typed)
    changed = make_bank([CHOICE.format(name="choice", skill="choice").replace("It sends.", "It shines.")])
    bank = replace(six_kinds(), by_id={**six_kinds().by_id, **changed.by_id})
    exams.submit(cast.database, member=ana, public_id=exam, tools=make_tools(bank), now=MONDAY)
    closed = sitting_of(cast, exam)
    assert (closed.right, closed.passed) == (5, None)
    assert begin(cast, ana)


def test_replay_sees_what_was_altered_afterwards(cast, ana):
    exam = begin(cast, ana)
    slot = slot_of(cast, exam, "eyes.choice")
    say(cast, ana, exam, slot, "cable")
    exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY)
    assert replay(cast.database, public_id=exam, tools=tools()).agrees
    with cast.database.writing() as db:
        db.execute(text("UPDATE exam_answer SET answer = 'emitter'"))
    assert replay(cast.database, public_id=exam, tools=tools()).differs == (
        "exam.replay_result", "exam.replay_passed", "exam.replay_answers",
    )  # fmt: skip
    with cast.database.writing() as db:
        db.execute(text("UPDATE exam_answer SET answer = 'cable'"))
        db.execute(text("UPDATE exam SET passed = :yes"), {"yes": True})
    assert replay(cast.database, public_id=exam, tools=tools()).differs == ("exam.replay_passed",)


def test_replay_needs_a_closed_exam(cast, ana):
    exam = begin(cast, ana)
    with pytest.raises(LookupError, match="no closed exam"):
        replay(cast.database, public_id=exam, tools=tools())


def test_what_is_kept_draws_the_same_instances_again(cast, ana):
    exam = begin(cast, ana)
    first = exams.paper_of(sitting_of(cast, exam))
    number = slot_of(cast, exam, "eyes.length")
    twice = [instance_of(first, first.slot(number), six_kinds().find, SECRET) for _ in range(2)]
    assert twice[0] == twice[1]
