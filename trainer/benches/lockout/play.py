"""What each card does at the machine: points, locks, what is left in the lines, the tester; and what cannot be done."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from trainer.benches.acts import Act
from trainer.benches.lockout.cards import AGAIN, FIELD, FINISH, TAKE_BACK, Card, begun, cards
from trainer.benches.lockout.task import CREW, FED, FORMER, MATE, ME, Task
from trainer.sites.said import Said

Lock = tuple[str, str]  # point or box, owner
BOX = "box"
_RETURNS_AFTER = 2  # steps after its gauge was read at zero, energy that leaks back shows again
_ONCE_AGAIN = frozenset({"stop", "estop", "tools", "people", "work"})  # due anew after a test run


@dataclass(frozen=True)
class State:
    """The machine after some steps.

    once: cards that stand alone and were done; open: points that are isolated; free: sources whose energy is out
    kept: sources whose drain stays open; read: what the last verification of a source showed
    word: what the tester said on the live source, '' before it was asked; tester: how many were fetched
    Hidden: used (the tester has tested), proved (this tester spoke on a live source), risen, since (steps since the
    leaky source was read at zero; -1: it was not).
    """

    once: frozenset[str]
    open: frozenset[str]
    locks: frozenset[Lock]
    free: frozenset[str]
    kept: frozenset[str]
    read: tuple[tuple[str, bool], ...] = ()
    word: str = ""
    tester: int = 0
    running: bool = False
    ran: bool = False
    used: bool = False
    proved: bool = False
    risen: bool = False
    since: int = -1

    def at_zero(self, source: str) -> bool | None:
        """Whether the last verification of a source showed nothing left; None where there was none."""
        return dict(self.read).get(source)


@dataclass(frozen=True)
class Done:
    """A card that was done: the machine before and after it."""

    card: Card
    before: State
    after: State


def start(task: Task) -> State:
    """The machine when the task begins."""
    acts = begun(task)
    points = frozenset(point.id for point in task.points)
    sources = frozenset(task.ids)
    worked = {"work"} if task.variant == "test_run" else set()
    return State(
        once=frozenset({"read", "tell", "stop"} | worked) if acts else frozenset(),
        open=points if "isolate" in acts else frozenset(),
        locks=_first_locks(task, points),
        free=sources if "release" in acts or task.variant == "absent_owner" else frozenset(),
        kept=frozenset(task.coming_back) if "keep" in acts else frozenset(),
        running="stop" not in acts,
    )


def _first_locks(task: Task, points: frozenset[str]) -> frozenset[Lock]:
    if task.variant == "absent_owner":
        return frozenset({(task.left, MATE)})
    if task.variant == "shift_change":
        return frozenset((point, FORMER) for point in points)
    return frozenset((point, ME) for point in points) if "lock" in begun(task) else frozenset()


@dataclass(frozen=True)
class Run:
    """What came of a list of acts: the cards that lie, in order; whether it was finished."""

    steps: tuple[Done, ...]
    now: State
    over: bool


def run(task: Task, acts: Sequence[Act]) -> Run:
    """Do the acts one by one; those that cannot be done count for nothing."""
    steps: list[Done] = []
    now, deck = start(task), cards(task)
    for act in acts:
        if _why_not(task, deck, now, len(steps), act) is not None:
            continue
        if act.kind == FINISH:
            return Run(tuple(steps), now, over=True)
        if act.kind == TAKE_BACK:
            now = steps.pop().before
            continue
        card = deck[act.pick(FIELD)]
        after = _after(task, now, card)
        steps.append(Done(card, now, after))
        now = after
    return Run(tuple(steps), now, over=False)


def refusal(task: Task, acts: Sequence[Act], act: Act) -> Said | None:
    """Why an act cannot be done after these; None where it can."""
    before = run(task, acts)
    if before.over:
        return Said("You have finished.", "Ya terminaste.")
    return _why_not(task, cards(task), before.now, len(before.steps), act)


def is_over(task: Task, acts: Sequence[Act]) -> bool:
    """Whether the procedure was finished."""
    return any(act.kind == FINISH and not act.values for act in acts) and run(task, acts).over


def _why_not(task: Task, deck: Mapping[str, Card], now: State, laid: int, act: Act) -> Said | None:
    if act.kind == FINISH and not act.values:
        return None
    if act.kind == TAKE_BACK and not act.values:
        return _no_way_back(task, laid)
    card = deck.get(str(act.values.get(FIELD)))
    if card is None or act.kind != card.group or len(act.values) != 1:
        return Said("This cannot be done here.", "Eso no se puede hacer aquí.")
    return barred(now, card)


def _no_way_back(task: Task, laid: int) -> Said | None:
    if task.live:
        return Said(
            "You are at the machine: what is done is done.", "Estás en la máquina: lo hecho, hecho está."
        )
    return None if laid else Said("No card lies there yet.", "Todavía no hay ninguna tarjeta.")


_DONE = Said("That is done already.", "Eso ya está hecho.")
_NO_LOCK = Said("That lock does not hang there.", "Ese candado no está puesto ahí.")


def barred(now: State, card: Card) -> Said | None:
    """Why a card cannot be laid now, as anybody at the machine can see; None where it can."""
    match card.act:
        case "isolate":
            done = card.key in now.open
        case "keep":
            done = card.key in now.kept
        case "lock" | "box_on":
            done = _lock_of(card) in now.locks
        case "remove" | "box_off" | "hand_off" | "their_lock":
            return _no_removal(now, card)
        case _:
            done = card.id in now.once and card.id not in AGAIN
    return _DONE if done else None


def _lock_of(card: Card) -> Lock:
    """The lock that a card puts on or takes off."""
    if card.act in ("box_on", "box_off"):
        return BOX, card.key
    return card.key, FORMER if card.act == "hand_off" else ME


def _no_removal(now: State, card: Card) -> Said | None:
    if card.act == "their_lock":
        return None if any(_is_theirs(lock) for lock in now.locks) else _NO_LOCK
    if card.act == "remove" and any(place == BOX for place, _ in now.locks):
        return Said(
            "The keys are in the box, and locks hang on it.",
            "Las llaves están en la caja, y hay candados en ella.",
        )
    return None if _lock_of(card) in now.locks else _NO_LOCK


def _is_theirs(lock: Lock) -> bool:
    """A lock that the card for taking off another's lock is about."""
    return lock == (BOX, MATE) or (lock[0] != BOX and lock[1] == FORMER)


def _after(task: Task, now: State, card: Card) -> State:
    """The machine after a card."""
    after = _moved(task, now, card)
    return _crept(task, now, after, card)


def _moved(task: Task, now: State, card: Card) -> State:
    move = _MOVES.get(card.act)
    return _once(now, card) if move is None else move(task, now, card)


def _once(now: State, card: Card) -> State:
    return replace(now, once=now.once | {card.id})


def _isolated(task: Task, now: State, card: Card) -> State:
    return replace(now, open=now.open | {task.point(card.key).id})


def _locked(_: Task, now: State, card: Card) -> State:
    return replace(now, locks=now.locks | {_lock_of(card)})


def _unlocked(task: Task, now: State, card: Card) -> State:
    off = {_lock_of(card)}
    if card.act == "cut":
        off = {(task.left, MATE)}
    if card.act == "their_lock":
        off = {lock for lock in now.locks if _is_theirs(lock)}
    return replace(_once(now, card), locks=now.locks - off)


def _stopped(_: Task, now: State, card: Card) -> State:
    return replace(_once(now, card), running=False)


def _fetched(_: Task, now: State, card: Card) -> State:
    return replace(_once(now, card), tester=now.tester + 1, used=False, proved=False, word="")


def _drained(task: Task, now: State, card: Card) -> State:
    """Energy that is let out stays out only where its supply is shut."""
    kept = now.kept | {card.key} if card.act == "keep" else now.kept
    source = task.source(card.key)
    out = card.act == "release" or (card.key == task.leaky and now.risen)
    fed = source.kind in FED or source.kind == "stored_charge"
    shut = source.point in now.open or not fed
    free = now.free | {card.key} if out and shut else now.free
    fallen = card.key == task.leaky and out and shut
    return replace(
        now, kept=kept, free=free, risen=now.risen and not fallen, since=-1 if fallen else now.since
    )


def left_in(task: Task, now: State, source: str) -> bool:
    """Whether a source still holds energy that can hurt."""
    if source == task.leaky and now.risen:
        return True
    one = task.source(source)
    return one.point not in now.open if one.kind == "electric" else source not in now.free


def _verified(task: Task, now: State, card: Card) -> State:
    source = card.key
    silent = source in task.tested and tester_dead(task, now)
    zero = silent or not left_in(task, now, source)
    read = (*(one for one in now.read if one[0] != source), (source, zero))
    since = 0 if source == task.leaky and zero and now.since < 0 else now.since
    return replace(now, read=read, used=now.used or source in task.tested, since=since)


def tester_dead(task: Task, now: State) -> bool:
    """Whether the tester shows nothing, whatever it touches: it may die while the first conductor is tested."""
    return now.tester == 0 and bool(task.tester_dies)


def _speaks(task: Task, now: State) -> bool:
    """Whether the tester shows the live source."""
    return now.tester > 0 or not task.tester_dies or (task.tester_dies == "between" and not now.used)


def _proved(task: Task, now: State, _: Card) -> State:
    speaks = _speaks(task, now)
    return replace(now, word="live" if speaks else "silent", proved=now.proved or speaks)


def _energized(task: Task, now: State, card: Card) -> State:
    """Power is back at every point without a lock, and all that was let out there with it."""
    held = {place for place, _ in now.locks} & now.open
    kept = frozenset(one for one in now.kept if task.source(one).point in held)
    free = frozenset(one for one in now.free if task.source(one).point in held)
    once = _once(now, card).once
    once = once - _ONCE_AGAIN if card.act == "run" else once
    running = not held
    return replace(
        now, once=once, open=frozenset(held), free=free, kept=kept, read=(), word="", running=running,
        ran=now.ran or card.act == "run", used=False, proved=False, risen=False, since=-1,
    )  # fmt: skip


_MOVES: Mapping[str, Callable[[Task, State, Card], State]] = {
    "isolate": _isolated,
    "lock": _locked,
    "box_on": _locked,
    "remove": _unlocked,
    "box_off": _unlocked,
    "hand_off": _unlocked,
    "cut": _unlocked,
    "their_lock": _unlocked,
    "release": _drained,
    "keep": _drained,
    "verify": _verified,
    "prove": _proved,
    "fetch": _fetched,
    "stop": _stopped,
    "run": _energized,
    "start": _energized,
}


def _crept(task: Task, before: State, after: State, card: Card) -> State:
    """What leaks back shows some steps after it was read at zero, where its drain does not stay open."""
    if before.since < 0 or after.since < 0 or task.leaky in after.kept or card.act in ("run", "start"):
        return replace(after, since=-1) if task.leaky in after.kept else after
    since = before.since + 1
    if since < _RETURNS_AFTER:
        return replace(after, since=since)
    read = tuple(one for one in after.read if one[0] != task.leaky)
    return replace(after, since=-1, risen=True, free=after.free - {task.leaky}, read=read)


def people(task: Task) -> tuple[str, ...]:
    """Who works at the machine in this task."""
    return CREW if task.variant == "group" else (ME,)
