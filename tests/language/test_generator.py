"""A generator's name changes with the code that draws and grades, and with nothing else."""

from pathlib import Path
from shutil import copytree

import trainer
from trainer.language.generator import DIGITS, ROOMS, generator, generator_of

HOUSE = Path(trainer.__file__).parent


def test_it_is_the_same_for_the_same_code_and_another_for_other_code(tmp_path):
    for room in (*ROOMS, "access"):
        copytree(HOUSE / room, tmp_path / room)
    assert generator_of(tmp_path) == generator() == generator_of(HOUSE)
    assert len(generator()) == DIGITS and int(generator(), 16) >= 0
    (tmp_path / "access" / "rights.py").write_text("", encoding="utf-8")
    assert generator_of(tmp_path) == generator(), "who may do what changes no question"
    for room in ROOMS:
        before, changed = generator_of(tmp_path), next((tmp_path / room).glob("[a-z]*.py"))
        changed.write_text(changed.read_text(encoding="utf-8") + "\n", encoding="utf-8")
        assert generator_of(tmp_path) != before


def test_a_file_under_another_name_is_another_generator(tmp_path):
    for room in ROOMS:
        copytree(HOUSE / room, tmp_path / room)
    grading = tmp_path / "language" / "grading.py"
    grading.rename(grading.with_name("marking.py"))
    assert generator_of(tmp_path) != generator()
