"""What is shown: nothing that is hidden, both languages and systems, drawings that can be read, the looking back."""

import json
import re
from dataclasses import asdict, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.benches.lockout.lockout_cast import (
    FINISH,
    TAKE_BACK,
    card,
    every_act,
    every_kind,
    laid,
    make,
    play,
)
from trainer.benches import lockout
from trainer.benches.acts import Act, act_document, read_form, read_kept
from trainer.benches.frame import done
from trainer.benches.lockout.play import left_in, run
from trainer.benches.lockout.scoring import judge
from trainer.sites.survey.reader import Reader

READERS = [Reader("en", "us"), Reader("es", "us"), Reader("en", "metric"), Reader("es", "metric")]
ENGLISH = READERS[0]
LOOKS = [make(3, "plain", machine=machine) for machine in ("conveyor", "arches")]


def alike(task):
    """Tasks that differ from this one in what is hidden alone."""
    dead = [replace(task, variant="dead_tester", tester_dies=when) for when in ("start", "between")]
    return dead + [replace(task, variant="comes_back", leaky=one) for one in task.coming_back]


def plain(shown):
    """What is shown, with ordinary spaces."""
    return repr(shown).replace("\\xa0", " ").replace("\xa0", " ")


def shows(task, acts):
    refusals = [lockout.refusal(task, acts, act) for act in [*every_act(task), FINISH, TAKE_BACK]]
    return repr((lockout.show(task, acts, ENGLISH), refusals, lockout.kinds(task)))


def is_met(task, acts):
    """Whether the last step showed what is hidden: a tester that is silent where voltage is, a gauge that rose."""
    played = run(task, acts)
    if not played.steps:
        return False
    last = played.steps[-1]
    on_live = (
        last.card.act == "verify"
        and last.card.key in task.tested
        and left_in(task, last.before, last.card.key)
    )
    return played.now.word == "silent" or played.now.risen or (on_live and bool(task.tester_dies))


@settings(max_examples=40)
@given(data=st.data(), at=st.integers(0, 1))
def test_what_is_hidden_shows_when_it_is_met_and_not_before(data, at):
    task = LOOKS[at]
    acts = data.draw(st.lists(st.sampled_from(every_act(task)), max_size=14))
    other = data.draw(st.sampled_from(alike(task)))
    met = False
    for i in range(len(acts) + 1):
        met = met or is_met(other, acts[:i])
        if met:
            break
        assert shows(other, acts[:i]) == shows(task, acts[:i])


@pytest.mark.parametrize("task", LOOKS, ids=lambda task: task.machine.en)
def test_the_right_procedure_meets_what_is_hidden(task):
    best = lockout.best(task).acts
    dead = [one for one in alike(task) if one.tester_dies]
    for other in dead:
        assert any("silent" in lockout.show(other, best[:i], ENGLISH).said for i in range(1, len(best)))


def test_energy_that_came_back_stands_on_its_gauge():
    task = replace(make(3, "plain", machine="arches"), variant="comes_back", leaky="air")
    acts = play(task, "release.air", "verify.air", "try", "off")[:-1]
    before, after = (lockout.show(task, acts[:i], ENGLISH) for i in (3, 4))
    assert "gauge: 15 psi" in plain(after.said) and "gauge: 15 psi" in plain(after.tables)
    assert "gauge: 0 psi" in plain(before.tables) and "15 psi" not in plain(before)


def test_what_a_live_source_shows():
    task = make(2, "plain", machine="conveyor")
    looked = lockout.show(task, play(task, "verify.mains")[:-1], ENGLISH)
    assert "The tester shows voltage." in looked.said
    tried = lockout.show(task, play(task, "try")[:-1], ENGLISH)
    assert "The machine starts." in tried.said
    # 1000 uF, 10 kohm, 340 V to 15 V: R C ln(340/15) = 31.2 s.
    assert "holds 340 V. It falls to 15 V in 31 s" in plain(looked.task)
    falling = lockout.show(task, play(task, "isolate.p1")[:-1], ENGLISH)
    assert "meter: 340 V, falling" in plain(falling.tables)
    drained = lockout.show(task, play(task, "isolate.p1", "release.bus")[:-1], ENGLISH)
    assert "meter: below 15 V" in plain(drained.tables)


@pytest.mark.parametrize("task", every_kind(), ids=lambda task: f"{task.level}-{task.variant}")
def test_every_task_is_shown_and_looked_back_on_in_both_languages(task):
    best = lockout.best(task).acts
    for reader in READERS:
        for count in (0, len(best) // 2, len(best) - 1):
            shown = lockout.show(task, best[:count], reader)
            assert shown.caution[0] == "danger" and "1910.147" in shown.caution[1]
            assert len(shown.tables[0].rows) >= len(task.sources)
            assert all(len(row) == len(shown.tables[0].head) for row in shown.tables[0].rows)
            assert shown.offers[-1].kind.kind == "finish"
            assert len(shown.notes) == count
        told = lockout.debrief(task, best, reader)
        assert len(told.moments) == len(best) - 1 and all("✓" in one.title for one in told.moments)
        assert len(told.tables) == 1
    english, spanish = (lockout.debrief(task, best, reader) for reader in READERS[:2])
    assert english.best != spanish.best and english.outcome != spanish.outcome


@pytest.mark.parametrize("task", every_kind("3"), ids=lambda task: f"{task.level}-{task.variant}")
def test_looking_back_names_each_clause_where_it_was_broken(task):
    acts = [act for act in every_act(task) if act.kind != "take_back"]
    acts = [*acts[::-1], FINISH]
    judged = judge(task, acts)
    told = lockout.debrief(task, acts, ENGLISH)
    table = told.tables[0]
    for fault in judged.faults:
        assert any(fault.broken.clause in row[2] for row in table.rows), fault
        if fault.at is not None:
            assert fault.broken.clause in told.moments[fault.at].text
            assert "✗" in told.moments[fault.at].title and told.moments[fault.at].drawings
    assert all(all(cell for cell in row) for row in table.rows)
    right = [row[2] for row in told.tables[1].rows if row[2] != "–"]
    assert len(right) == len(lockout.best(task).acts) - 1 or task.tester_dies
    assert told.advice and "here" not in told.advice.split()[1:2]


@pytest.mark.parametrize("reader", READERS, ids=lambda one: f"{one.language}-{one.system}")
def test_drawings_keep_their_words_inside_and_readable(reader):
    for task in every_kind("5"):
        best = lockout.best(task).acts
        for drawing in lockout.show(task, best[: len(best) // 2], reader).drawings:
            sizes = {float(one) for one in re.findall(r'font-size="([\d.]+)"', drawing.svg)}
            assert min(sizes) >= 12.5
            assert 'class="zone"' in lockout.show(task, [], reader).drawings[1].svg
            assert drawing.title and drawing.text


def test_units_follow_the_reader():
    task = make(2, machine="arches", system="metric")
    metric = repr(lockout.show(task, [], Reader("es", "metric")))
    assert "kPa" in metric and "psi" not in metric
    assert "psi" in repr(lockout.show(make(2, machine="arches"), [], ENGLISH))


def test_a_run_replays_from_what_is_kept():
    for task in every_kind("6"):
        kinds = lockout.kinds(task)
        best = lockout.best(task).acts
        kept = json.loads(json.dumps([act_document(act) for act in best]))
        assert tuple(read_kept(kinds, one) for one in kept) == best
        assert lockout.score(task, [read_kept(kinds, one) for one in kept]) == lockout.best(task).score
        again = make(task.level, task.variant, "6")
        assert again == task and json.dumps(asdict(again)) == json.dumps(asdict(task))
        form = {"kind": best[0].kind, **best[0].values}
        assert read_form(kinds, form, "en", "us") == best[0]


@given(data=st.data(), seed=st.integers(0, 20))
def test_what_is_offered_can_be_done_and_what_is_barred_cannot(data, seed):
    task = make(1 + seed % 3, "", str(seed))
    acts = data.draw(st.lists(st.sampled_from(every_act(task)), max_size=20))
    for offer in lockout.show(task, acts, ENGLISH).offers:
        assert offer.kind in lockout.kinds(task)
        for field in offer.kind.fields:
            for option in field.options:
                refused = lockout.refusal(task, acts, Act(offer.kind.kind, {"card": option.id}))
                assert (refused is not None) == (option.id in offer.barred)
    kept = done(lockout, task, acts)
    assert lockout.score(task, kept) == lockout.score(task, acts)
    assert len(run(task, acts).steps) == len(laid(task, kept)) - sum(act == TAKE_BACK for act in kept)


def test_cards_have_their_own_names():
    for task in every_kind("7"):
        ids = [option.id for kind in lockout.kinds(task) if kind.fields for option in kind.fields[0].options]
        assert len(set(ids)) == len(ids)
        assert card(ids[0], task).kind == lockout.kinds(task)[0].kind
