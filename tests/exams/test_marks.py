"""Marks on a closed exam: another person's key, bursts of changes, answers too fast; and what is no mark."""

from datetime import timedelta

import pytest

from tests.exams.sittings import START
from tests.six_kinds import SITE, six_kinds
from trainer.exams.marks import KeptAnswer, Marks, marks_of
from trainer.language.draws import draw
from trainer.language.rendering import right_answer

QUESTION = six_kinds().question("eyes.length")


def instance(label):
    return draw(QUESTION, SITE, bytes(32), label, "us")


OWN = {number: instance(f"own-{number}") for number in range(1, 5)}
OTHERS = {number: [instance(f"other-{number}-{n}") for n in range(3)] for number in OWN}


def kept(slot, text, minutes=None, revision=1):
    at = START + timedelta(minutes=slot if minutes is None else minutes)
    return KeptAnswer(slot, revision, text, "en", at)


def feet(one):
    return one.values["pulses"] / one.values["rate"]


def foreign(slot):
    """Another person's right answer, which is wrong here."""
    return next(right_answer(one) for one in OTHERS[slot] if abs(feet(one) - feet(OWN[slot])) > 1)


def marks(*answers):
    return marks_of(START, answers, OWN, OTHERS)


def test_honest_answers_carry_no_mark():
    found = marks(*(kept(slot, right_answer(OWN[slot])) for slot in OWN))
    assert found == Marks()
    assert not found.flagged


def test_two_keys_of_somebody_else_are_flagged_and_one_is_not():
    one = marks(kept(1, foreign(1)), kept(2, right_answer(OWN[2])))
    assert (one.keys, one.flagged) == ((1,), False)
    two = marks(kept(1, foreign(1)), kept(2, foreign(2)), kept(3, "1 ft"))
    assert (two.keys, two.flagged) == ((1, 2), True)


def test_a_key_that_is_ones_own_within_tolerance_is_no_mark():
    same = {1: [OWN[1]]}
    assert marks_of(START, [kept(1, right_answer(OWN[1]))], OWN, same) == Marks()


def test_a_known_slip_with_ones_own_numbers_explains_itself():
    own = OWN[1]
    slip = own.values["pulses"] * own.values["rate"] / 144
    stands = f"{slip:.4f} ft"
    # Whoever it is the key of, it comes from these numbers.
    twin = next(
        one for one in (instance(f"twin-{n}") for n in range(5000)) if abs(feet(one) - slip) < 0.5 / 12
    )
    assert marks_of(START, [kept(1, stands)], OWN, {1: [twin]}) == Marks()


def test_only_the_answer_that_stands_counts_as_a_key():
    assert marks(kept(1, foreign(1)), kept(1, right_answer(OWN[1]), revision=2)).keys == ()


@pytest.mark.parametrize(("seconds", "burst"), [(20, (1,)), (20.1, ())])
def test_four_changes_within_a_minute_are_a_burst(seconds, burst):
    answers = [kept(1, f"{n} ft", 1 + n * seconds / 60, n + 1) for n in range(4)]
    assert marks(*answers).bursts == burst


def test_right_at_the_heels_of_the_answer_before_is_too_fast():
    at = [1, 1 + 4.9 / 60, 1 + 9.8 / 60, 1 + 14.7 / 60]
    found = marks(*(kept(slot, right_answer(OWN[slot]), at[slot - 1]) for slot in OWN))
    assert (found.fast, found.flagged) == ((2, 3, 4), True)
    wrong = marks(kept(1, right_answer(OWN[1])), kept(2, "1 ft", 1 + 1 / 60))
    assert wrong.fast == ()
    changed = marks(kept(1, "1 ft"), kept(1, right_answer(OWN[1]), 1 + 1 / 60, 2))
    assert changed.fast == (), "a correction comes fast by its nature"
