"""The light of a crooked pair against values worked out by hand and against published ones."""

import math
from dataclasses import replace

import pytest

from tests.benches.aiming.aiming_cast import make_task, with_hidden
from trainer.benches.aiming.light import Heads, budget, gain, misses, reading, wall_miss
from trainer.benches.aiming.task import FINE, Mist


def straight(task, off=(0, 0, 0, 0), **facts):
    """A pair without film, squint, wobble or surprises, its axes off by fine steps."""
    return with_hidden(
        task,
        off=off,
        squint=facts.pop("squint", (0, 0, 0, 0)),
        strength=1.0,
        film=(0.0, 0.0),
        wobble=(0.0,) * 60,
        mist=facts.pop("mist", None),
        splash=None,
    )


def half(task, head=0):
    """The half-angle in fine steps."""
    return round(FINE * task.half_angles[head] / task.steps[head])


def test_half_the_light_is_left_at_the_half_angle():
    # The assumed beam pattern: half the light at the half-angle, a sixteenth at twice it; common practice, no source.
    task = make_task(1)
    at = half(task)
    assert budget(straight(task), Heads((0, 0, 0, 0))).gain == pytest.approx(40)
    assert budget(straight(task, (at, 0, 0, 0)), Heads((0, 0, 0, 0))).gain == pytest.approx(20)
    assert budget(straight(task, (0, -2 * at, 0, 0)), Heads((0, 0, 0, 0))).gain == pytest.approx(2.5)
    assert budget(straight(task, (at, 0, 0, at)), Heads((0, 0, 0, 0))).gain == pytest.approx(10)


def test_film_on_both_lenses_multiplies():
    task = straight(make_task(1))
    assert budget(task, Heads((0, 0, 0, 0), (0.5, 0.2))).gain == pytest.approx(40 * 0.5 * 0.8)


def test_mist_takes_light_while_it_is_there_and_no_longer():
    # Koschmieder's law: 5 % contrast is left over one visibility, so over as long a path 5 % of the light.
    task = make_task(1)
    task = straight(task, mist=Mist(10, 15, task.distance))
    still = Heads((0, 0, 0, 0))
    assert [gain(task, still, minute) for minute in (9, 10, 14, 15)] == pytest.approx([40, 2, 2, 40])


@pytest.mark.parametrize(("inches", "degrees"), [(1, 0.19), (2, 0.38), (4, 0.76)])
def test_a_miss_at_25_feet_is_the_angle_that_a_rule_prints(inches, degrees):
    # 49 CFR 571.108, S10.18.8.1: 1, 2 and 4 in at 25 ft are 0.19, 0.38 and 0.76 degrees; two decimals are printed.
    task = replace(make_task(1), distance=25 * 0.3048)
    assert wall_miss(task, math.radians(degrees)) == pytest.approx(
        inches * 0.0254, abs=25 * 0.3048 * math.radians(0.005)
    )


def test_a_string_tells_the_housing_and_not_the_lens():
    task = make_task(1)
    plain = straight(task, (half(task), 0, 0, 0))
    squinting = straight(task, (half(task), 0, 0, 0), squint=(half(task), 0, 0, 0))
    # 1.5 degrees over 146 in are 3.8 in: 4 in to the nearest 4 in.
    assert misses(plain, (0, 0, 0, 0), 0) == pytest.approx((4 * 0.0254, 0))
    assert misses(squinting, (0, 0, 0, 0), 0) == (0, 0)
    assert budget(plain, Heads((0, 0, 0, 0))).gain == budget(squinting, Heads((0, 0, 0, 0))).gain


def test_a_reading_wobbles_within_what_is_told():
    for level in (1, 2, 3):
        task = make_task(level)
        bare = straight(task)
        true = gain(bare, Heads((0, 0, 0, 0)), 0)
        wobbly = with_hidden(bare, wobble=task.hidden.wobble)
        read = [reading(wobbly, Heads((0, 0, 0, 0)), 0, number) for number in range(60)]
        assert max(abs(one / true - 1) for one in read) <= task.wobble_share + 0.005
        assert len(set(read)) > 50


def test_no_light_is_read_below_the_floor():
    task = straight(make_task(1), (3 * half(make_task(1)), 0, 0, 0))
    assert gain(task, Heads((0, 0, 0, 0)), 0) == pytest.approx(40 / 2**9)
    assert reading(task, Heads((0, 0, 0, 0)), 0, 0) == 0
