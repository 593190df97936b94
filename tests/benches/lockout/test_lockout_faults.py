"""What each wrong step breaks, with its clause, and what no points make good."""

import pytest

from tests.benches.lockout.lockout_cast import (
    AIR_ALONE,
    FINISH,
    SHEET,
    card,
    laid,
    make,
    play,
    source,
    with_sources,
)
from trainer.benches import lockout
from trainer.benches.acts import Act
from trainer.benches.frame import NoTask
from trainer.benches.lockout.play import run
from trainer.benches.lockout.scoring import judge
from trainer.benches.lockout.task import VARIANTS
from trainer.solver.lockout import lockout_check
from trainer.solver.procedures import Step

RIGHT = (
    "read", "tell", "stop", "isolate.p1", "lock.p1", "release.shop_air", "keep.shop_air", "try", "off",
    "verify.shop_air", "work", "tools", "people", "remove.p1", "free", "start",
)  # fmt: skip


def moved(name, before):
    """The right order with one step done before another."""
    rest = [one for one in RIGHT if one != name]
    rest.insert(rest.index(before), name)
    return rest


def broken(task, acts):
    return {(fault.broken.rule, fault.broken.clause) for fault in judge(task, acts).faults}


# Clauses as read in 29 CFR 1910.147, 2015 edition; Appendix A for the try and the controls.
@pytest.mark.parametrize(
    "name, before, rule, where, fails",
    [
        ("tell", "isolate.p1", None, "", False),
        ("lock.p1", "isolate.p1", "isolate_before_lock", "(d)(3)", False),
        ("stop", "read", "prepare_before_shut_down", "(d)(1)", False),
        ("isolate.p1", "stop", "shut_down_before_isolate", "(d)(2)", False),
        ("release.shop_air", "lock.p1", "lock_before_release", "(d)(4)(i)", False),
        ("verify.shop_air", "release.shop_air", "release_before_verify", "(d)(5)(i)", True),
        ("keep.shop_air", "release.shop_air", "release_before_keep_verifying", "(d)(5)(i)", False),
        ("work", "verify.shop_air", "verify_before_work", "(d)(6)", True),
        ("work", "lock.p1", "own_lock_before_work", "(f)(3)(ii)(D)", True),
        ("work", "keep.shop_air", "keep_verifying_before_work", "(d)(5)(ii)", True),
        ("try", "lock.p1", "lock_before_try_start", "(d)(4)(i)", False),
        ("off", "try", "try_start_before_controls_off", ", Appendix A", False),
        ("tools", "work", "work_before_inspect_area", "(e)", False),
        ("remove.p1", "people", "check_people_before_remove", "(e)(2)(i)", False),
        ("remove.p1", "tools", "inspect_area_before_remove", "(e)(1)", False),
        ("start", "free", "notify_before_start", "(e)(2)(ii)", False),
        ("free", "remove.p1", "remove_before_notify", "(e)(2)(ii)", False),
        ("start", "remove.p1", "unlock_before_start", "(e)(3)", False),
    ],
)  # fmt: skip
def test_a_step_out_of_place_breaks_its_clause(name, before, rule, where, fails):
    task = make(2, sheet=AIR_ALONE)
    acts = play(task, *moved(name, before))
    got = lockout.score(task, acts)
    if rule is None:
        assert got.points == 100
        return
    found = dict(broken(task, acts))
    assert found[rule].endswith(f"1910.147{where}") or (rule, found[rule]) == (
        "remove_before_notify",
        found[rule],
    )
    assert got.points < 100 and (got.failed is not None) == fails


def test_telling_after_the_lock_is_too_late():
    task = make(2, sheet=AIR_ALONE)
    rest = [one for one in RIGHT if one != "tell"]
    rest.insert(rest.index("lock.p1") + 1, "tell")
    assert ("notify_before_lock", "29 CFR 1910.147(c)(9)") in broken(task, play(task, *rest))


@pytest.mark.parametrize("gone", RIGHT)
def test_a_step_left_out_costs_and_a_missing_verification_fails(gone):
    task = make(2, sheet=AIR_ALONE)
    got = lockout.score(task, play(task, *(one for one in RIGHT if one != gone)))
    assert got.points < 100
    assert (got.failed is not None) == (gone in ("verify.shop_air", "lock.p1", "release.shop_air"))


def test_the_solver_alone_finds_the_same_as_the_bench():
    """The eight acts of (d) and the five of (e), as the solver is asked about them without the bench."""
    task = make(2, sheet=AIR_ALONE)
    words = {"read": "prepare", "tell": "notify", "stop": "shut_down", "keep.shop_air": "keep_verifying"}
    own = ("prepare", "notify", "shut_down", "isolate", "lock", "release", "keep_verifying", "verify", "work")
    for name in RIGHT[:11]:
        for before in RIGHT[:11]:
            if name == before:
                continue
            order = moved(name, before)
            steps = [words.get(one, one.split(".")[0]) for one in order]
            steps = [Step(one, "shop_air" if one in own[3:8] else None) for one in steps if one in own]
            said = lockout_check(["shop_air"], steps, comes_back=["shop_air"])
            mine = {f.broken.rule for f in judge(task, play(task, *order)).faults if f.check == "lockout"}
            assert mine == {one.rule for one in said.broken}


def test_an_empty_plan_fails():
    for variant in VARIANTS:
        task = make(2, variant)
        got = lockout.score(task, [FINISH])
        assert got.points == 0
        assert (got.failed is None) == (variant == "absent_owner")


def test_an_emergency_stop_isolates_nothing():
    # 29 CFR 1910.147(b): push buttons and control circuit devices are no energy isolating devices.
    task = make(2, sheet=AIR_ALONE)
    with_it = lockout.score(task, play(task, *RIGHT[:3], "estop", *RIGHT[3:]))
    instead = lockout.score(task, play(task, *RIGHT[:3], "estop", *RIGHT[4:]))
    assert with_it.points < 100 and with_it.failed is None
    assert instead.points < with_it.points


def test_the_lock_of_an_absent_owner_comes_off_by_the_procedure_alone():
    # 29 CFR 1910.147(e)(3)(i) to (iii)
    task = make(2, "absent_owner")
    assert lockout.score(task, play(task, *laid(task, lockout.best(task).acts))).points == 100
    for gone in ("paper", "away", "call"):
        names = [one for one in laid(task, lockout.best(task).acts) if one != gone]
        assert "(e)(3)" in lockout.score(task, play(task, *names)).failed.en
    names = [one for one in laid(task, lockout.best(task).acts) if one != "told"]
    unaware = play(task, *names)
    assert ("tell_owner_before_owner_resumes", "29 CFR 1910.147(e)(3)(iii)") in broken(task, unaware)


def test_another_mans_lock_taken_off_fails_whatever_the_points():
    for variant in ("group", "shift_change"):
        task = make(3, variant)
        best = list(lockout.best(task).acts)
        got = lockout.score(task, [best[0], best[1], card("their_lock", task), *best[2:]])
        assert "Somebody else" in got.failed.en


def test_everybody_in_a_group_hangs_a_lock_of_their_own():
    # 29 CFR 1910.147(f)(3)(ii)(D)
    task = make(3, "group")
    names = [one for one in laid(task, lockout.best(task).acts) if one not in ("box_on.luis", "box_off.luis")]
    acts = play(task, *names)
    assert ("own_lock_before_work", "29 CFR 1910.147(f)(3)(ii)(D)") in broken(task, acts)
    assert lockout.score(task, acts).failed is not None
    # The keys are in the box: while a lock hangs on it, no point can be opened.
    boxed = [card("box_on.you", task)]
    assert "box" in lockout.refusal(task, boxed, card("remove.p1", task)).en


def test_a_shift_leaves_no_gap():
    # 29 CFR 1910.147(f)(4)
    task = make(3, "shift_change")
    names = laid(task, lockout.best(task).acts)
    gap = ["hand_off.p1", *(one for one in names if one != "hand_off.p1")]
    assert ("incoming_lock_before_unlock", "29 CFR 1910.147(f)(4)") in broken(task, play(task, *gap))
    stays = [one for one in names if one != "hand_off.p1"]
    assert ("unlock_missing", "29 CFR 1910.147(f)(4)") in broken(task, play(task, *stays))


def test_after_a_test_run_the_whole_lockout_is_done_anew():
    # 29 CFR 1910.147(f)(1)(i) to (v)
    task = make(2, "test_run")
    names = laid(task, lockout.best(task).acts)
    run_at = names.index("run")
    assert names[:2] == ["tools", "people"]
    swapped = ["people", "tools", *names[2:]]
    assert ("clear_tools_before_clear_people", "29 CFR 1910.147(f)(1)(i)") in broken(
        task, play(task, *swapped)
    )
    straight_on = play(task, *names[: run_at + 1], "work", *names[names.index("work") + 1 :])
    assert ("reapply_missing", "29 CFR 1910.147(f)(1)(v)") in broken(task, straight_on)
    assert lockout.score(task, straight_on).failed is not None
    for one in ("stop", "isolate.p1", "lock.p1", "work"):
        assert (
            lockout.refusal(task, [], card(one, task)) is not None
        )  # it is locked out and half done already


def test_a_dead_tester_proves_nothing():
    # 29 CFR 1910.333(b)(2)(iv)(B); it is law above 600 V.
    for seed in "1234":
        task = make(3, "dead_tester", seed)
        names = laid(task, lockout.best(task).acts)
        assert "fetch" in names
        unproved = play(task, *(one for one in names if one not in ("fetch", "prove")))
        assert lockout.score(task, unproved).failed is not None
        trusting = play(task, *dict.fromkeys(one for one in names if one != "fetch"))
        assert ("verify_before_work", "29 CFR 1910.147(d)(6)") in broken(task, trusting)


def test_a_tester_is_proved_before_and_after():
    task = make(3, "plain")
    names = laid(task, lockout.best(task).acts)
    first, again = (i for i, one in enumerate(names) if one == "prove")
    rules = dict(broken(task, play(task, *names[:first], *names[first + 1 :])))
    assert rules["tester_live_before_verify"] == "29 CFR 1910.333(b)(2)(iv)(B)"
    rules = dict(broken(task, play(task, *names[:again], *names[again + 1 :])))
    assert rules["tester_again_before_work"] == "29 CFR 1910.333(b)(2)(iv)(B)"


def test_energy_that_comes_back_is_let_out_and_verified_again():
    # 29 CFR 1910.147(d)(5)(ii)
    task = make(3, "comes_back")
    key = task.leaky
    best = laid(task, lockout.best(task).acts)
    at_work = best.index("work")
    late = [one for one in best[:at_work] if one not in (f"keep.{key}", f"verify.{key}")]
    late = [*late, f"verify.{key}", "try", "off"]  # two steps on, its gauge rises
    assert run(task, play(task, *late)).now.risen
    ignored = lockout.score(task, play(task, *late, f"keep.{key}", *best[at_work:]))
    assert ignored.failed is not None
    mended = lockout.score(task, play(task, *late, f"keep.{key}", f"verify.{key}", *best[at_work:]))
    assert (mended.points, mended.failed) == (100, None)
    again = (f"release.{key}", f"keep.{key}", f"verify.{key}")
    assert lockout.score(task, play(task, *late, *again, *best[at_work:])).points == 100
    not_kept = lockout.score(task, play(task, *late[:-2], *best[at_work:]))
    assert not_kept.failed is not None


def test_two_sources_at_one_point_take_one_lock():
    task = make(2, machine="conveyor")
    shared = [point for point in task.points if len(point.sources) == 2]
    assert [point.sources for point in shared] == [("mains", "bus")]
    assert laid(task, lockout.best(task).acts).count(f"lock.{shared[0].id}") == 1


def test_a_sheet_without_the_energy_says_what_is_missing():
    with pytest.raises(NoTask, match="energy_sources"):
        make(1, sheet=AIR_ALONE)
    with pytest.raises(NoTask, match="come back"):
        make(3, "comes_back", sheet=with_sources(source("brush", "gravity")))
    with pytest.raises(NoTask, match="energy_sources"):
        make(2, sheet=with_sources())
    # Where nothing is fixed, the bench takes what the sheet allows.
    brush = with_sources(source("brush", "gravity", "Prop", "Puntal"))
    seen = {make(3, "", str(i), sheet=brush).variant for i in range(20)}
    assert seen == {"group", "shift_change"}


@pytest.mark.parametrize("level", [1, 2, 3])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_level_makes_tasks_in_both_unit_systems(level, system):
    drawn = [make(level, "", str(i), system) for i in range(30)]
    assert all(lockout.best(task).score.points == 100 for task in drawn)
    wanted = {1: {"plain"}, 2: {"plain", "test_run", "absent_owner"}}
    rest = {"group", "shift_change", "comes_back", "dead_tester"}
    assert {task.variant for task in drawn} == wanted.get(level, rest)
    assert {task.machine.en for task in drawn} == {one.name for one in SHEET.machines}
    if level == 1:
        assert all(len(task.sources) == 2 and task.sources[0].kind == "electric" for task in drawn)


@pytest.mark.parametrize(
    "act",
    [
        Act("nothing", {}),
        Act("work", {}),
        Act("work", {"card": 3.0}),
        Act("work", {"card": "tools"}),
        Act("work", {"card": "work", "more": "x"}),
        Act("finish", {"card": "work"}),
        Act("take_back", {"card": "work"}),
    ],
)
def test_odd_acts_are_refused_and_count_for_nothing(act):
    task = make(2)
    best = lockout.best(task).acts
    assert lockout.refusal(task, [], act) is not None
    assert lockout.score(task, [act, *best[:-1], act, best[-1], act]) == lockout.score(task, best)
    assert not lockout.is_over(task, [act])
    assert lockout.is_over(task, best)
    assert lockout.refusal(task, best, card("work", task)) is not None
