"""What a site's people learned, from a history written by hand and from one with a known truth."""

from datetime import timedelta

import pytest

from tests.cast import MONDAY
from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank
from trainer.learning.learned import Answer, Attempt, History, learned

SKILL, QUESTION, SLIP = "measuring.length_from_pulses", "measuring.length_from_pulses", "multiplied"
LESSON = "measuring.length"
DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def content():
    bank = load_bank()
    return bank, load_lessons(bank=bank)


@pytest.fixture
def look(content):
    """What a history comes to, a week after Monday unless said."""

    def find(answers=(), now=MONDAY + 7 * DAY, **parts):
        facts = {"mastered": {}, "read": {}, "left": {}, "attempts": (), **parts}
        return learned(
            History(answers=sorted(answers, key=lambda one: (one.person, one.skill, one.at)), **facts),
            *content,
            now,
        )

    return find


def answer(person, day=0.0, right=True, helped=False, slip=None, question=QUESTION):
    return Answer(person, SKILL, question, slip, right, helped, MONDAY + day * DAY)


def test_nothing_answered_is_nothing_learned(look):
    found = look()
    assert (found.people, found.mastered, found.preceding.found.pairs) == (0, (), ())
    assert found.forgetting.calibration is None and found.forgetting.reviews == 0
    [practice] = found.gained
    assert (practice.kind, practice.people, practice.gain) == ("practice", 0, None)


def test_gain_is_of_those_with_two_attempts_and_of_the_first_and_the_last(look):
    attempts = [
        Attempt(person, "exam", "basics", share) for share in (0.5, 0.1, 0.75) for person in range(10)
    ]
    attempts += [
        Attempt(10, "exam", "basics", 1.0),
        Attempt(0, "bench", "beam", 0.2),
        Attempt(0, "bench", "beam", 0.4),
    ]
    answers = [answer(person, day, right=day == 2) for person in range(10) for day in range(3)]
    practice, exam, bench = look(answers, attempts=attempts).gained
    assert (exam.kind, exam.of, exam.people) == ("exam", "basics", 10)
    assert (exam.gain.first.value, exam.gain.last.value, exam.gain.better.count) == (0.5, 0.75, 10)
    assert (bench.kind, bench.people, bench.gain) == ("bench", 1, None)
    assert (practice.people, practice.gain.first.value, practice.gain.last.value) == (10, 0, 1)


def test_a_review_is_an_answer_alone_a_day_or_more_after_the_last_one(look):
    each = [
        answer(0, 0),
        answer(0, 0.5),
        answer(0, 1.6),
        answer(0, 3, helped=True),
        answer(0, 9, right=False),
    ]
    assert look(each).forgetting.reviews == 2
    found = look([answer(person, day) for person in range(30) for day in (0, 1)]).forgetting
    assert (found.reviews, found.people) == (30, 30)
    assert found.calibration.levels[-1].right.count == 30 and 0.8 < found.calibration.levels[-1].forecast < 1


def test_time_to_mastery_is_from_the_first_answer_and_whoever_has_not_is_seen_until_now_or_until_they_left(
    look,
):
    answers = [answer(person, day) for person in range(12) for day in (0, 1, 2, 3)]
    mastered = {(person, SKILL): MONDAY + 2 * DAY for person in range(8)}
    left = {8: MONDAY + 5 * DAY, 9: MONDAY + DAY}
    [one] = look(answers, mastered=mastered, left=left).mastered
    assert (one.skill, one.people) == (SKILL, 12)
    assert (one.days.times.tolist(), one.days.mastered.tolist()) == ([2.0], [8])
    assert one.days.until.tolist() == [2.0] * 8 + [3.0, 5.0, 7.0, 7.0], "answers are never after the end"
    assert one.answers.times.tolist() == [3.0] and one.answers.until.tolist() == [3.0] * 8 + [4.0] * 4
    [few] = look([answer(person) for person in range(9)]).mastered
    assert (few.people, few.days, few.answers) == (9, None, None)


def test_only_the_first_chance_of_a_slip_counts_and_any_question_of_the_skill_that_knows_it_gives_one(
    look, content
):
    bank, _ = content
    assert SLIP in [one.id for one in bank.question(QUESTION).task.slips]
    answers = [answer(person, 1, right=False, slip=SLIP) for person in range(10)]
    answers += [answer(person, 1) for person in range(10, 20)]
    answers += [answer(person, 2, right=False, slip=SLIP) for person in range(20)]
    read = {(person, LESSON): MONDAY for person in range(10)}
    before = look(answers, read=read).preceding
    pairs = {
        before.slips[one.slip].id: one for one in before.found.pairs if before.lessons[one.lesson] == LESSON
    }
    assert (pairs[SLIP].after.count, pairs[SLIP].after.of) == (10, 10)
    assert (pairs[SLIP].without.count, pairs[SLIP].without.of) == (0, 10)
    assert pairs[SLIP].sure and not any(one.sure for name, one in pairs.items() if name != SLIP)
    assert str(before.slips[pairs[SLIP].slip].because["es"].parts[0]).startswith("<p>")


def test_what_is_no_longer_there_is_passed_over(look):
    gone = Answer(0, "measuring.gone", "measuring.gone", "any", False, False, MONDAY)
    found = look(
        [gone, answer(0, question="measuring.gone", slip="any")],
        read={(0, "measuring.gone"): MONDAY, (9, LESSON): MONDAY},
    )
    assert found.people == 1 and [one.skill for one in found.mastered] == [SKILL]
