"""Kinds of energy: the same as on the site sheet, each with a device that the law calls isolating."""

import pytest

from trainer.sites.sheet import ENERGY_KINDS
from trainer.solver.energies import ENERGIES, energy, isolates_kind, returning
from trainer.solver.energy_control import CONTROLLING, isolates
from trainer.solver.numbers import BadInput


def test_the_kinds_are_those_of_the_site_sheet():
    assert set(ENERGIES) == set(ENERGY_KINDS)


@pytest.mark.parametrize("kind", sorted(ENERGIES))
def test_only_isolating_devices_isolate_a_kind(kind):
    # 29 CFR 1910.147(b): buttons, selectors and other control devices are no energy isolating devices.
    assert energy(kind).isolated_by
    assert all(isolates(device) for device in energy(kind).isolated_by)
    assert not any(isolates_kind(device, kind) for device in CONTROLLING)
    assert not isolates_kind("block" if kind not in {"gravity", "spring"} else "breaker", kind)


def test_what_lies_under_pressure_or_holds_a_charge_can_come_back():
    kinds = {kind: kind for kind in ENERGIES}
    assert set(returning(kinds)) == {"air", "hydraulic", "hot_water", "chemical", "stored_charge"}
    assert returning({"line": "air", "brush": "gravity"}) == ("line",)


def test_unknown_kinds_are_refused():
    with pytest.raises(BadInput, match="kind is 'steam'"):
        energy("steam")
    with pytest.raises(BadInput):
        returning({"boiler": "steam"})
