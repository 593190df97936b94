"""What every test that kills a server gets: how often, from which seed, and the house that is killed."""

import os
import random
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest

from tests.cast import MONDAY, Cast, make_cast
from tests.kill.crowd import Crowd
from tests.kill.evidence import Evidence
from tests.kill.lives import Browser, Lives
from tests.kill.serve import make_house
from trainer.records.tables import SiteSheetVersion
from trainer.web.app import create_app

USUALLY = 12


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--kills", type=int, help=f"how often each test kills its server ({USUALLY})")


@dataclass
class Scene:
    """A cast, the house that serves it, and the server that is killed; `house` is the test's own look at it."""

    cast: Cast
    house: object
    app: object
    lives: Lives
    kills: int
    seed: int
    began: float = field(default_factory=time.monotonic)

    def __post_init__(self):
        self.chance = random.Random(self.seed)

    def browser(self, person):
        return Browser(self.lives.port, self.house, self.app, person)

    def kill_often(self, clients) -> Crowd:
        """Kill the server while these clients send; look at the records after each kill and at the end."""
        crowd, evidence = Crowd(clients, self.kills), Evidence(self.house)
        crowd.kill_often(self.lives, self.kills, self.chance, lambda: evidence.check(crowd))
        return crowd

    def told(self, crowd) -> str:
        """The run in one line."""
        kinds = Counter(key[0] for key in crowd.cut)
        cut = ", ".join(f"{kind} {times}" for kind, times in sorted(kinds.items()))
        return (
            f"\n{self.cast.database.engine.dialect.name}: seed {self.seed}, {self.kills} kills,"
            f" {crowd.acknowledged} acknowledged, {crowd.repeats} sent again, {crowd.unheard} replies dropped,"
            f" {len(crowd.cut)} on disk at a kill and not yet heard of ({cut}), {time.monotonic() - self.began:.0f} s"
        )


@pytest.fixture
def scene(database_url: str, request: pytest.FixtureRequest) -> Iterator[Scene]:
    # Without a path to this folder on the command line, pytest reads this file too late to know the option.
    kills = request.config.getoption("--kills", None) or USUALLY
    seed = int(os.environ.get("KILL_SEED", random.SystemRandom().randrange(2**32)))
    cast, lives, house = make_cast(database_url), Lives(database_url), make_house(database_url)
    with cast.database.writing() as db:
        db.add(SiteSheetVersion(site_id=cast.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    try:
        lives.begin()
        yield Scene(cast, house, create_app(house), lives, kills, seed)
    finally:
        lives.end()
        house.database.dispose()
        cast.database.dispose()
