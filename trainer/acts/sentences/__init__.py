"""Every sentence that an act or a refusal says, both languages beside each key."""

from trainer.acts.sentences import (
    access,
    appeals,
    benches,
    certifying,
    exams,
    keeping,
    keys,
    learning,
    observing,
    people,
    questions,
    rescoring,
    schemes,
    sitting,
    standing,
    statistics,
)
from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    **people.SENTENCES,
    **access.SENTENCES,
    **learning.SENTENCES,
    **exams.SENTENCES,
    **certifying.SENTENCES,
    **benches.SENTENCES,
    **keys.SENTENCES,
    **keeping.SENTENCES,
    **standing.SENTENCES,
    **observing.SENTENCES,
    **sitting.SENTENCES,
    **schemes.SENTENCES,
    **questions.SENTENCES,
    **rescoring.SENTENCES,
    **appeals.SENTENCES,
    **statistics.SENTENCES,
}

__all__ = ["SENTENCES", "Sentence"]
