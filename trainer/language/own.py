"""A site's own questions beside the built-in ones: how they are named, checked, and joined to the bank."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from trainer.documents import DocumentError, Fault, Place
from trainer.language.auditing import Audit, audit
from trainer.language.loading import Bank, load_question, missing_photos, strangers
from trainer.language.questions import Question

PREFIX = "own_"  # no built-in question's name begins so
NAME = re.compile(r"[a-z][a-z0-9_]*\.own_[a-z0-9_]{1,40}")


@dataclass(frozen=True)
class Checked:
    """What is to be said about a text: the question if it can be read, faults with places, the audit if it ran."""

    question: Question | None
    faults: tuple[Fault, ...]
    audit: Audit | None

    @property
    def findings(self) -> tuple[str, ...]:
        """Everything that stands against it."""
        found = self.audit.findings if self.audit else ()
        return (*map(str, self.faults), *found)


def own_name(topic: str, said: str) -> str:
    """A question's id from a topic and words: `delays.own_walker_at_the_arch`."""
    words = re.sub(r"[^a-z0-9]+", "_", said.lower()).strip("_")[:40].strip("_")
    return f"{topic}.{PREFIX}{words or 'question'}"


def check_text(
    text: str,
    name: str,
    version: int,
    bank: Bank,
    site_values: Mapping[str, float],
    *,
    photos: Collection[str] = (),
) -> Checked:
    """Read and audit a site's own question.

    name, version: the id and the version that the file has to state
    site_values: from `site_values(sheet)` [SI]
    photos: the SHA-256 of every photo that the site has
    """
    file = f"{name}.yaml"
    try:
        question = load_question(text, file)
    except DocumentError as error:
        return Checked(None, error.faults, None)
    alone = replace(bank, by_id={question.id: question})
    faults = [
        *_head(question, name, version),
        *strangers(alone),
        *_caution(question, bank),
        *missing_photos(question, photos),
    ]
    return Checked(question, tuple(faults), audit(question, site_values))


def _head(question: Question, name: str, version: int) -> Iterable[Fault]:
    start = Place(question.file, 1, 1)
    if question.id != name:
        yield Fault(start, f"`{question.id}`", "The id is not this question's.", f"Write `id: {name}`.")
    if question.version != version:
        yield Fault(
            start, f"`{question.version}`", "The version is not this one.", f"Write `version: {version}`."
        )


def _caution(question: Question, bank: Bank) -> Iterable[Fault]:
    skill = bank.skills.get(question.skill)
    if skill is not None and skill.hazard and question.caution is None:
        yield Fault(
            Place(question.file, 1, 1), f"`{question.skill}`", "A mistake in this skill can hurt somebody.",
            "Give the question a caution that defers to local codes and licensed practice.",
        )  # fmt: skip


def with_own(bank: Bank, in_use: Iterable[Question]) -> Bank:
    """The bank with those of a site's own questions that are asked now."""
    own = {one.id: one for one in in_use}
    return replace(bank, by_id={**bank.by_id, **own}) if own else bank
