"""A running web program over a fresh database, with acts at hand to bring people part of the way."""

import re
from dataclasses import dataclass
from pathlib import Path

from tests.acts.certified import CABINET, KEY, Way
from tests.cast import make_cast
from tests.six_kinds import six_kinds
from trainer.config import Config
from trainer.language.lessons import Lessons
from trainer.records.queries import certifying as queries
from trainer.records.queries import people
from trainer.web.app import create_app
from trainer.web.house import House


@dataclass
class CertifyingHouse:
    """The cast, the acts with their clock, and the program on the same clock."""

    way: Way
    app: object

    @property
    def cast(self):
        return self.way.cast

    def client(self, person=None):
        """A browser in which a person is signed in by password; nobody without one."""
        client = self.app.test_client()
        if person is None:
            return client
        with self.cast.database.reading() as db:
            member = people.member(db, person)
        with client.session_transaction() as session:
            stamp = self.way.now.timestamp()
            session.update(
                person=person, number=member.session_number, started=stamp, seen=stamp, tablet=None, pin=False
            )
        return client

    def evidence(self, person=None, cabinet=None):
        with self.cast.database.reading() as db:
            return queries.evidence_of(
                db, person or self.cast.ana, cabinet or self.cast.main_cabinet, CABINET.id
            )

    def certificate(self, person=None):
        with self.cast.database.reading() as db:
            return queries.certificates_of(db, person or self.cast.ana)[0]


def make_house(url) -> CertifyingHouse:
    cast = make_cast(url)
    way = Way(cast)
    config = Config(Path("."), url, bytes(range(32)), KEY, "127.0.0.1", 8020, https=False, proxies=0)
    house = House(
        config=config,
        database=cast.database,
        bank=six_kinds(),
        lessons=Lessons({}),
        schemes={CABINET.id: CABINET},
        clock=lambda: way.now,
    )
    app = create_app(house, testing=True)
    app.config["WTF_CSRF_ENABLED"] = False
    return CertifyingHouse(way, app)


def words(answer) -> str:
    """The text of a page, without its tags."""
    plain = re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True))
    return " ".join(plain.split())


def hidden(answer, name="form_id") -> str:
    """The value of a hidden field."""
    return re.search(rf'name="{name}"[^>]*value="([^"]+)"', answer.get_data(as_text=True)).group(1)
