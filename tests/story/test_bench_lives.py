"""Acts that must not be lost: the connection goes, the page is loaded again, the server is killed."""

import os
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.story.bench_hands import FULL, set_fields, start, work_out
from trainer.acts.benches import acts_of_run

ROOT = Path(__file__).parents[2]
SECONDS = 60
LOST = "() => !document.getElementById('offline').hidden"


def test_an_act_that_finds_no_connection_arrives_by_itself_and_once(wash, hand):
    page = hand("june")
    run = start(wash, page, "delay", level="2")
    page.context.set_offline(True)
    page.fill("#set-on_delay", "0.4")
    page.locator("#do-set").tap()
    expect(page.locator("#offline")).to_be_visible()
    assert run.kept().acts == ()
    page.context.set_offline(False)
    page.wait_for_function("() => document.getElementById('bench').dataset.number === '2'", timeout=30_000)
    expect(page.locator("#offline")).to_be_hidden()
    assert len(run.kept().acts) == 1


def test_an_act_that_had_not_arrived_is_sent_after_a_reload_and_once(wash, hand):
    page = hand("june")
    run = start(wash, page, "delay", level="3")
    page.route(
        "**/bench/*", lambda route: route.abort() if route.request.method == "POST" else route.fallback()
    )
    page.fill("#set-on_delay", "0.5")
    page.locator("#do-set").tap()
    page.wait_for_function(f"() => localStorage.getItem('stringline bench {run.id}') !== null")
    assert run.kept().acts == ()
    page.unroute("**/bench/*")
    page.reload()
    page.wait_for_function("() => document.getElementById('bench').dataset.number === '2'")
    page.reload()
    assert len(run.kept().acts) == 1
    assert page.get_attribute("#bench", "data-number") == "2"


class Lives:
    """The server in a process of its own, over the wash's own database; every life listens on the same port."""

    def __init__(self, config):
        self.config, self.port, self.process = config, 0, None

    def begin(self):
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.story.serve_again",
             str(self.config.data_folder), self.config.database_url, str(self.port)],
            cwd=ROOT, text=True, stdout=subprocess.PIPE, start_new_session=True,
        )  # fmt: skip
        self.port = int(self.process.stdout.readline())

    def kill(self):
        os.kill(self.process.pid, signal.SIGKILL)
        self.process.wait(SECONDS)
        self.process.stdout.close()


@pytest.fixture
def lives(wash):
    made = Lives(wash.house.config)
    made.begin()
    yield made
    made.kill()


def same(acts):
    """Acts as they compare: a number that went through a field is as good as its grid, not as its last bit."""
    return [
        (one.kind, {k: v if isinstance(v, str) else round(v, 9) for k, v in one.values.items()})
        for one in acts
    ]


@pytest.mark.kill
def test_a_run_goes_on_after_the_server_was_killed(wash, hand, lives):
    """Killed between two acts and once more while an act is on its way: what was acknowledged stands, nothing twice."""
    served = replace(wash, address=f"http://127.0.0.1:{lives.port}")
    page = hand("june", wash=served)
    run = start(served, page, "aiming", level="3")
    best = run.best()

    def and_kill(act):
        number = best.index(act) + 1
        assert same(acts_of_run(run.kept(), run.task)) == same(best[:number])
        if number == 1:
            lives.kill()
            press_while_dead(page, run, best[1], lives)
        elif number == 3:
            press_and_kill(page, run, best[3], lives)

    work_out(run, "tapping", and_kill, skip=(1, 3))
    assert same(acts_of_run(run.kept(), run.task)) == same(best)
    expect(page.locator("#result-title")).to_contain_text(FULL["june"])


def press_while_dead(page, run, act, lives):
    """Press an act that nobody hears; the page says so, and sends it by itself when somebody does."""
    number = run.number()
    set_fields(run, act)
    page.locator(run.button(act)).tap()
    page.wait_for_function(LOST)
    lives.begin()
    arrived(page, number + 1)
    expect(page.locator("#offline")).to_be_hidden()


def press_and_kill(page, run, act, lives):
    """Kill while an act is on its way: it was kept or not, and the page does not know which."""
    number = run.number()
    set_fields(run, act)
    page.locator(run.button(act)).tap()
    lives.kill()
    lives.begin()
    arrived(page, number + 1)


def arrived(page, number):
    page.wait_for_function(
        "number => document.getElementById('bench').dataset.number === String(number)",
        arg=number,
        timeout=30_000,
    )
