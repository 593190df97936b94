"""Every bench that there is, played through its acts with the demo sheet: the best list passes and replays."""

from dataclasses import replace

import pytest

from tests.cast import MONDAY, make_cast
from trainer.acts import benches as acts
from trainer.acts.bench_replay import replay
from trainer.acts.benches import BenchTools
from trainer.benches.catalogue import benches
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.sites import demo_sheet

SHEET = demo_sheet()
TOOLS = BenchTools(bytes(range(32)), lambda site, version: SHEET)


@pytest.fixture
def cast(tmp_path):
    made = make_cast(f"sqlite:///{tmp_path / 'test.sqlite3'}")
    yield made
    made.database.dispose()


def kept(cast, run):
    with cast.database.reading() as db:
        return queries.run(db, run)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("bench", sorted(benches()))
def test_the_best_acts_of_a_bench_are_kept_pass_and_replay(cast, bench, system):
    with cast.database.reading() as db:
        member = replace(people.member(db, cast.ana), system=system)
    run = acts.start(
        cast.database, member=member, bench_id=bench, asked={}, sheet_version=1, tools=TOOLS, now=MONDAY
    )
    task = acts.task_of_run(kept(cast, run).facts, TOOLS)
    best = benches()[bench].best(task)
    for number, act in enumerate(best.acts, 1):
        played = acts.play(
            cast.database, member=member, public_id=run, number=number, act=act, tools=TOOLS, now=MONDAY
        )
        assert played.accepted, (number, act, played)
    # What a later process reads is what was played: nothing but the list of acts is kept.
    acts._task.cache_clear()
    found = kept(cast, run)
    assert acts.acts_of_run(found, acts.task_of_run(found.facts, TOOLS)) == best.acts
    assert (found.facts.points, found.facts.passed, found.facts.failed) == (100, True, False)
    assert replay(cast.database, public_id=run, tools=TOOLS).agrees
