"""Measuring: each number is kept once, a colleague's is never overwritten unseen, saving closes the walk."""

from dataclasses import replace

import pytest
from sqlalchemy import select

from tests.cast import MONDAY, make_cast, make_person
from trainer.access.refusal import Refused
from trainer.acts.measuring import (
    drop_walk,
    finish_walk,
    keep_check,
    new_sheet,
    note_measurement,
)
from trainer.acts.sites import save_sheet
from trainer.language.auditing import Audit
from trainer.records import log
from trainer.records.queries import measuring as queries
from trainer.records.queries import people
from trainer.records.tables import LogEntry, Measurement
from trainer.sites import demo_sheet, demo_text, read_sheet
from trainer.sites.measuring import Taken

WIDTH, LOW = "bay.width", "eyes.entry.low"
TAPE = Taken("measured", "11 ft 10 1/2 in")


@pytest.fixture
def cast(database_url):
    made = make_cast(database_url)
    save_sheet(
        made.database, site_id=made.site, by=made.tom, sheet=demo_sheet(), text=demo_text(), now=MONDAY
    )
    yield made
    made.database.dispose()


def note(cast, field=WIDTH, taken=TAPE, revision=0, by=None, now=MONDAY):
    return note_measurement(
        cast.database,
        site_id=cast.site,
        by=by or cast.tom,
        field=field,
        taken=taken,
        revision=revision,
        now=now,
    )


def walk(cast, site=None):
    with cast.database.reading() as db:
        return queries.open_walk(db, site or cast.site)


def fingerprint(cast):
    with cast.database.reading() as db:
        saved = people.sheet_in_force(db, cast.site)
        measured = {
            one.field: one.written
            for one in queries.open_walk(db, cast.site).values()
            if one.state != "skipped"
        }
    return new_sheet(saved, measured).fingerprint


def finish(cast, seen=None):
    seen = seen or fingerprint(cast)
    return finish_walk(cast.database, site_id=cast.site, by=cast.tom, fingerprint=seen, now=MONDAY)


def kinds(cast):
    with cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        return list(db.scalars(select(LogEntry.kind).order_by(LogEntry.seq)))


def test_a_number_is_kept_with_who_measured_it_and_when(cast):
    assert note(cast) is None
    kept = walk(cast)[WIDTH]
    assert (kept.state, kept.written, kept.by, kept.at, kept.revision) == (
        "measured", "11 ft 10 1/2 in", "Tom Becker", MONDAY, 1,
    )  # fmt: skip
    assert walk(cast, cast.other_site) == {}


def test_the_same_number_sent_again_changes_nothing(cast):
    note(cast)
    once = walk(cast)
    later = MONDAY.replace(hour=18)
    assert note(cast, now=later) is None
    assert note(cast, now=later, by=cast.mia) is None
    assert walk(cast) == once


def test_a_number_may_be_mended_by_whoever_has_seen_it(cast):
    note(cast)
    assert note(cast, taken=Taken("measured", "12 ft"), revision=1) is None
    assert (walk(cast)[WIDTH].written, walk(cast)[WIDTH].revision) == ("12 ft", 2)


def test_a_late_request_and_a_second_phone_overwrite_nothing_that_they_have_not_seen(cast):
    nina = make_person(cast.database, cast.site, "Nina Hart", "trainer")
    note(cast)
    refused = note(cast, taken=Taken("measured", "12 ft"), by=nina)
    assert refused == Refused(("measure.changed_meanwhile",))
    assert walk(cast)[WIDTH].written == "11 ft 10 1/2 in"


def test_saving_makes_one_new_version_with_the_numbers_in_it_and_closes_the_walk(cast):
    note(cast)
    note(cast, LOW, Taken("kept", "6 in"))
    note(cast, "bay.lane_offset", Taken("skipped"))
    assert finish(cast) == 2
    with cast.database.reading() as db:
        saved = people.sheet_in_force(db, cast.site)
        measured = queries.measured_for(db, cast.site, 2)
        last = queries.last_measured(db, cast.site)
    assert saved.text == demo_text().replace("width: 12 ft", "width: 11 ft 10 1/2 in")
    bay = replace(demo_sheet().bay, width=142.5 * 0.0254)
    assert read_sheet(saved.text, "x") == replace(demo_sheet(), bay=bay)
    assert walk(cast) == {}
    assert set(measured) == {WIDTH, LOW} == set(last)
    assert measured[WIDTH].by == "Tom Becker"
    assert kinds(cast)[-2:] == ["sheet.saved", "sheet.measured"]


def test_sending_the_finish_twice_saves_once(cast):
    note(cast)
    seen = fingerprint(cast)
    assert finish(cast, seen) == 2
    assert finish(cast, seen) == Refused(("measure.nothing",))
    assert kinds(cast).count("sheet.measured") == 1


def test_what_changed_since_it_was_read_is_not_saved(cast):
    note(cast)
    seen = fingerprint(cast)
    note(cast, LOW, Taken("measured", "7 in"))
    assert finish(cast, seen) == Refused(("measure.changed_since_read",))
    seen = fingerprint(cast)
    save_sheet(
        cast.database, site_id=cast.site, by=cast.tom, sheet=demo_sheet(), text=demo_text(), now=MONDAY
    )
    assert finish(cast, seen) == Refused(("measure.changed_since_read",))
    assert set(walk(cast)) == {WIDTH, LOW}


def test_a_walk_of_skips_alone_has_nothing_to_save(cast):
    note(cast, taken=Taken("skipped"))
    assert finish(cast) == Refused(("measure.nothing",))


def test_a_walk_can_be_thrown_away_and_the_next_begins_empty(cast):
    note(cast)
    assert drop_walk(cast.database, site_id=cast.site, by=cast.tom, now=MONDAY) == 1
    assert drop_walk(cast.database, site_id=cast.site, by=cast.tom, now=MONDAY) == 0
    assert walk(cast) == {}
    assert kinds(cast).count("sheet.walk_dropped") == 1


def test_two_walks_after_one_another_keep_their_own_numbers(cast):
    note(cast)
    finish(cast)
    note(cast, taken=Taken("measured", "12 ft"))
    assert finish(cast) == 3
    with cast.database.reading() as db:
        rows = db.execute(
            select(Measurement.sheet_version, Measurement.written).order_by(Measurement.id)
        ).all()
        assert queries.last_measured(db, cast.site)[WIDTH].written == "12 ft"
    assert [tuple(row) for row in rows] == [(2, "11 ft 10 1/2 in"), (3, "12 ft")]


class OneFile:
    """A bank as far as an audit's keeping needs it."""

    def question(self, id_):
        return type("Question", (), {"fingerprint": f"print of {id_}"})


def test_an_audit_takes_the_place_of_an_earlier_one(cast):
    for findings in (("Too near.",), ()):
        audits = [
            Audit("a.b", True, 1, 0.0, "", 9.0, findings),
            Audit("a.c", True, 1, 0.0, "", 9.0, ("No draw.",)),
        ]
        keep_check(cast.database, site_id=cast.site, version=1, bank=OneFile(), audits=audits, now=MONDAY)
    with cast.database.reading() as db:
        checked = queries.sheet_check(db, cast.site, 1)
        assert queries.sheet_check(db, cast.site, 2) is None
    assert dict(checked.findings) == {"a.c": ("No draw.",)}
    assert dict(checked.fingerprints) == {"a.c": "print of a.c"}
    assert (checked.questions, checked.checked_at) == (2, MONDAY)
