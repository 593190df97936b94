"""Whether a sheet's numbers fit together: what cannot be is a fault, what should not be is a warning."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from trainer.documents import Faults, Node
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.solver.conveyor import scan_limit
from trainer.solver.electrical import awg_area, wire_resistance
from trainer.solver.signal import excess_gain_at

# Annealed copper cold to hot: a stranded conductor is 2 % longer than the cable (NEC chapter 9, table 8).
_COLDEST, _HOTTEST, _STRANDED = 0.0, 75.0, 1.02


def compare(sheet: SiteSheet, at: Mapping[str, Node], faults: Faults) -> SiteSheet:
    """The sheet with its warnings; `at` has the node of each field. A NaN, a fault already, compares as fine."""
    warnings = Faults()
    for i, eye in enumerate(sheet.eyes):
        _eye_impossible(eye, f"eyes.{i}.", at, faults)
        _around_impossible(eye, f"eyes.{i}.", at, faults)
    _pairs(sheet, at, faults)
    _traffic(sheet, at, faults)
    _electrical(sheet, at, faults)
    for i, one in enumerate(sheet.applications):
        if one.lead > one.distance:
            faults.add(
                at[f"applications.{i}.lead"],
                "The device would come on before the eye has seen the car.",
                "The lead is at most the distance from the eye.",
            )
    if not faults:
        _warn(sheet, at, warnings)
    return replace(sheet, warnings=warnings.all)


def _eye_impossible(eye: EyePair, where: str, at: Mapping[str, Node], faults: Faults) -> None:
    if eye.low > eye.high:
        faults.add(at[where + "low"], "The low eye stands above the high eye.", "Swap `low` and `high`.")


def _around_impossible(eye: EyePair, where: str, at: Mapping[str, Node], faults: Faults) -> None:
    """An opening of no size; room to stand that has no height, or that ends before it begins."""
    opening, room = eye.opening, eye.may_stand
    if opening is not None and opening.sill >= opening.head:
        faults.add(
            at[where + "opening.sill"],
            "The opening's lower edge stands above its upper edge.",
            "Measure both from the floor.",
        )
    if opening is not None and opening.before + opening.after <= 0:
        faults.add(
            at[where + "opening.after"],
            "The opening would end where it begins, or before.",
            "Only one of `before` and `after` is negative, and it is the smaller one.",
        )
    if room is not None and room.lowest >= room.highest:
        faults.add(at[where + "may_stand.lowest"], "The lowest place is above the highest.", "Swap them.")
    if room is not None and room.from_position > room.to_position:
        faults.add(at[where + "may_stand.from"], "The room ends before it begins.", "Swap `from` and `to`.")


def _pairs(sheet: SiteSheet, at: Mapping[str, Node], faults: Faults) -> None:
    if len(sheet.eyes) > 1 and sheet.eyes[0].position == sheet.eyes[1].position:
        faults.add(
            at["eyes.1.position"],
            "The second pair stands where the first one stands.",
            "Measure how far along the conveyor it is.",
        )


def _traffic(sheet: SiteSheet, at: Mapping[str, Node], faults: Faults) -> None:
    if sheet.conveyor.pitch <= sheet.conveyor.smallest_gap:
        faults.add(
            at["conveyor.pitch"],
            "From nose to nose is not longer than the gap, so a car would have no length.",
            "The pitch is a car's length and the gap behind it.",
        )


def _electrical(sheet: SiteSheet, at: Mapping[str, Node], faults: Faults) -> None:
    if sheet.supply.least_voltage >= sheet.supply.voltage:
        faults.add(
            at["supply.least_voltage"],
            "A head would need as much as the supply gives, or more.",
            "Read both again from the labels.",
        )
    if sheet.supply.gauge % 1 > 0:
        faults.add(at["supply.gauge"], "A wire gauge is a whole number.", "Read it from the cable's jacket.")
    if sheet.drive.safe_voltage >= sheet.drive.bus_voltage:
        faults.add(
            at["drive.safe_voltage"],
            "The capacitor would count as empty while the drive runs.",
            "It must be below `bus_voltage`.",
        )


def _warn(sheet: SiteSheet, at: Mapping[str, Node], warnings: Faults) -> None:
    for i, eye in enumerate(sheet.eyes):
        _warn_eye(sheet, eye, f"eyes.{i}.", at, warnings)
    _warn_controller(sheet, at, warnings)
    _warn_cable(sheet, at, warnings)
    for i, (before, behind) in enumerate(pairwise(sheet.applications), 1):
        if behind.distance < before.distance:
            warnings.add(
                at[f"applications.{i}.distance"],
                f"`{behind.id}` stands before `{before.id}`.",
                "List the applications as a car meets them.",
            )


def _warn_eye(sheet: SiteSheet, eye: EyePair, where: str, at: Mapping[str, Node], warnings: Faults) -> None:
    longest = sheet.conveyor.smallest_gap / sheet.conveyor.speed
    if eye.off_delay >= longest:
        warnings.add(
            at[where + "off_delay"],
            "With this off-delay the smallest gap passes unseen, and two cars become one.",
            f"Set it shorter than {longest:.2f} s, or keep cars farther apart.",
        )
    clean = float(excess_gain_at(eye.reference_gain, eye.reference_distance, sheet.bay.width))
    if eye.excess_gain > clean * 1.001:
        warnings.add(
            at[where + "excess_gain"],
            f"A clean pair gives {clean:.3g} at this bay width; no measured one can give more.",
            "Measure it again, or check the reference gain and distance.",
        )


def _warn_controller(sheet: SiteSheet, at: Mapping[str, Node], warnings: Faults) -> None:
    pulse_rate = sheet.conveyor.speed * sheet.conveyor.pulses_per_length
    limit = float(scan_limit(sheet.conveyor.scan_time, sheet.conveyor.input_filter))
    if pulse_rate >= limit:
        warnings.add(
            at["conveyor.scan_time"],
            f"Pulses come {pulse_rate:.3g} a second; this scan and filter count at most {limit:.3g}.",
            "Use a counting input, or check the numbers.",
        )


def _warn_cable(sheet: SiteSheet, at: Mapping[str, Node], warnings: Faults) -> None:
    area = awg_area(sheet.supply.gauge)
    least = float(wire_resistance(area, _COLDEST)) * 0.95
    most = float(wire_resistance(area, _HOTTEST)) * _STRANDED * 1.05
    if not least <= sheet.supply.resistance_per_length <= most:
        warnings.add(
            at["supply.resistance_per_length"],
            "This is not the resistance of a copper conductor of that gauge.",
            "Give the resistance of one conductor, not of the loop, and check the gauge.",
        )
