"""How many mutated question files a run reads."""

import pytest

USUALLY = 400


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--mutants", type=int, help=f"how many mutated question files are read ({USUALLY})")


@pytest.fixture
def mutants(request: pytest.FixtureRequest) -> int | None:
    """The number that was asked for, None for the usual run."""
    # Without a path to this folder on the command line, pytest reads this file too late to know the option.
    return request.config.getoption("--mutants", None)
