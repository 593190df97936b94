"""The set-up makes `.venv` once, mends a broken one, and says in one line what the machine lacks."""

import importlib.util
import subprocess
import sys

import pytest

from trainer import bootstrap


@pytest.fixture
def installed(tmp_path, monkeypatch):
    """A project of its own in a folder with a space; the list of parts that pip would have installed."""
    root = tmp_path / "wash trainer"
    root.mkdir()
    for name in ("pyproject.toml", *bootstrap.LOCKS.values()):
        (root / name).write_text(f"{name}\n", encoding="utf-8")
    monkeypatch.setattr(bootstrap, "ROOT", root)
    monkeypatch.setattr(bootstrap, "VENV", root / ".venv")
    parts = []
    monkeypatch.setattr(bootstrap, "install", parts.append)
    return parts


@pytest.fixture
def counted(monkeypatch):
    """How often a `.venv` was made, without the seconds that pip's own set-up takes."""
    made = []

    def make():
        made.append(1)
        command = [sys.executable, "-m", "venv", "--clear", "--without-pip", str(bootstrap.VENV)]
        subprocess.run(command, check=True)
        folder = f"lib/python{sys.version_info.major}.{sys.version_info.minor}/site-packages"
        (bootstrap.VENV / folder / "pip.py").touch()

    monkeypatch.setattr(bootstrap, "make_venv", make)
    return made


def test_a_real_venv_is_made_in_place_of_a_broken_one_and_works(installed):
    bootstrap.program("python").parent.mkdir(parents=True)
    bootstrap.program("python").symlink_to("/nowhere/python3")
    bootstrap.set_up(["run"])
    assert bootstrap.works()
    assert installed == ["run"]


def test_what_is_set_up_is_left_alone(installed, counted):
    bootstrap.set_up(["run", "test"])
    bootstrap.set_up(["run", "test"])
    bootstrap.set_up(["run"])
    assert (installed, counted) == (["run", "test"], [1])


def test_tests_after_a_run_add_only_their_own_part(installed, counted):
    bootstrap.set_up(["run"])
    bootstrap.set_up(["run", "test"])
    assert (installed, counted) == (["run", "test"], [1])


def test_a_changed_lock_file_is_installed_again(installed, counted):
    bootstrap.set_up(["run", "test"])
    (bootstrap.ROOT / bootstrap.LOCKS["test"]).write_text("newer\n", encoding="utf-8")
    bootstrap.set_up(["run", "test"])
    assert (installed, counted) == (["run", "test", "test"], [1])


def test_a_set_up_that_was_cut_off_starts_afresh(installed, counted):
    bootstrap.set_up(["run"])
    bootstrap.unfinished().touch()
    bootstrap.set_up(["run"])
    assert (installed, counted) == (["run", "run"], [1, 1])


def test_a_moved_folder_starts_afresh(installed, counted, monkeypatch):
    bootstrap.set_up(["run"])
    moved = bootstrap.ROOT.with_name("elsewhere")
    bootstrap.ROOT.rename(moved)
    monkeypatch.setattr(bootstrap, "ROOT", moved)
    monkeypatch.setattr(bootstrap, "VENV", moved / ".venv")
    bootstrap.set_up(["run"])
    assert (installed, counted) == (["run", "run"], [1, 1])


def test_a_failing_pip_ends_in_one_line(installed, counted, monkeypatch, capfd):
    def fail(part):
        bootstrap.call([sys.executable, "-c", "raise SystemExit(1)"], "pip failed")

    monkeypatch.setattr(bootstrap, "install", fail)
    assert bootstrap.main(["set-up"]) == 1
    assert capfd.readouterr().err.splitlines() == ["stringline: pip failed"]
    assert bootstrap.read_stamp("run") == ""


def test_without_venv_the_line_that_mends_it(monkeypatch, capsys):
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "ensurepip" else name)
    assert bootstrap.main(["run"]) == 1
    (line,) = capsys.readouterr().err.splitlines()
    assert f"apt install -y python3.{sys.version_info.minor}-venv" in line


def test_an_old_python_is_refused_in_one_line(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    assert bootstrap.main(["test"]) == 1
    (line,) = capsys.readouterr().err.splitlines()
    assert "Python 3.11 or newer is needed" in line
    assert "apt install -y python3.11 python3.11-venv" in line


@pytest.mark.parametrize("arguments", [[], ["--help"], ["setup"], ["set-up", "now"]])
def test_another_command_shows_the_three(arguments, capsys):
    assert bootstrap.main(arguments) == 2
    assert capsys.readouterr().err.count("python3 -m trainer.bootstrap") == 3


@pytest.mark.parametrize(
    ("statuses", "result"), [([0, 0], 0), ([0, 1], 1), ([1, 0], 1), ([5, 0], 5), ([0, 5], 5), ([-9, 0], -9)]
)
def test_either_failing_run_fails_and_so_does_no_test(installed, monkeypatch, statuses, result):
    (bootstrap.ROOT / "tests/benchmarks").mkdir(parents=True)
    answers = iter(statuses)
    monkeypatch.setattr(subprocess, "call", lambda command, cwd: next(answers))
    assert bootstrap.run_tests([]) == result
    assert next(answers, "both were run") == "both were run"
