from contextlib import contextmanager
from datetime import timedelta

import pytest
from sqlalchemy import event

from tests.acts.certified import ALL_MET, CRITICAL, Way
from tests.cast import MONDAY, make_cast, make_person
from trainer.certificates.pass_rates import Judged
from trainer.certificates.permission import waiting_for
from trainer.records.queries import certifying as queries
from trainer.records.queries import examiners
from trainer.records.tables import Person


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


@contextmanager
def counted(database):
    """The statements that reach the database, beside the transaction's own."""
    said: list[str] = []

    def note(_connection, _cursor, statement, *_):
        said.append(statement)

    event.listen(database.engine, "before_cursor_execute", note)
    yield said
    event.remove(database.engine, "before_cursor_execute", note)
    said[:] = [one for one in said if one.startswith("SELECT")]


def evidence(way, cabinet=None):
    with way.cast.database.reading() as db:
        found = queries.cabinet_evidence(db, cabinet or way.cast.main_cabinet, "cabinet")
    return {one.person: one for one in found}


def test_evidence_of_a_cabinet_is_three_statements_however_many_people(way):
    for number in range(20):
        make_person(way.cast.database, way.cast.site, f"Person Number{number}", sign_in_name=f"n{number}",
                    public_id=f"n{number}")  # fmt: skip
    way.exam(), way.practical(), way.decide()
    with way.cast.database.reading() as db, counted(way.cast.database) as said:
        found = queries.cabinet_evidence(db, way.cast.main_cabinet, "cabinet")
    assert len(said) == 3
    assert len(found) == 25
    assert [one.person for one in found] == sorted(one.person for one in found)


def test_evidence_of_a_site_is_one_statement_while_nobody_holds_a_certificate(way):
    with way.cast.database.reading() as db, counted(way.cast.database) as said:
        found = queries.site_evidence(db, way.cast.site, "cabinet")
    assert len(said) == 1
    assert {one.cabinet for one in found} == {"Main cabinet", "Dryer cabinet"}
    assert "Otto Vance" not in {one.person for one in found}


def test_nobody_who_left_is_on_it_and_their_own_evidence_stays(way):
    with way.cast.database.writing() as db:
        db.get_one(Person, way.cast.ana).left_at = MONDAY
    assert "Ana Ruiz" not in evidence(way)
    with way.cast.database.reading() as db:
        assert queries.evidence_of(db, way.cast.ana, way.cast.main_cabinet, "cabinet").left_at == MONDAY


def test_nothing_on_record_is_none(way):
    ana = evidence(way)["Ana Ruiz"]
    assert (ana.exam_id, ana.practical_id, ana.decision_public_id, ana.pending_public_id) == (None,) * 4
    assert ana.trained_by == "Tom Becker"


def test_the_exam_that_counts_longest_counts(way):
    way.exam(valid_until=MONDAY + timedelta(days=300))
    way.exam(valid_until=MONDAY + timedelta(days=30))
    way.exam(passed=False)
    way.exam(scheme="basics", valid_until=MONDAY + timedelta(days=900))
    assert evidence(way)["Ana Ruiz"].exam_valid_until == MONDAY + timedelta(days=300)


def test_the_newest_practical_on_the_machine_counts(way):
    way.practical(), way.practical(machine=way.cast.dryer, marks={**ALL_MET, CRITICAL: "not_met"})
    assert evidence(way)["Ana Ruiz"].practical_passed is True
    assert evidence(way, way.cast.dryer_cabinet)["Ana Ruiz"].practical_passed is False
    way.practical(marks={**ALL_MET, CRITICAL: "not_met"})
    assert evidence(way)["Ana Ruiz"].practical_passed is False


def test_a_practical_elsewhere_is_seen_when_there_is_none_here(way):
    way.practical(machine=way.cast.dryer)
    ana = evidence(way)["Ana Ruiz"]
    assert ana.practical_machine_id == way.cast.dryer != ana.machine_id


def test_a_renewal_that_waits_stands_beside_what_it_renews(way):
    way.exam(), way.practical(), way.decide()
    first = evidence(way)["Ana Ruiz"]
    way.practical(by=way.cast.mia)
    waits = way.decide(overlap_reason="Tom is away.")
    ana = evidence(way)["Ana Ruiz"]
    assert ana.pending_public_id == waits
    assert (ana.pending_by, ana.pending_reason) == ("Mia Okafor", "Tom is away.")
    assert ana.certificate_public_id == first.certificate_public_id
    assert waiting_for(ana, way.now) == "second_approval"


def test_a_certificate_is_found_by_its_public_id(way):
    way.exam(), way.practical(), way.decide()
    public_id = evidence(way)["Ana Ruiz"].certificate_public_id
    with way.cast.database.reading() as db, counted(way.cast.database) as said:
        held = queries.certificate(db, public_id)
    assert len(said) == 2
    assert (held.person, held.cabinet, held.machine, held.decided_by) == (
        "Ana Ruiz",
        "Main cabinet",
        "Conveyor",
        "Mia Okafor",
    )
    assert held.expires_at.utcoffset() == timedelta(0)


def test_the_log_of_a_site_is_its_own(way):
    way.practical()
    with way.cast.database.reading() as db:
        assert [one.kind for one in queries.log_of_site(db, way.cast.site, None, 10)] == ["practical.passed"]
        assert queries.log_of_site(db, way.cast.other_site, None, 10) == []
        assert queries.log_of_site(db, way.cast.site, 1, 10) == []


def test_examiners_are_counted_by_name_each_in_one_statement(way):
    way.exam(), way.practical(), way.practical(by=way.cast.mia, marks={**ALL_MET, CRITICAL: "not_met"})
    way.practical(), way.decide(granted=False, reason="Once more.", by=way.cast.rosa)
    with way.cast.database.reading() as db, counted(way.cast.database) as said:
        practicals = examiners.practicals_judged(db, way.cast.site)
        decisions = examiners.decisions_judged(db, way.cast.site)
        assert examiners.practicals_judged(db, way.cast.other_site) == []
    assert len(said) == 3
    mia, tom, rosa = (way.cast.public_id(one) for one in (way.cast.mia, way.cast.tom, way.cast.rosa))
    assert practicals == [Judged(mia, "Mia Okafor", 0, 1), Judged(tom, "Tom Becker", 2, 2)]
    assert decisions == [Judged(rosa, "Rosa Lind", 0, 1)]
