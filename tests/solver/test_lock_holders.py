"""Group lockout and change of shift: the right way passes, every wrong one is named with its clause."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.lock_holders import Crew, group_check, shift_change_check
from trainer.solver.numbers import BadInput
from trainer.solver.procedures import Broken, Step

OWN_LOCK = "29 CFR 1910.147(f)(3)(ii)(D)"
CREW = [Crew(("Ana", "Luis"), responsible="Ana")]


def by(person, *acts, source=None):
    return [Step(act, source, person) for act in acts]


DAY = ("lock", "work", "stop", "unlock")


@given(turns=st.permutations(["Ana"] * 4 + ["Luis"] * 4 + ["Rosa"] * 4))
def test_each_keeps_to_their_own_chain_and_all_may_be_woven(turns):
    chains = {person: iter(by(person, *DAY)) for person in set(turns)}
    crews = [Crew(("Ana", "Luis", "Rosa"), responsible="Ana")]
    assert group_check(["box"], crews, [next(chains[person]) for person in turns]).valid


@pytest.mark.parametrize("order", sorted(set(permutations(DAY)) - {DAY}))
def test_no_other_order_of_one_persons_acts_is_right(order):
    verdict = group_check(["box"], CREW, by("Ana", *order))
    assert not verdict.valid
    assert {fault.clause for fault in verdict.broken} <= {OWN_LOCK, "29 CFR 1910.147(e)(3)"}


@pytest.mark.parametrize(
    ("steps", "broken"),
    [
        (by("Ana", "work"), Broken(0, "own_lock_before_work", OWN_LOCK, "box")),
        ([*by("Ana", "lock"), *by("Luis", "work")], Broken(1, "own_lock_before_work", OWN_LOCK, "box")),
        (by("Ana", "lock", "work", "unlock"), Broken(2, "stop_before_unlock", OWN_LOCK)),
        (by("Ana", "lock", "work", "stop"), Broken(None, "unlock_missing", OWN_LOCK, "box")),
        ([*by("Ana", "lock"), *by("Luis", "unlock")], Broken(1, "lock_before_unlock", "29 CFR 1910.147(e)(3)", "box")),
        (by("Tom", "lock", "work"), Broken(1, "crew_before_work", "29 CFR 1910.147(f)(3)(ii)(B)")),
        ([*by("Ana", "lock"), Step("start")], Broken(1, "unlock_before_start", "29 CFR 1910.147(e)(3)")),
    ],
)  # fmt: skip
def test_each_breach_is_named(steps, broken):
    assert group_check(["box"], CREW, steps).broken == (broken,)


def test_starting_while_somebody_works_is_the_worst():
    verdict = group_check(["box"], CREW, [*by("Ana", "lock", "work"), Step("start")])
    assert [fault.rule for fault in verdict.broken] == ["stop_before_start", "unlock_before_start"]
    assert group_check(["box"], CREW, [*by("Ana", *DAY), Step("start")]).valid


def test_somebody_who_waits_with_a_lock_on_breaks_nothing():
    assert group_check(["box"], CREW, by("Ana", "lock")).valid
    assert group_check(["box"], CREW, by("Ana", "lock", "work", "stop", "work")).valid


def test_a_lock_on_one_source_is_none_on_the_other():
    steps = [*by("Ana", "lock", source="mains"), *by("Ana", "work")]
    assert group_check(["mains", "air"], CREW, steps).broken == (
        Broken(1, "own_lock_before_work", OWN_LOCK, "air"),
    )
    assert group_check(["mains", "air"], CREW, [*by("Ana", "lock", source="air"), *steps]).valid


def test_who_answers_for_a_crew_and_who_for_several():
    # 29 CFR 1910.147(f)(3)(ii)(A), (B), (C).
    nobody = group_check(["box"], [Crew(("Ana",), responsible=None, exposure_known=False)], [])
    assert [fault.clause[-3:] for fault in nobody.broken] == ["(A)", "(B)"]
    two = [*CREW, Crew(("Rosa",), responsible="Rosa")]
    assert [fault.rule for fault in group_check(["box"], two, []).broken] == ["coordinator_missing"]
    assert group_check(["box"], two, [], coordinator="Ines").valid


CHANGE = [*by("Rosa", "lock"), *by("Ana", "unlock"), *by("Rosa", "verify", "work")]


def test_a_change_without_a_gap():
    assert shift_change_check(["mains", "air"], ["Ana"], CHANGE).valid
    early = [*by("Rosa", "lock", "verify", "work"), *by("Ana", "unlock")]
    assert shift_change_check(["mains", "air"], ["Ana"], early).valid


@pytest.mark.parametrize("sequence", list(permutations(range(4))))
def test_every_order_of_a_change_is_judged_by_its_clauses(sequence):
    steps = [CHANGE[place] for place in sequence]
    acts = [step.act for step in steps]
    wrong = set()
    if acts.index("unlock") < acts.index("lock"):
        wrong.add("29 CFR 1910.147(f)(4)")
    if acts.index("work") < acts.index("lock"):
        wrong.add(OWN_LOCK)
    if acts.index("work") < acts.index("verify"):
        wrong.add("29 CFR 1910.147(d)(6)")
    assert {fault.clause for fault in shift_change_check(["mains"], ["Ana"], steps).broken} == wrong


def test_one_lock_left_is_no_gap_and_two_people_hand_over_to_two():
    steps = [*by("Ana", "unlock"), *by("Rosa", "lock"), *by("Luis", "unlock")]
    assert shift_change_check(["mains"], ["Ana", "Luis"], steps).valid
    gap = [*by("Ana", "unlock"), *by("Luis", "unlock"), *by("Rosa", "lock")]
    assert shift_change_check(["mains"], ["Ana", "Luis"], gap).broken == (
        Broken(1, "incoming_lock_before_unlock", "29 CFR 1910.147(f)(4)", "mains"),
    )


def test_the_gap_is_named_source_by_source():
    steps = [*by("Rosa", "lock", source="mains"), *by("Ana", "unlock"), *by("Rosa", "lock", source="air")]
    assert [fault.source for fault in shift_change_check(["mains", "air"], ["Ana"], steps).broken] == ["air"]


def test_a_gap_is_named_once():
    steps = [
        Step("unlock", "air", "Ana"),
        *by("Rosa", "lock", source="mains"),
        Step("unlock", "mains", "Ana"),
    ]
    assert shift_change_check(["mains", "air"], ["Ana"], steps).broken == (
        Broken(0, "incoming_lock_before_unlock", "29 CFR 1910.147(f)(4)", "air"),
    )


def test_those_who_go_cannot_verify_for_those_who_come():
    steps = [*by("Rosa", "lock"), *by("Ana", "verify", "unlock"), *by("Rosa", "work")]
    assert shift_change_check(["mains"], ["Ana"], steps).broken == (
        Broken(3, "verify_before_work", "29 CFR 1910.147(d)(6)", "mains"),
    )


def test_other_breaches_of_a_change():
    left = shift_change_check(["mains"], ["Ana"], by("Rosa", "lock"))
    assert left.broken == (Broken(None, "unlock_missing", "29 CFR 1910.147(f)(4)", "mains"),)
    foreign = [*by("Ana", "lock"), *by("Rosa", "unlock"), *by("Ana", "unlock")]
    rules = [fault.rule for fault in shift_change_check(["mains"], ["Ana"], foreign).broken]
    assert rules == ["lock_before_unlock", "incoming_lock_before_unlock"]
    # Who goes may work on until the lock is off, and has verified long ago.
    assert shift_change_check(["mains"], ["Ana"], [*by("Ana", "work"), *CHANGE]).valid


def test_refusals():
    for call in (
        lambda: group_check(["box"], CREW, [Step("lock")]),
        lambda: group_check(["box"], CREW, by("Ana", "sing")),
        lambda: group_check([], CREW, []),
        lambda: shift_change_check(["mains"], [], []),
        lambda: shift_change_check(["mains"], ["Ana"], [Step("unlock")]),
        lambda: shift_change_check(["mains"], ["Ana"], by("Ana", "lock", source="air")),
    ):
        with pytest.raises(BadInput):
            call()


def test_a_crew_without_a_head_breaks_rules_by_name():
    verdict = group_check(["box"], [Crew(("Ana",), responsible=None, exposure_known=False)], [])
    assert verdict.broken == (
        Broken(None, "responsible_missing", "29 CFR 1910.147(f)(3)(ii)(A)"),
        Broken(None, "exposure_unknown", "29 CFR 1910.147(f)(3)(ii)(B)"),
    )


def test_starting_before_all_have_stopped_breaks_two_clauses():
    verdict = group_check(["box"], CREW, [*by("Ana", "lock", "work"), Step("start")])
    assert verdict.broken == (
        Broken(2, "stop_before_start", "29 CFR 1910.147(e)(2)(i)"),
        Broken(2, "unlock_before_start", "29 CFR 1910.147(e)(3)"),
    )


def test_several_crews_without_a_coordinator_break_clause_c():
    crews = [*CREW, Crew(("Rosa",), responsible="Rosa")]
    assert group_check(["box"], crews, []).broken == (
        Broken(None, "coordinator_missing", "29 CFR 1910.147(f)(3)(ii)(C)"),
    )


def test_whoever_comes_in_and_only_works_breaks_two_rules_on_each_source():
    steps = [*by("Ana", "work"), *by("Rosa", "work")]
    assert shift_change_check(
        ["mains", "air"], ["Ana"], [*steps, *by("Rosa", "lock"), *by("Ana", "unlock")]
    ).broken == (
        Broken(1, "own_lock_before_work", OWN_LOCK, "mains"),
        Broken(1, "own_lock_before_work", OWN_LOCK, "air"),
        Broken(1, "verify_before_work", "29 CFR 1910.147(d)(6)", "mains"),
        Broken(1, "verify_before_work", "29 CFR 1910.147(d)(6)", "air"),
    )


def test_a_source_that_was_verified_is_not_named_with_the_other():
    steps = [
        *by("Rosa", "lock"),
        *by("Rosa", "verify", source="air"),
        *by("Rosa", "work"),
        *by("Ana", "unlock"),
    ]
    assert shift_change_check(["mains", "air"], ["Ana"], steps).broken == (
        Broken(2, "verify_before_work", "29 CFR 1910.147(d)(6)", "mains"),
    )
