"""Every sentence that an act or a refusal says, both languages beside each key."""

from trainer.acts.sentences import access, certifying, exams, learning, people
from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    **people.SENTENCES,
    **access.SENTENCES,
    **learning.SENTENCES,
    **exams.SENTENCES,
    **certifying.SENTENCES,
}

__all__ = ["SENTENCES", "Sentence"]
