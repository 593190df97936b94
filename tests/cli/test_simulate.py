"""`stringline simulate`."""

import json

import pytest
from click.testing import CliRunner

from trainer.cli import main
from trainer.language.loading import content_folder


@pytest.fixture
def run():
    """Runs the command and gives its result."""
    return lambda *words: CliRunner().invoke(main, ["simulate", *map(str, words)])


def test_a_shipped_scheme_is_told_in_both_languages(run):
    english, spanish = run("basics", "--learners", 300), run("basics", "--learners", 300, "--language", "es")
    assert english.exit_code == spanish.exit_code == 0, english.output
    assert english.output.startswith(
        "Sensor basics, version 2: 300 invented learners; 9 of 12 right passes.\n"
    )
    assert "A model, not data" in english.output and "[WARNING]" in english.output
    assert "Un modelo, no datos" in spanish.output and "[ADVERTENCIA]" in spanish.output


def test_json_says_the_same_for_the_same_seed_and_an_id_what_its_file_says(run):
    words = ("--learners", 200, "--seed", 5, "--json")
    first = json.loads(run("basics", *words).output)
    assert first == json.loads(run(content_folder() / "questions" / "schemes" / "basics.yaml", *words).output)
    assert first != json.loads(run("basics", "--learners", 200, "--seed", 6, "--json").output)
    assert (first["cut"], first["items"], first["learners"]) == (9, 12, 200)
    assert len(first["tries"]) == 4 and set(first["tries"][0]["false_pass"]) == {
        "count",
        "of",
        "value",
        "low",
        "high",
    }


def test_what_cannot_be_tried_is_refused(run, tmp_path):
    missing, file = run("nothing"), tmp_path / "mine.yaml"
    assert missing.exit_code == 2 and "there are basics, cabinet" in missing.output
    text = (content_folder() / "questions" / "schemes" / "basics.yaml").read_text("utf-8")
    file.write_text(text.replace("items: 12", "items: 200"), encoding="utf-8")
    short = run(file)
    assert short.exit_code == 2 and "too few questions in" in short.output
    file.write_text("id: [", encoding="utf-8")
    assert run(file).exit_code == 2
    assert run(tmp_path / "none.yaml").exit_code == 2
