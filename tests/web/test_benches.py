"""Benches on the web: started, played act by act, over; what is sent twice, too late, unreadable or not one's own."""

import json
import re

import pytest

from trainer.acts import benches as acts
from trainer.benches.acts import act_document
from trainer.benches.catalogue import benches
from trainer.records.queries import benches as queries
from trainer.web.benches import tools

EVERY = sorted(benches())


def learner(stage):
    """Ana's browser, in English."""
    ana = stage.visitor(stage.cast.ana)
    assert ana.send("/preferences", language="en", system="us").status_code == 303
    return ana


def start(visitor, bench, **fields):
    answer = visitor.send(f"/benches/{bench}", **{"level": "1", **fields})
    assert answer.status_code == 303, answer.text
    return answer.location


def kept(stage, address):
    with stage.house.database.reading() as db:
        return queries.run(db, address.rsplit("/", 1)[1])


def best_of(stage, address):
    """The best acts of a run's own task, as forms: numbers in SI are typed in meters, seconds or radians."""
    run = kept(stage, address)
    task = acts.task_of_run(run.facts, tools(stage.house))
    bench = benches()[run.facts.bench]
    return bench, task, bench.best(task).acts


UNITS = {"in": (0.0254, "in"), "s": (1, "s"), "deg": (0.017453292519943295, "deg"), "x": (1, "")}


def form_of(bench, task, act):
    kind = next(one for one in bench.kinds(task) if one.kind == act.kind)
    fields = {"kind": act.kind}
    for field in kind.fields:
        value = act.values[field.name]
        if isinstance(value, float):
            factor, symbol = UNITS[field.us]
            value = f"{value / factor:.9f} {symbol}"
        fields[field.name] = value
    return fields


def play(visitor, address, number, form, **headers):
    data = {"csrf_token": visitor.token(), "number": number, **form}
    return visitor.post(address, data=data, headers=headers)


def play_best(stage, visitor, address):
    bench, task, best = best_of(stage, address)
    for number, act in enumerate(best, 1):
        answer = play(visitor, address, number, form_of(bench, task, act))
        assert answer.status_code == 303, (act, answer.text)
    return best


@pytest.mark.parametrize("bench", EVERY)
def test_a_bench_is_played_to_the_end_with_plain_forms(stage, bench):
    ana = learner(stage)
    assert f"/benches/{bench}" in ana.get("/benches").text
    address = start(ana, bench)
    assert 'id="bench"' in ana.get(address).text
    play_best(stage, ana, address)
    page = ana.get(address).text
    assert "100 of 100 points" in page
    assert "One thing to do differently" in page
    run = kept(stage, address).facts
    assert (run.points, run.passed, run.failed) == (100, True, False)
    assert "100 of 100 points" in ana.get(f"/benches/{bench}").text


@pytest.mark.parametrize("bench", EVERY)
def test_script_gets_the_region_alone(stage, bench):
    ana = learner(stage)
    address = start(ana, bench)
    kind, task, best = best_of(stage, address)
    answer = play(ana, address, 1, form_of(kind, task, best[0]), Accept="application/json")
    assert (answer.status_code, answer.json["done"]) == (200, True)
    assert answer.json["html"].strip().startswith('<div id="bench"')
    assert 'data-number="2"' in answer.json["html"]
    assert "<html" not in answer.json["html"]
    assert answer.json["said"]


@pytest.mark.parametrize("bench", EVERY)
def test_a_page_of_a_bench_is_light(stage, bench):
    """Must reach: under 120 KB with its style and script, as they are sent, without compression."""
    ana = learner(stage)
    for level in ("1", "2", "3"):
        address = start(ana, bench, level=level)
        page = ana.get(address)
        links = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text))
        modules = {f"/static/{name}.js" for name in ("pulling", "carrying", "rolling", "sending")}
        assert {"/static/bench.css", "/static/bench.js"} <= links
        weight = len(page.data) + sum(len(ana.get(one).data) for one in links | modules)
        assert weight < 120_000, (bench, level, weight)


def test_a_second_start_goes_on_with_the_open_run(stage):
    ana = learner(stage)
    assert start(ana, "delay") == start(ana, "delay")
    assert start(ana, "delay", level="2") != start(ana, "delay")


def test_the_same_act_again_changes_nothing_and_another_is_out_of_step(stage):
    ana = learner(stage)
    address = start(ana, "delay")
    form = {"kind": "set", "on_delay": "0.3", "off_delay": "0.5"}
    assert play(ana, address, 1, form).status_code == 303
    assert play(ana, address, 1, form).status_code == 303
    other = play(ana, address, 1, {**form, "on_delay": "0.4"})
    assert other.status_code == 422
    assert "wrongs" in other.text
    assert play(ana, address, 3, form).status_code == 422
    assert len(kept(stage, address).acts) == 1


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"kind": "set", "on_delay": "soon", "off_delay": "0.5"}, "On-delay"),
        ({"kind": "set", "on_delay": "99", "off_delay": "0.5"}, "On-delay: it goes from"),
        ({"kind": "set", "on_delay": "3 in", "off_delay": "0.5"}, "On-delay"),
        ({"kind": "dance"}, "This cannot be done here."),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_is_kept(stage, form, said):
    ana = learner(stage)
    address = start(ana, "delay")
    answer = play(ana, address, 1, form)
    assert answer.status_code == 422
    assert said in answer.text
    script = play(ana, address, 1, form, Accept="application/json")
    assert (script.status_code, script.json["done"]) == (422, False)
    assert said in script.json["said"]
    assert kept(stage, address).acts == ()


def test_nobody_else_sees_a_run_and_a_trainer_only_when_it_is_over(stage):
    ana, tom = learner(stage), stage.visitor(stage.cast.tom)
    outsider = stage.visitor(stage.cast.otto)
    address = start(ana, "delay")
    for other in (tom, outsider, stage.visitor(stage.cast.lee)):
        assert other.get(address).status_code == 404
        assert play(other, address, 1, {"kind": "finish"}).status_code == 404
    play_best(stage, ana, address)
    assert tom.get(address).status_code == 200
    assert outsider.get(address).status_code == 404
    assert play(tom, address, 1, {"kind": "finish"}).status_code == 404


def test_a_learner_fixes_the_level_alone(stage):
    """Whoever could fix the hidden fault would know it."""
    ana, tom = learner(stage), stage.visitor(stage.cast.tom)
    fault = next(
        p for p in benches()["fault"].options(stage.house.sheet(stage.cast.site, 1)) if p.name == "fault"
    )
    wanted = fault.options[0].id
    mine = kept(stage, start(ana, "fault", fault=wanted)).facts.options
    assert mine == {"level": "1"}
    theirs = kept(stage, start(tom, "fault", fault=wanted, level="2")).facts.options
    assert theirs == {"level": "2", "fault": wanted}
    assert 'name="fault"' not in ana.get("/benches/fault").text
    assert 'name="fault"' in tom.get("/benches/fault").text


def test_an_option_that_is_not_to_be_had_is_refused(stage):
    ana = learner(stage)
    answer = ana.send("/benches/delay", level="9")
    assert answer.status_code == 422
    assert "wrongs" in answer.text
    assert ana.send("/benches/juggling", level="1").status_code == 404


def test_a_bench_that_changed_since_says_so_and_keeps_the_points(stage, monkeypatch):
    ana = learner(stage)
    address = start(ana, "delay")
    play_best(stage, ana, address)
    delay = benches()["delay"]
    monkeypatch.setattr(delay, "CARD", type(delay.CARD)(**{**vars(delay.CARD), "version": 99}))
    page = ana.get(address)
    assert "This bench was changed" in page.text
    assert "100 of 100 points" in page.text
    assert play(ana, address, 1, {"kind": "finish"}).status_code == 410


def test_a_task_is_given_seen_done_and_taken_back(stage):
    ana, tom = learner(stage), stage.visitor(stage.cast.tom)
    person = stage.cast.public_id(stage.cast.ana)
    assert f'value="{person}"' in tom.get("/benches/delay/give").text
    answer = tom.send(
        "/benches/delay/give", person=person, level="2", note="Mind the tailgater.", due="2030-01-31"
    )
    assert (answer.status_code, answer.location) == (303, "/benches/given")
    assert "not started" in tom.get("/benches/given").text
    assert "Set the two delays, level 2" in ana.get("/today").text
    mine = ana.get("/benches").text
    assert "Mind the tailgater." in mine
    given = re.search(r'name="given" value="([^"]+)"', mine)[1]
    address = ana.send("/benches/delay", given=given).location
    assert kept(stage, address).facts.options == {"level": "2"}
    play_best(stage, ana, address)
    assert "✓ 100 of 100 points" in tom.get("/benches/given").text
    assert "level 2" not in ana.get("/today").text
    # Another one, taken back before it is done.
    tom.send("/benches/aiming/give", person=person, level="1")
    back = re.search(r"/benches/given/([0-9a-f-]{36})/back", tom.get("/benches/given").text)[0]
    assert tom.send(back).status_code == 303
    assert "taken back" in tom.get("/benches/given").text
    assert stage.visitor(stage.cast.otto).send(back).status_code in {403, 404}


def test_a_task_for_a_day_that_has_passed_is_refused(stage):
    tom = stage.visitor(stage.cast.tom)
    person = stage.cast.public_id(stage.cast.ana)
    answer = tom.send("/benches/delay/give", person=person, level="1", due="2001-01-31")
    assert answer.status_code == 422
    assert "wrongs" in answer.text


@pytest.mark.parametrize("bench", EVERY)
def test_no_response_before_the_result_holds_the_task(stage, bench):
    """Two runs that differ in what is drawn look alike where nothing was asked yet, but for what is told."""
    ana = learner(stage)
    address = start(ana, bench, level="2")
    _, task, best = best_of(stage, address)
    page = ana.get(address).text
    for act in best:
        assert json.dumps(act_document(act)) not in page
    run = kept(stage, address).facts
    assert run.digest not in page
    assert "100 of 100" not in page
    assert repr(task) not in page


def test_a_lesson_shows_its_bench_and_leads_to_it(stage):
    ana = learner(stage)
    page = ana.get("/lessons/delays.window").text
    assert 'class="sheet-drawing still"' in page
    assert "/benches/delay?lesson=delays.window" in page
    about = ana.get("/benches/delay?lesson=delays.window").text
    assert 'name="lesson" value="delays.window"' in about
    address = start(ana, "delay", lesson="delays.window")
    assert kept(stage, address).facts.lesson == "delays.window"
