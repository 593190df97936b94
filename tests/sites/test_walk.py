"""The walk comes past every measured field of a sheet once; each stop says what, where and how, in both languages."""

import re

import pytest

from trainer.figures import FIGURES, describe
from trainer.quantities import parse_measured
from trainer.sites import VALUES, demo_sheet, demo_text, read_sheet
from trainer.sites.rewriting import with_measurements, written_values
from trainer.sites.sketches import sketch
from trainer.sites.walk import NONE, THERE, stops, walk

PLACES = walk(demo_sheet())
STOPS = stops(PLACES)
WRITTEN = written_values(demo_text())
NOT_MEASURED = re.compile(
    r"name|time_zone|machines|cabinets|energy_sources|bodies|turned_away|\.id$|\.name\."
)
# The sheet counts from the first pair, which measures: neither is asked.
FIXED = {"eyes.entry.position", "eyes.entry.purpose"}


def test_every_measured_field_of_a_sheet_is_on_the_walk():
    assert {field for field in WRITTEN if not NOT_MEASURED.search(field)} - FIXED <= set(STOPS)


def test_no_stop_comes_twice_and_the_walk_goes_one_way():
    fields = [stop.field for place in PLACES for stop in place.stops]
    assert len(fields) == len(set(fields))
    ids = [place.id for place in PLACES]
    assert ids[:4] == ["outside", "eye.entry", "across", "conveyor"]
    assert ids[-2:] == ["cabinet", "office"]
    along = [
        STOPS.get(f"{_key(place)}.position") or STOPS.get(f"{_key(place)}.distance") for place in ids[4:-2]
    ]
    far = [parse_measured(WRITTEN[stop.field])[0] for stop in along]
    assert far == sorted(far)


def _key(place):
    kind, _, name = place.partition(".")
    return {"eye": "eyes", "application": "applications"}[kind] + f".{name}"


def test_the_cabinet_alone_is_shut():
    assert [place.id for place in PLACES if place.shut] == ["cabinet"]


@pytest.mark.parametrize("field", STOPS)
def test_a_stop_says_what_and_how_in_both_languages(field):
    stop = STOPS[field]
    for said in (stop.title, stop.how):
        assert said.en.strip()
        assert said.es.strip()
        assert said.en != said.es
    assert stop.title.en[0] == stop.title.en[0].upper()
    assert set(stop.names) <= set(VALUES)
    assert (stop.expected is None) == bool(stop.choices)


@pytest.mark.parametrize("field", [field for field in STOPS if STOPS[field].choices])
def test_what_a_choice_offers_can_stand_in_the_sheet(field):
    for choice in STOPS[field].choices:
        if choice.word != THERE:
            read_sheet(with_measurements(demo_text(), {field: choice.word}), "wash.yaml")


@pytest.mark.parametrize("field", STOPS)
def test_the_drawing_of_a_stop_is_one_that_there_is(field):
    stop = STOPS[field]
    numbers = {
        key: parse_measured(WRITTEN[key])[0] for key, one in STOPS.items() if one.expected and key in WRITTEN
    }
    drawn = sketch(stop.sketch, field, numbers)
    assert (drawn is None) == (stop.sketch in {"", "jacket"})
    if drawn is not None:
        name, values = drawn
        figure = FIGURES[name]
        assert set(figure.inputs) <= set(values) <= {*figure.inputs, *figure.optional}
        assert describe(name, values, "es", "metric").text


def test_a_drawing_that_lacks_a_number_is_left_out():
    assert sketch("across", "bay.width", {}) is None
    assert sketch("nonsense", "bay.width", {}) is None


def test_the_edges_of_an_opening_are_asked_where_there_is_one():
    edges = {f"eyes.entry.opening.{edge}" for edge in ("sill", "head", "before", "after")}
    assert not edges & set(STOPS)
    assert edges <= set(stops(walk(demo_sheet(), {"eyes.entry.opening": THERE})))
    gone = stops(walk(demo_sheet(), {"eyes.profile.opening": NONE}))
    assert "eyes.profile.opening.sill" in STOPS
    assert "eyes.profile.opening.sill" not in gone
