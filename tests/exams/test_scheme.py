"""Quotas of a blueprint and what a scheme knows of itself."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.exams.sittings import make_scheme
from trainer.exams.scheme import PROGRAMME, quotas


def test_quotas_by_largest_remainder():
    # Own computation, worked by hand: shares of 25 by weight 20 16 12 9 15 20 10 of 102 are
    # 4.902 3.922 2.941 2.206 3.676 4.902 2.451; whole parts give 20, the five largest rests the other five.
    importance, frequency = (5, 4, 4, 3, 5, 5, 5), (4, 4, 3, 3, 3, 4, 2)
    weights = [i * f for i, f in zip(importance, frequency, strict=True)]
    assert quotas(weights, 25) == (5, 4, 3, 2, 4, 5, 2)


def test_equal_rests_go_to_the_earlier_area():
    assert quotas([1, 1, 1], 4) == (2, 1, 1)


@given(st.lists(st.integers(1, 50), min_size=1, max_size=12), st.integers(0, 60))
def test_quotas_add_up_and_stay_within_one_of_the_share(weights, items):
    given_items = quotas(weights, items)
    assert sum(given_items) == items
    for weight, count in zip(weights, given_items, strict=True):
        assert abs(count - Fraction(weight * items, sum(weights))) < 1


@pytest.mark.parametrize(("weights", "items"), [([], 3), ([1, 0], 3), ([1], -1)])
def test_quotas_refuse_what_has_no_meaning(weights, items):
    with pytest.raises(ValueError, match="must be above 0"):
        quotas(weights, items)


def test_mastery_names_the_skills_to_prove_first():
    assert make_scheme(mastery="none").demanded_skills() == ()
    assert make_scheme(mastery="critical").demanded_skills() == ("lockout.verify", "lockout.lock")
    assert make_scheme(mastery="all").demanded_skills() == make_scheme().skills


def test_no_scheme_claims_accredited_certification():
    # ASTM E2659 (scope and significance, public text): a certificate programme is not certification.
    assert make_scheme().programme is PROGRAMME
    assert "not accredited certification" in PROGRAMME.en
    assert "no una certificación acreditada" in PROGRAMME.es
