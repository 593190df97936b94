"""Tasks, plays and an honest player for the tests of the aiming bench."""

import math
import re
from dataclasses import replace
from functools import cache

from trainer.benches import aiming
from trainer.benches.acts import Act, Pick
from trainer.benches.aiming.telling import done_words
from trainer.benches.aiming.walk import walk
from trainer.language.draws import Stream
from trainer.sites import demo_sheet
from trainer.sites.survey.reader import Reader

SHEET = demo_sheet()
ENGLISH = Reader("en", "us")
FINISH = Act("finish", {})
READ = Act("read", {})
WAIT = Act("wait", {})


@cache
def make_task(level=1, label="a", eye="entry", system="us"):
    """A task of the demo wash."""
    return aiming.make_task(SHEET, {"level": str(level), "eye": eye}, Stream(b"secret", label), system)


def with_hidden(task, **facts):
    """The same task with other things hidden."""
    return replace(task, hidden=replace(task.hidden, **facts))


def turn(task, axis, steps):
    return Act(f"turn_{axis}", {"by": steps * task.steps[axis.startswith("receiver")]})


def clean(head):
    return Act("clean", {"head": head})


def string(head):
    return Act("string", {"head": head})


def random_act(task, dice, most=None):
    """Any act that the task allows, sensible or not; most: of how many steps a turn is at most."""
    kind = dice.choice(aiming.kinds(task)[:-1])
    values = {}
    for field in kind.fields:
        if isinstance(field, Pick):
            values[field.name] = dice.choice(field.options).id
        else:
            end = most or round(field.high / field.step)
            values[field.name] = dice.randint(-end, end) * field.step
    return Act(kind.kind, values)


class HonestPlayer:
    """Plays by the sentences that are shown after each act, and by what the task says of the pair; nothing else."""

    def __init__(self, task, *, signal=True, wipe=True):
        self.task, self.acts = task, []
        self.at = {}
        self.signal, self.wipe = signal, wipe

    def do(self, act):
        if aiming.is_over(self.task, self.acts) or aiming.refusal(self.task, self.acts, act) is not None:
            return None
        self.acts.append(act)
        before, after = walk(self.task, self.acts)[-2:]
        return done_words(self.task, before, after, ENGLISH)

    def read(self):
        """The last reading as a power of 2."""
        said = self.do(READ) or ""
        found = re.search(r"reads ([\d.,]+)×", said)
        return math.log2(float(found.group(1).replace(",", ""))) if found else math.log2(0.1)

    def turn(self, axis, steps):
        if steps and self.do(turn(self.task, axis, steps)) is not None:
            self.at[axis] = self.at.get(axis, 0) + steps

    def pull_string(self, head):
        said = self.do(string(head))
        told = re.search(r"past the other lens: (.+?); (.+?) \(", said)
        for axis, words in zip(("pan", "tilt"), told.groups(), strict=True):
            number = re.match(r"([\d.]+)\sin (\w+)", words)
            miss = 0.0254 * float(number.group(1)) if number else 0.0
            sign = -1 if number and number.group(2) in ("back", "low") else 1
            step = self.task.steps[head == "receiver"]
            self.turn(f"{head}_{axis}", -round(sign * math.atan(miss / self.task.distance) / step))

    def play(self):
        for head in ("emitter", "receiver"):
            self.pull_string(head)
        if self.wipe:
            self.wipe_both()
        if self.signal:
            self.level = self.read()
            for axis in ("emitter_pan", "receiver_pan", "emitter_tilt", "receiver_tilt"):
                self.scan(axis)
            self.wipe_both()
        self.do(FINISH)
        return aiming.score(self.task, self.acts)

    def scan(self, axis, again=1):
        """One half-angle to either side, then the middle. A bell that is no bell was disturbed: settle, once more."""
        half, step = (pair[axis.startswith("receiver")] for pair in (self.task.half_angles, self.task.steps))
        aside = round(half / step)
        before = self.level
        self.turn(axis, aside)
        high = self.read()
        self.turn(axis, -2 * aside)
        low = self.read()
        bent = high + low - 2 * before + 2 * (aside * step / half) ** 2
        if abs(bent) > 0.35 and again:
            self.turn(axis, aside)
            self.settle()
            return self.scan(axis, again - 1)
        off = (low - high) * half**2 / (4 * aside * step)
        self.turn(axis, aside - round(off / step))
        self.level = self.read()
        return None

    def wipe_both(self):
        for head in ("emitter", "receiver"):
            self.do(clean(head))

    def settle(self):
        """Wipe, then wait as long as that makes the reading rise."""
        self.wipe_both()
        self.level = self.read()
        for _ in range(3):
            self.do(WAIT)
            before, self.level = self.level, self.read()
            if self.level < before + 0.3:
                return
