"""Who confirms who sits and where, the clock that stands, extra time: every act on both databases, with its log."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select

from tests.acts.test_exams import (
    END,
    begin,
    check_log,
    count,
    entries,
    keys,
    say,
    sitting_of,
    tools,
    who,
)
from tests.cast import MONDAY, PASSWORD, PIN, make_cast
from trainer.access.refusal import Refused
from trainer.acts import exams, invigilating
from trainer.exams.scheme import Tries
from trainer.records.queries import sitting as queries
from trainer.records.tables import Drill, ExamPause, SiteSheetVersion

HERE, THERE = "a" * 64, "b" * 64
WHY = "The office network went down."


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


@pytest.fixture
def tom(cast):
    return who(cast, cast.tom)


def ask(cast, member, place=HERE, kind="start", exam=None, now=MONDAY):
    return invigilating.ask(
        cast.database, member=member, scheme_id="six", kind=kind, place=place, exam=exam, now=now
    )


def admit(cast, by, request, attested=True, now=MONDAY):
    return invigilating.admit(cast.database, by=by, request=request, attested=attested, now=now)


def start(cast, member, place=HERE, now=MONDAY):
    return exams.start(
        cast.database, member=member, scheme_id="six", tools=tools(invigilated=True), now=now, place=place
    )


def answer(cast, member, exam, place, revision=1, now=MONDAY):
    return exams.answer(
        cast.database, member=member, public_id=exam, slot=1, revision=revision, text="x", language="en", now=now,
        place=place,
    )  # fmt: skip


def test_nobody_starts_before_an_invigilator_confirmed_them_there(cast, ana, tom):
    assert start(cast, ana).refused == ("exam.not_admitted",)
    request = ask(cast, ana)
    assert ask(cast, ana) == request, "asking twice is one request"
    assert start(cast, ana).refused == ("exam.not_admitted",)
    assert admit(cast, tom, request, attested=False).reasons == ("invigilator.not_attested",)
    assert admit(cast, tom, request).person == "Ana Ruiz"
    assert start(cast, ana, THERE).refused == ("exam.admitted_elsewhere",)
    started = start(cast, ana)
    assert sitting_of(cast, started.public_id).place == HERE
    with cast.database.reading() as db:
        assert queries.invigilators(db, sitting_of(cast, started.public_id).id) == [cast.tom]
    said = entries(cast)
    # The first exam of a scheme's version freezes it.
    assert [one["kind"] for one in said] == ["exam.asked", "exam.admitted", "scheme.frozen", "exam.started"]
    assert (said[1]["by"], said[1]["about"]) == (tom.public_id, ana.public_id)
    assert said[3]["facts"]["request"] == request
    check_log(cast)


def test_a_confirmation_lapses_and_is_good_for_one_start(cast, ana, tom):
    request = ask(cast, ana)
    admit(cast, tom, request)
    assert start(cast, ana, now=MONDAY + timedelta(minutes=15)).refused == ("exam.not_admitted",)
    again = ask(cast, ana, now=MONDAY + timedelta(minutes=15))
    assert again != request
    admit(cast, tom, again, now=MONDAY + timedelta(minutes=16))
    exam = start(cast, ana, now=MONDAY + timedelta(minutes=30)).public_id
    late = MONDAY + timedelta(days=3)
    exams.close_overdue(cast.database, tools(), late)
    assert sitting_of(cast, exam).ended_at is not None
    assert start(cast, ana, now=late).refused == ("exam.not_admitted",)


def test_only_somebody_else_who_trains_or_manages_here_confirms(cast, ana, tom):
    request = ask(cast, ana)
    for person, reason in (
        (cast.ana, ("invigilator.role", "invigilator.own")),
        (cast.otto, ("invigilator.not_waiting",)),
        (cast.lee, ("invigilator.role",)),
    ):
        assert admit(cast, who(cast, person), request).reasons == reason
    own = ask(cast, tom)
    assert admit(cast, tom, own).reasons == ("invigilator.own",)
    assert invigilating.turn_away(cast.database, by=tom, request=request, now=MONDAY).public_id == request
    assert admit(cast, tom, request).reasons == ("invigilator.not_waiting",)
    assert start(cast, ana).refused == ("exam.not_admitted",)


def take_over(cast, member, exam, secret=PASSWORD, by_pin=False, watched=False):
    proof = invigilating.Proof(secret, "192.0.2.7", by_pin)
    return invigilating.take_over(
        cast.database, member=member, exam=exam, place=THERE, watched=watched, proof=proof, now=MONDAY
    )


def test_an_exam_lives_in_one_place_and_moves_with_the_invigilator(cast, ana, tom):
    admit(cast, tom, ask(cast, ana))
    exam = start(cast, ana).public_id
    assert answer(cast, ana, exam, HERE).accepted
    assert answer(cast, ana, exam, THERE, 2).reasons == ("exam.elsewhere",)
    assert answer(cast, ana, exam, THERE).repeated, "what stands is acknowledged anywhere"
    assert take_over(cast, ana, exam, watched=True) == Refused(("exam.ask_to_move",))
    admit(cast, tom, ask(cast, ana, THERE, "move", exam))
    assert answer(cast, ana, exam, THERE, 2).accepted
    assert answer(cast, ana, exam, HERE, 3).reasons == ("exam.elsewhere",)
    handed = exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY, place=HERE)
    assert handed.refused == ("exam.elsewhere",)
    assert exams.submit(
        cast.database, member=ana, public_id=exam, tools=tools(), now=MONDAY, place=THERE
    ).closed
    check_log(cast)


def test_a_request_to_move_an_exam_that_has_ended_is_not_taken_for_the_next_one(cast, ana, tom):
    facts = {"invigilated": True, "tries": Tries(3, 90, 0)}
    moved = []
    for at in (MONDAY, MONDAY + timedelta(minutes=5)):
        admit(cast, tom, ask(cast, ana, now=at), now=at)
        exam = exams.start(
            cast.database, member=ana, scheme_id="six", tools=tools(**facts), now=at, place=HERE
        ).public_id
        moved.append(ask(cast, ana, THERE, "move", exam, now=at))
        if len(moved) == 1:
            exams.submit(cast.database, member=ana, public_id=exam, tools=tools(**facts), now=at, place=HERE)
    assert len(set(moved)) == 2
    admit(cast, tom, moved[1], now=at)
    assert sitting_of(cast, exam).place == THERE


def test_without_an_invigilator_the_person_takes_their_exam_along(cast, ana, tom):
    exam = exams.start(
        cast.database, member=ana, scheme_id="six", tools=tools(), now=MONDAY, place=HERE
    ).public_id
    assert take_over(cast, ana, exam, "wrong") == Refused(("exam.wrong_secret",))
    assert answer(cast, ana, exam, THERE).reasons == ("exam.elsewhere",)
    assert take_over(cast, tom, exam) == Refused(("exam.unknown",))
    assert take_over(cast, ana, exam) == exam
    assert take_over(cast, ana, exam, PIN, by_pin=True) == exam
    assert answer(cast, ana, exam, THERE).accepted
    assert [one["kind"] for one in entries(cast)][-2] == "exam.moved"


def test_a_clock_that_stands_takes_nothing_and_moves_the_deadline(cast, ana, tom):
    exam = begin(cast, ana)
    assert invigilating.pause(cast.database, by=tom, exam=exam, reason=" ", now=MONDAY).reasons == (
        "pause.no_reason",
    )
    at = MONDAY + timedelta(minutes=9)
    invigilating.pause(cast.database, by=tom, exam=exam, reason=WHY, now=at)
    assert say(cast, ana, exam, 1, "a", now=at).reasons == ("exam.paused",)
    assert exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=at).refused == (
        "exam.paused",
    )
    later = at + timedelta(minutes=30)
    assert exams.close_overdue(cast.database, tools(), later) == []
    invigilating.resume(cast.database, by=tom, exam=exam, now=later)
    assert sitting_of(cast, exam).deadline == END + timedelta(minutes=30)
    assert say(cast, ana, exam, 1, "a", now=later + timedelta(seconds=59)).accepted
    assert invigilating.resume(cast.database, by=tom, exam=exam, now=later).reasons == ("pause.not_paused",)
    assert exams.close_overdue(cast.database, tools(), END + timedelta(minutes=30)) == [exam]
    assert WHY not in json.dumps(entries(cast)), "the log holds no free text"
    check_log(cast)


def test_a_deadline_with_extra_time_and_a_pause_across_a_change_of_clocks(cast, ana, tom):
    """Start 06:30 UTC, 30 minutes times 1.5, 95 s given back: 07:16:35 UTC. Reckoned by hand; Chicago's clocks go from
    02:00 to 03:00 at 08:00 UTC that day (US, second Sunday of March), so the site's own clock plays no part."""
    start = datetime(2026, 3, 8, 6, 30, tzinfo=UTC)
    allow(cast, who(cast, cast.mia), ana, "3/2")
    exam = begin(cast, ana, now=start, minutes=30)
    invigilating.pause(cast.database, by=tom, exam=exam, reason=WHY, now=start + timedelta(minutes=20))
    invigilating.resume(cast.database, by=tom, exam=exam, now=start + timedelta(minutes=20, seconds=95))
    end = datetime(2026, 3, 8, 7, 16, 35, tzinfo=UTC)
    assert sitting_of(cast, exam).deadline == end
    assert exams.close_overdue(cast.database, tools(minutes=30), end - timedelta(microseconds=1)) == []
    assert exams.close_overdue(cast.database, tools(minutes=30), end) == [exam]


def test_a_clock_that_nobody_starts_again_starts_by_itself(cast, ana, tom):
    exam = begin(cast, ana)
    invigilating.pause(cast.database, by=tom, exam=exam, reason=WHY, now=MONDAY + timedelta(minutes=4))
    on = MONDAY + timedelta(hours=4, minutes=4)
    assert say(cast, ana, exam, 1, "a", now=on).accepted
    assert exams.close_overdue(cast.database, tools(), END + timedelta(hours=4, seconds=-1)) == []
    assert exams.close_overdue(cast.database, tools(), END + timedelta(hours=4)) == [exam]
    assert sitting_of(cast, exam).ended_at == END + timedelta(hours=4)


def test_a_second_pause_counts_beside_the_first(cast, ana, tom):
    exam = begin(cast, ana)
    minute = timedelta(minutes=1)
    for at in (1, 5):
        invigilating.pause(cast.database, by=tom, exam=exam, reason=WHY, now=MONDAY + at * minute)
        invigilating.resume(cast.database, by=tom, exam=exam, now=MONDAY + (at + 2) * minute)
    assert sitting_of(cast, exam).deadline == END + 4 * minute
    with cast.database.reading() as db:
        assert [one.credit_seconds for one in queries.pauses(db, sitting_of(cast, exam).id)] == [120, 120]


def test_time_lost_is_given_back_with_a_reason(cast, ana, tom):
    exam = begin(cast, ana)
    two = timedelta(minutes=2)
    done = invigilating.give_back(cast.database, by=tom, exam=exam, much=two, reason=WHY, now=MONDAY)
    assert done.public_id == exam
    assert sitting_of(cast, exam).deadline == END + two
    refused = invigilating.give_back(
        cast.database, by=ana, exam=exam, much=timedelta(hours=3), reason="", now=MONDAY
    )
    assert refused.reasons == (
        "invigilator.role", "invigilator.own", "pause.no_reason", "pause.too_much",
    )  # fmt: skip
    assert count(cast, ExamPause) == 1
    assert entries(cast, "exam.time_given_back")[0]["facts"]["seconds"] == 120


def allow(cast, by, person, extra, reason="Reads slowly."):
    return invigilating.allow(cast.database, by=by, person=person, extra=extra, reason=reason, now=MONDAY)


@pytest.mark.parametrize(("extra", "minutes"), [("5/4", 12.5), ("3/2", 15), ("2", 20), ("none", 24 * 60)])
def test_extra_time_moves_the_deadline_exactly_and_shows_nowhere_else(cast, ana, extra, minutes):
    allow(cast, who(cast, cast.mia), ana, extra)
    exam = begin(cast, ana)
    end = MONDAY + timedelta(minutes=minutes)
    assert sitting_of(cast, exam).deadline == end
    for slot, typed in keys(cast, exam).items():
        say(cast, ana, exam, slot, typed, now=end - timedelta(microseconds=1))
    assert exams.close_overdue(cast.database, tools(), end) == [exam]
    closed = sitting_of(cast, exam)
    assert (closed.passed, closed.allowance) == (True, extra)
    for hidden in (extra if extra == "none" else f'"{extra}"', "allow", "Reads"):
        assert hidden not in closed.result
        assert hidden not in json.dumps(entries(cast, "exam.started") + entries(cast, "exam.closed"))
    assert "Reads" not in json.dumps(entries(cast))


def test_only_another_manager_approves_extra_time_and_it_can_be_ended(cast, ana, tom):
    mia = who(cast, cast.mia)
    assert allow(cast, tom, ana, "2").reasons == ("allowance.role",)
    assert allow(cast, mia, mia, "7", "").reasons == (
        "allowance.own", "allowance.unknown", "allowance.no_reason",
    )  # fmt: skip
    assert allow(cast, who(cast, cast.otto), ana, "2").reasons == ("allowance.not_here",)
    allow(cast, mia, ana, "2")
    allow(cast, mia, ana, "3/2")
    exam = begin(cast, ana)
    assert invigilating.end_allowance(cast.database, by=mia, person=ana, now=MONDAY)
    assert invigilating.end_allowance(cast.database, by=mia, person=ana, now=MONDAY).reasons == (
        "allowance.none",
    )
    assert sitting_of(cast, exam).deadline == MONDAY + timedelta(minutes=15)
    with cast.database.reading() as db:
        assert [one.factor for one in queries.allowances(db, cast.ana)] == ["3/2", "2"]
        assert queries.allowance_in_force(db, cast.ana) is None


def test_after_a_fail_the_areas_missed_are_practised_again_first(cast, ana):
    facts = {"tries": Tries(3, 90, 24, practise_again=2), "cut": 6}
    exam = begin(cast, ana, **facts)
    for slot, typed in keys(cast, exam).items():
        if slot > 1:
            say(cast, ana, exam, slot, typed)
    with_again = tools(**facts)
    exams.submit(cast.database, member=ana, public_id=exam, tools=with_again, now=MONDAY)
    assert sitting_of(cast, exam).passed is False
    failed = exams.paper_of(sitting_of(cast, exam)).form
    missed = {slot.skill for slot in failed.slots if slot.area == failed.slots[0].area}
    waited = MONDAY + timedelta(hours=24)

    def again():
        return exams.start(cast.database, member=ana, scheme_id="six", tools=with_again, now=waited)

    assert again().refused == ("exam.practise_again",)
    for skill in missed:
        drill(cast, ana, skill, MONDAY - timedelta(hours=1))  # before the fail
        drill(cast, ana, skill, waited, support="worked")
        drill(cast, ana, skill, waited, right=False)
        drill(cast, ana, skill, waited)
    assert again().refused == ("exam.practise_again",)
    for skill in missed:
        drill(cast, ana, skill, waited)
    assert again().refused == ()


def drill(cast, member, skill, at, support="alone", right=True):
    with cast.database.writing() as db:
        number = len(db.scalars(select(Drill.id)).all())
        db.add(
            Drill(
                public_id=f"drill-{number}", person_id=member.id, skill=skill, question="q", version=1,
                fingerprint="f", sheet_version=1, system="us", support=support, shown_at=at, answered_at=at,
                answer="1", verdict="right", right=right,
            )
        )  # fmt: skip
