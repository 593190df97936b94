"""Forms that are alike in difficulty, unlike in questions, and new in their numbers: over the shipped questions."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.exams.sittings import make_scheme
from tests.six_kinds import SITE, six_kinds, six_scheme
from trainer.exams.comparing import (
    CURVE_LIMIT,
    PASS_LIMIT,
    Comparison,
    Neighbours,
    Scale,
    average_target,
    chances_of,
    form_target,
    passing,
)
from trainer.exams.curves import chance_right, judged, logit, prior
from trainer.exams.forms import Shortfall, assemble_form
from trainer.exams.overlap import OWN_LIMIT, exposure, overexposed, shared
from trainer.exams.paper import Paper, Setting, instance_of, paper_document, read_paper, set_paper
from trainer.exams.reading import load_schemes
from trainer.exams.scheme import Area, Text
from trainer.exams.setting import instance_key
from trainer.language.loading import content_folder, load_bank
from trainer.sites.reading import demo_sheet
from trainer.sites.values import site_values

SECRET = bytes(range(32))
WORDS = Text("words", "palabras")


@cache
def shipped(name="basics"):
    return load_schemes(content_folder() / "questions" / "schemes")[name]


@cache
def bank():
    return load_bank()


def setting(label, values=None, **facts):
    return Setting(values or site_values(demo_sheet()), "us", label, sheet=demo_sheet, **facts)


def papers(count, scheme, **facts):
    return [
        set_paper(scheme, bank(), bank().find, SECRET, setting(f"exam|p{n}|1", **facts)) for n in range(count)
    ]


def names(paper):
    return frozenset(slot.question for slot in paper.form.slots)


@pytest.mark.parametrize("name", ["basics", "cabinet"])
def test_every_form_keeps_the_limits_of_its_target(name):
    scheme, scale = shipped(name), Scale(bank().find, {})
    target = average_target(scheme, bank(), scale)
    for paper in papers(12, scheme):
        found = paper.comparison
        assert found.within and found.curve_gap <= CURVE_LIMIT and found.pass_gap <= PASS_LIMIT
        # The gaps again, from the form as it is kept.
        gaps = [
            abs(sum(map(sum, chances_of(paper.form.slots, scale, at).values())) - target.score(at))
            for at in (-0.5, 0.0, 0.5)
        ]
        assert found.curve_gap == pytest.approx(max(gaps), abs=1e-4)
        assert found.pass_gap == pytest.approx(
            abs(passing(scheme, paper.form, scale) - target.passing), abs=1e-4
        )


def test_forms_as_they_fall_do_not_keep_them():
    """What the redrawing is for: without it the same limits are broken."""
    scheme, scale = shipped(), Scale(bank().find, {})
    target = average_target(scheme, bank(), scale)
    forms = [assemble_form(scheme, bank(), SECRET, f"exam|p{n}|1") for n in range(60)]
    assert max(abs(passing(scheme, one, scale) - target.passing) for one in forms) > 2 * PASS_LIMIT


def test_people_at_the_border_pass_alike_whatever_their_form():
    """10,000 simulated people over the forms of 40: the shares that pass differ no more than the limit and chance."""
    scheme, scale, chance = shipped(), Scale(bank().find, {}), np.random.default_rng(7)
    shares = []
    for paper in papers(40, scheme):
        p = [one for area in chances_of(paper.form.slots, scale, 0.0).values() for one in area]
        right = (chance.random((250, len(p))) < p).sum(axis=1)
        shares.append(float((right >= scheme.cut).mean()))
    middle = average_target(scheme, bank(), scale).passing
    # Three standard errors of a share of 250, beside the limit.
    assert max(abs(one - middle) for one in shares) < PASS_LIMIT + 3.2 * (middle * (1 - middle) / 250) ** 0.5
    assert np.std(shares) < 0.06


def test_the_choice_is_the_same_for_ever_and_replays():
    scheme = shipped()
    first, again = papers(3, scheme), papers(3, scheme)
    assert first == again
    redrawn = next(one for one in papers(12, scheme) if one.comparison.looked_at > 1)
    assert f"|form {redrawn.comparison.looked_at}|" in redrawn.form.slots[0].label
    kept = read_paper(paper_document(redrawn))
    assert kept == redrawn
    assert all(instance_of(kept, slot, bank().find, SECRET) is not None for slot in kept.form.slots)


def test_a_form_is_unlike_the_last_one_and_unlike_a_co_workers():
    scheme = shipped("cabinet")
    other = names(papers(1, scheme)[0])
    near = papers(1, scheme, neighbours=Neighbours((other,), (other,)))[0]
    assert near.comparison.own == round(shared(names(near), other), 4) <= OWN_LIMIT
    assert near.comparison.beside == near.comparison.own


def test_no_stem_comes_again_with_the_same_numbers():
    scheme, had, seen = shipped(), set(), set()
    for attempt in range(5):
        facts = {"had": frozenset(had), "seen": frozenset(seen)}
        paper = set_paper(scheme, bank(), bank().find, SECRET, setting(f"exam|p|{attempt}", **facts))
        keys = [instance_key(instance_of(paper, slot, bank().find, SECRET)) for slot in paper.form.slots]
        again = {slot.number for slot, key in zip(paper.form.slots, keys, strict=True) if key in had}
        assert again == set(paper.comparison.repeated) == set()
        had.update(keys)
        seen |= names(paper)


def test_the_same_attempt_with_its_own_numbers_barred_draws_others():
    """The hardest case: every instance of the very form that would come was had before."""
    scheme = six_scheme()
    first = set_paper(scheme, six_kinds(), six_kinds().find, SECRET, setting("exam|p|1", SITE))
    had = {instance_key(instance_of(first, slot, six_kinds().find, SECRET)) for slot in first.form.slots}
    again = set_paper(
        scheme, six_kinds(), six_kinds().find, SECRET, setting("exam|p|1", SITE, had=frozenset(had))
    )
    assert isinstance(again, Paper) and len(again.form.slots) == scheme.items
    for slot in again.form.slots:
        instance = instance_of(again, slot, six_kinds().find, SECRET)
        # A question without numbers whose skill has no other comes again, and the paper says so.
        assert (instance_key(instance) in had) == (slot.number in again.comparison.repeated)
        if instance.question.is_family:
            assert slot.number not in again.comparison.repeated and "|again " in slot.label


def test_a_panels_form_is_the_target_and_its_ratings_count():
    scheme, scale = shipped(), Scale(bank().find, {})
    reference = papers(1, scheme)[0].form
    hard = {slot.question: 0.4 for slot in reference.slots}
    rated = replace(scale, ratings=hard)
    target = form_target(scheme, reference, rated)
    # Each at 0.4 for the person at the border; a family's spread moves that by less than a hundredth.
    assert target.score(0.0) == pytest.approx(0.4 * scheme.items, abs=0.05)
    facts = {"reference": reference, "ratings": hard, "cut_from": "panel-1"}
    found = set_paper(scheme, bank(), bank().find, SECRET, setting("exam|other|1", **facts))
    assert found.cut_from == "panel-1" and names(found) != {slot.question for slot in reference.slots}
    # A panel that is strict about what it saw is taken to be as strict about the rest: forms can still be alike.
    assert found.comparison.within
    plain = next(slot.question for slot in found.form.slots if slot.question not in hard)
    assert rated.of(plain).place > scale.of(plain).place


def test_a_shortfall_is_still_told():
    there = len(bank().of_skill("sensing.beam_parts"))
    scheme = make_scheme(areas=(Area("eyes", WORDS, ("sensing.beam_parts",), there + 1),), cut=1)
    assert set_paper(scheme, bank(), bank().find, SECRET, setting("x")) == (
        Shortfall("eyes", there + 1, there),
    )


def test_a_prior_falls_with_level_and_steps():
    places = [
        prior(level, steps, family=True).place for level, steps in ((1, 0), (1, 4), (2, 0), (2, 4), (3, 3))
    ]
    assert places == sorted(places)
    assert chance_right(prior(2, 0, family=False), 0.0) == pytest.approx(0.75)
    assert chance_right(judged(0.6, family=False), 0.0) == pytest.approx(0.6)
    assert 0 < chance_right(judged(0, family=True), 0.0) < chance_right(judged(1, family=True), 0.0) < 1
    with pytest.raises(ValueError, match="between 0 and 1"):
        logit(1.0)


def test_a_family_on_most_forms_counts_as_overexposed():
    forms = [{"a", "b"}, {"a", "c"}] * 5
    assert exposure(forms) == {"a": 1.0, "b": 0.5, "c": 0.5}
    assert overexposed(forms) == {"a"}
    assert overexposed(forms[:9]) == frozenset()
    assert shared((), ("a",)) == 0


def test_a_comparison_counts_each_limit():
    kept = Comparison(CURVE_LIMIT, PASS_LIMIT, 0.0, 0.0, 1)
    assert kept.within
    assert replace(kept, curve_gap=2 * CURVE_LIMIT).excess == pytest.approx(1)
    assert not replace(kept, own=0.5).within and not replace(kept, beside=0.6).within
