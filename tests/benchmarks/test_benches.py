"""Scores of benches, and a fleet that rolls past a beam, against the solver's own sweep of the same bodies."""

import random
import time
from statistics import median

import numpy as np
import pytest

from tests.benchmarks.paired import paired
from trainer.benches.acts import Act, Amount
from trainer.benches.beam import CARD as BEAM
from trainer.benches.catalogue import benches
from trainer.benches.frame import done
from trainer.language.draws import Stream
from trainer.sites.fleet import fleet
from trainer.sites.reading import demo_sheet
from trainer.sites.survey.reader import Reader
from trainer.solver.detection import detect

pytestmark = pytest.mark.benchmark_ratio
SHEET = demo_sheet()


def drawn_acts(kinds, chance, count):
    """Acts by chance: what a run that goes on and on may hold."""

    def one():
        kind = chance.choice(kinds)
        return Act(kind.kind, {field.name: value_of(field) for field in kind.fields})

    def value_of(field):
        if isinstance(field, Amount):
            most = int((field.high - field.low) / field.step + 1e-6)
            return field.low + chance.randint(0, most) * field.step
        return chance.choice(field.options).id

    return [one() for _ in range(count)]


@pytest.mark.parametrize("bench", sorted(benches()))
def test_a_score_takes_less_than_a_tenth_of_a_second(bench):
    """Of tasks that nobody has scored before, at the hardest level: the first score costs the best of its task, too."""
    one, chance = benches()[bench], random.Random(7)
    firsts, others = [], []
    for seed in range(9):
        task = one.make_task(SHEET, {"level": "3"}, Stream(b"a secret", f"bench {seed}"), "us")
        acts = drawn_acts(one.kinds(task), chance, 60)
        taken = [
            work(lambda many=many, task=task, acts=acts: one.score(task, acts[:many])) for many in (60, 20, 0)
        ]
        firsts.append(taken[0])
        others += taken[1:]
    cold = firsts[1:]  # the very first also loads what the process has not used yet
    print(f"\n{bench}: first scores {median(cold) * 1000:.1f} ms, at most {max(cold) * 1000:.1f}; later at most "
          f"{max(others) * 1000:.1f}")  # fmt: skip
    assert median(cold) < 0.1
    assert max(others) < 0.1


def work(what):
    """Seconds of work, not of the clock: a busy machine shares its cores."""
    started = time.process_time()
    what()
    return time.process_time() - started


def test_a_fleet_rolls_past_the_beam():
    """14 vehicles, seen, worked out and drawn, against the plain sweep of the same bodies in the same places."""
    bench = benches()[BEAM.id]
    task = bench.make_task(SHEET, {"level": "3"}, Stream(b"a secret", "fleet"), "us")
    place, run = (next(k for k in bench.kinds(task) if k.kind == kind) for kind in ("place", "run"))
    vehicles = [option.id for option in next(f for f in run.fields if f.name == "vehicle").options]
    everything = next(one for one in vehicles if one == "all")
    reader = Reader("en", "us")
    started = {field.name: value for offer in bench.show(task, (), reader).offers if offer.kind == place
               for field, value in ((f, offer.values[f.name]) for f in place.fields)}  # fmt: skip
    bodies = [one.body for one in fleet(SHEET) if one.id in vehicles]
    assert len(bodies) >= 13
    emitter, receiver = (0.0, -1.8, 0.3), (0.0, 1.8, 0.9)
    offsets = np.linspace(-0.15, 0.15, 5)
    steps = [place_act(started, place, i) for i in range(40)]

    def ours(i):
        acts = done(bench, task, [steps[i % len(steps)], Act("run", {"vehicle": everything})])
        bench.show(task, acts, reader)

    def plain(_):
        for body in bodies:
            detect(emitter, receiver, body, offsets)

    ours(0)
    times = paired(ours, plain, rounds=7, calls=5)
    times.say(f"a fleet of {len(bodies)} rolls past a beam and is drawn, against the sweep alone")
    assert times.ratio < 10
    worked = median(work(lambda i=i: ours(i)) for i in range(20))
    print(f"a fleet of {len(bodies)} takes {worked * 1000:.1f} ms of work")
    assert worked < 0.05


def place_act(started, kind, i):
    """The heads somewhere else each time, so that nothing is known from the last time."""
    values = dict(started)
    for j, field in enumerate(f for f in kind.fields if isinstance(f, Amount)):
        most = int((field.high - field.low) / field.step + 1e-6)
        values[field.name] = field.low + ((i * 3 + j * 5) % (most + 1)) * field.step
    return Act(kind.kind, values)
