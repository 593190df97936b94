"""Plays a bench in one process a life, so that a test may kill each; says every act that was acknowledged.

Everything is imported once; each line `URL PERSON RUN` on standard input begins a life in a process of its own and is
answered with that process's number; the line `mark` is answered as it is. A life goes on where the kept acts end, and
sends the last of them once more first.
"""

import os
import signal
import sys
from datetime import UTC, datetime

from tests.acts.counting_bench import ID, add, counting, done
from trainer.acts.benches import BenchTools, acts_of_run, play, task_of_run
from trainer.benches import catalogue
from trainer.records.database import Database
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.sites import demo_sheet

ADDS = 300
SHEET = demo_sheet()
TOOLS = BenchTools(bytes(range(32)), lambda site, version: SHEET)


def wanted(number):
    """The act of each number, so that whoever looks afterwards knows it: 300 of them, then the end."""
    return add() if number <= ADDS else done()


def live(url: str, person: int, run: str) -> None:
    """Go on playing; a line a number, written when it was acknowledged and not before."""
    database = Database(url)
    with database.reading() as db:
        member, kept = people.member(db, person), queries.run(db, run)
    first = max(1, len(acts_of_run(kept, task_of_run(kept.facts, TOOLS))))
    for number in range(first, ADDS + 2):
        act = wanted(number)
        taken = play(
            database, member=member, public_id=run, number=number, act=act, tools=TOOLS, now=datetime.now(UTC)
        )
        if not taken.accepted:
            say(f"refused {number} {taken}")
            return
        say(f"{'again' if taken.repeated else 'kept'} {number}")
    say("over")


def say(words: str) -> None:
    """One line in one write: a kill leaves none of it or all."""
    os.write(1, f"{words}\n".encode())


def main() -> None:
    """Begin a life for every line; end when standard input ends."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # the dead need no burial
    bench = counting(limit=10 * ADDS)
    catalogue.benches = lambda: {ID: bench}
    for line in sys.stdin:
        if line == "mark\n":
            say("mark")
            continue
        url, person, run = line.split()
        child = os.fork()
        if child == 0:
            live(url, int(person), run)
            os._exit(0)
        say(f"life {child}")


if __name__ == "__main__":
    main()
