"""A real server on one port that is killed and started again, and browsers that ask it."""

import contextlib
import http.client
import os
import random
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.parse
from pathlib import Path

from trainer.records.queries import people

ROOT = Path(__file__).parents[2]
SECONDS_TO_START = 30


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
            return ask(self.port, "GET", "/here").status == 200
        except OSError:
            return False


def free_port() -> int:
    """A port that nobody listens on, and that no system hands out to whoever connects: those begin at 32768."""
    for port in random.SystemRandom().sample(range(20_000, 30_000), 50):
        with socket.socket() as tried:
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            with contextlib.suppress(OSError):
                tried.bind(("127.0.0.1", port))
                return port
    raise OSError("50 ports from 20000 to 30000 are all taken")


def ask(port, method, path, body=None, headers=None, address="127.0.0.1"):
    """One request on a connection of its own, from an address of this machine; the reply with its text."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=30, source_address=(address, 0))
    try:
        line.request(method, path, body, headers or {})
        reply = line.getresponse()
        reply.text = reply.read().decode()
        return reply
    except http.client.HTTPException as broken:
        raise ConnectionError(str(broken)) from broken
    finally:
        line.close()


class Browser:
    """A person's browser, signed in. It keeps its first page's session: notices nobody reads would pile up."""

    def __init__(self, port, house, app, person):
        self.port, self.cookie = port, cookie_for(house, app, person)
        page = self.get("/exams/")
        self.cookie = next(
            sent.split(";")[0]
            for sent in page.headers.get_all("Set-Cookie")
            if sent.startswith("stringline=")
        )
        self.token = re.search(r'name="csrf_token" value="([^"]+)"', page.text)[1]

    def get(self, path):
        return ask(self.port, "GET", path, headers={"Cookie": self.cookie})

    def post(self, path, fields=(), accept="text/html", address="127.0.0.1"):
        body = urllib.parse.urlencode([*fields, ("csrf_token", self.token)])
        form = {"Content-Type": "application/x-www-form-urlencoded", "Accept": accept, "Cookie": self.cookie}
        return ask(self.port, "POST", path, body, form, address)


def cookie_for(house, app, person):
    """A session as the program itself signs it, of a browser that has a place."""
    with house.database.reading() as db:
        member = people.member(db, person)
    stamp = house.clock().timestamp()
    kept = {
        "person": person, "number": member.session_number, "started": stamp, "seen": stamp, "tablet": None,
        "pin": False, "place": f"browser of {member.public_id}",
    }  # fmt: skip
    return f"stringline={app.session_interface.get_signing_serializer(app).dumps(kept)}"
