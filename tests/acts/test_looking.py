"""A closed exam is looked at once, in words that decide nothing; whoever copies numbers is found. On both databases."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.acts.test_exams import SECRET, check_log, entries, make_tools, who
from tests.cast import MONDAY, make_cast
from tests.exams.sittings import make_scheme
from tests.six_kinds import NUMBER, make_bank
from trainer.acts import exams
from trainer.acts.looking import look_over
from trainer.exams.paper import instance_of
from trainer.exams.scheme import Area, Text
from trainer.language.rendering import right_answer
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import sitting as queries
from trainer.records.tables import SiteSheetVersion

NAMES = ("one", "two", "three", "four")
BANK = make_bank([NUMBER.format(name=name, skill=name) for name in NAMES])
SCHEME = make_scheme(
    id="six", areas=(Area("eyes", Text("Eyes", "Fotoceldas"), tuple(f"eyes.{n}" for n in NAMES), 4),), cut=4
)
TOOLS = replace(make_tools(BANK), schemes={"six": SCHEME})
LATER = MONDAY + timedelta(hours=1)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    with made.database.writing() as db:
        db.add(SiteSheetVersion(site_id=made.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield made
    made.database.dispose()


def instances(cast, exam):
    """By question, what an exam asked."""
    with cast.database.reading() as db:
        paper = exams.paper_of(exam_queries.sitting(db, exam))
    return {
        slot.question: (slot.number, instance_of(paper, slot, BANK.find, SECRET)) for slot in paper.form.slots
    }


def sit(cast, person, keys=None):
    """Sit an exam with one's own right answers, or with these by question."""
    member = who(cast, person)
    exam = exams.start(cast.database, member=member, scheme_id="six", tools=TOOLS, now=MONDAY).public_id
    at = MONDAY
    for question, (number, instance) in instances(cast, exam).items():
        at += timedelta(minutes=1)
        text = (keys or {}).get(question) or right_answer(instance)
        exams.answer(
            cast.database,
            member=member,
            public_id=exam,
            slot=number,
            revision=1,
            text=text,
            language="en",
            now=at,
        )
    exams.submit(cast.database, member=member, public_id=exam, tools=TOOLS, now=at)
    return exam


def test_who_copies_the_numbers_of_a_co_worker_is_found_and_nobody_fails_by_it(cast):
    honest = sit(cast, cast.tom)
    keys = {question: right_answer(one) for question, (_, one) in instances(cast, honest).items()}
    copied = sit(cast, cast.ana, keys)
    with cast.database.reading() as db:
        before = exam_queries.sitting(db, copied)
    assert look_over(cast.database, TOOLS, MONDAY) == [], "not before the load of the end has passed"
    assert look_over(cast.database, TOOLS, LATER) == [copied]
    assert look_over(cast.database, TOOLS, LATER) == [], "once"
    with cast.database.reading() as db:
        [look] = queries.looks(db, cast.site, MONDAY)
        assert (look.exam, look.person, look.keys >= 2, look.fast) == (copied, "Ana Ruiz", True, 0)
        assert queries.look_of(db, exam_queries.sitting(db, honest).id).flagged is False
        assert exam_queries.sitting(db, copied) == before, "marks decide nothing"
        assert queries.looks(db, cast.other_site, MONDAY) == []
    assert {entry["facts"]["flagged"] for entry in entries(cast, "exam.looked_at")} == {True, False}
    check_log(cast)
