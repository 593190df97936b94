"""Opens an installation: content read and checked once, tables looked at, everything in one House."""

from __future__ import annotations

from dataclasses import replace

from trainer.config import Config
from trainer.exams.reading import load_schemes
from trainer.language.lessons import load_lessons
from trainer.language.loading import content_folder, load_bank
from trainer.records.database import Database
from trainer.records.migrate import require_current
from trainer.records.queries.questions import KeptQuestions
from trainer.web.house import Clock, House


def open_house(config: Config, clock: Clock) -> House:
    """The installation that the settings describe.

    Raises DatabaseError when the records cannot be used, DocumentError with every fault of the content.
    """
    database = Database(config.database_url)
    require_current(database)
    bank = replace(load_bank(), older=KeptQuestions(database))
    return House(
        config=config,
        database=database,
        bank=bank,
        lessons=load_lessons(bank=bank),
        schemes=load_schemes(content_folder() / "questions" / "schemes"),
        clock=clock,
    )
