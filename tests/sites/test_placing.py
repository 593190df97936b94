"""A better place for a pair: what nothing beats against trying everything one by one with the survey's own parts."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.sites.placing.candidates import candidates, moved
from trainer.sites.placing.fronts import unbeaten
from trainer.sites.placing.results import Judged, Placement
from trainer.sites.placing.search import judge, recommend, search
from trainer.sites.placing.seeing import longest_bridge
from trainer.sites.reading import demo_sheet
from trainer.sites.sheet import HEADS, SIDES, BayOpening, StandingRoom
from trainer.sites.survey.light import sky_minutes, survey_crosstalk, survey_signal, visits
from trainer.sites.survey.seeing import see_all
from trainer.solver.bodies import BODIES

INCH, YEAR = 0.0254, 2026
FEW = ("sedan", "suv_with_hitch", "pickup", "low_coupe")


def wash(room, *, keep=FEW, eye="entry", **changes):
    """The demo wash with a small fleet, one of its pairs with room: heights in inches, positions in feet."""
    low, high, start, end = room
    standing = StandingRoom(low * INCH, high * INCH, start * 12 * INCH, end * 12 * INCH)
    pairs = demo_sheet().eyes
    eyes = tuple(replace(one, may_stand=standing, **changes) if one.id == eye else one for one in pairs)
    turned_away = tuple(name for name in BODIES if name not in keep)
    sheet = replace(demo_sheet(), eyes=eyes, turned_away=turned_away)
    return sheet, next(one for one in eyes if one.id == eye)


def found_in(sheet, eye):
    *_, last = search(sheet, eye, YEAR)
    return last.found


def one_by_one(sheet, eye, beyond=()):
    """Every candidate put into the sheet and surveyed; without the bodies that are left out."""

    @cache
    def seen(low, high, side, head):
        there = moved(sheet, eye, Placement(low, high, side, head, eye.position))
        return [one for one in see_all(sheet, there) if not one.turned_away and one.id not in beyond]

    def result(at):
        there = moved(sheet, eye, at)
        bay = replace(sheet, eyes=tuple(there if one.id == eye.id else one for one in sheet.eyes))
        bodies = seen(at.low, at.high, at.receiver_side, at.high_head)
        fit = all(one.seen and one.bridge < longest_bridge(sheet) for one in bodies)
        lit = any(one.lit for one in survey_crosstalk(bay) if eye.id in (one.emitter_of, one.receiver_of))
        error = (
            max(abs(one.nose_error) + abs(one.tail_error) for one in bodies) if fit and not lit else np.inf
        )
        same_wall = at.receiver_side == eye.receiver_side
        sun = len(visits(bay, there, YEAR)) if same_wall else sky_minutes(bay, [there], YEAR)[0]
        signal = survey_signal(bay, there)
        return round(error, 5), sun, round(signal.in_steam / signal.least, 3)

    some = candidates(eye, eye.may_stand)
    return {some.placement(row): result(some.placement(row)) for row in range(some.pair.size)}


def nothing_beats(results):
    def beats(one, other):
        a, b = (one[0], one[1], -one[2]), (other[0], other[1], -other[2])
        return a != b and all(x <= y for x, y in zip(a, b, strict=True))

    possible = {one for one in results if np.isfinite(one[0])}
    return {one for one in possible if not any(beats(other, one) for other in possible)}


ROOMS = [
    # Low heads that look up through a window to the southwest, and a second place along the conveyor.
    (
        (6, 8, 0, 0.5),
        {"opening": BayOpening(0.0, 2.0, 1.0, 2.0), "high_head": "emitter", "view_half_angle": 0.1},
    ),
    ((16, 17.5, 0, 0), {"receiver_side": "driver"}),
    # A beam so low that some placements see the wheels alone, or a hitch that others miss.
    ((8, 10.5, -1, -1), {}),
    # Beside the profile eye's heads: some of these placements light its receiver.
    ((58, 60, 1.6, 2.6), {"high_head": "emitter", "excess_gain": 400.0, "keep": ("van", "suv")}),
]


@cache
def both(number):
    """What the search finds in a room, and what trying everything gives."""
    room, changes = ROOMS[number]
    sheet, eye = wash(room, **changes)
    found = found_in(sheet, eye)
    return found, one_by_one(sheet, eye, found.beyond)


@pytest.mark.parametrize("number", range(4), ids=["window", "middle", "low", "neighbor"])
def test_the_front_is_what_nothing_beats_when_everything_is_tried(number):
    found, tried = both(number)
    assert found.tried == len(tried)
    front = {(round(one.error, 5), one.sun, round(one.margin, 3)) for one in found.front}
    assert front == nothing_beats(tried.values())
    assert len(front) == len(found.front)
    for one in found.front:
        assert tried[one.placement] == (round(one.error, 5), one.sun, round(one.margin, 3))
        assert one.worst in ROOMS[number][1].get("keep", FEW)


def test_the_rooms_of_these_tests_hold_sun_and_neighbors_light():
    assert len({sun for _, sun, _ in both(0)[1].values()}) > 3
    for number in (2, 3):
        assert {bool(np.isfinite(error)) for error, _, _ in both(number)[1].values()} == {True, False}


@given(st.lists(st.tuples(*[st.sampled_from([0.0, 1.0, 2.0, 3.0, np.inf])] * 3), max_size=40))
def test_unbeaten_is_the_definition(rows):
    rows = np.array(rows).reshape(-1, 3)
    expected = [
        np.isfinite(row).all()
        and not any(
            (other <= row).all() and (other < row).any() for other in rows if np.isfinite(other).all()
        )
        for row in rows
    ]
    assert unbeaten(rows).tolist() == expected


def test_many_choices_are_the_same_front_in_whatever_order():
    rows = np.random.default_rng(7).integers(0, 60, (3000, 3)).astype(float)
    marks = unbeaten(rows)
    kept = rows[marks]
    assert 1 < len(kept) < 200
    for row in rows[~marks]:
        assert ((kept <= row).all(axis=1) & (kept < row).any(axis=1)).any()
    for row in kept:
        assert not ((rows <= row).all(axis=1) & (rows < row).any(axis=1)).any()
    order = np.random.default_rng(8).permutation(3000)
    assert np.array_equal(unbeaten(rows[order]), marks[order])


@pytest.mark.parametrize("eye", ["entry", "profile"])
def test_todays_placement_is_on_the_front_or_behind_it(eye):
    sheet, pair = wash((60, 61, 2, 2) if eye == "profile" else (6, 8, 0, 0), eye=eye)
    found = found_in(sheet, pair)
    present = found.present
    if not found.beyond:
        assert present == judge(sheet, pair, YEAR)
    on = any(one.objectives == present.objectives for one in found.front)
    behind = any(one.beats(present) for one in found.front)
    if pair.may_stand.lowest <= pair.low and pair.high <= pair.may_stand.highest:
        assert on != behind
        assert found.unbeaten == on


def test_a_search_that_is_stopped_leaves_nothing_half_done():
    sheet, eye = wash((6, 8, 0, 0))
    whole = found_in(sheet, eye)
    steps = len(list(search(sheet, eye, YEAR)))
    for stop in (0, 1, steps // 2, steps - 1):
        asked = search(sheet, eye, YEAR)
        seen = [next(asked) for _ in range(stop)]
        asked.close()
        assert all(one.found is None for one in seen)
        with pytest.raises(StopIteration):
            next(asked)
    assert (sheet, eye) == wash((6, 8, 0, 0))
    assert found_in(sheet, eye) == whole


def test_progress_only_goes_forward_and_ends_with_what_was_found():
    sheet, eye = wash((6, 9, 0, 0))
    steps = list(search(sheet, eye, YEAR))
    shares = [one.share for one in steps]
    assert shares == sorted(shares)
    assert 0 < shares[0] < shares[-1] == 1
    assert [one.found is not None for one in steps] == [False] * (len(steps) - 1) + [True]
    assert any(one.best for one in steps[:-1])


def test_a_pair_without_room_is_refused():
    sheet, eye = wash((6, 8, 0, 0))
    with pytest.raises(ValueError, match="entry may not be moved"):
        next(search(sheet, replace(eye, may_stand=None), YEAR))


def test_a_body_that_no_placement_sees_whole_is_left_out_and_named():
    # The tongue of the trailer is as long as a gap between two cars, and thinner than an inch and a half of height.
    sheet, eye = wash((16, 17, 0, 0), keep=(*FEW, "suv_with_trailer"))
    found = found_in(sheet, eye)
    assert found.beyond == ("suv_with_trailer",)
    assert found.front == found_in(*wash((16, 17, 0, 0))).front


def test_where_nothing_is_seen_whole_from_anywhere_there_is_no_front():
    found = found_in(*wash((2, 3, 0, 0), low=2 * INCH, high=3 * INCH))
    assert (found.front, found.recommended, found.unbeaten) == ((), None, False)
    assert set(found.beyond) == set(FEW)
    assert not found.present.possible


def test_the_opening_stays_in_its_wall_when_the_pair_moves_along():
    opening = BayOpening(0.3, 2.0, before=1.0, after=2.0)
    sheet, eye = wash((6, 8, 0, 1), opening=opening)
    there = moved(sheet, eye, replace(Placement.of(eye), position=eye.position + 0.25))
    for one in (eye, there):
        assert one.position - one.opening.before == pytest.approx(eye.position - 1.0)
        assert one.position + one.opening.after == pytest.approx(eye.position + 2.0)


def test_a_pair_that_stays_where_it_is_keeps_its_measured_gain():
    sheet, eye = wash((6, 8, 0, 1), opening=BayOpening(0.3, 2.0, 1.0, 2.0))
    assert moved(sheet, eye, Placement.of(eye)) == eye


def test_candidates_are_all_within_the_room_and_none_stands_twice():
    _, eye = wash((4, 7.5, -1, 0.75))
    some = candidates(eye, eye.may_stand)
    placements = [some.placement(row) for row in range(some.pair.size)]
    assert len(set(placements)) == len(placements)
    assert {one.receiver_side for one in placements} == set(SIDES)
    assert {one.high_head for one in placements} == set(HEADS)
    for one in placements:
        assert 4 * INCH - 1e-6 <= one.low <= one.high <= 7.5 * INCH + 1e-6
        assert -12 * INCH - 1e-6 <= one.position <= 9 * INCH + 1e-6
        assert one.low < one.high or one.high_head == eye.high_head
    heights = sorted({one.low for one in placements})
    assert heights == pytest.approx([4 * INCH, 5 * INCH, 6 * INCH, 7 * INCH, 7.5 * INCH])
    assert 0.0 in {one.position for one in placements}


def judged(error, sun, margin, *, low=0.2, side="driver"):
    return Judged(Placement(low, 0.7, side, "receiver", 0.0), error * INCH, sun, margin)


def test_recommended_is_the_darkest_within_a_pulse_of_the_least_error():
    front = (judged(3.0, 90, 2.0), judged(3.6, 20, 1.4), judged(3.9, 0, 0.9), judged(5.5, 10, 1.2))
    found = recommend(demo_sheet(), front, judged(6.0, 100, 2.0))
    # One pulse of the demo wash is an inch: 12 pulses a foot. The third has too little light, the last too much error.
    assert found.judged == front[1]
    assert (found.stays, found.enough_light, found.rivals) == (False, True, 2)
    assert (found.least, found.tolerance) == pytest.approx((3 * INCH, INCH))


def test_todays_placement_stays_if_it_is_as_good():
    front = (judged(3.0, 0, 2.0, low=0.3),)
    present = judged(3.5, 0, 1.9)
    assert recommend(demo_sheet(), front, present).judged is present
    for worse in (judged(4.5, 0, 1.9), judged(3.5, 1, 1.9), judged(3.5, 0, 0.9), judged(np.inf, 0, 2)):
        assert recommend(demo_sheet(), front, worse).judged is front[0]


def test_where_nothing_has_enough_light_that_is_said_and_the_rest_decides():
    front = (judged(3.0, 5, 0.8), judged(9.0, 0, 0.9))
    found = recommend(demo_sheet(), front, judged(7.0, 0, 0.7))
    assert found.judged == front[0]
    assert not found.enough_light
    assert recommend(demo_sheet(), (), judged(7.0, 0, 0.7)) is None


def test_among_equals_the_least_change_is_chosen():
    front = (
        judged(3.0, 0, 2.0, low=0.6),
        judged(3.0, 0, 2.0, low=0.25),
        judged(3.0, 0, 2.0, side="passenger"),
    )
    found = recommend(demo_sheet(), front, judged(9.0, 0, 2.0))
    assert found.judged == front[1]


def test_a_profile_eye_goes_on_finding_the_bed():
    sheet, eye = wash((44, 66, 2, 2), eye="profile")
    found = found_in(sheet, eye)
    assert found.present.possible
    assert found.front
    # The bed's rail stands at 54 in and the cab's roof at 75 in: the beam runs between them over the whole truck.
    assert all(one.placement.low > 48 * INCH for one in found.front)
    low = replace(eye, low=36 * INCH, high=36 * INCH)
    assert not judge(replace(sheet, eyes=(sheet.eyes[0], low)), low, YEAR).possible
