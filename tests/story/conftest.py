"""One demo wash for the stories of a test process; each story has people of its own."""

import pytest

from tests.story.bench_hands import PHONE
from tests.story.wash import serve_demo


@pytest.fixture(scope="session")
def wash(tmp_path_factory):
    served = serve_demo(tmp_path_factory.mktemp("wash"))
    yield served
    served.server.close()
    served.house.database.dispose()


@pytest.fixture
def hand(wash, make_page):
    """Makes a page for somebody who has signed in; what script or browser call an error is collected on it."""

    def make(who, viewport=PHONE, wash=wash, **more):
        page = make_page(viewport=viewport, **more)
        page.set_default_timeout(20_000)
        page.errors = []
        page.on("console", lambda said: said.type == "error" and page.errors.append(said.text))
        wash.sign_in(page, who)
        return page

    return make
