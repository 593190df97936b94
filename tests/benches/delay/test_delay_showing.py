"""What the delay bench shows: nothing of the hidden part, both languages, both unit systems, any sane sheet."""

import json
import re
from dataclasses import asdict, fields, replace

import pytest

from tests.benches.delay.test_delay_counting import LEVELS, task_of
from tests.benches.delay.test_delay_scoring import put
from trainer.benches import delay
from trainer.benches.acts import Act, Unreadable, read_form
from trainer.benches.delay.scoring import best_setting
from trainer.benches.frame import NoTask
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet
from trainer.sites.survey.reader import Reader

READERS = [Reader(language, system) for language in ("en", "es") for system in ("us", "metric")]
FINISH = Act("finish", {})


def shown_texts(shown):
    for field in fields(shown):
        value = getattr(shown, field.name)
        yield from [value] if isinstance(value, str) else map(str, value or ())


@pytest.mark.parametrize("level", LEVELS)
def test_the_same_stream_gives_the_same_task_and_it_goes_through_json(level):
    one, other = task_of(level), task_of(level)
    assert one == other and hash(one) == hash(other)
    assert json.dumps(asdict(one)) == json.dumps(asdict(other))
    assert task_of(level, "b") != one


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("reader", READERS)
def test_the_hidden_part_is_never_seen_before_the_end(level, reader):
    task = task_of(level, "a")
    rest = task_of(level, "b").rest
    assert rest != task.rest
    other = replace(task, rest=rest)
    acts = []
    for act in (None, put(0.3, 0.5), put(0.9, 4.0), put(0.0, 0.0)):
        acts += [act] if act else []
        assert delay.show(task, acts, reader) == delay.show(other, acts, reader)
        assert delay.refusal(task, acts, FINISH) == delay.refusal(other, acts, FINISH)


@pytest.mark.parametrize("level", LEVELS)
def test_what_is_said_differs_by_language_and_units_but_not_in_what_it_says(level):
    task = task_of(level)
    acts = [put(0.3, 0.5), put(0.6, 4.5)]
    said = {(one.language, one.system): delay.show(task, acts, one) for one in READERS}
    english, spanish, metric = said["en", "us"], said["es", "us"], said["en", "metric"]
    assert len(english.task) == len(spanish.task) and english.task != spanish.task
    assert all(a != b for a, b in zip(english.task, spanish.task, strict=True))
    assert " in" in " ".join(english.task).replace("\u00a0", " ")
    assert not re.search(r"\d\s(in|ft)\b", " ".join(shown_texts(metric)))
    for reader in READERS:
        told = delay.debrief(task, [*acts, FINISH], reader)
        assert len(told.moments) == 2 and told.advice and told.best and len(told.drawings) == 2
        if reader.system == "metric":
            assert not re.search(r"\d\s(in|ft)\b", " ".join(shown_texts(told)))


def test_a_drawing_s_facts_stand_in_a_table_too():
    task = task_of("1")
    shown = delay.show(task, [put(0.3, 0.5)], READERS[0])
    events = shown.tables[-1]
    assert len(events.rows) == len(task.practice.events)
    for number, row in enumerate(events.rows, 1):
        assert f">{number} " in shown.drawings[0].svg and row[0].startswith(f"{number} ")
    assert shown.drawings[0].seconds == 10
    assert 'data-x="on_delay"' in shown.drawings[1].svg and 'data-x="off_delay"' in shown.drawings[1].svg


def test_the_counter_s_number_ends_at_what_it_tells():
    task = task_of("1")
    shown = delay.show(task, [put(0.0, 0.0)], READERS[0])
    number = int(re.search(r"the counter shows (\d+)", shown.said).group(1))
    spans = re.findall(r'<g data-during="([^"]*)"[^>]*><text[^>]*>Counter: (\d+)<', shown.drawings[0].svg)
    assert [int(told) for _, told in spans] == list(range(number + 1))
    assert 'class="away"' not in shown.drawings[0].svg.split(f"Counter: {number}<")[0].rsplit("<g ", 1)[1]


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ((0.3, 1.5), "Raise the on-delay"), ((1.5, 1.5), "Lower the on-delay"),
        ((None, 0.1), "Raise the off-delay"), ((None, 5.0), "Lower the off-delay"), ((None, None), "Nothing to change"),
    ],
)  # fmt: skip
def test_the_advice_names_the_delay_and_the_way(setting, words):
    task = task_of("2")
    best = best_setting(task)
    on_delay, off_delay = (
        given if given is not None else top for given, top in zip(setting, best, strict=True)
    )
    told = delay.debrief(task, [put(on_delay, off_delay), FINISH], READERS[0])
    assert told.advice.startswith(words)


def test_typed_numbers_go_to_the_grid_in_both_languages():
    task = task_of("1")
    act = read_form(delay.kinds(task), {"kind": "set", "on_delay": "0.63", "off_delay": "1 s"}, "en", "us")
    assert not isinstance(act, Unreadable) and delay.refusal(task, [], act) is None
    assert act.number("on_delay") == pytest.approx(0.65) and act.number("off_delay") == pytest.approx(1.0)
    spanish = read_form(
        delay.kinds(task), {"kind": "set", "on_delay": "0,63", "off_delay": "1"}, "es", "metric"
    )
    assert spanish == act


def with_chain(**facts):
    sheet = demo_sheet()
    return replace(sheet, conveyor=replace(sheet.conveyor, **facts))


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize(
    "sheet",
    [
        with_chain(speed=0.1), with_chain(speed=0.5), with_chain(smallest_gap=0.3), with_chain(smallest_gap=3.0),
        with_chain(scan_time=0.05), with_chain(scan_time=0.015, input_filter=0.1), with_chain(nose_error=0.02),
        with_chain(walker_speed=0.3), with_chain(tolerance=0.0), with_chain(tolerance=0.2),
    ],
)  # fmt: skip
def test_other_sheets_give_tasks_too(sheet, level):
    for system in ("us", "metric"):
        task = delay.make_task(sheet, {"level": level}, Stream(b"s", "x"), system)
        top = delay.best(task)
        assert top.score.points == 100
        reader = Reader("es", system)
        assert delay.show(task, [], reader).drawings and delay.debrief(task, top.acts, reader).drawings


def test_an_eye_may_be_fixed_and_one_that_tells_tall_from_low_is_not_offered():
    level, eye = delay.options(demo_sheet())
    assert [one.id for one in level.options] == ["1", "2", "3"]
    assert [one.id for one in eye.options] == ["entry", "exit"]
    for one in eye.options:
        assert task_of("1", eye=one.id).eye == one.label


def test_a_sheet_without_an_eye_that_counts_says_what_is_lacking():
    sheet = demo_sheet()
    lone = replace(sheet, eyes=(replace(sheet.eyes[1], purpose="profile"),))
    with pytest.raises(NoTask) as refused:
        delay.make_task(lone, {"level": "1"}, Stream(b"s", "x"), "us")
    assert "purpose" in refused.value.why.en and "propósito" in refused.value.why.es
    high = replace(sheet, eyes=(replace(sheet.eyes[1], purpose="presence"),))
    with pytest.raises(NoTask) as refused:
        delay.make_task(high, {"level": "1"}, Stream(b"s", "x"), "us")
    assert "Lower its lenses" in refused.value.why.en
