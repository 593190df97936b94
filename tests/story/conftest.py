"""One demo wash for the stories of a test process; each story has people of its own."""

import pytest

from tests.story.wash import serve_demo


@pytest.fixture(scope="session")
def wash(tmp_path_factory):
    served = serve_demo(tmp_path_factory.mktemp("wash"))
    yield served
    served.server.close()
    served.house.database.dispose()
