"""What isolates, releases and proves each kind of energy at a wash, and which kinds can come back by themselves.

The rule (29 CFR 1910.147(d)(5)(i)) asks that stored energy be relieved, disconnected, restrained or otherwise made
safe; what that is for each kind is common practice, no source. The machine's written procedure decides.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.solver.numbers import require_one_of


@dataclass(frozen=True)
class Energy:
    """One kind: devices that isolate it (as energy_control.ISOLATING), keys of how it is released and how zero shows.

    comes_back: whether it can build up again behind the isolation, so that verifying goes on ((d)(5)(ii)).
    """

    isolated_by: tuple[str, ...]
    release: str
    verify: str
    comes_back: bool


ENERGIES = {
    "electric": Energy(("disconnect", "breaker"), "open_every_supply", "try_start_and_test_dead", False),
    "air": Energy(("line_valve",), "vent", "gauge_at_zero_and_try", True),
    "hydraulic": Energy(("line_valve",), "relieve_pressure", "gauge_at_zero_and_try", True),
    "gravity": Energy(("block",), "lower_or_block", "see_it_rest", False),
    "spring": Energy(("block",), "slacken_or_pin", "see_it_slack", False),
    # Water and chemicals pass a worn seat slowly; a capacitor's dielectric gives part of its charge back.
    "hot_water": Energy(("line_valve",), "drain_and_cool", "gauge_at_zero_and_cold", True),
    "chemical": Energy(("line_valve",), "drain_and_flush", "gauge_at_zero_and_flushed", True),
    "stored_charge": Energy(("disconnect", "breaker"), "discharge", "measure_dead", True),
}


def energy(kind: str) -> Energy:
    """What is known of a kind of energy. Raises BadInput."""
    require_one_of("kind", kind, tuple(ENERGIES))
    return ENERGIES[kind]


def returning(kinds: Mapping[str, str]) -> tuple[str, ...]:
    """Of these sources (name to kind), those whose energy can come back. Raises BadInput."""
    return tuple(source for source, kind in kinds.items() if energy(kind).comes_back)


def isolates_kind(device: str, kind: str) -> bool:
    """Whether a device is of the sort that isolates this kind of energy. Raises BadInput for an unknown kind."""
    return device in energy(kind).isolated_by
