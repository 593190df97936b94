"""What was judged, as plain values for JSON, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any, TypeVar

from trainer.statistics.difference import Drift, TwoGroups
from trainer.statistics.families import FamilyPlace
from trainer.statistics.flags import Believed, Figures, Fit, Instances, Judged, Reason, Rest
from trainer.statistics.items import Chosen
from trainer.statistics.judging import Judgement
from trainer.statistics.means import Mean
from trainer.statistics.scores import Between, Scores
from trainer.statistics.simulating import Share

T = TypeVar("T")
_FIGURES: Mapping[str, Callable[..., Any]] = {
    "right": Share,
    "believed": Believed,
    "place": FamilyPlace,
    "rest": Rest,
    "fit": Fit,
    "instances": Instances,
    "drift": Drift,
}
_SCORES: Mapping[str, Callable[..., Any]] = {
    "mean": Mean,
    "passed": Share,
    "reliability": Between,
    "agreement": Between,
    "kappa": Between,
}


def judgement_document(one: Judgement) -> dict[str, Any]:
    """A judgement as plain values."""
    return asdict(one)


def read_judgement(document: Mapping[str, Any]) -> Judgement:
    """The judgement of what `judgement_document` gave."""
    figures = _built(document["figures"], _FIGURES)
    figures["chosen"] = tuple(Chosen(**one) for one in figures["chosen"])
    figures["seconds"] = None if figures["seconds"] is None else tuple(figures["seconds"])
    groups = figures["groups"]
    if groups is not None:
        figures["groups"] = TwoGroups(**{**groups, "people": tuple(groups["people"])})
    judged = document["judged"]
    reasons = tuple(Reason(**one) for one in judged["reasons"])
    return Judgement(document["name"], Figures(**figures), Judged(judged["verdict"], reasons))


def scores_document(one: Scores) -> dict[str, Any]:
    """The figures of a scheme's scores as plain values."""
    return asdict(one)


def read_scores(document: Mapping[str, Any]) -> Scores:
    """The figures of what `scores_document` gave."""
    return Scores(**_built(document, _SCORES))


def _built(document: Mapping[str, Any], parts: Mapping[str, Callable[..., Any]]) -> dict[str, Any]:
    return {
        name: parts[name](**value) if name in parts and value is not None else value
        for name, value in document.items()
    }
