"""`stringline check` and `stringline draw`."""

from hashlib import sha256

import pytest
from click.testing import CliRunner

from tests.language.make import make_text
from trainer.cli.content import check, draw_instance
from trainer.language.loading import load_bank


@pytest.fixture
def run():
    """Runs a command and gives its result."""
    return lambda command, *words: CliRunner().invoke(command, [str(word) for word in words])


@pytest.fixture
def question(tmp_path):
    """A question file on disk."""
    path = tmp_path / "made.yaml"
    path.write_text(make_text(), encoding="utf-8")
    return path


def test_checks_one_file(run, question):
    result = run(check, question)
    assert result.exit_code == 0, result.output
    assert "proved 121" in result.output and "closest slip per_inch" in result.output


def test_a_fault_is_told_with_its_place(run, question):
    question.write_text(make_text(length="length: pulses + pulses_per_foot"), encoding="utf-8")
    result = run(check, question)
    assert result.exit_code == 1
    assert "made.yaml:10:20:" in result.output


def test_a_photo_that_does_not_lie_beside_the_file_is_told_with_its_place(run, question):
    data = b"a picture"
    name = sha256(data).hexdigest()
    photo = question.with_name(f"{name}.jpg")
    said = f"photo: {{sha256: {name}, en: The arch., es: El arco.}}\n"
    question.write_text(make_text() + said, encoding="utf-8")
    gone = run(check, question)
    assert gone.exit_code == 1
    assert f"made.yaml:24:17: I read `{name}`. There is no such photo." in gone.output
    photo.write_bytes(b"another picture")
    assert run(check, question).exit_code == 1
    photo.write_bytes(data)
    assert run(check, question).exit_code == 0
    assert f"Photo {name[:12]}: El arco." in run(draw_instance, question, "--language", "es").output


def test_a_finding_is_a_violation(run, question):
    question.write_text(make_text(value="value: pulses * shown(pulses_per_foot) / 144"), encoding="utf-8")
    result = run(check, question)
    assert result.exit_code == 1
    assert "No draw can be shown" in result.output


def test_checks_the_built_in_content(run):
    result = run(check, "--samples", 2000, "--on", "2027-01-01")
    families = sum(question.is_family for question in load_bank().by_id.values())
    assert result.exit_code == 0, result.output
    assert f"{families} families" in result.output


def test_a_bad_site_sheet_is_bad_use(run, question, tmp_path):
    site = tmp_path / "site.yaml"
    site.write_text("name: x\n", encoding="utf-8")
    assert run(check, "--site", site, question).exit_code == 2


def test_draws_the_same_instance_for_the_same_seed(run, question):
    first, again = (run(draw_instance, question, "--seed", "3") for _ in range(2))
    other = run(draw_instance, question, "--seed", "4")
    assert first.exit_code == 0 and first.output == again.output != other.output
    assert "slip per_inch" in first.output and "How long is it?" in first.output


def test_draws_in_spanish_and_metric(run, question):
    result = run(draw_instance, question, "--language", "es", "--system", "metric")
    assert "¿Cuánto mide?" in result.output and "metros" in result.output


@pytest.mark.parametrize(
    "family", ["measuring.gone", "../measuring/made", "measuring.length_from_pulses/../../x"]
)
def test_an_unknown_family_is_bad_use(run, family):
    assert run(draw_instance, family).exit_code == 2


def test_draws_a_built_in_question(run):
    assert run(draw_instance, "measuring.length_from_pulses").exit_code == 0
