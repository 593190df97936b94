"""How often honest exams are flagged by chance, and how often one who passes answers on is caught.

Run it from the top of the repository: `.venv/bin/python -m tests.benchmarks.measure_marks [EXAMS [OTHERS]]`. The exams
are drawn from all shipped questions that ask a number, with the demo's sheet; what people do is a model, and its
numbers stand below. What it prints is stated in docs/exams.md.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from trainer.exams.marks import KeptAnswer, Marks, marks_of
from trainer.language.admission import Reader, slip_values
from trainer.language.draws import Instance, draw
from trainer.language.loading import load_bank
from trainer.language.rendering import right_answer
from trainer.quantities.writing import write_quantity
from trainer.sites import demo_sheet, site_values

START = datetime(2026, 3, 2, 15, tzinfo=UTC)
RIGHT, SLIP = (
    0.80,
    0.12,
)  # shares of right answers and of known slips; the rest is a number that is off by something
NUMBERS = 10  # questions of an exam that ask a number
WORK = (4.2, 0.6)  # logarithm of the seconds that an answer takes: median 67 s
SHARED = 4  # answers that a sharer copies


def pool(others: int) -> list[list[Instance]]:
    """Each number question as so many other people had it."""
    values = site_values(demo_sheet())
    bank = load_bank()
    questions = [one for one in bank.by_id.values() if one.kind == "number"]
    return [[draw(one, values, bytes(32), f"other-{n}", "us") for n in range(others)] for one in questions]


def typed(instance: Instance, chance: random.Random) -> str:
    """What an honest person types: right, a slip with their own numbers, or off by a few to many percent."""
    task, asked = instance.question.task, instance.question.task.units[instance.system]
    sort = chance.random()
    reader = Reader(instance.values, instance.system)
    slips = list(slip_values(task, reader).values())
    if sort < RIGHT:
        return right_answer(instance)
    if sort < RIGHT + SLIP and slips:
        return write_quantity(float(chance.choice(slips)), asked, "en")
    return write_quantity(float(reader.number(task.value)) * chance.lognormvariate(0, 0.4), asked, "en")


def exam(pools: list[list[Instance]], number: int, chance: random.Random, shared: int) -> Marks:
    """One exam: answers as people give them, `shared` of them copied from one other person."""
    values = site_values(demo_sheet())
    asked = chance.sample(pools, NUMBERS)
    own = {
        slot: draw(others[0].question, values, bytes(32), f"own-{number}", "us")
        for slot, others in enumerate(asked, 1)
    }
    friend = chance.randrange(len(asked[0]))
    kept, at = [], START
    for slot, instance in own.items():
        at += timedelta(seconds=chance.lognormvariate(*WORK))
        copied = slot <= shared
        text = right_answer(asked[slot - 1][friend]) if copied else typed(instance, chance)
        kept.append(KeptAnswer(slot, 1, text, "en", at))
    return marks_of(START, kept, own, dict(enumerate(asked, 1)))


def measured(exams: int, others: int, shared: int, seed: int) -> Iterator[Marks]:
    """The marks of many simulated exams."""
    chance, pools = random.Random(seed), pool(others)
    for number in range(exams):
        yield exam(pools, number, chance, shared)


def main(exams: int = 10_000, others: int = 10) -> None:
    """Print what honest exams raise, and how many sharers are caught."""
    for said, shared, count in (("honest", 0, exams), ("sharers", SHARED, max(1, exams // 10))):
        found = list(measured(count, others, shared, 7))
        one, two = (sum(len(marks.keys) >= least for marks in found) for least in (1, 2))
        flagged = sum(marks.flagged for marks in found)
        keys = f"a key of others in {one}, two or more in {two}"
        print(f"{said}: {count} exams beside {others} others; {keys}; flagged {flagged}")


if __name__ == "__main__":
    main(*(int(one) for one in sys.argv[1:3]))
