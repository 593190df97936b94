"""Serves the exam house of the tests, one process a life, so that a test may kill each.

Everything is imported once; each line `URL PORT` on standard input starts a server in a process of its own, in a
process group of its own, and answers with its number. The server is the real one: waitress over create_app.
"""

import os
import signal
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import waitress

from tests.acts.certified import CABINET
from tests.six_kinds import six_kinds, six_scheme
from tests.web.exam_house import KnownSite
from trainer.acts.exams import close_overdue
from trainer.config import Config
from trainer.exams.scheme import Tries
from trainer.language.lessons import Lessons
from trainer.records.database import Database
from trainer.web.app import create_app
from trainer.web.examine import tools
from trainer.web.house import House

SWEEP_EVERY = 1.0
HOURS = 4
EVERYTHING = 6  # a cut that nobody reaches, as typed numbers are never right: all may begin again


def make_house(url: str, port: int = 0) -> House:
    """The installation that is served; the test makes the same one to sign people in."""
    return KnownSite(
        config=Config(Path(), url, bytes(range(32)), bytes(32), "127.0.0.1", port, https=False, proxies=0),
        database=Database(url),
        bank=six_kinds(),
        lessons=Lessons({}),
        schemes={
            "six": six_scheme(minutes=HOURS * 60, tries=Tries(10_000, 1, 0), cut=EVERYTHING),
            "cabinet": CABINET,
        },
        clock=lambda: datetime.now(UTC),
    )


def serve(url: str, port: int) -> None:
    """Serve until killed, sweeping as `stringline run` does."""
    house = make_house(url, port)
    stop = threading.Event()

    def sweep() -> None:
        while not stop.wait(SWEEP_EVERY):
            close_overdue(house.database, tools(house), house.clock())

    threading.Thread(target=sweep, daemon=True).start()
    waitress.serve(create_app(house), host="127.0.0.1", port=port, threads=4)


def main() -> None:
    """Start a life for every line; end when standard input ends."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # the dead need no burial
    create_app(make_house("sqlite://"))  # so that a life begins with everything imported
    for line in sys.stdin:
        url, port = line.split()
        child = os.fork()
        if child == 0:
            os.setsid()
            os.close(0)
            serve(url, int(port))
            os._exit(0)
        print(child, flush=True)


if __name__ == "__main__":
    main()
