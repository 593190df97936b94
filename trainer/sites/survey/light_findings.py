"""What is wrong with a pair's light: too little left, sun or a neighbor's light in the receiver, a leaky housing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from trainer.quantities.units import unit
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.light import sky_minutes, survey_crosstalk
from trainer.sites.survey.making import amount, at_pair, rounded, set_fields
from trainer.sites.survey.results import Amount, CrosstalkSurvey, Finding, Mend, PairSurvey, Survey
from trainer.sites.survey.seeing_findings import sees_as_before
from trainer.sites.survey.when import clock_span, months_said
from trainer.solver.signal import excess_gain_at

_HALF_INCH = 0.5 * 0.0254
_SPACING_STEP = 6 * 0.0254
_JET_PROOF = "IP66/IP67"
_SPARE = 1.02  # a mend aims a little beyond the limit, so that rounding does not fall short of it


def light_findings(survey: Survey, pair: PairSurvey) -> Iterator[Finding]:
    """Signal, sun, housing; then every neighbor whose light holds this receiver lit."""
    signal = pair.signal
    if signal.in_clear < signal.required:
        yield _signal(pair, "signal_dirty", signal.in_clear, signal.required)
    elif signal.in_steam < signal.least:
        yield _signal(pair, "signal_steam", signal.in_steam, signal.least)
    if not pair.enclosure.stands_jets:
        yield _enclosure(pair)
    if pair.sun.total > 0:
        yield _sun(survey, pair)
    for one in survey.crosstalk:
        if one.receiver_of == pair.eye.id and one.lit:
            yield _crosstalk(survey, pair, one)


def _signal(pair: PairSurvey, key: str, found: float, limit: float) -> Finding:
    return at_pair(
        key, "stops", pair, found=amount(found, "x"), limit=amount(limit, "x"), mends=(_brighter(pair),)
    )


def _brighter(pair: PairSurvey) -> Mend:
    """What the meter must show so that clear air and steam both leave enough; a stronger pair where none can."""
    eye, signal = pair.eye, pair.signal
    needed = max(signal.required, signal.least * signal.in_clear / signal.in_steam)
    value = rounded(needed * _SPARE, "x", 0.5, up=True)
    clean = amount(signal.steps[0].left, "x")
    if value.value <= clean.value:
        return set_fields("clean_and_aim", f"eyes.{eye.id}", {"excess_gain": value}, clean=clean)
    here = float(excess_gain_at(1.0, eye.reference_distance, pair.length))
    stronger = rounded(value.value * _SPARE / here, "x", 0.5, up=True)
    return set_fields(
        "stronger_pair", f"eyes.{eye.id}", {"excess_gain": value, "reference_gain": stronger},
        clean=clean, distance=amount(eye.reference_distance, "ft"),
    )  # fmt: skip


def _enclosure(pair: PairSurvey) -> Finding:
    mend = set_fields("fit_housing", f"eyes.{pair.eye.id}", {"enclosure": _JET_PROOF})
    code = Said(pair.enclosure.code, pair.enclosure.code)
    none, wanted = Amount(0, unit("1")), Amount(1, unit("1"))
    return at_pair("enclosure", "stops", pair, found=none, limit=wanted, mends=(mend,), names={"code": code})


def _sun(survey: Survey, pair: PairSurvey) -> Finding:
    return at_pair(
        "sun",
        "miscounts",
        pair,
        found=amount(pair.sun.total, "1"),
        limit=amount(0, "1"),
        mends=tuple(_out_of_the_sun(survey, pair)),
        names={"months": months_said(pair.sun.months), "times": clock_span(pair.sun)},
    )


def _out_of_the_sun(survey: Survey, pair: PairSurvey) -> Iterator[Mend]:
    """Looking down from the same middle height, looking from the other side, a closed wall: each that keeps it out."""
    where = f"eyes.{pair.eye.id}"
    tilted = _looking_down(survey, pair)
    if tilted is not None:
        low, high = amount(tilted.low, "in"), amount(tilted.high, "in")
        yield set_fields("look_down", where, {"low": low, "high": high, "high_head": "receiver"})
    swapped = _swapped(pair.eye)
    if _sunless(survey, swapped) and _undisturbed(survey, swapped):
        yield set_fields("swap_sides", where, {"receiver_side": swapped.receiver_side})
    yield set_fields("close_opening", where, {"opening": "none"})


def _looking_down(survey: Survey, pair: PairSurvey) -> EyePair | None:
    """Tilted about the present middle, to half an inch, until the receiver looks down by its whole view.

    No sun above the horizon stands within the view then. None where there is no room for it, or it would see less.
    """
    room, middle = pair.eye.may_stand, (pair.eye.low + pair.eye.high) / 2
    rise = survey.sheet.bay.width * math.tan(pair.eye.view_half_angle) / 2
    rise = _HALF_INCH * math.ceil(rise / _HALF_INCH)
    if room is None or middle - rise < room.lowest or middle + rise > room.highest:
        return None
    tilted = replace(pair.eye, low=middle - rise, high=middle + rise, high_head="receiver")
    return tilted if sees_as_before(survey, pair, tilted) else None


def _sunless(survey: Survey, moved: EyePair) -> bool:
    """Whether a pair set so never has the sun in its receiver, whatever wall it looks at."""
    return sky_minutes(survey.sheet, [moved], survey.year) == [0]


def _swapped(eye: EyePair) -> EyePair:
    return replace(eye, receiver_side="driver" if eye.receiver_side == "passenger" else "passenger")


def _with(sheet: SiteSheet, moved: EyePair) -> SiteSheet:
    return replace(sheet, eyes=tuple(moved if eye.id == moved.id else eye for eye in sheet.eyes))


def _undisturbed(survey: Survey, moved: EyePair) -> bool:
    """Whether a pair set so neither lights another's receiver nor is lit by another."""
    found = survey_crosstalk(_with(survey.sheet, moved))
    return not any(one.lit for one in found if moved.id in (one.emitter_of, one.receiver_of))


def _crosstalk(survey: Survey, pair: PairSurvey, one: CrosstalkSurvey) -> Finding:
    other = next(each for each in survey.pairs if each.eye.id == one.emitter_of)
    return at_pair(
        "crosstalk",
        "miscounts",
        pair,
        found=amount(one.gain, "x"),
        limit=amount(1.0, "x"),
        mends=tuple(_out_of_the_light(survey, pair)) or (Mend("shade", (), {}),),
        names={"other": other.name},
    )


def _out_of_the_light(survey: Survey, pair: PairSurvey) -> Iterator[Mend]:
    """The other side, where that lets no sun in; the nearest place along the conveyor that the sheet allows."""
    where, swapped = f"eyes.{pair.eye.id}", _swapped(pair.eye)
    if _undisturbed(survey, swapped) and _sunless(survey, swapped):
        yield set_fields("swap_against_light", where, {"receiver_side": swapped.receiver_side})
    room = pair.eye.may_stand
    if room is None:
        return
    steps = int((room.to_position - room.from_position) / _SPACING_STEP)
    places = [room.from_position + i * _SPACING_STEP for i in range(steps + 1)]
    for place in sorted(places, key=lambda at: abs(at - pair.eye.position)):
        if _undisturbed(survey, replace(pair.eye, position=place)):
            yield set_fields("move_along", where, {"position": amount(place, "ft")})
            return
