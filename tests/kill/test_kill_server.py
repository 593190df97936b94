"""A server killed with SIGKILL at random moments of running exams: what it acknowledged is there, once, and no more."""

import contextlib
import html
import http.client
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.parse
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select, text

from tests.cast import MONDAY, make_cast
from tests.kill.serve import make_house
from tests.six_kinds import RIGHT, WRONG, form_fields
from trainer.acts import exams as acts
from trainer.acts.exam_replay import replay
from trainer.records import log
from trainer.records.queries import exams as queries
from trainer.records.queries import people
from trainer.records.tables import ExamAnswer, SiteSheetVersion
from trainer.web.app import create_app
from trainer.web.examine import tools

# 300 by hand: KILLS=300 .venv/bin/pytest tests/kill/test_kill_server.py
KILLS = int(os.environ.get("KILLS", "20"))
ROOT = Path(__file__).parents[2]
SECONDS_TO_START = 30
SECONDS_IN_ALL = 60 + 4 * KILLS

pytestmark = pytest.mark.kill


class Lives:
    """A server that is started again on the same port each time it was killed."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.port = free_port()
        self.words = tempfile.TemporaryFile("w+")  # noqa: SIM115 - closed in `end`
        self.nursery = subprocess.Popen(
            [sys.executable, "-m", "tests.kill.serve"],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self.words,
            text=True,
            start_new_session=True,
        )
        self.group: int | None = None

    def begin(self) -> None:
        """Start a life and wait until it answers."""
        self.nursery.stdin.write(f"{self.url} {self.port}\n")
        self.nursery.stdin.flush()
        self.group = int(self.nursery.stdout.readline())
        give_up_at = time.monotonic() + SECONDS_TO_START
        while not self._answers():
            assert time.monotonic() < give_up_at, f"the server did not start: {self._said()}"
            time.sleep(0.01)

    def kill(self) -> None:
        """End the life as a power cut would end the process, and see it gone: the dying still hold their port."""
        if self.group is not None:
            os.killpg(self.group, signal.SIGKILL)
            give_up_at = time.monotonic() + SECONDS_TO_START
            with contextlib.suppress(ProcessLookupError):
                while time.monotonic() < give_up_at:
                    os.killpg(self.group, 0)
                    time.sleep(0.001)
            self.group = None

    def end(self) -> None:
        """Kill what still runs and close the nursery."""
        with contextlib.suppress(ProcessLookupError):
            self.kill()
        self.nursery.stdin.close()
        self.nursery.wait(SECONDS_TO_START)
        self.nursery.stdout.close()
        self.words.close()

    def _said(self) -> str:
        self.words.seek(0)
        return self.words.read()[-2000:]

    def _answers(self) -> bool:
        try:
            status, _ = ask(self.port, "GET", "/here")
        except OSError:
            return False
        return status == 200


def free_port() -> int:
    """A port that nobody listens on, and that no system hands out to whoever connects: those begin at 32768."""
    for port in random.SystemRandom().sample(range(20_000, 30_000), 50):
        with socket.socket() as tried:
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            with contextlib.suppress(OSError):
                tried.bind(("127.0.0.1", port))
                return port
    raise OSError("50 ports from 20000 to 30000 are all taken")


def ask(port, method, path, body=None, headers=None):
    """One request on a connection of its own: status and the connection's answer."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    try:
        line.request(method, path, body, headers or {})
        reply = line.getresponse()
        reply.text = reply.read().decode()
        return reply.status, reply
    except http.client.HTTPException as broken:
        raise ConnectionError(str(broken)) from broken
    finally:
        line.close()


class Candidate:
    """A person with a browser: remembers what was acknowledged, sends again what was not, never invents."""

    def __init__(self, port, cookie, chance):
        self.port, self.cookie, self.chance = port, cookie, chance
        self.acknowledged = {}
        self.revisions = {}
        self.pending = None
        self.repeats = 0
        self.refused = []

    def begin(self):
        """Take the form's token, start the exam, see which question stands where."""
        self.token = re.search(r'name="csrf_token" value="([^"]+)"', self.get("/exams/about/six").text)[1]
        reply = self.post("/exams/about/six", {})
        self.exam = reply.getheader("Location").split("/")[2]

    def get(self, path):
        return self._asked("GET", path)

    def post(self, path, fields, accept="text/html"):
        body = urllib.parse.urlencode(
            [*fields, ("csrf_token", self.token)] if fields else {"csrf_token": self.token}
        )
        form = {"Content-Type": "application/x-www-form-urlencoded", "Accept": accept}
        return self._asked("POST", path, body, form)

    def _asked(self, method, path, body=None, headers=None):
        _, reply = ask(self.port, method, path, body, {**(headers or {}), "Cookie": self.cookie})
        for sent in reply.headers.get_all("Set-Cookie") or []:
            if sent.startswith("stringline="):
                self.cookie = sent.split(";")[0]
        return reply

    def answer_once(self, questions):
        """Save one answer; what got no reply before goes first, with the same revision and text."""
        if self.pending is None:
            slot = self.chance.choice(sorted(questions))
            kept = self.chance.choice([RIGHT, WRONG]).get(questions[slot], f"{self.chance.randint(1, 9)} ft")
            self.revisions[slot] = self.revisions.get(slot, 0) + 1
            self.pending = (slot, self.revisions[slot], kept)
        else:
            self.repeats += 1
        slot, revision, kept = self.pending
        fields = [*form_fields(questions[slot], kept), ("revision", str(revision))]
        reply = self.post(f"/exams/{self.exam}/{slot}", fields, accept="application/json")
        said = json.loads(reply.text)
        if reply.status != 200 or not said["saved"]:
            self.refused.append((reply.status, said))
        self.acknowledged[(slot, revision)] = kept
        self.pending = None


@pytest.fixture
def lives(database_url) -> Iterator[Lives]:
    made = Lives(database_url)
    yield made
    made.end()


def cookie_for(house, app, person):
    """A session as the program itself signs it."""
    with house.database.reading() as db:
        member = people.member(db, person)
    stamp = house.clock().timestamp()
    kept = {
        "person": person, "number": member.session_number, "started": stamp, "seen": stamp, "tablet": None, "pin": False
    }  # fmt: skip
    return f"stringline={app.session_interface.get_signing_serializer(app).dumps(kept)}"


def test_no_acknowledged_answer_is_lost_or_doubled(lives, database_url, capsys):
    seed = int(os.environ.get("KILL_SEED", random.SystemRandom().randrange(2**32)))
    chance = random.Random(seed)
    began = time.monotonic()
    cast = make_cast(database_url)
    with cast.database.writing() as db:
        db.add(SiteSheetVersion(site_id=cast.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    house = make_house(database_url)
    app = create_app(house)
    lives.begin()
    candidates = [
        Candidate(lives.port, cookie_for(house, app, person), random.Random(chance.random()))
        for person in (cast.ana, cast.tom, cast.mia)
    ]
    for one in candidates:
        one.begin()
    questions = {one.exam: _questions(house, one.exam) for one in candidates}
    done, said = threading.Event(), []

    def sit(one):
        while not done.is_set():
            try:
                one.answer_once(questions[one.exam])
            except OSError:
                time.sleep(0.01)
            except Exception as broken:
                said.append(broken)
                raise

    threads = [threading.Thread(target=sit, args=(one,), daemon=True) for one in candidates]
    for thread in threads:
        thread.start()
    for _ in range(KILLS):
        _wait_for(chance.randint(1, 12), candidates, began, said)
        time.sleep(chance.uniform(0, 0.03))
        lives.kill()
        lives.begin()
    done.set()
    for thread in threads:
        thread.join(30)
    for one in candidates:
        if one.pending is not None:
            one.answer_once(questions[one.exam])
    _check_records(house, candidates)
    _check_going_on(house, candidates, questions)
    acknowledged = sum(len(one.acknowledged) for one in candidates)
    with capsys.disabled():
        print(
            f"\n{cast.database.engine.dialect.name}: seed {seed}, {KILLS} kills, {acknowledged} answers acknowledged,"
            f" {sum(one.repeats for one in candidates)} sent again, {time.monotonic() - began:.1f} s"
        )
    house.database.dispose()
    cast.database.dispose()


def _questions(house, exam):
    with house.database.reading() as db:
        paper = acts.paper_of(queries.sitting(db, exam))
    return {slot.number: slot.question for slot in paper.form.slots}


def _wait_for(more, candidates, began, said):
    """Until this many more answers were acknowledged."""
    target = sum(len(one.acknowledged) for one in candidates) + more
    while sum(len(one.acknowledged) for one in candidates) < target:
        assert not said, said
        assert time.monotonic() - began < SECONDS_IN_ALL, "too slow"
        time.sleep(0.001)


def _check_records(house, candidates):
    """Each acknowledged answer stands once, in the table and in the log, and nothing else does."""
    with house.database.reading() as db:
        for one in candidates:
            assert one.refused == []
            sitting = queries.sitting(db, one.exam)
            rows = db.execute(
                select(ExamAnswer.slot, ExamAnswer.revision, ExamAnswer.answer).where(
                    ExamAnswer.exam_id == sitting.id
                )
            ).all()
            assert len(rows) == len(one.acknowledged)
            assert {(row.slot, row.revision): row.answer for row in rows} == one.acknowledged
            logged = queries.logged_answers(db, sitting.person_public_id, one.exam)
            assert len(logged) == len(rows)
            assert {(entry.slot, entry.revision): entry.text for entry in logged} == one.acknowledged
        report = log.verify(db)
        assert report.flaws == ()
        # The first start freezes the scheme's version.
        assert report.entries == 1 + len(candidates) + sum(len(one.acknowledged) for one in candidates)
        if house.database.is_sqlite:
            assert db.execute(text("PRAGMA integrity_check")).scalar() == "ok"


def _check_going_on(house, candidates, questions):
    """Every exam can be opened again as it stands, handed in, and its score follows from what was acknowledged."""
    for one in candidates:
        newest = {slot: kept for (slot, _), kept in sorted(one.acknowledged.items())}
        assert one.get(f"/exams/{one.exam}").status == 302
        for slot, kept in newest.items():
            page = one.get(f"/exams/{one.exam}/{slot}").text
            if questions[one.exam][slot] == "eyes.length":
                assert f'value="{html.escape(kept)}"' in page
        assert one.post(f"/exams/{one.exam}/review", {}).status == 303
        assert one.get(f"/exams/{one.exam}/result").status == 200
        with house.database.reading() as db:
            sitting = queries.sitting(db, one.exam)
        right = sum(RIGHT.get(questions[one.exam][slot]) == kept for slot, kept in newest.items())
        # The typed numbers are never right: 9 ft at most, where the vehicle has 140 / 13 ft at least.
        assert sitting.right == right
        assert replay(house.database, public_id=one.exam, tools=tools(house)).agrees
