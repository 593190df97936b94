"""Practice as acts: a lesson read, a drill shown, answered once, with its standing and its log entry."""

from datetime import timedelta
from functools import cache

import pytest

from tests.cast import MONDAY, make_cast
from trainer.acts.learning import PracticeTools, answer_drill, instance_of, read_lesson, show_drill
from trainer.language.grading import answer_text
from trainer.language.loading import load_bank
from trainer.language.rendering import right_answer
from trainer.records import log
from trainer.records.queries import learning as queries
from trainer.records.queries import people
from trainer.records.tables import Drill
from trainer.sites import demo_sheet, site_values

SKILL = "measuring.length_from_pulses"
SECRET = bytes(range(32))


@cache
def bank():
    return load_bank()


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    yield made
    made.database.dispose()


@pytest.fixture
def tools():
    values = site_values(demo_sheet())
    return PracticeTools(bank(), SECRET, lambda version: values)


def member(cast, person):
    with cast.database.reading() as db:
        return people.member(db, person)


def shown(cast, tools, at=MONDAY, who=None):
    public_id = show_drill(
        cast.database,
        member=member(cast, who or cast.ana),
        skills=(SKILL,),
        lesson=None,
        sheet_version=1,
        tools=tools,
        now=at,
    )
    with cast.database.reading() as db:
        return queries.drill(db, public_id)


def answer(cast, tools, drill, typed, at=MONDAY, who=None):
    return answer_drill(
        cast.database,
        member=member(cast, who or cast.ana),
        public_id=drill.public_id,
        answer=typed,
        language="en",
        tools=tools,
        now=at,
    )


def right(cast, tools, drill):
    return answer_text(right_answer(instance_of(drill, member(cast, cast.ana), tools)))


def standing(cast):
    with cast.database.reading() as db:
        return queries.standings(db, cast.ana).get(SKILL)


def logged(cast):
    with cast.database.reading() as db:
        report = log.verify(db)
        assert report.flaws == ()
        return report.entries


def test_right_answers_alone_prove_the_skill_and_the_log_says_so_once(cast, tools):
    for i in range(5):
        at = MONDAY + timedelta(minutes=i)
        drill = shown(cast, tools, at)
        taken = answer(cast, tools, drill, right(cast, tools, drill), at)
        assert taken.counted and taken.verdict.right
    after = standing(cast)
    assert after.mastered_at is not None and after.answered == 5 and after.due_at > MONDAY
    assert logged(cast) == 1


def test_help_fades_from_drill_to_drill(cast, tools):
    seen = []
    for _ in range(3):
        drill = shown(cast, tools)
        seen.append(drill.support)
        answer(cast, tools, drill, right(cast, tools, drill))
    assert seen == ["worked", "last_step", "alone"]


def test_a_second_click_changes_nothing(cast, tools):
    drill = shown(cast, tools)
    first = answer(cast, tools, drill, right(cast, tools, drill))
    before = standing(cast)
    again = answer(cast, tools, drill, "1 ft")
    assert first.verdict == again.verdict and standing(cast) == before


def test_what_cannot_be_read_is_asked_again_and_not_counted(cast, tools):
    drill = shown(cast, tools)
    taken = answer(cast, tools, drill, "a long one")
    assert not taken.counted and taken.verdict.kind == "unreadable"
    assert standing(cast) is None


def test_a_slip_is_kept_with_its_name(cast, tools):
    drill = shown(cast, tools)
    values = instance_of(drill, member(cast, cast.ana), tools).values
    taken = answer(cast, tools, drill, f"{values['pulses'] * 12:.0f} ft")
    assert taken.verdict.kind == "slip"
    assert standing(cast).last_slip == taken.verdict.slip
    with cast.database.reading() as db:
        counts = queries.slips_since(db, cast.site, MONDAY - timedelta(days=1))
        latest = queries.latest_slips(db, cast.site, MONDAY - timedelta(days=1))
    assert [(one.person_id, one.slip, one.times) for one in counts] == [(cast.ana, taken.verdict.slip, 1)]
    assert latest[cast.ana, drill.question, taken.verdict.slip].public_id == drill.public_id


def test_nobody_answers_for_somebody_else(cast, tools):
    drill = shown(cast, tools)
    taken = answer(cast, tools, drill, "15 ft", who=cast.tom)
    assert taken.refused == ("drill.not_yours",) and standing(cast) is None
    assert answer(
        cast, tools, drill.__class__(**{**drill.__dict__, "public_id": "none"}), "1 ft"
    ).refused == ("drill.unknown",)


def test_a_question_that_changed_since_counts_for_nothing(cast, tools):
    drill = shown(cast, tools)
    with cast.database.writing() as db:
        db.query(Drill).update({"version": 99})
    assert answer(cast, tools, drill, "15 ft").refused == ("drill.changed",)
    assert standing(cast) is None


def test_a_lesson_is_read_once_in_the_log_and_keeps_what_was_found(cast):
    ana = member(cast, cast.ana)
    read_lesson(cast.database, member=ana, lesson="measuring.length", own_bay="12 ft 1 in", now=MONDAY)
    read_lesson(
        cast.database, member=ana, lesson="measuring.length", own_bay="", now=MONDAY + timedelta(days=1)
    )
    with cast.database.reading() as db:
        noted = queries.lessons_read(db, cast.ana)["measuring.length"]
    assert noted.own_bay == "12 ft 1 in" and noted.read_at == MONDAY + timedelta(days=1)
    assert logged(cast) == 1
