"""Fixtures for tests of pages: real content, the small cast on a SQLite file, an application over both."""

import shutil

import pytest

from tests.cast import MONDAY, make_cast
from tests.web.stage import Stage
from trainer.acts.sites import save_sheet
from trainer.exams.reading import load_schemes
from trainer.language.lessons import load_lessons
from trainer.language.loading import content_folder, load_bank
from trainer.records.database import Database
from trainer.sites.reading import demo_sheet, demo_text


@pytest.fixture(scope="session")
def content():
    """The built-in questions, lessons and schemes, read once."""
    bank = load_bank()
    return {
        "bank": bank,
        "lessons": load_lessons(bank=bank),
        "schemes": load_schemes(content_folder() / "questions" / "schemes"),
    }


@pytest.fixture(scope="session")
def stored_cast(tmp_path_factory):
    """The cast with a site sheet in a SQLite file that every test copies."""
    file = tmp_path_factory.mktemp("cast") / "cast.sqlite3"
    cast = make_cast(f"sqlite:///{file}")
    save_sheet(
        cast.database, site_id=cast.site, by=cast.tom, sheet=demo_sheet(), text=demo_text(), now=MONDAY
    )
    with cast.database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    cast.database.dispose()
    return cast, file


@pytest.fixture
def make_stage(stored_cast, content, tmp_path):
    """Makes an installation over a copy of the cast."""
    made = []

    def make(**settings):
        cast, file = stored_cast
        copy = tmp_path / f"stage{len(made)}.sqlite3"
        shutil.copy(file, copy)
        own = type(cast)(**{**vars(cast), "database": Database(f"sqlite:///{copy}")})
        made.append(Stage(cast=own, content=content, folder=tmp_path, **settings))
        return made[-1]

    yield make
    for stage in made:
        stage.cast.database.dispose()


@pytest.fixture
def stage(make_stage):
    """An installation."""
    return make_stage()
