"""Measured values written into a sheet: read again they are exactly the new ones, and all else is as it was."""

from dataclasses import fields, is_dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import DocumentError, Place
from trainer.quantities import parse_measured
from trainer.sites import demo_sheet, demo_text, read_sheet
from trainer.sites.rewriting import field_at, with_measurements, written_values

# Fields of every depth, the number of each in the sheet that is read, and what somebody might measure there.
LENGTHS = ["11 ft 10 1/2 in", "11' 10 1/2\"", "3.62 m", "142.5 in", "12 ft"]
MEASURED = {
    "bay.width": LENGTHS,
    "location.bearing": ["91.5 deg", "0 deg"],
    "conveyor.pulses_per_length": ["11.8 pulses/ft", "40 pulses/m"],
    "eyes.entry.low": ["5 1/2 in", '7"', "16 cm"],
    "eyes.profile.high": ["5 ft 1 in", "154 cm"],
    "applications.presoak.distance": ["11' 10 1/2\"", "3.62 m"],
    "applications.rinse.flow": ["13.5 gal/min", "50 L/min"],
    "supply.gauge": ["20"],
    "drive.capacitor": ["1200 uF"],
    "business.margin_per_car": ["6.25 usd"],
    "eyes.entry.receiver_side": ["driver"],
    "eyes.profile.operate": ["dark"],
    "eyes.entry.enclosure": ["IP67"],
}


def read(text):
    return read_sheet(text, "wash.yaml")


def flat(part, name=""):
    """Every value of a sheet by its place: `eyes.entry.low`."""
    if is_dataclass(part):
        for one in fields(part):
            # A warning tells what it read and where; it is about the values, not one of them.
            if one.name == "warnings":
                continue
            yield from flat(getattr(part, one.name), f"{name}.{one.name}")
    elif isinstance(part, tuple):
        for i, item in enumerate(part):
            yield from flat(item, f"{name}.{getattr(item, 'id', i)}")
    else:
        yield name.lstrip("."), part


def value_of(field, text):
    return (
        text
        if field.rpartition(".")[2] in {"receiver_side", "operate", "enclosure"}
        else parse_measured(text)[0]
    )


@given(st.fixed_dictionaries({}, optional={field: st.sampled_from(said) for field, said in MEASURED.items()}))
def test_the_sheet_reads_as_the_new_values_and_nothing_else_changes(measured):
    text = with_measurements(demo_text(), measured)
    wanted = dict(flat(demo_sheet())) | {field: value_of(field, said) for field, said in measured.items()}
    found = dict(flat(read(text)))
    assert found == wanted


@given(st.fixed_dictionaries({}, optional={field: st.sampled_from(said) for field, said in MEASURED.items()}))
def test_each_value_stands_as_it_was_measured_and_every_line_else_is_the_same(measured):
    before, after = demo_text().splitlines(), with_measurements(demo_text(), measured).splitlines()
    assert len(after) == len(before)
    changed = [new for old, new in zip(before, after, strict=True) if new != old]
    assert len(changed) <= len(measured)
    comments = [[line.partition(" #")[2] for line in lines] for lines in (before, after)]
    assert comments[0] == comments[1]
    for said in measured.values():
        assert any(said in line for line in after)


def test_an_eye_that_the_sheet_does_not_have_is_refused():
    with pytest.raises(KeyError, match="gate"):
        with_measurements(demo_text(), {"eyes.gate.low": "6 in"})


def test_every_value_is_found_by_its_field_and_writing_all_back_changes_nothing():
    values = written_values(demo_text())
    assert values["bay.width"] == "12 ft"
    assert values["eyes.profile.low"] == "60 in"
    numbers = {
        field: said for field, said in values.items() if field.split(".")[0] in {"bay", "eyes", "supply"}
    }
    numbers = {field: said for field, said in numbers.items() if "name" not in field}
    assert with_measurements(demo_text(), numbers) == demo_text()


def test_a_place_tells_its_field():
    text = demo_text().replace("low: 6 in", "low: 31 in", 1)
    with pytest.raises(DocumentError) as caught:
        read(text)
    assert [field_at(text, fault.place) for fault in caught.value.faults] == ["eyes.entry.low"]
    assert field_at(text, Place("x", 1, 1)) == ""
