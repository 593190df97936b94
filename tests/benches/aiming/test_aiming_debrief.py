"""What is told after the end: the true axes, what the light means, the slip that was made."""

import pytest

from tests.benches.aiming.aiming_cast import (
    ENGLISH,
    FINISH,
    READ,
    HonestPlayer,
    clean,
    make_task,
    string,
    with_hidden,
)
from trainer.benches import aiming
from trainer.benches.aiming.task import Splash
from trainer.sites.survey.reader import Reader

WIPED = (clean("emitter"), clean("receiver"))


def told(task, acts, reader=ENGLISH):
    return aiming.debrief(task, acts, reader)


def turns(task, *heads):
    return [act for act in aiming.best(task).acts if any(f"turn_{head}" in act.kind for head in heads)]


def test_lining_up_by_eye_is_named():
    assert "by eye" in told(make_task(1), [FINISH]).advice


@pytest.mark.parametrize(("aimed", "left"), [("emitter", "receiver"), ("receiver", "emitter")])
def test_aiming_one_head_only_is_named(aimed, left):
    task = make_task(1)
    advice = told(task, [string(aimed), *turns(task, aimed), READ, FINISH]).advice
    assert "one head only" in advice and left in advice


def test_string_without_signal_is_named():
    task = make_task(1)
    acts = [string("emitter"), string("receiver"), *turns(task, "emitter", "receiver"), FINISH]
    assert "only the start" in told(task, acts).advice


def test_film_left_on_is_named():
    task = make_task(1)
    assert "Wipe both lenses" in told(task, [*turns(task, "emitter", "receiver"), READ, FINISH]).advice


def test_nothing_to_mend_after_the_best():
    task = make_task(1)
    end = told(task, [string("emitter"), string("receiver"), READ, *aiming.best(task).acts])
    assert end.advice.startswith("Nothing in the aim")
    assert "You have 100\u00a0% of it" in end.best or "You have 100% of it" in end.best


def test_a_splash_is_told_where_it_came():
    task = with_hidden(make_task(2), mist=None, splash=Splash(2, 0, 0.5))
    end = told(task, [READ, READ, READ, FINISH])
    assert [("splash" in one.text) for one in end.moments] == [False, True, False, False]


def test_a_dark_pair_is_told_and_fails():
    task = make_task(1)
    assert aiming.score(task, [FINISH]).failed is not None
    assert any("car that is not there" in line for line in told(task, [FINISH]).outcome)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_replay_has_a_moment_for_each_act(language, system):
    task = make_task(3, system=system)
    player = HonestPlayer(make_task(3))
    player.play()
    kept = [act for act in player.acts if aiming.refusal(task, [], act) is None]
    end = told(task, kept, Reader(language, system))
    assert len(end.moments) == len(kept)
    assert len(end.drawings) == 3 and end.tables[0].rows
    words = " ".join(one.text for one in end.moments)
    assert ("True light" in words) == (language == "en")
    assert (" in " in " ".join(end.tables[0].rows[0])) is False or system == "us"


def test_the_true_axes_are_drawn_only_after_the_end():
    task = make_task(1)
    before = aiming.show(task, [READ], ENGLISH).drawings[1:]
    after = told(task, [READ, FINISH]).drawings[:2]
    assert not any('class="beam' in one.svg for one in before)
    assert all('class="beam' in one.svg for one in after)
