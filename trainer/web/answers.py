"""What a person answered: from the fields of `question.html` to the text in which trainer.language keeps an answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from trainer.language.grading import answer_text
from trainer.language.rendering import Shown


class Form(Protocol):
    """The fields of a request."""

    def get(self, name: str, default: str, /) -> str:
        """The first value of a field."""

    def getlist(self, name: str, /) -> list[str]:
        """Every value of a field."""


@dataclass(frozen=True)
class Typed:
    """An answer as it is kept: `text` is empty when nothing was answered, `complete` when nothing is left open."""

    text: str
    complete: bool


def parse_answer(shown: Shown, form: Form) -> Typed:
    """The answer of a form; ids that the question does not have are dropped, half answers are kept as they are."""
    if shown.kind == "number":
        typed = form.get("answer", "")
        return Typed(typed if typed.strip() else "", bool(typed.strip()))
    ids = [part.id for part in shown.parts]
    if shown.kind == "choice":
        chosen = form.get("answer", "")
        return Typed(chosen if chosen in ids else "", chosen in ids)
    if shown.kind == "several":
        sent = set(form.getlist("answer"))
        return _kept([one for one in sorted(ids) if one in sent], bool(sent & set(ids)))
    if shown.kind == "order":
        return _order(ids, form)
    prefix = "goes" if shown.kind == "match" else "state"
    targets = {target.id for target in shown.targets}
    given = {one: form.get(f"{prefix}.{one}", "") for one in ids}
    known = {one: value for one, value in given.items() if value in targets}
    return _kept(known, len(known) == len(ids))


def _order(ids: list[str], form: Form) -> Typed:
    """All places different: the ids in order. Else what was chosen, id to place, so that nothing typed is lost."""
    places = [str(number) for number in range(1, len(ids) + 1)]
    given = {one: form.get(f"place.{one}", "") for one in ids}
    known = {one: place for one, place in given.items() if place in places}
    if sorted(known.values()) == sorted(places):
        return _kept(sorted(ids, key=lambda one: places.index(known[one])), True)
    return _kept(known, False)


def _kept(answer: list[str] | dict[str, str], complete: bool) -> Typed:
    return Typed(answer_text(answer) if answer else "", complete)
