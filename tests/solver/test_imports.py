"""Every module of the solver names numpy, the standard library and the solver itself, and nothing else."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import trainer.solver

FOLDER = Path(trainer.solver.__file__).parent
MODULES = sorted(FOLDER.rglob("*.py"))
ALLOWED = {"numpy", *sys.stdlib_module_names}


def imported(source):
    """Every module that a text imports, anywhere in it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (one.name for one in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


@pytest.mark.parametrize("module", MODULES, ids=[str(one.relative_to(FOLDER)) for one in MODULES])
def test_a_module_imports_numpy_the_standard_library_and_the_solver(module):
    for name in imported(module.read_text()):
        assert name.partition(".")[0] in ALLOWED or name.startswith("trainer.solver"), name


@pytest.mark.parametrize(
    "third",
    ["import scipy", "from scipy.linalg import inv", "def f():\n    import shapely", "from . import x"],
)
def test_another_import_would_be_found(third):
    names = list(imported(third))
    assert names and not any(
        name.partition(".")[0] in ALLOWED or name.startswith("trainer.solver") for name in names
    )


def test_loading_the_solver_loads_no_other_package():
    names = [f"trainer.solver.{one.stem}" for one in MODULES if one.stem != "__init__"]
    say = (
        f"import importlib, sys; before = set(sys.modules); [importlib.import_module(name) for name in {names}];"
        "print(*{name.partition('.')[0] for name in set(sys.modules) - before if not name.startswith('_')})"
    )
    run = subprocess.run(
        [sys.executable, "-c", say], capture_output=True, text=True, check=True, cwd=FOLDER.parents[1]
    )
    loaded = set(run.stdout.split())
    assert {"numpy", "trainer"} <= loaded
    assert loaded <= {"numpy", "trainer", *sys.stdlib_module_names}
