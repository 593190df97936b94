"""What every test gets: no network, no long sleep, and the fixtures of `tests/fixtures` by name."""

import pytest
from hypothesis import settings

from tests.fixtures.requirements import fail_skips_in_ci, in_ci, mark_by_fixture

pytest_plugins = ["tests.fixtures.browser", "tests.fixtures.limits", "tests.fixtures.postgresql"]

settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if in_ci() else "here")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    mark_by_fixture(items)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item):
    report = yield
    fail_skips_in_ci(item, report)
    return report
