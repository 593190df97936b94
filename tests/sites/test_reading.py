"""The site sheet: the demo reads whole; each kind of mistake is told with its own line and column, and its mend."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import DocumentError
from trainer.sites import demo_sheet, demo_text, read_sheet

# 29 CFR 1910.147(b), 'energy source': electrical, mechanical, hydraulic, pneumatic, chemical, thermal or other.
# 2015 edition read.
OSHA_KINDS = {"electric", "spring", "gravity", "hydraulic", "air", "chemical", "hot_water"}

FOOT, INCH = 0.3048, 0.0254  # NIST SP 811, appendix B.8


def faults_of(text):
    with pytest.raises(DocumentError) as caught:
        read_sheet(text, "wash.yaml")
    return caught.value.faults


def test_the_demo_sheet_reads_in_si():
    sheet = demo_sheet()
    assert sheet.name == "Plumb Lane Wash"
    assert sheet.bay.width == pytest.approx(12 * FOOT)
    assert sheet.conveyor.pulses_per_length == pytest.approx(12 / FOOT)
    assert sheet.conveyor.speed == pytest.approx(9 * INCH)
    assert sheet.entry_eye.half_angle == pytest.approx(math.radians(1.5))
    assert sheet.entry_eye.low == pytest.approx(6 * INCH)
    assert sheet.location.longitude == pytest.approx(math.radians(-94.6))
    assert sheet.conveyor.tolerance == pytest.approx(0.03)


def test_the_demo_sheet_gives_no_warning():
    assert demo_sheet().warnings == ()


def test_the_demo_wash_has_every_kind_of_energy_that_the_regulation_names():
    assert {source.kind for source in demo_sheet().energy_sources} >= OSHA_KINDS | {"stored_charge"}


def test_every_energy_source_and_cabinet_stands_at_a_machine():
    sheet = demo_sheet()
    machines = {machine.id for machine in sheet.machines}
    assert {one.machine for one in (*sheet.energy_sources, *sheet.cabinets)} == machines


# What stands in the demo, what is written instead with ◊ where the fault must be told, and what it must say.
MISTAKES = {
    "a length in the wrong unit": ("width: 12 ft", "width: ◊12 in", "Did you mean `12 ft`?"),
    "a slipped point": ("width: 12 ft", "width: ◊120 ft", "is plausible from 8 ft to 25 ft"),
    "another dimension": ("width: 12 ft", "width: ◊12 s", "This is a time; a length is expected."),
    "no unit": ("width: 12 ft", "width: ◊12", "A unit is missing"),
    "words for a number": ("width: 12 ft", "width: ◊twelve feet", "begins with a number"),
    "an unknown unit": ("width: 12 ft", "width: ◊12 furlung", "I know no unit"),
    "a list for a number": ("width: 12 ft", "width: ◊[12 ft]", "A quantity is expected here."),
    "a misspelt field": ("width: 12 ft", "◊wdth: 12 ft", "Did you mean `width`?"),
    "a field that is missing": ("width: 12 ft\n  lane", "◊lane", "The field `width` is missing."),
    "a field twice": ("width: 12 ft", "width: 12 ft\n  ◊width: 12 ft", "stands already at line 7"),
    "a negative delay": ("on_delay: 0.6 s", "on_delay: ◊-0.6 s", "plausible from 0 s to 5 s"),
    "eyes swapped": ("low: 6 in", "low: ◊31 in", "Swap `low` and `high`."),
    "two pairs at one place": ("position: 24 in", "position: ◊0 in", "stands where the first one stands"),
    "an unknown mode": ("operate: light", "operate: ◊lite", "Write light, dark."),
    "an unknown head": ("high_head: receiver", "high_head: ◊top", "Write emitter, receiver."),
    "an unknown side": ("receiver_side: passenger", "receiver_side: ◊left", "Write driver, passenger."),
    "no IP code": ("enclosure: IP66/IP67", "enclosure: ◊watertight", "This is no IP code."),
    "an id twice": ("id: profile", "id: ◊entry", "stands already at line 28"),
    "an id of two words": ("id: profile", "id: ◊profile eye", "small letters"),
    "an unknown machine": ("machine: arches}", "machine: ◊archs}", "Known: conveyor, arches."),
    "an unknown energy": ("kind: air", "kind: ◊pneumatic", "Write electric, air, hydraulic"),
    "one language only": (
        "isolate_at: {en: Pin P1 at the take-up, es: Pasador P1 en el tensor}",
        "isolate_at: ◊{en: Pin P1 at the take-up}",
        "The field `es` is missing.",
    ),
    "an unknown time zone": ("time_zone: America/Chicago", "time_zone: ◊Chicago", "America/Chicago"),
    "a thirsty head": ("least_voltage: 20 V", "least_voltage: ◊30 V", "as much as the supply gives"),
    "half a gauge": ("gauge: 22", "gauge: ◊22.5", "A wire gauge is a whole number."),
    "a capacitor never empty": (
        "bus_voltage: 340 V\n  bleed_resistor: 10 kohm\n  safe_voltage: 15 V",
        "bus_voltage: 24 V\n  bleed_resistor: 10 kohm\n  safe_voltage: ◊24 V",
        "count as empty while the drive runs",
    ),
    "cars of no length": (
        "gap: 36 in\n  pitch: 27 ft",
        "gap: 30 ft\n  pitch: ◊27 ft",
        "would have no length",
    ),
    "a device before the eye": (
        "distance: 12 ft\n    lead: 12 in",
        "distance: 0.5 ft\n    lead: ◊12 in",
        "before the eye has seen the car",
    ),
    "no name": ("name: Plumb Lane Wash", "name: ◊12", "A text is expected here."),
    "a view wider than any": ("view_half_angle: 1.5 deg", "view_half_angle: ◊60 deg", "from 0.1° to 45°"),
    "an unknown purpose": ("purpose: presence", "purpose: ◊counting", "Write measure, profile, presence."),
    "a first pair that does not measure": (
        "purpose: measure",
        "purpose: ◊presence",
        "The first pair measures",
    ),
    "unknown surroundings": ("environment: moderately_dirty", "environment: ◊dusty", "Write clean, slightly"),
    "an opening upside down": ("{sill: 30 in, head: 96", "{sill: ◊30 in, head: 26", "above its upper edge"),
    "an opening that ends before it begins": (
        "before: 4 ft, after: 8 ft",
        "before: 4 ft, after: ◊-5 ft",
        "would end where it begins",
    ),
    "an opening of unknown size": (
        "opening: {sill: 30 in, head: 96 in, before: 4 ft, after: 8 ft}",
        "opening: ◊wide",
        "Write `none`",
    ),
    "room with no height": (
        "may_stand: {lowest: 48 in, highest: 72 in,",
        "may_stand: {lowest: ◊72 in, highest: 48 in,",
        "The lowest place is above the highest.",
    ),
    "room that ends before it begins": (
        "from: 94 ft, to: 98",
        "from: ◊98 ft, to: 94",
        "Swap `from` and `to`.",
    ),
    "wheels by a number": ("flow: 6 gal/min", "flow: 6 gal/min\n    wheels: ◊4", "Write `true` or `false`."),
    "a slow nose": ("nose_error: 7 in", "nose_error: ◊7 ft", "Did you mean `7 in`?"),
    "a body that nobody knows": ("[lifted_pickup,", "[◊lifted_pikup,", "Did you mean `lifted_pickup`?"),
    "one body for a list of them": (
        "[lifted_pickup, pickup_hitch_rack, sedan_bicycle_rack, suv_with_trailer]",
        "◊lifted_pickup",
        "A list is expected here.",
    ),
    "a service level beyond all": ("service_level: 95 %", "service_level: ◊100 %", "from 50"),
    "an empty list": ("head_count: 12", "head_count: ◊[]", "A quantity is expected here."),
}


def broken(kind):
    """The demo's text with one mistake, and the line and column of it."""
    old, new, _ = MISTAKES[kind]
    assert old in demo_text(), old
    text = demo_text().replace(old, new, 1)
    before, after = text.split("◊")
    return before + after, before.count("\n") + 1, len(before) - before.rfind("\n")


@pytest.mark.parametrize("kind", MISTAKES)
def test_each_mistake_is_told_at_its_place_with_its_mend(kind):
    text, line, column = broken(kind)
    first = next(fault for fault in faults_of(text) if fault.place.line == line)
    assert (first.place.file, first.place.line, first.place.column) == ("wash.yaml", line, column)
    assert MISTAKES[kind][2] in str(first)
    assert first.mend


@pytest.mark.parametrize("kind", sorted(set(MISTAKES) - {"a misspelt field"}))
def test_one_mistake_gives_one_fault(kind):
    assert len(faults_of(broken(kind)[0])) == 1


def test_all_faults_of_a_sheet_come_at_once_in_the_order_of_the_file():
    text = demo_text()
    for kind in ("a slipped point", "eyes swapped", "a thirsty head", "an unknown energy"):
        old, new, _ = MISTAKES[kind]
        text = text.replace(old, new.replace("◊", ""), 1)
    lines = [fault.place.line for fault in faults_of(text)]
    assert len(lines) == 4
    assert lines == sorted(lines)


def test_an_empty_sheet_names_every_section():
    told = " ".join(fault.wrong for fault in faults_of("name: A wash\n"))
    for section in ("time_zone", "bay", "conveyor", "eyes", "supply", "machines", "energy_sources"):
        assert f"`{section}`" in told


# Every line that a sheet saved before these facts were asked for does not have.
ASKED_LATER = (
    "nose_error", "walker_depth", "walker_speed", "purpose", "view_half_angle", "environment", "opening", "may_stand",
    "service_level", "spares_on_shelf", "turned_away",
)  # fmt: skip


def older_text():
    lines = demo_text().splitlines()
    return "\n".join(line for line in lines if not line.strip().startswith(ASKED_LATER))


def test_a_sheet_from_before_still_reads_and_lists_what_was_assumed():
    sheet = read_sheet(older_text(), "wash.yaml")
    assert sheet.warnings == ()
    in_pairs = ("purpose", "environment", "opening", "may_stand", "view_half_angle")
    assert set(sheet.assumed) == {
        "turned_away",
        *(f"conveyor.{name}" for name in ("nose_error", "walker_depth", "walker_speed")),
        *(f"business.{name}" for name in ("service_level", "spares_on_shelf")),
        *(f"eyes.{pair}.{name}" for pair in ("entry", "profile", "exit") for name in in_pairs),
    }


def test_what_is_assumed_are_the_stated_defaults():
    sheet = read_sheet(older_text(), "wash.yaml")
    assert [eye.purpose for eye in sheet.eyes] == ["measure", "profile", "presence"]
    for eye in sheet.eyes:
        assert eye.view_half_angle == eye.half_angle
        assert (eye.environment, eye.opening, eye.may_stand) == ("moderately_dirty", None, None)
    assert sheet.conveyor.nose_error == pytest.approx(6 * INCH)
    # Depth with baggage, 747 people: body ellipses observed in Delhi, abstract; 3 ft/s: MUTCD 2009, 4E.06 paragraph 14.
    assert sheet.conveyor.walker_depth == pytest.approx(0.5214)
    assert sheet.conveyor.walker_speed == pytest.approx(3 * FOOT)
    assert (sheet.business.service_level, sheet.business.spares_on_shelf) == (0.95, None)


def test_the_demo_wash_has_measured_everything():
    assert demo_sheet().assumed == ()


def test_none_says_that_there_is_no_opening_and_that_nothing_may_be_moved():
    text = older_text().replace(
        "    on_delay: 0.6 s", "    opening: none\n    may_stand: none\n    on_delay: 0.6 s"
    )
    sheet = read_sheet(text, "wash.yaml")
    assert (sheet.entry_eye.opening, sheet.entry_eye.may_stand) == (None, None)
    assert not {"eyes.entry.opening", "eyes.entry.may_stand"} & set(sheet.assumed)


def test_an_opening_and_room_to_stand_read_in_si():
    profile = demo_sheet().eyes[1]
    assert (profile.opening.sill, profile.opening.after) == pytest.approx((30 * INCH, 8 * FOOT))
    room = profile.may_stand
    assert (room.highest, room.from_position, room.to_position) == pytest.approx(
        (72 * INCH, 18 * INCH, 48 * INCH)
    )


# Measured with a tape: a pickup that the catalogue does not have.
SHOP_TRUCK = """
bodies:
  - id: shop_truck
    name: {en: Shop truck, es: Troca del taller}
    class: pickup
    length: 19 ft
    height: 76 in
    width: 80 in
    wheelbase: 145 in
    front_overhang: 38 in
    ground_clearance: 10 in
    front_bumper_bottom: 20 in
    front_bumper_top: 40 in
    rear_bumper_bottom: 24 in
    rear_bumper_top: 33 in
    hood_height: 48 in
    hood_length: 57 in
    bed_length: 78 in
    bed_rail: 55 in
"""


def test_a_vehicle_of_the_site_is_made_from_its_measures():
    (truck,) = read_sheet(demo_text() + SHOP_TRUCK, "wash.yaml").bodies
    assert (truck.id, truck.name["es"]) == ("shop_truck", "Troca del taller")
    assert truck.body.length == pytest.approx(19 * FOOT)
    assert truck.body.height == pytest.approx(76 * INCH)
    assert truck.body.front_axle == pytest.approx(-38 * INCH)


def test_a_vehicle_of_the_site_may_be_turned_away():
    text = demo_text().replace("turned_away: [", "turned_away: [shop_truck, ")
    assert read_sheet(text + SHOP_TRUCK, "wash.yaml").turned_away[0] == "shop_truck"


VEHICLE_MISTAKES = {
    "a slipped unit": ("length: 19 ft", "length: ◊19 in", "Did you mean `19 ft`?"),
    "an unknown class": ("class: pickup", "class: ◊truck", "Write passenger_car, suv, van, pickup."),
    "an id of the catalogue": ("id: shop_truck", "id: ◊sedan", "The catalogue has a body with this id."),
    "a measure that is missing": ("id: shop_truck\n", "◊id: shop_truck\n", "The field `width` is missing."),
    "a misspelt measure": ("bed_rail: 55 in", "◊bed_rial: 55 in", "Did you mean `bed_rail`?"),
    "a bumper upside down": (
        "front_bumper_top: 40 in",
        "front_bumper_top: ◊18 in",
        "above front_bumper_bottom",
    ),
    "no room for a roof": (
        "hood_length: 57 in\n    bed_length: 78 in",
        "hood_length: ◊95 in\n    bed_length: 100 in",
        "does not go with the other measures",
    ),
    "a tire too small": ("width: 80 in", "width: 80 in\n    tire_radius: ◊7 in", "does not go with"),
}


@pytest.mark.parametrize("kind", VEHICLE_MISTAKES)
def test_each_mistake_in_a_vehicle_is_told_at_its_place(kind):
    old, new, said = VEHICLE_MISTAKES[kind]
    vehicle = SHOP_TRUCK.replace(old, new, 1)
    if kind == "a measure that is missing":
        vehicle = vehicle.replace("    width: 80 in\n", "")
    if kind == "a tire too small":
        vehicle = vehicle.replace("ground_clearance: 10 in", "ground_clearance: 15 in")
    before, after = (demo_text() + vehicle).split("◊")
    faults = faults_of(before + after)
    assert len(faults) == 1
    assert said in str(faults[0])
    assert faults[0].place.line == before.count("\n") + 1


@given(
    measure=st.sampled_from([line.split(":")[0] for line in SHOP_TRUCK.splitlines() if line.endswith("in")]),
    inches=st.floats(0.5, 300),
)
def test_whatever_a_vehicle_measures_it_is_a_body_or_a_fault(measure, inches):
    lines = [
        f"{measure}: {inches} in" if line.startswith(f"{measure}:") else line
        for line in SHOP_TRUCK.split("\n")
    ]
    try:
        (truck,) = read_sheet(demo_text() + "\n".join(lines), "wash.yaml").bodies
        assert truck.body.length > 0
    except DocumentError as error:
        assert all(fault.place.line >= 1 and fault.wrong and fault.mend for fault in error.faults)


WARNED = {
    "an off-delay longer than the gap": ("off_delay: 0.5 s", "off_delay: ◊4.1 s", "shorter than 4.00 s"),
    "more light than a clean pair gives": ("excess_gain: 40", "excess_gain: ◊80", "A clean pair gives 75"),
    "a loop's resistance for a conductor's": ("16.14 ohm/kft", "◊32.28 ohm/kft", "not of the loop"),
    "pulses too fast for the scan": ("scan_time: 10 ms", "scan_time: ◊90 ms", "Pulses come 9 a second"),
    "applications out of order": ("distance: 30 ft", "distance: ◊11 ft", "stands before `presoak`"),
}


@pytest.mark.parametrize("kind", WARNED)
def test_what_should_not_be_is_read_and_warned_of(kind):
    old, new, said = WARNED[kind]
    before, after = demo_text().replace(old, new, 1).split("◊")
    warnings = read_sheet(before + after, "wash.yaml").warnings
    assert len(warnings) == 1
    assert said in str(warnings[0])
    assert warnings[0].place.line == before.count("\n") + 1


LINES = demo_text().splitlines()


@given(line=st.integers(0, len(LINES) - 1), put=st.text(max_size=30))
def test_whatever_stands_on_a_line_the_answer_is_a_sheet_or_faults_with_places(line, put):
    text = "\n".join([*LINES[:line], put, *LINES[line + 1 :]])
    try:
        assert read_sheet(text, "wash.yaml").eyes
    except DocumentError as error:
        assert error.faults
        assert all(fault.place.line >= 1 and fault.wrong and fault.mend for fault in error.faults)


@given(
    line=st.sampled_from([i for i, text in enumerate(LINES) if ": " in text and "{" not in text]),
    value=st.sampled_from(
        [
            "",
            "0",
            "-1",
            "1e308",
            "1e400",
            "nan",
            ".inf",
            "0 in",
            "-3 ft",
            "9 V",
            "5 %",
            "[]",
            "{}",
            "x",
            "true",
        ]
    ),
)
def test_no_value_of_any_field_breaks_the_reader(line, value):
    name = LINES[line].split(":")[0]
    text = "\n".join([*LINES[:line], f"{name}: {value}", *LINES[line + 1 :]])
    try:
        assert read_sheet(text, "wash.yaml").eyes
    except DocumentError as error:
        assert all(fault.mend for fault in error.faults)
