"""What the numbers of a task ask of the two delays, and which delays answer all of it."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.benches.delay.task import STEP, Facts
from trainer.solver.delays import Demand, Region, delay_region


def demands(facts: Facts) -> Mapping[str, Demand]:
    """What is asked, by name; what the beam and the input filter take of the nose's allowance is off already."""
    found = {"walker": Demand("ignore", facts.walker, "walker")}
    if facts.cart:
        found["cart"] = Demand("ignore", facts.cart, "cart")
    if facts.hole:
        found["hole"] = Demand("bridge", facts.hole, "hole")
    found["gap"] = Demand("keep_apart", facts.gap, "gap")
    if facts.rolled:
        found["rolled"] = Demand("keep_apart", facts.rolled, "rolled")
    if facts.nose_left > 0:
        found["nose"] = Demand("nose", facts.nose_left, "nose")
    return found


def region(facts: Facts) -> Region:
    """Which delays meet all that is asked."""
    return delay_region(list(demands(facts).values()), facts.speed, facts.tolerance, scan_time=facts.scan)


def can_be_met(facts: Facts) -> bool:
    """Whether a setting that can be dialed, in steps, meets all that is asked."""
    found = region(facts)
    if found.recommended is None:
        return False
    on, off = (round(one / STEP) * STEP for one in found.recommended)
    return facts.nose_left > 0 and found.holds(on, off)
