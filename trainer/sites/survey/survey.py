"""Surveying a wash: its sheet in, everything its eyes see and miss out, what is wrong first."""

from __future__ import annotations

from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.bay_axes import beam_length, lenses
from trainer.sites.survey.delays import survey_delays
from trainer.sites.survey.findings import with_findings
from trainer.sites.survey.light import survey_crosstalk, survey_enclosure, survey_signal, survey_suns
from trainer.sites.survey.measured import survey_length
from trainer.sites.survey.results import PairSurvey, SunSurvey, Survey
from trainer.sites.survey.running import (
    survey_applications,
    survey_charge,
    survey_spares,
    survey_supply,
)
from trainer.sites.survey.seeing import see_all
from trainer.solver.conveyor import pulse_rate, scan_limit


def survey(sheet: SiteSheet, year: int) -> Survey:
    """All that the solver says of a wash; `year` is the one whose sun counts, 1900 to 2100."""
    chain, suns = sheet.conveyor, survey_suns(sheet, sheet.eyes, year)
    facts = Survey(
        sheet=sheet,
        year=year,
        findings=(),
        pairs=tuple(_pair(sheet, eye, sun) for eye, sun in zip(sheet.eyes, suns, strict=True)),
        crosstalk=survey_crosstalk(sheet),
        applications=survey_applications(sheet),
        spares=survey_spares(sheet),
        supply=survey_supply(sheet),
        charge=survey_charge(sheet),
        pulse_rate=float(pulse_rate(chain.speed, chain.pulses_per_length)),
        pulse_limit=float(scan_limit(chain.scan_time, chain.input_filter)),
    )
    return with_findings(facts)


def _pair(sheet: SiteSheet, eye: EyePair, sun: SunSurvey) -> PairSurvey:
    emitter, receiver = lenses(sheet, eye)
    bodies = see_all(sheet, eye)
    return PairSurvey(
        eye=eye,
        name=Said(eye.name["en"], eye.name["es"]),
        emitter=emitter,
        receiver=receiver,
        length=beam_length(sheet, eye),
        bodies=bodies,
        measures=survey_length(sheet, eye, bodies),
        delays=survey_delays(sheet, eye, bodies),
        signal=survey_signal(sheet, eye),
        sun=sun,
        enclosure=survey_enclosure(eye),
    )
