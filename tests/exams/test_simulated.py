"""A simulated scheme against the model's own exact chances, and what its numbers must do to it."""

from dataclasses import replace
from functools import cache
from string import Formatter

import numpy as np
import pytest

from trainer.exams.comparing import Scale, passing
from trainer.exams.curves import spread_of_score
from trainer.exams.reading import load_schemes
from trainer.exams.scheme import Tries
from trainer.exams.simulated import Assumptions, draw_forms, simulate, tries_in_time, two_forms
from trainer.exams.simulated_telling import SENTENCES, document, tell
from trainer.language.loading import content_folder, load_bank

STILL = Assumptions(spread=0.0, skill_spread=0.0, gain=0.0, lost_a_day=0.0, forms=12)


@cache
def bank():
    return load_bank()


@cache
def shipped(name):
    return load_schemes(content_folder() / "questions" / "schemes")[name]


def unproven(name, **tries):
    """A shipped scheme that asks for no practice first."""
    scheme = shipped(name)
    return replace(scheme, mastery="none", tries=replace(scheme.tries, **tries))


def at(scheme, mean, learners=4000, **facts):
    return simulate(scheme, bank(), learners=learners, seed=3, assumed=replace(STILL, mean=mean, **facts))


@pytest.mark.parametrize("name", ["basics", "cabinet"])
@pytest.mark.parametrize("theta", [-0.5, 0.0, 1.0])
def test_the_share_that_passes_is_the_exact_one(name, theta):
    """By Lord and Wingersky's recursion over the same forms; within four standard errors."""
    scheme, scale = shipped(name), Scale(bank().find, {})
    forms = draw_forms(scheme, bank(), scale, STILL.forms)
    exact = np.mean([passing(scheme, form, scale, theta) for form in forms])
    found = at(unproven(name), theta).tries[0]
    share = found.false_pass.value if theta < 0 else 1 - found.false_fail.value
    assert abs(share - exact) < 4 * np.sqrt(exact * (1 - exact) / 4000)


def test_tries_add_up_as_independent_ones_where_nobody_learns():
    found = at(unproven("basics"), -0.5, 20_000)
    first = found.tries[0].false_pass.value
    for one in found.tries:
        exact = 1 - (1 - first) ** one.tries
        assert one.false_pass.value == pytest.approx(exact, abs=0.015)
    assert len(found.tries) == shipped("basics").tries.most


def test_learning_between_tries_turns_false_passes_into_true_ones():
    still = at(unproven("basics", practise_again=5), -0.2)
    learning = at(unproven("basics", practise_again=5), -0.2, gain=0.3)
    assert learning.tries[0].false_pass == still.tries[0].false_pass
    assert learning.tries[-1].false_pass.count < still.tries[-1].false_pass.count
    assert learning.bands[1].in_the_end.value > still.bands[1].in_the_end.value


def test_forgetting_while_waiting_costs_passes():
    kept, lost = (at(unproven("basics", wait_hours=240), 0.2, lost_a_day=lost) for lost in (0.0, 0.1))
    assert lost.tries[-1].false_fail.count > kept.tries[-1].false_fail.count


def test_practice_lets_in_those_who_prove_it_and_gives_up_on_the_rest():
    found = at(shipped("cabinet"), -3.0, 300, most_answers=6)
    assert found.admitted.count < 300 and found.admitted.of == 300
    assert found.tries[-1].false_pass.of == found.admitted.count
    assert at(shipped("cabinet"), 5.0, 300).admitted.count == 300


def test_practice_first_lets_more_pass_of_those_who_come():
    before = at(replace(shipped("cabinet"), mastery="none"), 0.0, 1500, gain=0.1)
    after = at(shipped("cabinet"), 0.0, 1500, gain=0.1)
    assert 1 - after.tries[0].false_fail.value > 1 - before.tries[0].false_fail.value
    assert before.answers == 0 < after.answers


def test_a_higher_cut_trades_false_passes_for_false_fails():
    low, high = (
        simulate(replace(shipped("basics"), cut=cut), bank(), learners=3000, seed=1) for cut in (8, 11)
    )
    assert high.tries[0].false_pass.value < low.tries[0].false_pass.value
    assert high.tries[0].false_fail.value > low.tries[0].false_fail.value


@pytest.mark.parametrize(
    ("most", "days", "hours", "expected"),
    [(4, 60, 4, 4), (3, 90, 24, 3), (5, 2, 24, 3), (5, 1, 48, 1), (3, 30, 0, 3)],
)
def test_tries_that_fit_into_the_days(most, days, hours, expected):
    assert tries_in_time(replace(shipped("basics"), tries=Tries(most, days, hours))) == expected


def test_nobody_admitted_is_no_error():
    found = at(shipped("cabinet"), -9.0, 20, most_answers=2)
    assert found.admitted.count == 0 and found.answers == 0
    assert all(one.false_pass.value is None for one in found.tries)
    lines = list(tell(found, shipped("cabinet").title, "en", critical=True, demanded=True))
    assert any("nobody" in line for line in lines)


def test_the_same_seed_gives_the_same_and_the_words_follow_the_numbers():
    one, other = at(unproven("basics"), -0.5, 500), at(unproven("basics"), -0.5, 500)
    assert document(one) == document(other)
    first = one.tries[0].false_pass
    said = "\n".join(tell(one, shipped("basics").title, "en", critical=False, demanded=False))
    low, high = first.interval
    assert f"{100 * first.value:.1f} % ({100 * low:.1f} to {100 * high:.1f})" in said


@pytest.mark.parametrize(
    ("most", "expected"),
    [
        (1, "Of 1,000 people not up to it, {first} pass; of 1,000 who are up to it, {good} do."),
        (
            3,
            "not up to it, {first} pass at the first try and {last} within 3 tries. Of 1,000 who are up to it, {good} ",
        ),
    ],
)
def test_what_a_manager_leans_on_is_told_of_a_thousand(most, expected):
    scheme = unproven("basics", most=most)
    found = simulate(scheme, bank(), learners=500, seed=2)
    said = "\n".join(tell(found, scheme.title, "en", critical=False, demanded=False))
    first, last = found.tries[0], found.tries[-1]
    good = 1000 * (last.false_fail.of - last.false_fail.count) / last.false_fail.of
    told = {"first": 1000 * first.false_pass.value, "last": 1000 * last.false_pass.value, "good": good}
    assert expected.format(**{key: round(value) for key, value in told.items()}) in said


def test_both_languages_name_the_same_parts():
    for key, text in SENTENCES.items():
        english, spanish = (sorted(name for _, name, _, _ in Formatter().parse(one) if name) for one in text)
        assert english == spanish, key


def test_two_forms_of_equal_people_agree_as_chance_has_it():
    """Without any spread of people both verdicts are independent, and the score varies as its form's own items do."""
    scheme, scale = unproven("basics"), Scale(bank().find, {})
    found = two_forms(scheme, bank(), learners=20_000, seed=3, assumed=STILL)
    forms = draw_forms(scheme, bank(), scale, STILL.forms)
    exact = np.mean(
        [spread_of_score([scale.of(s.question, s.fixed) for s in form.slots], 0.0) for form in forms]
    )
    assert found.error_at_cut == pytest.approx(exact, rel=0.03)
    assert found.verdicts.agreement == pytest.approx(found.verdicts.by_chance, abs=0.015)
    assert abs(found.reliability) < 0.05


def test_two_forms_of_people_who_differ_agree_more():
    found = two_forms(shipped("basics"), bank(), learners=4000, seed=3)
    assert 0.4 < found.reliability < 1 and found.verdicts.kappa > 0.2
