"""An installation over the small cast, and browsers for its people, for tests of pages."""

import re
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.cast import MONDAY, Cast
from trainer.config import Config
from trainer.records.queries.questions import KeptQuestions
from trainer.records.tables import Person
from trainer.web.app import create_app
from trainer.web.house import House

PEOPLE = ("ana", "tom", "mia", "lee")


@dataclass
class Clock:
    """The moment that pages take for now; a test moves it."""

    now: datetime = MONDAY

    def __call__(self) -> datetime:
        return self.now

    def move(self, **more: float) -> None:
        self.now += timedelta(**more)


class Visitor(FlaskClient):
    """A browser that fills in the token of a form as a page would."""

    def token(self) -> str:
        """A token against forged requests, from the sign-in page's form or a page's sign-out form."""
        page = self.get("/sign-in?by=password").text
        return re.search(r'name="csrf_token" value="([^"]+)"', page)[1]

    def send(self, address: str, **fields: str) -> TestResponse:
        """Send a form."""
        return self.post(address, data={"csrf_token": self.token(), **fields})


@dataclass
class Stage:
    """The cast, the clock, the application; `visitor(person)` is a browser that the person has signed in on."""

    cast: Cast
    content: dict
    folder: Path
    https: bool = False
    proxies: int = 0
    clock: Clock = field(default_factory=Clock)
    # Work that the program would do beside the pages: a test does it when it wants to.
    waiting: list = field(default_factory=list)

    def __post_init__(self) -> None:
        self.house = House(
            config=self._config(),
            database=self.cast.database,
            clock=self.clock,
            beside=self.waiting.append,
            **{
                **self.content,
                "bank": replace(self.content["bank"], older=KeptQuestions(self.cast.database)),
            },
        )
        self.app = self.another_app()

    def _config(self) -> Config:
        url = str(self.cast.database.engine.url)
        return Config(self.folder, url, b"s" * 32, b"k" * 32, "127.0.0.1", 8020, self.https, self.proxies)

    def another_app(self, testing: bool = True) -> Flask:
        """A second program over the same installation."""
        app = create_app(self.house, testing=testing)
        app.test_client_class = Visitor
        return app

    def visitor(self, person: int | None = None, **session: object) -> Visitor:
        """A browser; signed in as a person when one is given, without the cost of a password."""
        client = self.app.test_client()
        if person is not None:
            self.sign_in(client, person, **session)
        return client

    def sign_in(self, client: Visitor, person: int, **more: object) -> None:
        """Give a browser the session that signing in now would give it."""
        with self.cast.database.reading() as db:
            number = db.get_one(Person, person).session_number
        moment = self.clock().timestamp()
        usual = {"number": number, "started": moment, "seen": moment, "tablet": None, "pin": False}
        with client.session_transaction() as session:
            session.update({"person": person, **usual, **more})
