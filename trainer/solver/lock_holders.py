"""Whose lock is on when: group lockout, change of shift, and locks that come off by the wrong hand.

Every worker protects their own life with their own lock; these checks follow each lock from hand to hand.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from trainer.solver.numbers import BadInput
from trainer.solver.procedures import CFR, Broken, Step, Verdict, covers, require_known, verdict

_OWN_LOCK = f"{CFR}(f)(3)(ii)(D)"
_OWN_HAND = f"{CFR}(e)(3)"
_HAND_OVER = f"{CFR}(f)(4)"
_VERIFY = f"{CFR}(d)(6)"


@dataclass(frozen=True)
class Crew:
    """A crew under a group lockout: its members, who answers for them, and whether that person knows who is exposed."""

    members: tuple[str, ...]
    responsible: str | None
    exposure_known: bool = True


class _Locks:
    """The locks that are on, source by source, and who is at work."""

    def __init__(self, sources: Sequence[str], owners: Collection[str] = ()) -> None:
        self.on = {source: set(owners) for source in sources}
        self.working: set[str] = set()
        self.stopped: set[str] = set()

    def take(self, step: Step) -> None:
        """What a step changes."""
        person = step.person or ""
        for source, owners in self.on.items():
            if covers(step, source) and step.act == "lock":
                owners.add(person)
            if covers(step, source) and step.act == "unlock":
                owners.discard(person)
        if step.act == "work":
            self.working.add(person)
            self.stopped.discard(person)
        if step.act == "stop":
            self.working.discard(person)
            self.stopped.add(person)

    def without(self, step: Step) -> list[str]:
        """The sources of a step on which its person has no lock."""
        return [
            source for source, owners in self.on.items() if covers(step, source) and step.person not in owners
        ]


def group_check(
    sources: Sequence[str], crews: Sequence[Crew], steps: Sequence[Step], coordinator: str | None = None
) -> Verdict:
    """Whether a group lockout is kept, and every rule it breaks.

    sources: names of the energy sources, or of the boxes that hold their keys
    crews: all people under the lockout; several crews need a coordinator
    steps: lock, work, stop and unlock by a person, lock and unlock for one source or all; start (of the machine, by
        anybody) only when nobody works and no lock is on
    Whoever works is a member of a crew and has their own lock on from before work until they stop, and takes it off
    then; nobody takes off another's. Raises BadInput for an unknown act or source, or a step without its person.
    Source: 29 CFR 1910.147(f)(3), (e)(3), 2015 edition.
    """
    require_known(("lock", "work", "stop", "unlock", "start"), sources, steps)
    _require_persons([step for step in steps if step.act != "start"])
    members = {person for crew in crews for person in crew.members}
    locks = _Locks(sources)
    faults = list(_crew_faults(crews, coordinator))
    for index, step in enumerate(steps):
        faults += _group_faults(index, step, locks, members)
        locks.take(step)
    for source, owners in locks.on.items():
        if owners & locks.stopped:
            faults.append(Broken(None, "unlock_missing", _OWN_LOCK, source))
    return verdict(faults)


def _crew_faults(crews: Sequence[Crew], coordinator: str | None) -> Iterator[Broken]:
    """What the crews lack before anybody starts."""
    if any(crew.responsible is None for crew in crews):
        yield Broken(None, "responsible_missing", f"{CFR}(f)(3)(ii)(A)")
    if not all(crew.exposure_known for crew in crews):
        yield Broken(None, "exposure_unknown", f"{CFR}(f)(3)(ii)(B)")
    if len(crews) > 1 and coordinator is None:
        yield Broken(None, "coordinator_missing", f"{CFR}(f)(3)(ii)(C)")


def _group_faults(index: int, step: Step, locks: _Locks, members: Collection[str]) -> Iterator[Broken]:
    if step.act == "work" and step.person not in members:
        yield Broken(index, "crew_before_work", f"{CFR}(f)(3)(ii)(B)")
    if step.act == "work":
        yield from (
            Broken(index, "own_lock_before_work", _OWN_LOCK, source) for source in locks.without(step)
        )
    if step.act == "unlock" and step.person in locks.working:
        yield Broken(index, "stop_before_unlock", _OWN_LOCK)
    if step.act == "unlock":
        yield from _not_their_own(index, step, locks)
    if step.act == "start" and locks.working:
        yield Broken(index, "stop_before_start", f"{CFR}(e)(2)(i)")
    if step.act == "start" and any(locks.on.values()):
        yield Broken(index, "unlock_before_start", _OWN_HAND)


def _not_their_own(index: int, step: Step, locks: _Locks) -> Iterator[Broken]:
    """Taking off a lock where one has none: then it is another's."""
    yield from (Broken(index, "lock_before_unlock", _OWN_HAND, source) for source in locks.without(step))


def shift_change_check(sources: Sequence[str], outgoing: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """Whether protection goes from one shift to the next without a gap, and every rule that is broken.

    sources: names of the energy sources
    outgoing: who has a lock on each of them when the change begins, at least one person
    steps: lock, verify, work, unlock by a person; everybody who is not outgoing comes in
    No unlocking leaves a source without any lock; whoever comes in has their own lock on every source before working,
    and one of those who come in has verified it; the outgoing take their locks along. Raises BadInput for an unknown
    act or source, or a step without its person.
    Source: 29 CFR 1910.147(f)(4), with (d)(6), (e)(3) and (f)(3)(ii)(D), 2015 edition.
    """
    require_known(("lock", "verify", "work", "unlock"), sources, steps)
    _require_persons(steps)
    if not outgoing:
        raise BadInput("outgoing", list(outgoing), "at least one person with a lock on")
    locks = _Locks(sources, outgoing)
    faults: list[Broken] = []
    for index, step in enumerate(steps):
        verified = [s for s in steps[:index] if s.act == "verify" and s.person not in outgoing]
        faults += _change_faults(index, step, locks, verified, outgoing)
        locks.take(step)
        if step.act == "unlock":
            bare = [source for source, owners in locks.on.items() if covers(step, source) and not owners]
            faults += [Broken(index, "incoming_lock_before_unlock", _HAND_OVER, source) for source in bare]
    for source, owners in locks.on.items():
        if owners & set(outgoing):
            faults.append(Broken(None, "unlock_missing", _HAND_OVER, source))
    return verdict(faults)


def _require_persons(steps: Sequence[Step]) -> None:
    for step in steps:
        if not step.person:
            raise BadInput("person", step.person, f"the name of who does {step.act}")


def _change_faults(
    index: int, step: Step, locks: _Locks, verified: Sequence[Step], outgoing: Sequence[str]
) -> Iterator[Broken]:
    if step.act == "unlock":
        yield from _not_their_own(index, step, locks)
    if step.act == "work":
        yield from (
            Broken(index, "own_lock_before_work", _OWN_LOCK, source) for source in locks.without(step)
        )
    if step.act == "work" and step.person not in outgoing:
        bare = [source for source in locks.on if not any(covers(one, source) for one in verified)]
        yield from (Broken(index, "verify_before_work", _VERIFY, source) for source in bare)
