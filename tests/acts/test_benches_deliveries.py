"""Acts that arrive late, twice, out of order or at the same moment: the kept list is the longest consistent one."""

import threading

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.acts.counting_bench import ID, add, done, inches, only_counting, touch
from tests.cast import MONDAY, make_cast, make_person
from trainer.acts import benches as acts
from trainer.acts.bench_replay import replay
from trainer.acts.benches import BenchTools
from trainer.records import log
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.sites import demo_sheet

TOOLS = BenchTools(bytes(range(32)), lambda site, version: demo_sheet())
ACTS = st.sampled_from([add(1), add(2), add(10), touch(), done()])


@pytest.fixture
def cast(database_url, monkeypatch):
    only_counting(monkeypatch)
    made = make_cast(database_url)
    yield made
    made.database.dispose()


def taken(held, number, act):
    """What a list of acts in memory would do with a message: the list after it, and how it answers."""
    if 1 <= number <= len(held) and held[number - 1] == act:
        return held, "repeated"
    over = bool(held) and held[-1] == done()
    if over or number != len(held) + 1 or (act.kind == "add" and inches([*held, act]) > 100):
        return held, "refused"
    return [*held, act], "kept"


def answer(played):
    return "repeated" if played.repeated else "kept" if played.accepted else "refused"


class Deliveries(RuleBasedStateMachine):
    """One run, and everything that can happen to its messages on the way."""

    people = 0

    def __init__(self, cast):
        super().__init__()
        self.cast, self.held, self.sent, self.acknowledged = cast, [], [], {}
        Deliveries.people += 1
        name = f"Person N{Deliveries.people}"
        facts = {"public_id": f"n{self.people}", "sign_in_name": f"n{self.people}"}
        person = make_person(cast.database, cast.site, name, **facts)
        with cast.database.reading() as db:
            self.member = people.member(db, person)
        self.run = acts.start(
            cast.database, member=self.member, bench_id=ID, asked={}, sheet_version=1, tools=TOOLS, now=MONDAY
        )

    def deliver(self, number, act):
        played = acts.play(
            self.cast.database, member=self.member, public_id=self.run, number=number, act=act,
            tools=TOOLS, now=MONDAY,
        )  # fmt: skip
        if played.accepted:
            self.acknowledged[number] = act
        return answer(played)

    def send(self, number, act):
        self.sent.append((number, act))
        self.held, wanted = taken(self.held, number, act)
        assert self.deliver(number, act) == wanted

    @rule(act=ACTS)
    def do_the_next(self, act):
        self.send(len(self.held) + 1, act)

    @rule(act=ACTS, ahead=st.integers(-3, 4))
    def arrive_at_any_place(self, act, ahead):
        self.send(len(self.held) + 1 + ahead, act)

    @precondition(lambda self: self.sent)
    @rule(data=st.data())
    def arrive_again(self, data):
        self.send(*data.draw(st.sampled_from(self.sent)))

    @rule(first=ACTS, second=ACTS, apart=st.integers(0, 1))
    def arrive_at_the_same_moment(self, first, second, apart):
        number = len(self.held) + 1
        messages = [(number, first), (number + apart, second)]
        said = [None, None]

        def go(which):
            said[which] = self.deliver(*messages[which])

        both = [threading.Thread(target=go, args=(which,)) for which in (0, 1)]
        for one in both:
            one.start()
        for one in both:
            one.join()
        self.sent += messages
        outcomes = [self.in_order(messages, order) for order in ((0, 1), (1, 0))]
        held = self.stored()
        assert (held, said) in outcomes
        self.held = held

    def in_order(self, messages, order):
        held, said = self.held, [None, None]
        for which in order:
            held, said[which] = taken(held, *messages[which])
        return held, said

    @rule()
    def start_the_program_again(self):
        acts._task.cache_clear()

    def stored(self):
        with self.cast.database.reading() as db:
            kept = queries.run(db, self.run)
        return list(acts.acts_of_run(kept, acts.task_of_run(kept.facts, TOOLS)))

    @invariant()
    def what_was_acknowledged_is_there(self):
        stored = self.stored()
        assert stored == self.held
        assert all(stored[number - 1] == act for number, act in self.acknowledged.items())

    def teardown(self):
        with self.cast.database.reading() as db:
            facts = queries.run(db, self.run).facts
            assert log.verify(db).flaws == ()
            ends = queries.logged_ends(db, self.member.public_id, self.run)
        over = bool(self.held) and self.held[-1] == done()
        assert (facts.ended_at is not None) == over
        assert len(ends) == int(over)
        if over:
            assert replay(self.cast.database, public_id=self.run, tools=TOOLS).agrees


def test_whatever_happens_on_the_way_the_kept_list_is_right(cast):
    run_state_machine_as_test(
        lambda: Deliveries(cast),
        settings=settings(
            max_examples=12,
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=[HealthCheck.too_slow],
        ),
    )
