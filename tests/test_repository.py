"""The repository stays small, tidy and free of the machine that it was written on."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "trainer",
    "lessons",
    "questions",
    "tests",
    "docs",
}
LOCK_FILES = {"requirements.lock", "requirements-test.lock"}
LARGEST_KB = 300
LONGEST_CODE = 400
# Handed to an auditor as one file, to be read from its first line to its last and run alone.
ONE_FILE = "trainer/verifier.py"
CODE = {".py", ".html", ".css", ".js"}
# Put together here, so that this file does not hold what it looks for.
MACHINE_PATHS = re.compile(r"(?<![\w.}>-])/(?:work|root|tmp/bash)" + r"[/_]")
REGISTRY_HOSTS = re.compile(
    r"\b(?:pypi\." + r"org|pythonhosted\." + r"org|registry\.npmjs\." + r"org|deb\.debian\." + r"org)"
)
LEFT_FOR_LATER = re.compile(r"\b(?:TO" + r"DO|FIX" + r"ME|XX" + r"X|NotImplemented" + r"Error)\b")


@pytest.fixture(scope="module")
def tracked():
    """Every tracked file that stands in the working tree."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("not a git clone")
    # A clone that belongs to somebody else is read all the same: nothing of it is run.
    listing = subprocess.run(
        ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True
    )
    files = [ROOT / name for name in listing.stdout.decode().split("\0") if name]
    return [file for file in files if file.is_file()]


@pytest.fixture(scope="module")
def lines(tracked):
    """Every line of tracked text, with its place."""
    return [
        (f"{file.relative_to(ROOT)}:{number}", line)
        for file in tracked
        if (text := text_of(file)) is not None
        for number, line in enumerate(text.splitlines(), 1)
    ]


def text_of(file):
    try:
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None


def found(pattern, lines, folder=""):
    return [
        f"{place}: {line.strip()[:100]}"
        for place, line in lines
        if place.startswith(folder) and pattern.search(line)
    ]


def test_the_top_level_holds_what_it_may(tracked):
    names = {file.relative_to(ROOT).parts[0] for file in tracked}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL | LOCK_FILES
    assert {"README.md", "pyproject.toml", "trainer", "tests"} <= names


def test_no_tracked_file_is_large(tracked):
    sizes = {str(file.relative_to(ROOT)): file.stat().st_size for file in tracked}
    assert {name: size for name, size in sizes.items() if size > LARGEST_KB * 1000} == {}


def test_no_code_file_is_long(tracked):
    lengths = {
        str(file.relative_to(ROOT)): len(file.read_text(encoding="utf-8").splitlines())
        for file in tracked
        if file.suffix in CODE and file.is_relative_to(ROOT / "trainer") and file != ROOT / ONE_FILE
    }
    assert len(lengths) > 10
    assert {name: length for name, length in lengths.items() if length >= LONGEST_CODE} == {}


@pytest.mark.parametrize(
    ("pattern", "example"),
    [
        (MACHINE_PATHS, "open('/wor" + "k/main/x')"),
        (MACHINE_PATHS, "cd /roo" + "t/.cache"),
        (MACHINE_PATHS, "/tmp/bas" + "h_jobs.0"),
        (REGISTRY_HOSTS, "https://pypi.o" + "rg/simple"),
        (LEFT_FOR_LATER, "# TO" + "DO: the rest"),
    ],
)
def test_the_patterns_find_what_they_look_for(pattern, example):
    assert pattern.search(example)


def test_no_path_of_a_machine(lines):
    assert found(MACHINE_PATHS, lines) == []


def test_no_host_of_a_registry(lines):
    assert found(REGISTRY_HOSTS, lines) == []


def test_nothing_is_left_for_later(lines):
    assert found(LEFT_FOR_LATER, lines, "trainer/") == []


@pytest.mark.parametrize("heading", ["Run it", "Test it"])
def test_the_readme_gives_one_command(heading):
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    section = re.search(rf"^## {heading}\n+```sh\n(?P<commands>[^`]+)\n```\n", readme, re.MULTILINE)
    assert section, f"README.md: '## {heading}' must open with one fenced block"
    commands = section["commands"].splitlines()
    assert len(commands) == 1
    assert "&&" not in commands[0]
    assert ";" not in commands[0]


def test_ci_runs_the_tests_by_the_readmes_command():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    command = re.search(r"^## Test it\n+```sh\n(.+)\n", readme, re.MULTILINE)[1]
    assert f'\n{command} || failed+=("tests")\n' in (ROOT / ".ci/run").read_text(encoding="utf-8")


def test_every_hash_locked_package_has_a_hash():
    for name in LOCK_FILES:
        entries = re.split(r"\n(?=\S)", (ROOT / name).read_text(encoding="utf-8"))
        packages = [entry for entry in entries if not entry.startswith("#")]
        assert len(packages) > 20
        assert [entry for entry in packages if "==" not in entry or "--hash=sha256:" not in entry] == []
