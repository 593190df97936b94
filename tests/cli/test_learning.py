"""`stringline learning` as it is typed."""

import json

import pytest
from click.testing import CliRunner

from tests.cast import make_cast
from tests.long_history import store
from trainer.cli import main
from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """The first site has practised, the second has not."""
    url = f"sqlite:///{tmp_path_factory.mktemp('wash') / 'wash.sqlite3'}"
    cast, bank = make_cast(url), load_bank()
    store(cast.database, cast.site, bank, load_lessons(bank=bank), people=25, days=120)
    cast.database.dispose()
    return url


@pytest.fixture
def run(address, tmp_path):
    env = {"DATABASE_URL": address, "STRINGLINE_DATA_FOLDER": str(tmp_path)}
    return lambda *words: CliRunner().invoke(main, ["learning", *map(str, words)], env=env)


def test_a_site_is_told_in_both_languages(run):
    english, spanish = run(1), run(1, "--language", "es")
    assert english.exit_code == spanish.exit_code == 0, english.output
    assert english.output.startswith("Plumb Lane Wash\n\nWhat people gained from first to last try\n")
    assert "half of the people master it within" in english.output and "no proof of cause" in english.output
    assert "la mitad de la gente la domina en" in spanish.output and "no prueba una causa" in spanish.output
    assert english.output.count("\n- ") == spanish.output.count("\n- ")


def test_json_says_the_same(run):
    found = json.loads(run(1, "--json").output)
    assert set(found) == {"people", "gained", "forgetting", "mastered", "preceding"}
    assert found["gained"][0]["kind"] == "practice" and found["gained"][0]["gain"]["gained"]["n"] > 10
    curve = found["forgetting"]["calibration"]
    assert sum(level["right"]["of"] for level in curve["levels"]) == found["forgetting"]["reviews"] > 30
    skill = found["mastered"][0]
    assert set(skill["days"]["by"]) == {"7", "30", "90"} and 0 <= skill["days"]["by"]["7"]["value"] <= 1
    empty = json.loads(run(2, "--json").output)
    assert (empty["people"], empty["mastered"], empty["forgetting"]["calibration"]) == (0, [], None)


def test_a_site_that_is_not_there_is_refused(run):
    missing = run(7)
    assert missing.exit_code == 2 and "There is no site 7; there are 1, 2." in missing.output
