"""How much light is left at each receiver, whose light and which sun come in besides, and what its housing stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import beam_length, lenses, receiver_looks
from trainer.sites.survey.results import (
    CrosstalkSurvey,
    EnclosureSurvey,
    SignalStep,
    SignalSurvey,
    SunSurvey,
)
from trainer.solver.crosstalk import Disturbance, site_crosstalk, well_aimed
from trainer.solver.electrical import decode_ip
from trainer.solver.signal import excess_gain_at
from trainer.solver.signal_budget import Weather, signal_budget
from trainer.solver.sun import Opening, sun_minutes, visit_minutes

# Visibility is what people tell by eye: the distance at which a dark thing is just seen, 5 % contrast (ICAO, WMO).
CONTRAST = 0.05


def survey_signal(sheet: SiteSheet, eye: EyePair) -> SignalSurvey:
    """The surroundings are asked of the measured gain in clear air; in steam the row of clean air: dirt counts once."""
    distance = beam_length(sheet, eye)
    clear = signal_budget(eye.excess_gain, distance, environment=eye.environment)
    weather = Weather(visibility=sheet.bay.visibility_steam, contrast=CONTRAST)
    steam = signal_budget(eye.excess_gain, distance, weather=weather)
    clean = float(excess_gain_at(eye.reference_gain, eye.reference_distance, distance))
    return SignalSurvey(
        steps=(
            SignalStep("clean", Said("a clean pair here", "un par limpio aquí"), clean),
            SignalStep("measured", Said("as measured", "lo medido"), clear.gain),
            SignalStep("steam", Said("on a steamy day", "en un día de vapor"), steam.gain),
        ),
        required=clear.required,
        least=steam.required,
        in_clear=clear.gain,
        in_steam=steam.gain,
    )


def survey_crosstalk(sheet: SiteSheet) -> tuple[CrosstalkSurvey, ...]:
    """Every pair's light in every other pair's receiver, the strongest first."""
    pairs = [
        well_aimed(eye.id, *lenses(sheet, eye), (eye.half_angle, eye.view_half_angle), eye.excess_gain)
        for eye in sheet.eyes
    ]
    return tuple(_crosstalk(sheet, one) for one in site_crosstalk(pairs))


def _crosstalk(sheet: SiteSheet, found: Disturbance) -> CrosstalkSurvey:
    eyes = {eye.id: eye for eye in sheet.eyes}
    emitter, _ = lenses(sheet, eyes[found.emitter])
    _, receiver = lenses(sheet, eyes[found.receiver])
    return CrosstalkSurvey(
        found.emitter, found.receiver, math.dist(emitter, receiver), found.margin, found.gain
    )


def sky_minutes(sheet: SiteSheet, eyes: Sequence[EyePair], year: int) -> list[int]:
    """Minutes a year with the sun in each receiver's field of view, if there were no walls; one solution for all."""
    looks = np.array([receiver_looks(sheet, eye) for eye in eyes])
    views = np.array([eye.view_half_angle for eye in eyes])
    place = sheet.location
    found = sun_minutes(place.latitude, place.longitude, year, looks[:, 0], looks[:, 1], views)
    return [int(one) for one in np.atleast_1d(found)]


def survey_suns(sheet: SiteSheet, eyes: Sequence[EyePair], year: int) -> list[SunSurvey]:
    """The sun in each receiver, through the opening; a wall without one keeps all of it out."""
    skies = sky_minutes(sheet, eyes, year)
    return [_sun(sheet, eye, year, sky) for eye, sky in zip(eyes, skies, strict=True)]


def _sun(sheet: SiteSheet, eye: EyePair, year: int, open_sky: int) -> SunSurvey:
    azimuth, elevation = receiver_looks(sheet, eye)
    local = _local_times(visits(sheet, eye, year) if open_sky else [], year, sheet.time_zone)
    of_day = [60 * at.hour + at.minute for at in local]
    return SunSurvey(
        calendar=_calendar(local),
        total=len(local),
        open_sky=open_sky,
        azimuth=azimuth,
        elevation=elevation,
        first=min(of_day, default=None),
        last=max(of_day, default=None),
    )


def visits(sheet: SiteSheet, eye: EyePair, year: int) -> list[int]:
    """The minutes of the year, from its start UTC, with the sun in the receiver through the opening."""
    opening = opening_seen(sheet, eye)
    if opening is None:
        return []
    azimuth, elevation = receiver_looks(sheet, eye)
    place = sheet.location
    found = visit_minutes(
        place.latitude, place.longitude, year, azimuth, elevation, eye.view_half_angle, opening
    )
    return [int(one) for one in found]


def opening_seen(sheet: SiteSheet, eye: EyePair) -> Opening | None:
    """The opening behind the emitter as the receiver sees it; None for a solid wall."""
    if eye.opening is None:
        return None
    _, (_, _, height) = lenses(sheet, eye)
    before, after = eye.opening.before, eye.opening.after
    # From the driver's side one has the way that cars go on the left, from the passenger's side on the right.
    left, right = (-after, before) if eye.receiver_side == "driver" else (-before, after)
    return Opening(
        sill=eye.opening.sill - height,
        head=eye.opening.head - height,
        left=left,
        right=right,
        distance=sheet.bay.width,
    )


def _local_times(minutes: Sequence[int], year: int, time_zone: str) -> list[datetime]:
    zone, start = ZoneInfo(time_zone), datetime(year, 1, 1, tzinfo=UTC)
    return [(start + timedelta(minutes=one)).astimezone(zone) for one in minutes]


def _calendar(local: Sequence[datetime]) -> tuple[tuple[int, ...], ...]:
    rows = [[0] * 24 for _ in range(12)]
    for at in local:
        rows[at.month - 1][at.hour] += 1
    return tuple(map(tuple, rows))


def survey_enclosure(eye: EyePair) -> EnclosureSurvey:
    """What the IP code of the heads promises."""
    code = decode_ip(eye.enclosure)
    return EnclosureSurvey(eye.enclosure, code.dust_tight, code.stands_jets)
