"""`stringline survey`."""

import re
import shutil
import subprocess

import pytest
from click.testing import CliRunner

from trainer.cli import main
from trainer.sites import demo_text


@pytest.fixture
def run():
    """Runs the command and gives its result."""
    return lambda *words: CliRunner().invoke(main, ["survey", *map(str, words)])


@pytest.fixture
def sheet(tmp_path):
    """A sheet's file with something replaced."""

    def write(old="", new=""):
        assert old in demo_text()
        path = tmp_path / "wash.yaml"
        path.write_text(demo_text().replace(old, new), encoding="utf-8")
        return path

    return write


def text_of(pdf):
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed (Debian package poppler-utils)")
    done = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())


def test_the_demo_s_findings_are_printed_worst_first_with_what_to_change(run):
    result = run("demo")
    assert result.exit_code == 1, result.output
    assert result.output.startswith("Plumb Lane Wash: 3 things to put right, worst first.\n")
    assert re.findall(r"^\d\. ", result.output, re.MULTILINE) == ["1. ", "2. ", "3. "]
    assert result.output.count("→") >= 3
    assert "Local codes and licensed practice come first" in result.output


def test_in_spanish_and_in_metric_units(run):
    spanish, metric = run("demo", "--language", "es").output, run("demo", "--system", "metric").output
    assert spanish.startswith("Plumb Lane Wash: Hay 3 cosas que corregir, lo peor primero.\n")
    assert " in " in run("demo").output or "in." in run("demo").output
    assert not re.search(r"\d\xa0in\b", metric)


def test_a_file_is_read_as_the_demo_is(run, sheet):
    assert run(sheet()).output == run("demo").output


def test_a_faulty_sheet_is_refused_with_every_fault_and_its_place(run, sheet):
    path = sheet("width: 12 ft", "width: 12 s")
    path.write_text(path.read_text().replace("tolerance: 3 %", "tolerance: 300 %"), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 2
    assert len(re.findall(r"wash\.yaml:\d+:\d+", result.output)) == 2
    assert "Traceback" not in result.output


def test_what_is_no_sheet_is_refused(run, tmp_path):
    (tmp_path / "bytes.yaml").write_bytes(b"\xff\xfe\x00")
    for path in (tmp_path / "none.yaml", tmp_path / "bytes.yaml", tmp_path):
        result = run(path)
        assert result.exit_code == 2, path
        assert len(result.output.splitlines()) == 1


@pytest.mark.parametrize(
    ("language", "system", "said", "points"),
    [("en", "us", "Survey of your bay", "612 x 792"), ("es", "metric", "Revisión de tu bahía", "595")],
)
def test_the_paper_holds_the_findings_the_pairs_and_the_drawings_words(
    run, tmp_path, language, system, said, points
):
    pdf = tmp_path / "survey.pdf"
    result = run("demo", "--pdf", pdf, "--language", language, "--system", system)
    assert result.exit_code == 0, result.output
    text = text_of(pdf)
    assert said in text
    assert "Plumb Lane Wash" in text
    for line in run("demo", "--language", language, "--system", system).output.splitlines()[1:]:
        words = " ".join(line.removeprefix("[warning]").replace("→", "").split())
        assert words in text, words
    info = subprocess.run(["pdfinfo", str(pdf)], capture_output=True, check=True).stdout.decode()
    assert points in re.search(r"Page size:\s*(.*)", info)[1]


def test_a_paper_that_cannot_be_written_is_refused(run, tmp_path):
    result = run("demo", "--pdf", tmp_path / "no" / "such" / "folder.pdf")
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_the_year_is_one_whose_sun_is_known(run):
    assert run("demo", "--year", 1800).exit_code == 2
