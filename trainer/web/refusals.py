"""Refusals of an act, in words, in the page that sent the form."""

from __future__ import annotations

from math import ceil

from flask import render_template

from trainer.access.refusal import Refused
from trainer.acts.sentences import SENTENCES
from trainer.web.house import now
from trainer.web.words import language


def reasons(refused: Refused) -> list[str]:
    """Every reason in the language of this request."""
    wait = (refused.wait_until - now()).total_seconds() if refused.wait_until else 0.0
    facts = {"minutes": max(1, ceil(wait / 60))}
    sentences = [SENTENCES[key].say(language(), **facts) for key in refused.reasons]
    return [*sentences, *([refused.said.in_(language())] if refused.said else [])]


def refusal_page(template: str, refused: Refused, **facts: object) -> tuple[str, int, dict[str, str]]:
    """The form again with every reason: 422, or 429 with the seconds to wait."""
    shown = render_template(template, refused=reasons(refused), **facts)
    if refused.wait_until is None:
        return shown, 422, {}
    seconds = ceil((refused.wait_until - now()).total_seconds())
    return shown, 429, {"Retry-After": str(max(1, seconds))}
