"""The site sheet: the demo reads whole, each kind of mistake is told with its place and mend."""

import math

import pytest

from trainer.documents import DocumentError
from trainer.sites import VALUES, demo_sheet, demo_text, read_sheet, site_values

FOOT = 0.3048


def faults_of(old, new):
    assert old in demo_text()
    with pytest.raises(DocumentError) as caught:
        read_sheet(demo_text().replace(old, new, 1), "wash.yaml")
    return [str(fault) for fault in caught.value.faults]


def line_of(piece):
    return next(i for i, line in enumerate(demo_text().splitlines(), 1) if piece in line)


def test_the_demo_sheet_reads_in_si():
    sheet = demo_sheet()
    assert sheet.bay.width == pytest.approx(12 * FOOT)
    assert sheet.conveyor.pulses == pytest.approx(12 / FOOT)
    assert sheet.entry_eye.half_angle == pytest.approx(math.radians(1.5))
    assert sheet.business.cars_per_hour == pytest.approx(80 / 3600)
    assert {source.kind for source in sheet.energy} >= {
        "electric",
        "air",
        "gravity",
        "stored_charge",
        "hot_water",
    }


def test_every_site_value_lies_in_its_range_and_is_explained_twice():
    values = site_values(demo_sheet())
    assert set(values) == set(VALUES)
    for name, row in VALUES.items():
        assert row.low <= values[name] <= row.high, name
        assert row.meaning["en"] and row.meaning["es"]


@pytest.mark.parametrize(
    ("old", "new", "place", "said"),
    [
        ("width: 12 ft", "width: 12 in", "width: 12 ft", "not plausible"),
        ("width: 12 ft", "width: 12 s", "width: 12 ft", "not a length"),
        ("width: 12 ft", "width: twelve feet", "width: 12 ft", "from 8 ft to 24 ft"),
        ("width: 12 ft", "wdth: 12 ft", "width: 12 ft", "Did you mean `width`?"),
        ("low: 6 in", "low: 31 in", "low: 6 in", "Swap `low` and `high`"),
        ("off_delay: 0.5 s", "off_delay: 4 s", "off_delay: 0.5 s", "two cars become one"),
        ("mode: light", "mode: lite", "mode: light", "Write one of light, dark"),
        ("machine: arches}", "machine: archs}", "machine: arches}", "There is no such machine"),
        ("id: profile", "id: entry", "id: profile", "stands twice"),
        ("America/Chicago", "Chicago", "time_zone", "There is no such time zone"),
        ("least: 20 V", "least: 30 V", "least: 20 V", "more than the supply gives"),
        ("pitch: 27 ft", "pitch: 16 ft\n  pitch: 16 ft", "pitch: 27 ft", "pitch"),
    ],
)
def test_each_mistake_names_its_place_and_its_mend(old, new, place, said):
    faults = faults_of(old, new)
    assert any(said in fault for fault in faults), faults
    line = line_of(place)
    assert any(fault.startswith((f"wash.yaml:{line}:", f"wash.yaml:{line + 1}:")) for fault in faults), faults


def test_all_faults_of_a_sheet_come_at_once():
    text = demo_text().replace("width: 12 ft", "width: 1 ft", 1).replace("speed: 9 in/s", "speed: 9 ft", 1)
    with pytest.raises(DocumentError) as caught:
        read_sheet(text, "wash.yaml")
    assert len(caught.value.faults) == 2
