"""Two servers as they are shipped, each in a process of its own: exams with many people, and a bare view beside them.

The bare view commits one row with the same library and the same durability (WAL and synchronous=FULL, or PostgreSQL's
own), and does nothing else.
"""

from __future__ import annotations

import asyncio
import logging
import multiprocessing
import random
import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlencode

from flask import Flask, request
from itsdangerous import URLSafeTimedSerializer
from sqlalchemy import insert, select
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from tests.cast import MONDAY, make_cast
from tests.web.exam_house import KnownSite
from trainer.acts.exams import paper_of, start
from trainer.acts.hashing import token_hash
from trainer.cli.serve import make_server
from trainer.config import Config
from trainer.exams.reading import load_schemes
from trainer.language.lessons import Lessons
from trainer.language.loading import content_folder, load_bank
from trainer.records.database import Database
from trainer.records.queries import people
from trainer.records.queries.exams import sitting
from trainer.records.tables import Exam, Person, SiteSheetVersion
from trainer.sites import demo_sheet, demo_text, site_values
from trainer.web.app import create_app
from trainer.web.examine import tools

PLACE = "the token of a browser"
QUESTIONS = 3  # of each exam that are answered, again and again


class Bare(DeclarativeBase):
    """A registry of its own."""


class Row(Bare):
    """The one row."""

    __tablename__ = "bare_row"
    id: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str]


def bare_app(url: str) -> Flask:
    """Keeps one row of a form and says so."""
    database = Database(url)
    app = Flask("bare")

    @app.post("/")
    def keep():
        with database.writing() as db:
            db.add(Row(text=request.form["answer"]))
        return ""

    return app


class RealSite(KnownSite):
    """The demo's sheet and its values, whatever is stored."""

    def site_values(self, site_id, version):
        return site_values(demo_sheet())


def exam_house(url: str) -> RealSite:
    """The shipped questions and schemes over a database."""
    schemes = load_schemes(content_folder() / "questions" / "schemes")
    free = {one.id: one for one in schemes.values() if not one.opens_cabinet}
    return RealSite(
        config=Config(Path(), url, bytes(range(32)), bytes(32), "127.0.0.1", 8020, https=False, proxies=0),
        database=Database(url), bank=load_bank(), lessons=Lessons({}), schemes=free,
        clock=lambda: datetime.now(UTC),
    )  # fmt: skip


@dataclass
class Seat:
    """One person's open exam: its address, their session, the numbers of its number questions, the form's token."""

    exam: str
    cookie: str
    numbers: tuple[int, ...]
    token: str
    sent: int = 0

    def next(self) -> bytes:
        """The next answer as it travels: another revision each time."""
        revision, at = divmod(self.sent, len(self.numbers))
        self.sent += 1
        fields = {"answer": f"{self.sent} ft", "revision": str(revision + 1), "csrf_token": self.token}
        return post(f"/exams/{self.exam}/{self.numbers[at]}", fields, self.cookie)


def post(path: str, fields: dict[str, str], cookie: str = "") -> bytes:
    """A form's request in bytes."""
    body = urlencode(fields)
    return (
        f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAccept: application/json\r\n"
        f"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {len(body)}\r\n"
        f"Cookie: stringline={cookie}\r\n\r\n{body}"
    ).encode()


def seats(house: RealSite, app: Flask, many: int) -> list[Seat]:
    """Enrol many people and give each an exam that is open."""
    cast = make_cast(house.config.database_url)
    with cast.database.writing() as db:
        db.add(
            SiteSheetVersion(
                site_id=cast.site, version=1, text=demo_text(), saved_by_id=None, saved_at=MONDAY
            )
        )
        rows = [
            {
                "public_id": f"seat-{n}", "site_id": cast.site, "name": f"Seat {n}", "sign_in_name": f"seat.{n}",
                "role": "learner", "language": "en", "system": "us", "session_number": 1, "joined_at": MONDAY,
            }
            for n in range(many)
        ]  # fmt: skip
        db.execute(insert(Person), rows)
    [scheme] = house.schemes.values()
    exam_tools = tools(house)
    open_to_all = replace(scheme, mastery="none", invigilated=False)
    exam_tools = replace(exam_tools, schemes={scheme.id: open_to_all})
    with cast.database.reading() as db:
        members = [people.member_by_public_id(db, f"seat-{n}", cast.site) for n in range(many)]
    cast.database.dispose()
    first = start(
        house.database, member=members[0], scheme_id=scheme.id, tools=exam_tools, now=house.clock(),
        place=token_hash(PLACE),
    )  # fmt: skip
    assert first.public_id, first.refused
    exams = [first.public_id, *_others(house, first.public_id, members[1:])]
    return [_seat(house, app, exam, member) for exam, member in zip(exams, members, strict=True)]


def _others(house, exam: str, members) -> list[str]:
    """The same exam for other people: setting a paper for each takes seconds, and no answer costs less by it."""
    names = [column.name for column in Exam.__table__.columns if column.name != "id"]
    with house.database.writing() as db:
        row = db.scalars(select(Exam).where(Exam.public_id == exam)).one()
        facts = {name: getattr(row, name) for name in names}
        rows = [{**facts, "public_id": str(uuid.uuid4()), "person_id": one.id} for one in members]
        db.execute(insert(Exam), rows)
    return [one["public_id"] for one in rows]


def _seat(house, app, exam: str, member) -> Seat:
    with house.database.reading() as db:
        slots = paper_of(sitting(db, exam)).form.slots
    numbers = [one.number for one in slots if house.bank.question(one.question).kind == "number"]
    stamp = time.time()
    session = {
        "person": member.id, "number": member.session_number, "started": stamp, "seen": stamp, "tablet": None,
        "pin": False, "place": PLACE, "csrf_token": "0" * 40,
    }  # fmt: skip
    cookie = app.session_interface.get_signing_serializer(app).dumps(session)
    token = URLSafeTimedSerializer(app.secret_key, salt="wtf-csrf-token").dumps("0" * 40)
    return Seat(exam, cookie, tuple(numbers[:QUESTIONS]), token)


def serve(make, url: str, port) -> None:
    """Serve until the process is ended; says the port first."""
    app = make(url)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    server = make_server(app, "127.0.0.1", 0, proxies=0)
    port.send(server.effective_port)
    server.run()


def exam_app(url: str) -> Flask:
    """The program itself."""
    return create_app(exam_house(url))


def begin(make, url: str):
    """A server in a process of its own: the process and the port."""
    ours, theirs = multiprocessing.get_context("spawn").Pipe()
    process = multiprocessing.get_context("spawn").Process(
        target=serve, args=(make, url, theirs), daemon=True
    )
    process.start()
    assert ours.poll(60), "the server did not start"
    return process, ours.recv()


@dataclass(frozen=True)
class Load:
    """What a round of requests came to: seconds of each, seconds in all, replies that were not 200."""

    each: list[float]
    whole: float
    wrong: list[bytes]

    @property
    def a_second(self) -> float:
        return len(self.each) / self.whole

    def share(self, part: float) -> float:
        """The time [s] within which this part of the requests were answered."""
        return sorted(self.each)[min(len(self.each) - 1, int(part * len(self.each)))]


def load(port: int, requests: list[list[bytes]], think: float = 0) -> Load:
    """Send each list of requests on a connection of its own, one after another, all connections at once.

    think: people wait up to twice this long [s] before each request, each as long as chance wants
    """
    # In a thread: this one's loop may be a browser's.
    with ThreadPoolExecutor(1) as apart:
        return apart.submit(asyncio.run, _load(port, requests, think)).result()


async def _load(port: int, requests: list[list[bytes]], think: float) -> Load:
    chance = random.Random(5)
    lines = [await asyncio.open_connection("127.0.0.1", port) for _ in requests]
    each: list[float] = []
    wrong: list[bytes] = []

    async def one(line, mine):
        reader, writer = line
        for asked in mine:
            if think:
                await asyncio.sleep(chance.uniform(0, 2 * think))
            began = time.perf_counter()
            writer.write(asked)
            head = await reader.readuntil(b"\r\n\r\n")
            length = int(head.lower().split(b"content-length: ")[1].split(b"\r\n")[0])
            body = await reader.readexactly(length)
            each.append(time.perf_counter() - began)
            if not head.startswith(b"HTTP/1.1 200"):
                wrong.append(head + body)

    began = time.perf_counter()
    await asyncio.gather(*(one(line, mine) for line, mine in zip(lines, requests, strict=True)))
    whole = time.perf_counter() - began
    for _, writer in lines:
        writer.close()
    return Load(each, whole, wrong)
