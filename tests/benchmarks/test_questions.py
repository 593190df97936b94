"""One instance drawn, shown and graded, against plain Python that does the same work for this one question."""

import hashlib
import hmac
from math import isclose

from tests.benchmarks.paired import paired
from trainer.language.draws import draw
from trainer.language.grading import grade
from trainer.language.loading import load_bank
from trainer.language.rendering import show
from trainer.sites import demo_sheet, site_values

SECRET = bytes(range(32))
FOOT = 0.3048
SPAN = 121  # 140 to 260 pulses
LIMIT = (1 << 64) - (1 << 64) % SPAN


def plain(number: int) -> str:
    """The same draw, text, answer, slips and tolerance, written by hand for this question."""
    label, i = f"drill|{number}", 0
    while True:
        word = hmac.new(SECRET, f"{label}|pulses|{i}".encode(), hashlib.sha256).digest()
        drawn = int.from_bytes(word[:8], "big")
        i += 1
        if drawn >= LIMIT:
            continue
        pulses, per_foot = 140 + drawn % SPAN, 12 / FOOT
        length, within = pulses / per_foot, 0.0254
        if (
            abs(length - 12 * FOOT) > 2 * within + 1e-9
        ):  # 12 stands in the question: it must not pass for the answer
            break
    slips = {"multiplied": pulses * 12 * FOOT, "per_inch": length / 12}
    text = (
        f"<p>The eye stays blocked for {pulses} pulses. The conveyor gives {12} pulses per foot. "
        "<strong>How long is the vehicle?</strong></p>"
    )
    typed = f"{length / FOOT:.4g} ft"
    amount, _, unit = typed.partition(" ")
    read = float(amount) * {"ft": FOOT, "in": 0.0254, "m": 1.0}[unit]
    near = [name for name, value in slips.items() if abs(read - value) <= within]
    verdict = "right" if abs(read - length) <= within else near[0] if near else "wrong"
    return f"{text}{verdict}"


def test_drawing_showing_and_grading_one_instance():
    question = load_bank().question("measuring.length_from_pulses")
    values = site_values(demo_sheet())

    def ours(number: int) -> str:
        instance = draw(question, values, SECRET, f"drill|{number}", "us")
        shown = show(instance, "en")
        typed = f"{instance.values['length'] / FOOT:.4g} ft"
        return f"{shown.ask}{grade(instance, typed, 'en').kind}"

    # The reference must do the same job, or the ratio says nothing.
    for number in range(200):
        instance = draw(question, values, SECRET, f"drill|{number}", "us")
        assert f"for {instance.values['pulses']:.0f} pulses" in plain(number)
        assert isclose(instance.values["length"], instance.values["pulses"] * FOOT / 12)
        assert ours(number).endswith("right") and plain(number).endswith("right")
    found = paired(ours, plain, rounds=9, calls=300)
    found.say("draw + show + grade one instance against plain Python")
    assert found.ratio < 200
