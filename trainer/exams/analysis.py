"""The job analysis of a scheme: its tasks, how they were rated, in what roles and when, and until when that counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.exams.texts import Text

HIGHEST = 5  # of importance, frequency and harm, each from 1
MAKES_CRITICAL = 5  # an area that rests on a task of this harm is critical, and only such an area


@dataclass(frozen=True)
class JobTask:
    """One task of the job, and the skills that it rests on.

    importance, frequency, harm: each from 1 to 5; harm is what a mistake can do to somebody
    """

    id: str
    text: Text
    importance: int
    frequency: int
    harm: int
    skills: tuple[str, ...]

    @property
    def weight(self) -> int:
        """What the task counts for in the blueprint."""
        return self.importance * self.frequency


@dataclass(frozen=True)
class Analysis:
    """The tasks as they were rated on a day, by people in these roles; after `review_by` it is stale.

    basis: where the ratings come from, in words
    """

    rated_by: tuple[Text, ...]
    rated_on: date
    review_by: date
    basis: Text
    tasks: tuple[JobTask, ...]

    def is_stale(self, today: date) -> bool:
        """Whether the day by which it had to be redone is past."""
        return today > self.review_by
