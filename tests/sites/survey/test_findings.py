"""Findings: the demo has its three; each kind comes when planted alone, and goes when mended as advised."""

import re
from string import Formatter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sites.survey.plants import CLEAN, INCH, PLANTED, YEAR, findings, kinds, planted, put
from trainer.sites import demo_sheet
from trainer.sites.survey.changing import changed
from trainer.sites.survey.results import SEVERITIES
from trainer.sites.survey.saying import say
from trainer.sites.survey.sentences import FINDINGS, MENDS
from trainer.sites.survey.survey import survey

READERS = [(language, system) for language in ("en", "es") for system in ("us", "metric")]


def test_the_demo_wash_has_the_three_faults_that_were_planted_in_it():
    found = findings(demo_sheet())
    assert [(one.key, one.part) for one in found] == [
        ("signal_steam", "exit"),
        ("sun", "profile"),
        ("walkers", "exit"),
    ]


def test_mended_as_advised_the_demo_wash_is_clean():
    sheet = demo_sheet()
    changes = [change for one in findings(sheet) for change in one.mends[0].changes]
    assert findings(changed(sheet, changes)) == ()


def test_a_wash_set_right_by_hand_is_clean():
    assert findings(CLEAN) == ()


@pytest.mark.parametrize("fault", PLANTED)
def test_each_fault_gives_its_own_finding_and_no_other(fault):
    assert kinds(planted(fault)) == PLANTED[fault][1]


@pytest.mark.parametrize("fault", PLANTED)
def test_what_is_mended_as_advised_is_gone_and_nothing_else_comes(fault):
    sheet, found = PLANTED[fault][0], planted(fault)
    if len(found) > 1:
        every = [change for one in found for change in one.mends[0].changes]
        assert findings(changed(sheet, every)) == ()
        return
    mends = [mend for mend in found[0].mends if mend.changes]
    assert mends
    for mend in mends:
        assert findings(changed(sheet, mend.changes)) == (), mend.key


@pytest.mark.parametrize("fault", PLANTED)
def test_the_number_is_beyond_its_limit(fault):
    for one in planted(fault):
        lower_is_worse = one.key in LEAST
        assert (one.found.value < one.limit.value) == lower_is_worse, one.key
        assert one.found.unit.dimension == one.limit.unit.dimension


# Kinds whose number must be at least its limit; all others must be at most.
LEAST = {
    "signal_dirty", "signal_steam", "enclosure", "supply_low", "shelf_short", "missed", "missed_under", "missed_over",
    "walkers", "splits", "nose_bare", "tail_bare", "bed_unseen",
}  # fmt: skip


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("fault", PLANTED)
def test_every_finding_says_what_is_wrong_and_what_to_do(fault, reader):
    language, system = reader
    for one in planted(fault):
        said = say(one, language, system)
        assert said.mends
        for text in (said.what, *said.mends):
            assert "{" not in text
            assert text.endswith(".")
            assert "nan" not in text.split()
            if system == "metric":
                assert not re.search(r"\d (in|ft|gal|pulg|pies?)\b", text.replace("\u00a0", " ")), text


def placeholders(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("table", [FINDINGS, MENDS])
def test_both_languages_write_the_same_numbers_and_are_two_texts(table):
    for key, text in table.items():
        assert placeholders(text.en) == placeholders(text.es), key
        assert text.en != text.es, key


def test_every_planted_kind_has_sentences_and_most_kinds_are_planted():
    in_table = {key for _, wanted in PLANTED.values() for key, _ in wanted}
    assert in_table <= set(FINDINGS)
    # Seen only together with others: a beam so high that a car passes in its gaps, an on-delay longer than a car.
    assert set(FINDINGS) - in_table == {"missed", "missed_under", "never_counts", "no_delay"}


def test_the_worst_come_first():
    sheet = put(
        demo_sheet(),
        drive__safe_voltage=30.0,
        applications__side_wash__trail=6 * INCH,
        business__spares_on_shelf=0.0,
    )
    ranks = [SEVERITIES.index(one.severity) for one in findings(sheet)]
    assert ranks == sorted(ranks)
    assert set(ranks) == {0, 1, 2, 3}


def test_a_shelf_that_nobody_has_counted_is_no_finding():
    sheet = put(CLEAN, business__spares_on_shelf="none")
    assert findings(sheet) == ()
    assert survey(sheet, YEAR).spares.reached is None


def test_a_pair_that_may_not_be_moved_asks_for_room():
    sheet = put(PLANTED["a beam over low cars"][0], eyes__exit__may_stand="none")
    assert [mend.key for mend in findings(sheet)[0].mends] == ["say_room"]


def test_a_receiver_without_room_to_tilt_still_has_a_way_out_of_the_sun():
    sheet = put(PLANTED["the sun"][0], eyes__profile__may_stand="none")
    assert [mend.key for mend in findings(sheet)[0].mends] == ["close_opening"]


NUMBERS = {
    "eyes__entry__on_delay": (0.0, 5.0),
    "eyes__entry__off_delay": (0.0, 10.0),
    "eyes__exit__low": (2 * INCH, 60 * INCH),
    "eyes__entry__excess_gain": (1.0, 70.0),
    "eyes__profile__position": (2 * INCH, 600 * INCH),
    "conveyor__nose_error": (0.5 * INCH, 36 * INCH),
    "conveyor__smallest_gap": (6 * INCH, 600 * INCH),
    "conveyor__walker_speed": (0.31, 3.0),
    "conveyor__scan_time": (0.0001, 0.5),
    "bay__lane_offset": (0.0, 30 * INCH),
    "location__bearing": (0.0, 6.2),
    "drive__safe_voltage": (1.0, 60.0),
    "supply__head_current": (0.001, 2.0),
}


@settings(max_examples=10, deadline=None)
@given(st.fixed_dictionaries({}, optional={name: st.floats(*ends) for name, ends in NUMBERS.items()}))
def test_any_plausible_sheet_is_surveyed_and_every_finding_can_be_said(numbers):
    if numbers.get("eyes__exit__low", 0) > 30 * INCH:
        numbers["eyes__exit__high"] = numbers["eyes__exit__low"]
    for one in findings(put(demo_sheet(), **numbers)):
        for language, system in READERS:
            said = say(one, language, system)
            assert said.mends
            assert "nan" not in f"{said.what} {said.mends}".lower().split()
