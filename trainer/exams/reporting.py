"""What a manager is told of a scheme's forms: how alike they came out, what they share, how often families are used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.exams.comparing import Scale, Target, chances_of
from trainer.exams.overlap import exposure, mean_overlap
from trainer.exams.paper import Paper
from trainer.exams.unlike import names_of

PLACES = tuple(step / 4 for step in range(-6, 7))  # of the drawn curves [logit from the border]
SHARES = (-0.2, -0.1, 0.0, 0.1)  # beside the cut's own share of the items


@dataclass(frozen=True)
class FormReport:
    """The forms of one version that were set at a site. Shares and rates are counted; gaps are worked out by the model.

    compared: those that kept how they stood beside the target; within: of these, inside every limit
    rates: how many of the forms each family stood on, most used first; overlap: what two forms share on average
    """

    forms: int
    compared: int
    within: int
    curve_gap: float
    pass_gap: float
    own: float
    beside: float
    repeated: int
    rates: Mapping[str, float]
    overlap: float | None


def report(papers: Sequence[Paper]) -> FormReport:
    """What came of the forms that were set."""
    found = [paper.comparison for paper in papers if paper.comparison is not None]
    rates = exposure([names_of(paper) for paper in papers])
    return FormReport(
        forms=len(papers),
        compared=len(found),
        within=sum(one.within for one in found),
        curve_gap=max((one.curve_gap for one in found), default=0.0),
        pass_gap=max((one.pass_gap for one in found), default=0.0),
        own=max((one.own for one in found), default=0.0),
        beside=max((one.beside for one in found), default=0.0),
        repeated=sum(len(one.repeated) for one in found),
        rates=rates,
        overlap=mean_overlap(tuple(rates.values())) if rates else None,
    )


def curve_of_paper(paper: Paper, scale: Scale) -> tuple[float, ...]:
    """The expected score of a form at each of the drawn places."""
    return tuple(sum(map(sum, chances_of(paper.form.scored, scale, theta).values())) for theta in PLACES)


def curve_of_target(target: Target) -> tuple[float, ...]:
    """The same of the target, which must have been worked out at the drawn places."""
    return tuple(target.score(theta) for theta in PLACES)


def shares_beside(cut: int, items: int) -> tuple[float, ...]:
    """The shares for the table of tries: at the cut and beside it, inside 0 to 1."""
    return tuple(min(max(round(cut / items + more, 2), 0.0), 1.0) for more in SHARES)
