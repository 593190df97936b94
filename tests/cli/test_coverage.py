from importlib import import_module

from click.testing import CliRunner

from trainer.cli import main
from trainer.documents import Faults, Place


def test_prints_each_skill_with_its_lesson_its_levels_and_its_slips():
    result = CliRunner().invoke(main, ["coverage"])
    assert result.exit_code == 0, result.output
    line = next(line for line in result.output.splitlines() if line.startswith("faults.split_loop"))
    assert line.split()[1] == "faults.next_best_test"
    assert line.endswith("2 of 2")
    assert "no question knows" not in result.output


def test_a_file_that_cannot_be_read_is_named_without_a_traceback(monkeypatch):
    def broken():
        faults = Faults()
        faults.add(Place("questions/x.yaml", 3, 1), "It is broken.", "Mend it.")
        faults.raise_if_any()

    monkeypatch.setattr(import_module("trainer.cli.coverage"), "load_bank", broken)
    result = CliRunner().invoke(main, ["coverage"])
    assert result.exit_code == 2
    assert "questions/x.yaml:3:1" in result.stderr
