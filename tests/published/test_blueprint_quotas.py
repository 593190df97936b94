"""Quotas of a blueprint by largest remainder, against shares worked out apart from the program."""

from trainer.exams.scheme import quotas


def test_the_worked_blueprint():
    # Hamilton's method of largest remainder. Worked apart in exact fractions: importance 5 4 4 3 5 5 5 times
    # frequency 4 4 3 3 3 4 2 is 20 16 12 9 15 20 10 of 102; of 25 items 4.90 3.92 2.94 2.21 3.68 4.90 2.45.
    importance, frequency = (5, 4, 4, 3, 5, 5, 5), (4, 4, 3, 3, 3, 4, 2)
    weights = [a * b for a, b in zip(importance, frequency, strict=True)]
    assert quotas(weights, 25) == (5, 4, 3, 2, 4, 5, 2)
