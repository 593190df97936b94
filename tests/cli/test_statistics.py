"""`stringline statistics` as it is typed."""

import json

import pytest
from click.testing import CliRunner

from tests.cast import make_cast
from tests.first_answers import practise
from trainer.cli import main
from trainer.exams.question_review import read_review
from trainer.language.loading import load_bank

ASKED = ("delays.",)


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """The first site has answered and one key is wrong; the second has not."""
    url = f"sqlite:///{tmp_path_factory.mktemp('wash') / 'wash.sqlite3'}"
    cast = make_cast(url)
    questions = [one for one in load_bank().by_id.values() if one.id.startswith(ASKED)][:10]
    practise(cast, questions, people=60, miskeyed=questions[0].id)
    cast.database.dispose()
    return url


@pytest.fixture
def run(address, tmp_path):
    env = {"DATABASE_URL": address, "STRINGLINE_DATA_FOLDER": str(tmp_path)}
    return lambda *words: CliRunner().invoke(main, ["statistics", *map(str, words)], env=env)


def test_what_misbehaves_is_told_in_both_languages(run):
    english, spanish = run(1), run(1, "--language", "es")
    assert english.exit_code == spanish.exit_code == 0, english.output
    assert english.output.startswith("Plumb Lane Wash\n\nTake it out of scored use: 1\n- delays.")
    assert "Work it out by hand and compare the key." in english.output
    assert "Not enough answers to say:" in english.output and "A model, not data." in english.output
    assert "Sacarla de lo que cuenta: 1" in spanish.output and "compara la clave" in spanish.output
    assert run(1, "--every").output.count("\n- ") > english.output.count("\n- ") + 100


def test_json_says_the_same_and_reads_back(run):
    found = json.loads(run(1, "--json").output)
    verdicts = [one["judgement"]["judged"]["verdict"] for one in found["questions"]]
    assert (found["answers"], verdicts.count("out"), verdicts.count("fine") > 5) == (600, 1, True)
    assert read_review(found, None).answers == 600
    assert json.loads(run(2, "--json").output)["answers"] == 0


def test_a_site_that_is_not_there_is_refused(run):
    missing = run(7)
    assert missing.exit_code == 2 and "There is no site 7; there are 1, 2." in missing.output
