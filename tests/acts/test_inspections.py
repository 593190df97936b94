"""Yearly inspections of a procedure and threats to impartiality, on both databases."""

import json
from datetime import date, timedelta

import pytest

from tests.acts.certified import Way, new_id
from tests.cast import make_cast
from trainer.access.refusal import Refused
from trainer.acts.impartiality import ThreatWritten, write_threat
from trainer.acts.inspections import Inspected, record_inspection
from trainer.records import log
from trainer.records.queries import certifying
from trainer.records.queries import registers as queries

TODAY = date(2026, 3, 2)
DAY = timedelta(days=1)


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


def entries(way):
    with way.cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        return [
            json.loads(one.record) for one in reversed(certifying.log_of_site(db, way.cast.site, None, 100))
        ]


def certified(way, person):
    way.exam(person), way.practical(person), way.decide(person)


def inspect(way, *, by=None, inspector=None, included=None, used=None, public_id=None, machine=None, **more):
    cast = way.cast
    inspected = Inspected(
        public_id or new_id(), machine or cast.conveyor, more.pop("on", TODAY), inspector or cast.rosa,
        frozenset(included or {cast.ana, cast.tom}), frozenset(used or {cast.ana}), **more,
    )  # fmt: skip
    return record_inspection(cast.database, inspected, scheme="cabinet", by=by or cast.mia, now=way.tick())


def test_the_four_facts_of_an_inspection_are_kept(way):
    # 29 CFR 1910.147(c)(6)(ii): the machine, the date, the employees included, the inspector.
    certified(way, way.cast.rosa)
    assert not isinstance(inspect(way, deviations="The lock box key hung outside; mended."), Refused)
    with way.cast.database.reading() as db:
        [said] = queries.inspections(db, way.cast.site)
    assert (said.machine, said.inspected_on, said.inspector) == ("Conveyor", TODAY, "Rosa Lind")
    assert said.people == (("Ana Ruiz", True), ("Tom Becker", False))
    facts = entries(way)[-1]["facts"]
    assert facts["inspector"] == way.cast.public_id(way.cast.rosa)
    assert facts["included"] == [way.cast.public_id(one) for one in (way.cast.ana, way.cast.tom)]
    assert "lock box" not in json.dumps(facts)


def test_the_inspector_is_authorized_and_did_not_use_it(way):
    assert inspect(way) == Refused(("inspection.inspector_not_authorized",))
    certified(way, way.cast.rosa)
    used = {way.cast.ana, way.cast.rosa}
    assert inspect(way, included=used, used=used) == Refused(("inspection.inspector_used",))
    assert inspect(way, included={way.cast.otto}, used={way.cast.otto}) == Refused(("site.other",))
    assert inspect(way, machine=way.cast.other_machine) == Refused(("site.other",))
    assert inspect(way, by=way.cast.ana) == Refused(("inspection.no_right",))
    assert inspect(way, on=TODAY + DAY) == Refused(("inspection.future",))


def test_the_same_form_twice_is_one_inspection(way):
    certified(way, way.cast.rosa)
    once = new_id()
    assert inspect(way, public_id=once) == once == inspect(way, public_id=once)
    assert inspect(way, public_id=once, by=way.cast.tom) == Refused(("form.used",))
    with way.cast.database.reading() as db:
        assert len(queries.inspections(db, way.cast.site)) == 1


def test_the_last_inspection_of_each_machine_is_told(way):
    certified(way, way.cast.rosa)
    inspect(way, on=TODAY - 40 * DAY), inspect(way, on=TODAY - 10 * DAY)
    with way.cast.database.reading() as db:
        told = {one.machine: one.last for one in queries.last_inspections(db, way.cast.site)}
    assert told == {"Conveyor": TODAY - 10 * DAY, "Dryer": None}


def write(way, *, by=None, public_id=None, threat_id=None, owner=None, **more):
    public_id = public_id or new_id()
    facts = {
        "threat": "A bonus for every pass.",
        "treatment": "Paid by cars washed.",
        "review_on": TODAY + 90 * DAY,
    }
    written = ThreatWritten(
        public_id, threat_id or public_id, owner_id=owner or way.cast.rosa, **{**facts, **more}
    )
    return write_threat(way.cast.database, written, by=by or way.cast.mia, now=way.tick())


def test_a_threat_is_written_reviewed_and_closed_and_every_state_stays(way):
    threat = write(way)
    assert write(way, threat_id=threat, treatment="Looked at; still so.") == threat
    with way.cast.database.reading() as db:
        [newest] = queries.threats(db, way.cast.site)
    assert (newest.treatment, newest.owner, newest.closed) == ("Looked at; still so.", "Rosa Lind", False)
    write(way, threat_id=threat, closed=True, review_on=TODAY)
    with way.cast.database.reading() as db:
        [newest] = queries.threats(db, way.cast.site)
        assert [one.closed for one in queries.threat(db, way.cast.site, threat)] == [True, False, False]
    assert newest.closed
    assert [one["kind"] for one in entries(way)] == ["threat.written", "threat.reviewed", "threat.closed"]
    assert "bonus" not in json.dumps(entries(way))


def test_a_threat_is_of_its_site_and_its_manager(way):
    threat = write(way)
    assert write(way, by=way.cast.tom) == Refused(("threat.no_right",))
    assert write(way, by=way.cast.otto, threat_id=threat) == Refused(("site.other",))
    assert write(way, threat_id=new_id()) == Refused(("site.other",))
    assert write(way, owner=way.cast.otto) == Refused(("threat.no_owner",))
    once = new_id()
    assert write(way, public_id=once) == once == write(way, public_id=once)
    assert write(way, public_id=once, by=way.cast.rosa) == Refused(("form.used",))
