"""The survey in words: complete in both languages, in the reader's units, with what must be read before a change."""

import re
import shutil
import subprocess
import sys
from dataclasses import astuple, replace
from datetime import UTC, datetime
from functools import cache
from itertools import combinations

import pytest

from trainer.figures import print_scene
from trainer.figures.drawing import scene_on_paper
from trainer.figures.ink import THEMES
from trainer.figures.marks import Letters
from trainer.sites import demo_sheet
from trainer.sites.survey.paper import survey_pdf
from trainer.sites.survey.scenes import advised_delays, survey_scenes, telling_body
from trainer.sites.survey.survey import survey
from trainer.sites.survey.telling import tell

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)


@cache
def demo():
    return survey(demo_sheet(), 2026)


def pair_of(found, key):
    return next(one for one in found.pairs if one.eye.id == key)


def texts(told):
    """Every text of a report, in order."""
    if isinstance(told, str):
        return [told]
    return [text for one in told for text in texts(one)] if isinstance(told, tuple) else []


def with_supply(**changes):
    sheet = demo_sheet()
    return survey(replace(sheet, supply=replace(sheet.supply, **changes)), 2026)


def test_every_heading_and_sentence_exists_in_both_languages():
    english, spanish = (tell(demo(), language, "us") for language in ("en", "es"))
    for one, other in zip(english.sections, spanish.sections, strict=True):
        assert one.key == other.key and one.drawings == other.drawings
        assert one.title != other.title
        assert [name for name, _ in one.facts] != [name for name, _ in other.facts] or not one.facts
        assert all(
            a.title != b.title and a.heads != b.heads for a, b in zip(one.tables, other.tables, strict=True)
        )
        assert all(a != b for a, b in zip(one.notes, other.notes, strict=True))
    for one, other in zip(english.findings, spanish.findings, strict=True):
        assert (one.key, one.part) == (other.key, other.part)
        assert one.what != other.what and one.leads_to != other.leads_to and one.place != other.place
        assert all(a != b for a, b in zip(one.mends, other.mends, strict=True))
    assert english.verdict != spanish.verdict and english.cautions != spanish.cautions


def test_metric_readers_meet_no_feet_inches_or_gallons():
    us, metric = (" ".join(texts(astuple(tell(demo(), "en", system)))) for system in ("us", "metric"))
    foreign = r"\d\xa0(in|ft|gal)\b"
    assert re.search(foreign, us)
    assert not re.search(foreign, metric)


def test_every_table_s_rows_are_as_long_as_its_heads():
    for section in tell(demo(), "en", "us").sections:
        for table in section.tables:
            assert {len(row) for row in table.rows} == {len(table.heads)}, table.title
            assert all(0 < at < len(table.heads) for at in table.numbers)


def test_the_application_table_is_the_survey_s_windows():
    table = next(one for one in tell(demo(), "en", "us").sections if one.key == "applications").tables[0]
    sedan = next(row for row in table.rows if row[0] == "sedan")
    for cell, application in zip(sedan[1:], demo().applications, strict=True):
        [window] = [one for one in application.windows if one.name.en == "sedan"]
        assert cell == f"{window.on_pulse} to {window.off_pulse}"


def test_a_finding_in_the_cabinet_brings_the_cabinet_s_warning_and_the_drive_s_wait():
    # 10 kΩ · 1000 µF · ln(340/15) = 31.2 s until the drive's capacitor is down to its safe voltage.
    found = with_supply(length=420.0, head_current=0.4)
    assert "supply" in {one.part for one in found.findings}
    said = [one.text for one in tell(found, "en", "us").cautions]
    assert any("wait at least 31" in one or "wait at least 32" in one for one in said)
    assert all("Local codes and licensed practice come first" in one for one in said)


def test_the_wait_is_never_told_shorter_than_it_is():
    found = with_supply(length=420.0, head_current=0.4)
    for seconds in (31.2, 31.9, 5.01):
        told = tell(replace(found, charge=replace(found.charge, seconds=seconds)), "en", "us")
        wait = next(
            re.search(r"wait at least (\d+)", one.text) for one in told.cautions if "cabinet" in one.text
        )
        assert int(wait[1]) >= seconds


def test_where_nothing_is_wrong_nothing_is_warned_of():
    told = tell(replace(demo(), findings=()), "en", "us")
    assert told.verdict == "Nothing is wrong by these numbers."
    assert told.cautions == () and told.findings == ()


def test_the_delays_that_a_drawing_recommends_are_those_that_the_finding_sets():
    found = demo()
    for pair in found.pairs:
        advised = advised_delays(found, pair)
        if pair.delays.holds:
            assert advised is None
            continue
        on, off = advised
        changes = {c.field: c.value for f in found.findings for m in f.mends[:1] for c in m.changes}
        assert on == changes[f"eyes.{pair.eye.id}.on_delay"].value
        assert off == pair.delays.present[1]
        assert survey_scenes(found)[f"{pair.eye.id}.delays"].recommended == advised


def test_the_body_that_is_drawn_is_one_that_is_missed_where_there_is_one():
    sheet = demo_sheet()
    high = replace(sheet.eyes[0], low=1.2, high=1.5)
    found = survey(replace(sheet, eyes=(high, *sheet.eyes[1:])), 2026)
    pair = pair_of(found, high.id)
    missed = [one.id for one in pair.bodies if not one.seen and not one.turned_away]
    assert missed
    assert telling_body(pair).id in missed
    assert telling_body(pair_of(demo(), "profile")).cuts > 0


def test_a_pair_without_sun_has_no_calendar_and_says_so():
    names = set(survey_scenes(demo()))
    assert "profile.sun" in names and "entry.sun" not in names
    entry = next(one for one in tell(demo(), "en", "us").sections if one.key == "entry")
    assert "The sun never looks into this receiver." in entry.notes


def test_the_same_survey_at_the_same_moment_prints_the_same_paper():
    assert survey_pdf(demo(), "es", "metric", NOW) == survey_pdf(demo(), "es", "metric", NOW)


def test_the_drawings_are_on_the_paper_as_lines_and_words_that_can_be_found():
    pdf = survey_pdf(demo(), "en", "us", NOW)
    assert b"/Subtype /Image" not in pdf
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed (Debian package poppler-utils)")
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    read = " ".join(done.stdout.decode().split())
    for name, scene in survey_scenes(demo()).items():
        for mark in print_scene(scene, "en", "us").marks:
            if isinstance(mark, Letters):
                assert " ".join(mark.text.split()) in read, (name, mark.text)


def all_eyes(**changes):
    sheet = demo_sheet()
    return replace(sheet, eyes=tuple(replace(eye, **changes) for eye in sheet.eyes))


def eight_eyes():
    sheet = demo_sheet()
    own = [(f"eye_{i}", i * 1.0, 0.1 + 0.2 * i, 0.3 + 0.25 * i) for i in range(8)]
    eyes = (
        replace(sheet.eyes[i % 3], id=key, position=at, low=low, high=high)
        for i, (key, at, low, high) in enumerate(own)
    )
    return replace(sheet, eyes=tuple(eyes))


ODD = {
    "every eye over every car, the longest delays": all_eyes(
        low=3.0, high=3.04, on_delay=5.0, off_delay=10.0
    ),
    "hardly any light, no delays": all_eyes(excess_gain=1.0, reference_gain=0.5, on_delay=0.0, off_delay=0.0),
    "eight eyes": eight_eyes(),
    "one eye, devices for wheels": replace(
        demo_sheet(),
        eyes=demo_sheet().eyes[:1],
        applications=tuple(replace(one, wheels=True) for one in demo_sheet().applications),
    ),
    "no device": replace(demo_sheet(), eyes=demo_sheet().eyes[1:2], applications=()),
}


@pytest.mark.parametrize("name", ODD)
def test_an_odd_wash_is_told_and_drawn_too(name):
    found = survey(ODD[name], 2026)
    for language, system in (("en", "us"), ("es", "metric")):
        report = tell(found, language, system)
        assert not any(re.search(r"\bnan\b|\?", text) for text in texts(astuple(report)))
        for key, scene in survey_scenes(found).items():
            drawn = scene_on_paper(scene, THEMES["light"], language, system).texts
            crossing = [(a, b) for (one, a), (other, b) in combinations(drawn, 2) if one.overlap(other) > 1]
            assert (key, crossing) == (key, [])


@pytest.mark.parametrize("name", ["every eye over every car, the longest delays", "no device"])
def test_an_odd_wash_is_printed_too(name):
    assert survey_pdf(survey(ODD[name], 2026), "es", "us", NOW).startswith(b"%PDF")


def test_telling_loads_no_drawing_and_no_printing_library():
    code = (
        "import sys; from trainer.sites import demo_sheet; from trainer.sites.survey.survey import survey;"
        "from trainer.sites.survey.telling import tell; import trainer.sites.survey.paper;"
        "tell(survey(demo_sheet(), 2026), 'en', 'us'); sys.exit(bool({'matplotlib', 'fpdf'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
