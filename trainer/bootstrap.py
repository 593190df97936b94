"""Knows how to make `.venv` beside the project and start the program or its tests there; standard library only."""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST = (3, 11)
LOCKS = {"run": "requirements.lock", "test": "requirements-test.lock"}
NO_TESTS_COLLECTED = 5  # pytest's exit status
USAGE = """python3 -m trainer.bootstrap run [...]       make .venv if need be, then `stringline run --demo ...`
python3 -m trainer.bootstrap test [...]      the same with the test tools, then pytest ...
python3 -m trainer.bootstrap set-up [test]   make .venv (with the test tools), and stop there"""


class SetUpError(Exception):
    """The set-up cannot go on; the message is one line that says how to mend it."""


def main(arguments: list[str]) -> int:
    """Carry out one of the three commands; the result is the exit status."""
    command, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    if command not in ("set-up", "run", "test") or (command == "set-up" and rest not in ([], ["test"])):
        print(USAGE, file=sys.stderr)
        return 2
    with_tests = command == "test" or [command, *rest] == ["set-up", "test"]
    try:
        check_machine()
        set_up(["run", "test"] if with_tests else ["run"])
    except SetUpError as fault:
        print(f"stringline: {fault}", file=sys.stderr)
        return 1
    except OSError as fault:
        print(f"stringline: the set-up in {VENV} failed: {fault}", file=sys.stderr)
        return 1
    if command == "run":
        replace_process([str(program("stringline")), "run", "--demo", *rest])
    return run_tests(rest) if command == "test" else 0


def check_machine() -> None:
    """Refuse a Python that is too old or comes without venv, with the line that mends it."""
    if sys.version_info < OLDEST:
        wanted = "python{}.{}".format(*OLDEST)
        raise SetUpError(
            f"Python 3.11 or newer is needed and this is {sys.version.split()[0]}; "
            f"mend it with: {apt_line(wanted, wanted + '-venv')}; then start with {wanted}"
        )
    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        package = "python{}.{}-venv".format(*sys.version_info)
        raise SetUpError(f"Python's venv is not installed; mend it with: {apt_line(package)}")


def apt_line(*packages: str) -> str:
    """The command that installs Debian packages; a bare root machine has no sudo."""
    sudo = "" if os.geteuid() == 0 else "sudo "
    return f"{sudo}apt update && {sudo}apt install -y {' '.join(packages)}"


def set_up(parts: list[str]) -> None:
    """Bring `.venv` to what the lock files say; a part whose stamp matches is left alone."""
    stale = [part for part in parts if read_stamp(part) != fingerprint(part)]
    if not works():
        make_venv()
        stale = parts
    for part in stale:
        install(part)
        stamp(part).write_text(fingerprint(part), encoding="ascii")


def works() -> bool:
    """Whether `.venv` was finished, here, and its Python still starts and has pip."""
    activate = program("activate")
    if unfinished().exists() or not activate.is_file():
        return False
    if str(VENV) not in activate.read_text(encoding="utf-8"):
        return False  # the folder was moved, and every script in it names the old place
    probe = [str(program("python")), "-c", "import pip, sys; print(sys.version)"]
    try:
        answer = subprocess.run(probe, capture_output=True, text=True, check=False)
    except OSError:
        return False
    return answer.returncode == 0 and answer.stdout.strip() == sys.version


def make_venv() -> None:
    """Make an empty `.venv` in place of whatever stands there."""
    say("making .venv")
    if VENV.is_symlink() or VENV.is_file():
        VENV.unlink()
    elif VENV.exists():
        shutil.rmtree(VENV)
    call([sys.executable, "-m", "venv", str(VENV)], "python's venv module failed; its own words are above")


def install(part: str) -> None:
    """Install one lock file, every archive checked against its hash, and after the first the project itself."""
    say(f"installing {LOCKS[part]} (a minute or two)")
    pip = [str(program("python")), "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
    offline = "the packages could not be installed; pip's own words are above (is the network there?)"
    # Building from source uses the locked build tools, which the first lock file brings, never fresh ones.
    locked = ["--require-hashes", "--no-deps", "--no-build-isolation", "--use-pep517"]
    unfinished().touch()
    if part == "test":
        call([*pip, *locked, "--requirement", str(ROOT / LOCKS[part])], offline)
    else:
        # Nothing is built from source here, and so nothing runs before its tools are there.
        call([*pip, *locked, "--only-binary", ":all:", "--requirement", str(ROOT / LOCKS[part])], offline)
        itself = ["--no-index", "--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
        call([*pip, *itself], "the project could not be installed; pip's own words are above")
    unfinished().unlink()


def run_tests(arguments: list[str]) -> int:
    """Run what was asked; without arguments everything, and the measurements alone when the machine is quiet."""
    pytest = [str(program("python")), "-m", "pytest"]
    if arguments:
        replace_process([*pytest, *arguments])
    benchmarks = "tests/benchmarks"
    at_once = ["--numprocesses", "auto", "--benchmark-disable", f"--ignore={benchmarks}"]
    results = [subprocess.call([*pytest, *at_once], cwd=ROOT)]
    if (ROOT / benchmarks).is_dir():
        results.append(subprocess.call([*pytest, benchmarks], cwd=ROOT))
    if NO_TESTS_COLLECTED in results:
        say("no test ran")
    return max(results, key=abs)


def fingerprint(part: str) -> str:
    """What an installed part depends on: lock files, project file, Python and the folder's own path."""
    facts = hashlib.sha256(f"{sys.version}\n{ROOT}\n".encode())
    names = ["pyproject.toml", LOCKS["run"], *([LOCKS["test"]] if part == "test" else [])]
    for name in names:
        facts.update((ROOT / name).read_bytes())
    return facts.hexdigest()


def read_stamp(part: str) -> str:
    """The fingerprint that the part was installed from; empty when it was not."""
    return stamp(part).read_text(encoding="ascii") if stamp(part).is_file() else ""


def stamp(part: str) -> Path:
    """The file that holds a part's fingerprint."""
    return VENV / f"set-up-{part}"


def unfinished() -> Path:
    """The file that stands while packages are being installed; a set-up that was cut off leaves it."""
    return VENV / "set-up-unfinished"


def program(name: str) -> Path:
    """A program of `.venv`."""
    return VENV / "bin" / name


def call(command: list[str], sentence: str) -> None:
    """Run a command of the set-up; when it fails, stop with the sentence."""
    if subprocess.call(command) != 0:
        raise SetUpError(sentence)


def replace_process(command: list[str]) -> NoReturn:
    """Go on as another program, which then gets the signals and gives the exit status."""
    sys.stdout.flush()
    os.execv(command[0], command)


def say(line: str) -> None:
    """One line of progress, apart from what the program itself prints."""
    print(f"stringline: {line}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
