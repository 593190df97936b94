"""A running web program over a fresh database with the six kinds of question, for tests of exam pages."""

import threading
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

import waitress

from tests.cast import MONDAY, make_cast
from tests.on_trial import bank_with_kept
from tests.six_kinds import SITE, six_scheme
from trainer.config import Config
from trainer.language.lessons import Lessons
from trainer.records.queries import people
from trainer.records.tables import SiteSheetVersion
from trainer.sites.reading import demo_sheet
from trainer.web.app import create_app
from trainer.web.house import House


@dataclass(frozen=True)
class KnownSite(House):
    """A house whose sites have the values of the tests and the demo's sheet, whatever their own says."""

    def site_values(self, site_id, version):
        return SITE

    def sheet(self, site_id, version):
        return demo_sheet()


@dataclass
class Clock:
    """The server's clock, moved by hand."""

    moment: object = MONDAY

    def __call__(self):
        return self.moment

    def forward(self, **much):
        self.moment += timedelta(**much)


@dataclass
class ExamHouse:
    """The cast, the program and its clock."""

    cast: object
    app: object
    house: House
    clock: Clock = field(default_factory=Clock)

    def client(self, person):
        """A browser in which a person is signed in."""
        with self.cast.database.reading() as db:
            member = people.member(db, person)
        client = self.app.test_client()
        with client.session_transaction() as session:
            stamp = self.clock().timestamp()
            session.update(
                person=person, number=member.session_number, started=stamp, seen=stamp, tablet=None, pin=False
            )
        return client

    def member(self, person):
        with self.cast.database.reading() as db:
            return people.member(db, person)


def make_exam_house(url, bank=None, **scheme) -> ExamHouse:
    cast = make_cast(url)
    with cast.database.writing() as db:
        for site in (cast.site, cast.other_site):
            db.add(SiteSheetVersion(site_id=site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    clock = Clock()
    config = Config(Path(), url, bytes(range(32)), bytes(32), "127.0.0.1", 8020, https=False, proxies=0)
    house = KnownSite(
        config=config,
        database=cast.database,
        bank=bank or bank_with_kept(cast.database),
        lessons=Lessons({}),
        schemes={"six": six_scheme(**scheme)},
        clock=clock,
    )
    app = create_app(house, testing=True)
    app.config["WTF_CSRF_ENABLED"] = False
    return ExamHouse(cast, app, house, clock)


@contextmanager
def on_a_port(made: ExamHouse):
    """The house on a port of this machine, at `address`."""
    made.app.config["WTF_CSRF_ENABLED"] = True
    server = waitress.create_server(made.app, host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.run)
    thread.start()
    made.address = f"http://127.0.0.1:{server.effective_port}"
    try:
        yield made
    finally:
        server.trigger.pull_trigger(lambda: _close(server))
        server.task_dispatcher.shutdown()
        thread.join(timeout=5)
        made.cast.database.dispose()


def _close(server):
    for channel in list(server.active_channels.values()):
        channel.handle_close()
    server.close()


def sign_in(made: ExamHouse, page, person):
    """Sign a window in; gives the window."""
    cookie = made.client(person).get_cookie("stringline")
    page.context.add_cookies([{"name": "stringline", "value": cookie.value, "url": made.address}])
    return page
