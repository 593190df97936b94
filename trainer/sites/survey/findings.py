"""Everything that is wrong in a survey, worst first."""

from __future__ import annotations

from dataclasses import replace

from trainer.sites.survey.delay_findings import delay_findings
from trainer.sites.survey.light_findings import light_findings
from trainer.sites.survey.results import SEVERITIES, Finding, Survey
from trainer.sites.survey.seeing_findings import seeing_findings
from trainer.sites.survey.site_findings import site_findings


def with_findings(survey: Survey) -> Survey:
    """The survey with its findings: by what they lead to, then in the order of the sheet."""
    found: list[Finding] = []
    for pair in survey.pairs:
        found += light_findings(survey, pair)
        seen = list(seeing_findings(survey, pair))
        # What cannot be seen right cannot be timed right: where no delays do, the beam is to blame.
        timed = () if seen and not pair.delays.region else delay_findings(survey, pair)
        found += [*seen, *timed]
    found += site_findings(survey)
    return replace(survey, findings=tuple(sorted(found, key=lambda one: SEVERITIES.index(one.severity))))
