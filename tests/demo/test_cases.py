"""The demo's year as its record tells it, and that nothing in it was written past the acts."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.story.wash import demo_config
from trainer import demo
from trainer.certificates.states import standing
from trainer.records import log
from trainer.records.database import Database
from trainer.records.migrate import upgrade
from trainer.records.queries import agreement, appeals, certifying, people, registers
from trainer.web.open_house import open_house

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def db(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    config = demo_config(folder, f"sqlite:///{folder / 'demo.sqlite3'}")
    database = Database(config.database_url)
    upgrade(database)
    database.dispose()
    house = open_house(config, lambda: NOW)
    demo.build(house.database, config, demo.Content(house.bank, house.lessons, house.schemes), NOW)
    with house.database.reading() as reading:
        yield reading
    house.database.dispose()


def person(db, sign_in_name):
    return next(one for one in people.members(db, 1) if one.sign_in_name == sign_in_name)


def test_the_record_log_holds_and_its_clock_never_went_back(db):
    report = log.verify(db)
    assert (report.flaws, report.time_steps) == ((), ())
    assert report.entries > 0


def test_one_certificate_was_suspended_and_came_back_and_another_was_withdrawn(db):
    held = {one.cabinet: one for one in certifying.certificates_of(db, person(db, "pilar").id)}
    main, pumps = held["Main control cabinet"], held["Pump cabinet"]
    assert [one.kind for one in main.changes] == ["suspended", "lifted"]
    assert [one.kind for one in pumps.changes] == ["withdrawn"]
    assert [one.standing(NOW).state for one in (main, pumps)] == ["active", "withdrawn"]
    away = main.changes[0].at + timedelta(days=1)
    assert standing(main.effective_at, main.expires_at, main.changes[:1], away).state == "suspended"


def test_one_appeal_was_decided_by_somebody_without_a_hand_in_it_and_one_waits_in_time(db):
    waits, decided = appeals.appeals_of_site(db, 1)
    assert (waits.person, waits.state) == ("Omar Teller", "filed")
    assert NOW.date() <= waits.due.acknowledge
    assert (decided.person, decided.state, decided.outcome.outcome) == ("Pilar Voss", "decided", "not_upheld")
    assert decided.handler.by == decided.outcome.by == "Ivy Marlowe"


def test_two_observers_agree_at_the_pumps(db):
    said = [(one.kind, one.about) for one in certifying.log_of_site(db, 1, None, 400)]
    pilar = person(db, "pilar").public_id
    assert [one for one in said if one[0].startswith("practical.second")] == [
        ("practical.second_agrees", pilar)
    ]
    assert agreement.differing(db, 1, "cabinet") == []


def test_the_conveyor_was_inspected_this_year_and_the_pumps_never(db):
    last = {one.machine: one.last for one in registers.last_inspections(db, 1)}
    assert last["Spray arches and pumps"] is None
    assert timedelta(0) < NOW.date() - last["Conveyor and drive"] < timedelta(days=365)


def test_one_threat_stands_and_its_review_is_to_come(db):
    [one] = registers.threats(db, 1)
    assert (one.closed, one.review_on > NOW.date()) == (False, True)
