"""A process killed with SIGKILL at random moments of a run: every act that it acknowledged is there, once, in order."""

import contextlib
import os
import queue
import random
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from tests.acts.counting_bench import ID, counting
from tests.cast import MONDAY, make_cast
from tests.kill.play import ADDS, TOOLS, wanted
from trainer.acts.bench_replay import replay
from trainer.acts.benches import acts_of_run, start, task_of_run
from trainer.benches import catalogue
from trainer.records import log
from trainer.records.queries import benches as queries
from trainer.records.queries import people

KILLS = 25
ROOT = Path(__file__).parents[2]
SECONDS = 60

pytestmark = pytest.mark.kill


class Nursery:
    """The process whose lives are killed, and the numbers of the acts that they said were acknowledged."""

    def __init__(self, url, person, run):
        self.asked = f"{url} {person} {run}\n"
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.kill.play"], cwd=ROOT, text=True, stdin=subprocess.PIPE,
            stdout=subprocess.PIPE, start_new_session=True,
        )  # fmt: skip
        self.lines = queue.Queue()
        self.life, self.kept, self.again, self.over = 0, [], [], False
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self):
        for line in self.process.stdout:
            self.lines.put(line.split())

    def begin(self):
        """A new life; it may say something before its number is known."""
        self._write(self.asked)
        self._hear("life")

    def play(self, more):
        """Let it play until so many more acts were acknowledged, or the run is over."""
        target = len(self.kept) + more
        while len(self.kept) < target and not self.over:
            self._hear()

    def kill(self):
        """End the life, see it gone, and hear all that it said: what the nursery says next stands after it."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.life, signal.SIGKILL)
            give_up_at = time.monotonic() + SECONDS
            while time.monotonic() < give_up_at:
                os.kill(self.life, 0)
                time.sleep(0.001)
        self._write("mark\n")
        self._hear("mark")

    def end(self):
        self.process.stdin.close()
        self.process.wait(SECONDS)

    def _write(self, line):
        self.process.stdin.write(line)
        self.process.stdin.flush()

    def _hear(self, awaited=None):
        """One line, or all up to the one that is awaited."""
        while True:
            said, *rest = self.lines.get(timeout=SECONDS)
            assert said != "refused", rest
            if said == "life":
                self.life = int(rest[0])
            elif said == "over":
                self.over = True
            elif said != "mark":
                getattr(self, said).append(int(rest[0]))
            if awaited in {None, said}:
                return


@pytest.fixture
def cast(database_url, monkeypatch):
    bench = counting(limit=10 * ADDS)
    monkeypatch.setattr(catalogue, "benches", lambda: {ID: bench})
    made = make_cast(database_url)
    yield made
    made.database.dispose()


@pytest.fixture
def run(cast):
    with cast.database.reading() as db:
        ana = people.member(db, cast.ana)
    return start(cast.database, member=ana, bench_id=ID, asked={}, sheet_version=1, tools=TOOLS, now=MONDAY)


@pytest.fixture
def nursery(cast, run, database_url):
    made = Nursery(database_url, cast.ana, run)
    yield made
    made.end()


def kept(cast, run):
    with cast.database.reading() as db:
        found = queries.run(db, run)
    return found.facts, acts_of_run(found, task_of_run(found.facts, TOOLS))


def test_no_acknowledged_act_is_lost_doubled_or_out_of_order(cast, run, nursery, capsys):
    seed = int(os.environ.get("KILL_SEED", random.SystemRandom().randrange(2**32)))
    chance, cut = random.Random(seed), 0
    for _ in range(KILLS):
        nursery.begin()
        nursery.play(chance.randint(1, 6))
        time.sleep(chance.uniform(0, 0.01))
        nursery.kill()
        _, acts = kept(cast, run)
        # What was on disk when the kill came before its reply is said by the next life, which sends it again.
        said = {*nursery.kept, *nursery.again}
        assert said <= set(range(1, len(acts) + 1)) and len(acts) <= len(said) + 1
        assert list(acts) == [wanted(number) for number in range(1, len(acts) + 1)]
        cut += len(acts) > len(said)
    nursery.begin()
    nursery.play(ADDS)
    assert nursery.over
    facts, acts = kept(cast, run)
    assert len(acts) == ADDS + 1 and facts.ended_at is not None
    assert len(nursery.kept) == len(set(nursery.kept))
    with cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        assert len(queries.logged_ends(db, facts.person_public_id, run)) == 1
    assert replay(cast.database, public_id=run, tools=TOOLS).agrees
    with capsys.disabled():
        print(
            f"\n{cast.database.engine.dialect.name}: seed {seed}, {KILLS} kills, {len(acts)} acts kept,"
            f" {len(nursery.again)} sent again, {cut} cut off between disk and reply"
        )
