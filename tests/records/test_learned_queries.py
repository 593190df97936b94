"""What is kept of learning, on both databases, and a long history with a known truth."""

import json
from datetime import UTC, timedelta

import pytest
from sqlalchemy import insert

from tests.cast import MONDAY, make_cast
from tests.long_history import Misled, store
from tests.records.test_benches_queries import asked, make_run
from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank
from trainer.learning.learned import Answer, Attempt, learned
from trainer.records.log import append
from trainer.records.queries.learned import history
from trainer.records.tables import Drill, Exam, Person

HOUR = timedelta(hours=1)
SKILL = "measuring.length_from_pulses"


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    yield made
    made.database.dispose()


@pytest.fixture(scope="module")
def content():
    bank = load_bank()
    return bank, load_lessons(bank=bank)


def drill(person, number, at, **facts):
    usual = {
        "public_id": f"{person}-{number}", "person_id": person, "lesson": None, "skill": SKILL, "question": SKILL,
        "version": 1, "fingerprint": "0" * 64, "sheet_version": 1, "system": "us", "support": "worked",
        "shown_at": at, "answered_at": at, "answer": "", "verdict": "right", "right": True, "slip": None,
    }  # fmt: skip
    return {**usual, **facts}


def exam(person, number, scheme, result):
    return {
        "public_id": f"{person}-{number}", "person_id": person, "scheme": scheme, "scheme_version": 1,
        "sheet_version": 1, "form": "{}", "system": "us", "started_at": MONDAY + number * HOUR, "deadline": MONDAY,
        "result": None if result is None else json.dumps(result),
    }  # fmt: skip


def test_everything_of_a_site_by_five_statements(cast):
    ana, otto = cast.ana, cast.otto
    with cast.database.writing() as db:
        db.execute(
            insert(Drill),
            [
                drill(ana, 2, MONDAY + HOUR, support="alone", right=False, slip="multiplied"),
                drill(ana, 1, MONDAY), drill(ana, 3, MONDAY, skill="delays.window"),
                drill(ana, 4, MONDAY, answered_at=None, right=None), drill(otto, 1, MONDAY),
            ],
        )  # fmt: skip
        results = [{"passed": True, "right": 9, "items": 12}, {"passed": None, "right": 9, "items": 12}, None]
        db.execute(insert(Exam), [exam(ana, number, "basics", one) for number, one in enumerate(results)])
        for hours, who, kind, facts in (
            (1, "ana-1", "lesson.read", {"lesson": "beam.height"}),
            (2, "ana-1", "skill.mastered", {"skill": SKILL}),
            (3, "ana-1", "skill.lost", {"skill": SKILL}),
            (4, "ana-1", "skill.mastered", {"skill": SKILL}),
            (5, "otto-2", "skill.mastered", {"skill": SKILL}),
        ):
            append(db, at=MONDAY + hours * HOUR, kind=kind, by=who, about=who, facts=facts)
        db.get_one(Person, cast.tom).left_at = MONDAY
    make_run(cast, "one", points=85), make_run(cast, "open"), make_run(cast, "other", person=otto, points=5)
    found = asked(cast, history, cast.site, statements=5)
    assert found.answers == [
        Answer(ana, "delays.window", SKILL, None, True, True, MONDAY),
        Answer(ana, SKILL, SKILL, None, True, True, MONDAY),
        Answer(ana, SKILL, SKILL, "multiplied", False, False, MONDAY + HOUR),
    ]
    assert all(type(one.right) is type(one.helped) is bool and one.at.tzinfo is UTC for one in found.answers)
    assert found.mastered == {(ana, SKILL): MONDAY + 2 * HOUR}, "the first time, though it was lost since"
    assert found.read == {(ana, "beam.height"): MONDAY + HOUR}
    assert found.left == {cast.tom: MONDAY}
    assert found.attempts == [Attempt(ana, "exam", "basics", 0.75), Attempt(ana, "bench", "beam", 0.85)]


def test_a_house_whose_forecasts_are_true_is_told_so_and_one_that_forgets_faster_is_not(cast, content):
    """60 people over 200 days; what is right at a review is drawn by the forecast itself, or by four fifths of it."""
    answers = store(cast.database, cast.site, *content, people=60, days=200)
    store(cast.database, cast.other_site, *content, people=60, days=200, recall=0.8)
    with cast.database.reading() as db:
        true, hopeful = (
            learned(history(db, site), *content, MONDAY).forgetting for site in (cast.site, cast.other_site)
        )
    assert answers > 3000 and true.reviews > 1000
    assert true.calibration.bias.low < 0 < true.calibration.bias.high
    assert hopeful.calibration.bias.low > 0.1


def test_a_lesson_that_misleads_stands_out(cast, content):
    misled = Misled("sensing.how_the_eye_sees", "sensing.signal_from_distance", "not_squared", chance=0.9)
    store(cast.database, cast.site, *content, people=80, days=60, misled=misled)
    with cast.database.reading() as db:
        before = learned(history(db, cast.site), *content, MONDAY).preceding
    sure = [one for one in before.found.pairs if one.sure]
    assert [(before.lessons[one.lesson], before.slips[one.slip].id) for one in sure] == [
        (misled.lesson, misled.slip)
    ]
    assert sure[0].more
