"""Right orders of a task's steps: which must come before which, by the solver's procedures, and one order of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from trainer.benches.acts import Act
from trainer.benches.lockout.cards import FIELD, FINISH, cards
from trainer.benches.lockout.play import run
from trainer.benches.lockout.rules import AFTER_WORK, TESTING, TRYING
from trainer.benches.lockout.task import Task
from trainer.benches.lockout.units import unit_of, units
from trainer.solver.lockout import ABSENT_OWNER, GIVING_BACK, TRIAL_RUN, lockout_plan
from trainer.solver.procedures import Plan, plan_of

Edge = tuple[str, str]


@cache
def edges(task: Task) -> frozenset[Edge]:
    """Pairs of units: the first must be done before the second."""
    found = {edge for check, plan in _plans(task) for edge in _of_plan(task, check, plan)}
    found |= set(_besides(task))
    known = units(task)
    return frozenset((first, then) for first, then in found if first != then and {first, then} <= set(known))


def right_order(task: Task, liked: Sequence[str] = ()) -> tuple[str, ...]:
    """The units in a right order, as near as may be to an order that somebody chose; units that it lacks come late."""
    known = list(units(task))
    wish = {one: i for i, one in reversed(list(enumerate(liked)))}
    rank = {one: (wish.get(one, len(liked)), _usual(task).index(one)) for one in known}
    order: list[str] = []
    while len(order) < len(known):
        ready = [one for one in known if one not in order and not _waits(task, one, order)]
        order.append(min(ready, key=rank.__getitem__))
    return tuple(order)


def acts_of(task: Task, order: Sequence[str]) -> tuple[Act, ...]:
    """The acts that do these units; a tester that stays silent is replaced, and what it tested is tested again."""
    acts: list[Act] = []
    for one in order:
        acts.append(act_of(task, units(task)[one].card))
        if acts[-1].values[FIELD] == "prove" and run(task, acts).now.word == "silent":
            acts += _once_more(task, acts)
    return (*acts, Act(FINISH, {}))


def act_of(task: Task, card: str) -> Act:
    """The act that lays a card."""
    return Act(cards(task)[card].group, {FIELD: card})


def _once_more(task: Task, acts: Sequence[Act]) -> list[Act]:
    now = run(task, acts).now
    seen = [f"verify.{one}" for one in task.tested if now.at_zero(one) is not None]
    return [act_of(task, card) for card in ("fetch", "prove", *seen, *(["prove"] if seen else []))]


@cache
def _usual(task: Task) -> tuple[str, ...]:
    """The units as the cards lie; what comes twice comes where it is due."""
    last = len(units(task))
    known = list(units(task))
    late = {"tester_again:": "work:", "inspect_area:": "free:", "check_people:": "free:"}
    places = {one: float(i) for i, one in enumerate(known)}
    for one, then in late.items():
        if one in places:
            places[one] = places.get(then, last) - 0.5
    return tuple(sorted(known, key=places.__getitem__))


def _waits(task: Task, one: str, done: Sequence[str]) -> bool:
    return any(first not in done for first in _before(task).get(one, ()))


@cache
def _before(task: Task) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for first, then in sorted(edges(task)):
        found[then] = (*found.get(then, ()), first)
    return found


def _plans(task: Task) -> Iterator[tuple[str, Plan]]:
    """The solver's plans that hold in this task, by the check that is named after each."""
    if task.variant == "absent_owner":
        left = task.point(task.left).sources
        yield "owner", plan_of([(ABSENT_OWNER, left)])
        yield "back", plan_of([(GIVING_BACK, left)])
        return
    yield "back", plan_of([(GIVING_BACK, task.ids)])
    yield "after", plan_of([(AFTER_WORK, task.ids)])
    yield "trying", plan_of([(TRYING, task.ids)])
    yield "lockout", lockout_plan(task.ids, "strict", task.coming_back)
    if task.tested:
        yield "testing", plan_of([(TESTING, task.tested)])
    if task.variant == "test_run":
        yield "trial", plan_of([(TRIAL_RUN, task.ids)])


def _of_plan(task: Task, check: str, plan: Plan) -> Iterator[Edge]:
    names = [unit_of(task, check, step.act, step.source, None) for step in plan.steps]
    yield from ((names[first], names[then]) for first, then, _ in plan.edges)


def _besides(task: Task) -> Iterator[Edge]:
    """What follows from whose lock hangs where, and from energy that comes back."""
    known = units(task)
    if task.leaky:
        # Anybody who leaves the drain open before looking sees nothing come back.
        yield f"keep_verifying:{task.leaky}", f"verify:{task.leaky}"
    match task.variant:
        case "absent_owner":
            yield from ((f"{act}:", "cut:") for act in ("inspect_area", "check_people"))
            yield "cut:", "free:"
        case "shift_change":
            yield from ((one, "work:") for one in known if one.startswith(("lock:", "verify:")))
            yield from ((f"lock:{point.id}", f"hand_off:{point.id}") for point in task.points)
            yield from ((f"hand_off:{point.id}", "start:") for point in task.points)
        case "test_run":
            again = ("shut_down:", "isolate:", "lock:", "release:", "verify:", "try_start:", "tester_live:")
            yield from (("energize_and_test:", one) for one in known if one.startswith(again))
            yield from (("energize_and_test:", one) for one in known if one.startswith("keep_verifying:"))
        case "group":
            ons = [one for one in known if one.startswith("box_on:")]
            offs = [one for one in known if one.startswith("box_off:")]
            yield from ((one, "work:") for one in ons)
            yield from (("work:", one) for one in offs)
            yield from ((off, one) for off in offs for one in known if one.startswith("remove:"))
