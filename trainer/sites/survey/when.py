"""Months and times of day in words, in both languages."""

from __future__ import annotations

from trainer.sites.said import Said
from trainer.sites.survey.results import SunSurvey

_MONTHS = (
    ("January", "enero"), ("February", "febrero"), ("March", "marzo"), ("April", "abril"), ("May", "mayo"),
    ("June", "junio"), ("July", "julio"), ("August", "agosto"), ("September", "septiembre"),
    ("October", "octubre"), ("November", "noviembre"), ("December", "diciembre"),
)  # fmt: skip


def months_said(months: tuple[int, ...]) -> Said:
    """Months in a row as their ends, around the turn of the year too: `November to January and March`."""
    runs = _runs(months)
    return Said(*(_joined([_run(run, tongue) for run in runs], tongue) for tongue in (0, 1)))


def _runs(months: tuple[int, ...]) -> list[list[int]]:
    runs: list[list[int]] = []
    for month in sorted(months):
        if runs and runs[-1][-1] == month - 1:
            runs[-1].append(month)
        else:
            runs.append([month])
    if len(runs) > 1 and runs[0][0] == 1 and runs[-1][-1] == 12:
        runs = [[*runs[-1], *runs[0]], *runs[1:-1]]
    return runs


def _run(run: list[int], tongue: int) -> str:
    first, last = _MONTHS[run[0] - 1][tongue], _MONTHS[run[-1] - 1][tongue]
    if len(run) == 1:
        return first
    return f"{first} {('to', 'a')[tongue]} {last}"


def _joined(parts: list[str], tongue: int) -> str:
    *head, last = parts or [""]
    return f"{', '.join(head)} {('and', 'y')[tongue]} {last}" if head else last


def clock_span(sun: SunSurvey) -> Said:
    """Between which times of the day, by the site's clock."""
    first, last = _clock(sun.first or 0), _clock(sun.last or 0)
    return Said(f"{first} to {last}", f"{first} a {last}")


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02d}"
