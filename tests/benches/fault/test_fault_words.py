"""What a learner reads: never what is hidden, in both languages and unit systems, within the sheet."""

import re
from dataclasses import replace

import pytest

from tests.benches.fault.fault_cast import ISOLATE, make, make_test, name_act, with_hidden
from trainer.benches import fault
from trainer.benches.fault import drawing, words
from trainer.benches.fault.faults import BLOCKS, NEEDLESS, hypotheses, label, repair_label, repair_of
from trainer.benches.fault.loop_tests import TESTS, TOLD
from trainer.figures.live import LivePaper
from trainer.sites.survey.reader import Reader

READERS = [Reader(language, system) for language in ("en", "es") for system in ("us", "metric")]


@pytest.mark.parametrize("level", [1, 2, 3])
def test_nothing_shown_depends_on_what_is_hidden_until_a_test_says_so(level):
    for seed in "1234":
        task = make(level, seed)
        others = with_hidden(task)
        assert len({repr(fault.show(one, (), READERS[0])) for one in others}) == 1
        for test in task.tests:
            acts = (ISOLATE, make_test(test)) if TESTS[test].after_isolation else (make_test(test),)
            shown = {}
            for one in others:
                shown.setdefault(one.said(test), set()).add(repr(fault.show(one, acts, READERS[0])))
            assert all(len(every) == 1 for every in shown.values()), test


def test_a_refusal_and_the_kinds_of_act_tell_nothing():
    task = make(3)
    acts = (make_test("look"),)
    wanted = (make_test("look"), make_test("clean"), ISOLATE, name_act("dirty_lens", "clean"))
    for one in with_hidden(task):
        assert fault.kinds(one) == fault.kinds(task)
        assert [fault.refusal(one, acts, act) for act in wanted] == [
            fault.refusal(task, acts, act) for act in wanted
        ]


def test_a_door_opened_too_soon_shows_nothing_of_what_lies_behind():
    task = make(2, eye="entry", fault="short")
    shown = {repr(fault.show(one, (make_test("fuse"),), READERS[0])) for one in with_hidden(task)}
    assert len(shown) == 1


def texts(thing):
    """Every text of what is shown, in any depth."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, (tuple, list)):
        for one in thing:
            yield from texts(one)
    elif hasattr(thing, "__dataclass_fields__") and type(thing).__name__ not in ("Offer",):
        for name in thing.__dataclass_fields__:
            yield from texts(getattr(thing, name))


@pytest.mark.parametrize("to", READERS, ids=lambda to: f"{to.language}-{to.system}")
@pytest.mark.parametrize("level", [1, 2, 3])
def test_everything_is_told_in_every_language_and_system(level, to):
    task = make(level, "3", to.system)
    for one in with_hidden(task):
        acts = fault.best(one).acts
        for told in (fault.show(one, acts[:-1], to), fault.debrief(one, acts, to)):
            for text in texts(told):
                assert text is not None and not re.search(
                    r"[{}]|None|nan", re.sub(r"<svg.*</svg>", "", text)
                ), text
        assert len(fault.debrief(one, acts, to).moments) == len(acts)


@pytest.mark.parametrize(("system", "unit"), [("us", "ft"), ("metric", "m")])
def test_lengths_are_in_the_units_of_the_reader(system, unit):
    task = make(2, "1", system)
    cells = [cell for row in fault.show(task, (), Reader("en", system)).tables[1].rows for cell in row]
    assert any(cell.endswith(f"\u00a0{unit}") for cell in cells)


def test_both_languages_write_the_same_numbers():
    for keys in TOLD.values():
        for told in keys.values():
            for said in (told.sentence, told.tag):
                assert sorted(re.findall(r"{\w+}", said.en)) == sorted(re.findall(r"{\w+}", said.es))


@pytest.mark.parametrize("to", READERS[::2], ids=("en", "es"))
def test_what_stands_in_a_block_fits_it(to):
    paper = LivePaper(100, "measure")
    for symptom in ("always", "flickers", "long"):
        task = replace(make(2), symptom=symptom)
        for test, keys in TOLD.items():
            for key in keys:
                assert paper.measure(words.tag(task, test, key, to)) <= drawing.BLOCK_WIDE, (test, key)
    for block in BLOCKS.values():
        assert len(paper.fold(to.said(block), drawing.BLOCK_WIDE / 1.1)) <= 2


@pytest.mark.parametrize("to", READERS[::2], ids=("en", "es"))
def test_no_two_things_to_choose_read_the_same(to):
    faults = [to.said(label(one)) for one in hypotheses(3, True)]
    mends = [to.said(repair_label(one)) for one in {*map(repair_of, hypotheses(3, True)), NEEDLESS}]
    cards = [to.said(one.label) for one in TESTS.values()]
    for words_ in (faults, mends, cards):
        assert len(set(words_)) == len(words_) and all(words_)


def test_the_drawing_takes_a_card_anywhere():
    svg = fault.show(make(2), (), READERS[0]).drawings[0].svg
    assert svg.count('class="zone" data-drop=""') == 1
    assert all(f'data-mark="{block}"' in svg for block in BLOCKS)


def test_cautions_stand_on_every_task():
    word, text = fault.show(make(2), (), READERS[0]).caution
    assert word == "danger" and "qualified" in text and "1910.147" in text and "Local codes" in text
    word, text = fault.show(make(1), (), READERS[0]).caution
    assert word == "warning" and "qualified" in text and "Local codes" in text


def test_power_comes_back_in_order_for_a_live_test_on_a_loop_that_is_locked_out():
    # 29 CFR 1910.147(f)(1), 2015 edition read: clear tools, clear people, remove devices, energize, de-energize and
    # lock out again.
    task = make(2, eye="entry", fault="dirty_lens")
    note = fault.show(task, (ISOLATE, make_test("signal")), READERS[0]).notes[-1]
    order = ["tools", "people", "locks off", "power back", "locked out and verified again"]
    places = [note.index(step) for step in order]
    assert places == sorted(places)
    assert "locks off" not in fault.show(task, (make_test("signal"),), READERS[0]).notes[-1]
    assert "locks off" not in fault.show(task, (ISOLATE, make_test("fuse")), READERS[0]).notes[-1]


def test_the_debrief_says_what_was_wrong_and_what_a_needless_head_costs():
    # A head costs $140.00 on the demo sheet; 85 minutes (25 to fit it, 60 until the trouble is back), 100 cars an hour
    # and $6.50 a car: 85 / 60 x 100 x 6.5 = $920.83; together $1,060.83.
    task = make(2, eye="entry", fault="misaligned")
    told = fault.debrief(task, fault.best(task).acts, READERS[0])
    assert any("the emitter points wrong" in line for line in told.outcome)
    assert any("$140.00" in line and "$1,060.83" in line for line in told.outcome)
    assert told.advice.startswith("Nothing")


def test_the_debrief_finds_the_short_from_its_resistance():
    task = make(2, eye="entry", fault="short")
    task = replace(task, readings=replace(task.readings, ohms=7.1, short=3.55))
    told = fault.debrief(task, fault.best(task).acts, READERS[0])
    # Half of the resistance is half of the way: 110 of 220 ft.
    assert any("110\u00a0ft" in line for line in told.outcome)


@pytest.mark.parametrize("to", READERS, ids=lambda to: f"{to.language}-{to.system}")
def test_every_way_to_end_is_debriefed(to):
    task = make(3, eye="entry", fault="short+dead_head", system=to.system)
    best = fault.best(task).acts
    ends = {
        "opened": (make_test("signal"), make_test("ohms")),
        "guessed": (make_test("signal"), name_act("short", "cable_and_fuse")),
        "not named": best[:-1],
        "nothing done": (),
        "wrong": (*best[:-1], name_act("dirty_lens", NEEDLESS)),
        "dear": (make_test("aim"), *best),
    }
    told = {end: fault.debrief(task, acts, to) for end, acts in ends.items()}
    assert len({one.advice for one in told.values()}) >= 5
    assert len(told["opened"].moments) == 2 and "1910.147" in told["opened"].outcome[0]
    assert re.search(r"min", told["dear"].advice)
    for one in told.values():
        assert not re.search(r"[{}]|None|nan\b", " ".join([*one.outcome, one.best, one.advice]))
