"""Making a finding or a mend from its number, its limit and the place where it stands."""

from __future__ import annotations

import math
from collections.abc import Mapping

from trainer.quantities.units import unit
from trainer.sites.said import Said
from trainer.sites.survey.results import Amount, Change, Finding, Mend, PairSurvey, Severity

NO_NUMBERS: Mapping[str, Amount] = {}
NO_NAMES: Mapping[str, Said] = {}


def amount(value: float, key: str) -> Amount:
    """An SI value read in this US unit."""
    return Amount(value, unit(key))


def rounded(value: float, key: str, step: float, *, up: bool) -> Amount:
    """A value that people can set: a whole number of steps of this unit, upwards or downwards."""
    one = unit(key)
    steps = value / one.factor / step
    whole = math.ceil(steps - 1e-9) if up else math.floor(steps + 1e-9)
    return Amount(whole * step * one.factor, one)


def at_pair(
    key: str,
    severity: Severity,
    pair: PairSurvey,
    *,
    found: Amount,
    limit: Amount,
    mends: tuple[Mend, ...],
    numbers: Mapping[str, Amount] = NO_NUMBERS,
    names: Mapping[str, Said] = NO_NAMES,
) -> Finding:
    """A finding at an eye pair."""
    return Finding(key, severity, pair.eye.id, pair.name, found, limit, numbers, names, mends)


def set_fields(key: str, where: str, values: Mapping[str, Amount | str], **numbers: Amount) -> Mend:
    """A mend that sets fields of one part of the sheet; its sentence can write each value by the field's name."""
    changes = tuple(Change(f"{where}.{name}", value) for name, value in values.items())
    told = {name: value for name, value in values.items() if isinstance(value, Amount)}
    return Mend(key, changes, {**told, **numbers})
