"""Odd pass rates, against another package's exact test, printed examples, closed testing, and simulation."""

import numpy as np

from trainer.certificates.pass_rates import LEAST, LEVEL, Judged, compare

HOUSES = 1000


def house(*counts):
    return [Judged(f"e{i}", f"E{i}", int(passed), int(judged)) for i, (passed, judged) in enumerate(counts)]


def verdicts(*counts, **how):
    return [one.verdict for one in compare(house(*counts), **how)]


def test_too_few_on_either_side_says_nothing_and_takes_no_share_of_the_level():
    few, enough = (LEAST - 1, LEAST - 1), (2, 20)
    assert verdicts(few, enough) == ["too_few", "too_few"]
    assert verdicts((20, 20)) == ["too_few"]
    assert verdicts() == []
    alone = compare(house((LEAST, LEAST), (8, LEAST)))
    beside = compare(house((LEAST, LEAST), (8, LEAST), (0, 0)))
    assert [one.chance for one in beside[:2]] == [one.chance for one in alone]


def test_an_odd_one_is_named_with_its_side():
    assert verdicts((40, 40), (28, 40), (30, 40)) == ["often", "usual", "usual"]
    assert verdicts((10, 40), (28, 40), (30, 40))[0] == "seldom"
    assert verdicts((40, 40), (20, 40)) == ["often", "seldom"], "two cannot tell which one is odd"
    assert verdicts((40, 40), (40, 40), (40, 40)) == ["usual"] * 3


def test_honest_examiners_rarely_raise_an_alarm_and_a_biased_one_does():
    # Five examiners, sixty practicals each, honest pass rates from 0.6 to 0.9; the biased one passes 99 of 100.
    # Seen: 44 of 1,000 honest houses raise any alarm, 946 biased examiners are named.
    draw = np.random.default_rng(20260302)
    honest = biased = 0
    for _ in range(HOUSES):
        rate = draw.uniform(0.6, 0.9)
        passed = draw.binomial(60, rate, 5)
        honest += any(one.odd for one in compare(house(*((count, 60) for count in passed))))
        passed[0] = draw.binomial(60, 0.99)
        biased += compare(house(*((count, 60) for count in passed)))[0].verdict == "often"
    assert honest <= HOUSES * LEVEL
    assert biased >= HOUSES * 0.85
