"""Three answers and a handing-in, each sent twice, in every order: what came before the first handing-in counts."""

from collections.abc import Iterator
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.acts.test_exams import check_log, entries, make_tools, sitting_of, slot_of, who
from tests.cast import MONDAY, make_cast
from tests.exams.sittings import make_sitting
from tests.six_kinds import RIGHT, WRONG
from trainer.acts import exams
from trainer.exams.sitting import Arrival, judge_answer
from trainer.records.queries import exams as queries
from trainer.records.tables import SiteSheetVersion

# Slot by question, revision, text: the newest revision of the first is wrong, the other answer is right.
ANSWERS = (
    ("eyes.choice", 1, RIGHT["eyes.choice"]),
    ("eyes.choice", 2, WRONG["eyes.choice"]),
    ("eyes.parts", 1, RIGHT["eyes.parts"]),
)
SUBMIT = "hand in"
EVENTS = (*ANSWERS, SUBMIT)


def expected(order) -> dict:
    """The specification: the highest revision of each question among those that came before the first handing-in."""
    before = order[: order.index(SUBMIT)]
    return {question: text for question, _, text in sorted(before, key=lambda one: one[1])}


def twice_each() -> Iterator[tuple]:
    """Every order of the events with each sent twice: 8! / 2^4."""

    def further(left, done):
        if not left:
            yield done
        for one in dict.fromkeys(left):
            rest = list(left)
            rest.remove(one)
            yield from further(rest, (*done, one))

    yield from further([*EVENTS, *EVENTS], ())


def test_the_rules_give_one_result_in_all_2520_orders():
    orders = list(twice_each())
    assert len(orders) == 2520
    slots = {"eyes.choice": 1, "eyes.parts": 2}
    for order in orders:
        sitting, kept = make_sitting(), {}
        for event in order:
            if event == SUBMIT:
                sitting = make_sitting(ended_at=sitting.started_at)
                continue
            question, revision, text = event
            stands = {r: t for (q, r), t in kept.items() if q == question and r == revision}
            arrival = Arrival(sitting.person_id, slots[question], revision, text, sitting.started_at)
            receipt = judge_answer(sitting, slots.values(), stands, arrival)
            assert receipt.accepted == (sitting.ended_at is None or (question, revision) in kept)
            assert receipt.repeated == ((question, revision) in kept)
            if receipt.accepted:
                kept[question, revision] = text
        newest = {question: text for (question, _), text in sorted(kept.items(), key=lambda one: one[0][1])}
        assert newest == expected(order)


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    with made.database.writing() as db:
        db.add(SiteSheetVersion(site_id=made.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield made
    made.database.dispose()


def play(cast, order, days):
    """One exam with these requests in this order; gives the standing answers, what counted, the entries' kinds."""
    ana, tools, now = who(cast, cast.ana), make_tools(), MONDAY.replace(year=2026 + days)
    exam = exams.start(cast.database, member=ana, scheme_id="six", tools=tools, now=now).public_id
    for event in order:
        if event == SUBMIT:
            assert exams.submit(cast.database, member=ana, public_id=exam, tools=tools, now=now).closed
        else:
            question, revision, text = event
            exams.answer(
                cast.database, member=ana, public_id=exam, slot=slot_of(cast, exam, question), revision=revision,
                text=text, language="en", now=now,
            )  # fmt: skip
    sitting = sitting_of(cast, exam)
    by_slot = {slot_of(cast, exam, question): question for question in ("eyes.choice", "eyes.parts")}
    with cast.database.reading() as db:
        standing = queries.standing_answers(db, sitting.id)
    kinds = [entry["kind"] for entry in entries(cast) if entry["facts"].get("exam") == exam]
    return {by_slot[slot]: one.text for slot, one in standing.items()}, sitting.right, kinds


def check(cast, order, days):
    standing, right, kinds = play(cast, order, days)
    assert standing == expected(order)
    assert right == sum(RIGHT[question] == text for question, text in standing.items())
    answered = len(set(order[: order.index(SUBMIT)]))
    assert sorted(kinds) == ["exam.answered"] * answered + ["exam.closed", "exam.started"]


def test_the_acts_give_one_result_in_every_order_with_every_repeat_right_after_or_at_the_end(cast):
    for days, order in enumerate(permutations(EVENTS)):
        doubled = tuple(event for one in order for event in (one, one))
        check(cast, doubled if days % 2 else (*order, *order), days)
    check_log(cast)


@pytest.fixture(scope="module")
def kept_cast(tmp_path_factory):
    made = make_cast(f"sqlite:///{tmp_path_factory.mktemp('orders') / 'test.sqlite3'}")
    with made.database.writing() as db:
        db.add(SiteSheetVersion(site_id=made.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield made, iter(range(1, 4000))
    made.database.dispose()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(order=st.permutations([*EVENTS, *EVENTS]))
def test_the_acts_give_one_result_in_any_order_at_all(kept_cast, order):
    cast, years = kept_cast
    check(cast, tuple(order), next(years))
