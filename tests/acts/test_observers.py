"""Qualifying observers, second observers, looks at two who differ, and pictures, on both databases."""

import hashlib
from base64 import b64decode
from dataclasses import replace
from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image
from sqlalchemy import select

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, Way, new_id
from tests.cast import MONDAY, make_cast, make_person
from trainer.access.refusal import Refused
from trainer.acts import observers as acts
from trainer.acts.pictures import add_picture
from trainer.certificates.permission import practical_missing, waiting_for
from trainer.certificates.picture import LARGEST_KEPT, LONG_SIDE
from trainer.records.queries import agreement as sampled
from trainer.records.queries import certifying
from trainer.records.queries import practicals as queries
from trainer.records.tables import LogEntry, ObserverQualification, PracticalPicture, PracticalSecond

NOT_MET = {**ALL_MET, CRITICAL: "not_met"}


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


def evidence(way):
    with way.cast.database.reading() as db:
        return certifying.evidence_of(db, way.cast.ana, way.cast.main_cabinet, CABINET.id)


def logged(way):
    with way.cast.database.reading() as db:
        return list(db.scalars(select(LogEntry.kind).order_by(LogEntry.seq)))


def rows(way, table):
    with way.cast.database.reading() as db:
        found = list(db.scalars(select(table)))
        db.expunge_all()
        return found


def qualify(way, person, **how):
    usual = {"grounds": "Nine years at the tunnel.", "until": way.now + timedelta(days=300)}
    asked = acts.Qualified(new_id(), person, way.cast.conveyor, **{**usual, **how})
    return asked, acts.qualify(way.cast.database, asked, by=way.cast.mia, now=way.tick())


def end(way, qualification, **how):
    usual = {"by": way.cast.mia, "reason": "Moved to the office."}
    return acts.end_qualification(
        way.cast.database, qualification=qualification, now=way.tick(), **{**usual, **how}
    )


def look(way, practical, **how):
    asked = acts.LookedAt(new_id(), practical, **{"counts": True, "reason": "Spoke to both.", **how})
    return asked, acts.look(way.cast.database, asked, by=way.cast.mia, now=way.tick())


def test_only_who_is_qualified_signs_and_only_until_it_ends(way):
    tom = rows(way, ObserverQualification)
    held = next(
        one.public_id for one in tom if one.person_id == way.cast.tom and one.machine_id == way.cast.conveyor
    )
    assert isinstance(way.practical(), str)
    assert end(way, held) == held
    assert way.practical() == Refused(("observer.ended",))
    assert end(way, held, reason="Again.") == held
    assert logged(way).count("observer.ended") == 1
    _, again = qualify(way, way.cast.tom)
    assert isinstance(again, str)
    assert isinstance(way.practical(), str)
    way.now += timedelta(days=301)
    assert way.practical() == Refused(("observer.lapsed",))


def test_who_was_never_qualified_does_not_sign(way):
    newcomer = make_person(way.cast.database, way.cast.site, "Ray Holt", "trainer")
    assert way.practical(by=newcomer) == Refused(("observer.not_qualified",))
    assert way.practical(machine=way.cast.other_machine).reasons == ("site.other",)


def test_qualifying_twice_with_one_form_is_one_act(way):
    asked, first = qualify(way, way.cast.tom)
    again = acts.qualify(way.cast.database, asked, by=way.cast.mia, now=way.tick())
    assert first == again
    assert logged(way).count("observer.qualified") == 1
    other = acts.qualify(
        way.cast.database, replace(asked, person_id=way.cast.rosa), by=way.cast.mia, now=way.tick()
    )
    assert other == Refused(("form.used",))


def test_what_cannot_be_qualified(way):
    for how, reason in (
        ({"grounds": " "}, "qualification.no_grounds"),
        ({"grounds": "x" * 20_000}, "text.too_long"),
        ({"until": MONDAY}, "qualification.over"),
    ):
        assert reason in qualify(way, way.cast.tom, **how)[1].reasons


def test_nobody_qualifies_themself_or_somebody_elsewhere(way):
    assert qualify(way, way.cast.mia)[1] == Refused(("qualifier.is_person",))
    assert qualify(way, way.cast.otto)[1] == Refused(("site.other",))
    assert end(way, "none") == Refused(("site.other",))


def test_a_first_practical_asks_for_a_second_observer_who_agrees(way):
    way.exam()
    practical = way.practical()
    assert way.second() == practical
    with way.cast.database.reading() as db:
        beside = queries.beside(db, practical)
    assert beside.first.asks_second
    assert (beside.second.observer, beside.second.differs, beside.second.passed) == ("Rosa Lind", False, True)
    assert logged(way)[-1] == "practical.second_agrees"
    assert practical_missing(evidence(way)) == ()
    assert way.cast.rosa in evidence(way).other_hands


def test_two_who_differ_count_for_nothing_until_a_manager_has_looked(way):
    way.exam()
    practical = way.practical()
    way.second(marks=NOT_MET)
    assert practical_missing(evidence(way)) == ("practical.observers_differ",)
    assert waiting_for(evidence(way), way.now) == "look"
    assert "practical.observers_differ" in way.decide().reasons
    asked, done = look(way, practical)
    assert done == practical
    assert acts.look(way.cast.database, asked, by=way.cast.mia, now=way.tick()) == practical
    assert practical_missing(evidence(way)) == ()
    assert look(way, practical, counts=False)[1] == Refused(("look.already",))
    assert isinstance(way.decide(), str)


def test_a_manager_may_find_that_it_does_not_count(way):
    way.exam()
    practical = way.practical()
    way.second(marks=NOT_MET)
    look(way, practical, counts=False)
    assert practical_missing(evidence(way)) == ("practical.not_counted",)
    assert waiting_for(evidence(way), way.now) == "practical"
    assert logged(way)[-1] == "practical.does_not_count"


def test_who_is_no_second_observer(way):
    way.practical()
    for by, reason in (
        (way.cast.tom, "second.same"),
        (way.cast.ana, "observer.is_person"),
        (way.cast.lee, "observer.no_right"),
    ):
        assert reason in way.second(by=by).reasons
    assert rows(way, PracticalSecond) == []


def test_second_marks_come_once_in_time_and_after_the_first(way):
    assert way.second() == Refused(("second.no_first",))
    way.practical()
    form = new_id()
    assert way.second(public_id=form) == way.second(public_id=form)
    assert way.second(by=way.cast.mia) == Refused(("second.already",))
    assert len(rows(way, PracticalSecond)) == 1
    way.practical(machine=way.cast.dryer)
    way.now += timedelta(days=8)
    assert way.second(machine=way.cast.dryer) == Refused(("second.too_late",))
    with way.cast.database.reading() as db:
        assert [one.machine for one in sampled.without_second(db, way.cast.site, CABINET.id)] == ["Dryer"]


def test_who_looked_at_the_marks_is_no_second_observer_any_more(way):
    practical = way.practical()
    for _ in range(2):
        assert (
            acts.show_marks(way.cast.database, practical=practical, by=way.cast.rosa, now=way.tick())
            == practical
        )
    assert logged(way).count("practical.marks_shown") == 1
    assert way.second() == Refused(("second.has_seen",))
    with way.cast.database.reading() as db:
        assert sampled.shown_to(db, way.cast.rosa) == {practical}
    assert isinstance(way.second(by=way.cast.mia), str)


def test_a_practical_elsewhere_is_neither_shown_nor_looked_into(way):
    practical, by = way.practical(), way.cast.otto
    elsewhere = Refused(("site.other",))
    assert acts.show_marks(way.cast.database, practical=practical, by=by, now=way.tick()) == elsewhere
    asked = acts.LookedAt(new_id(), practical, True, "Heard of it.")
    assert acts.look(way.cast.database, asked, by=by, now=way.tick()) == elsewhere


def test_what_was_not_seen_and_remarked_is_kept(way):
    practical = way.practical(
        marks={**ALL_MET, CRITICAL: "not_seen"}, remarks={CRITICAL: "Stood behind the door.", "none": "x"},
        device_times={CRITICAL: "2026-03-02T15:15:00Z"}, filled_offline=True,
    )  # fmt: skip
    with way.cast.database.reading() as db:
        signed = certifying.practical(db, way.cast.site, practical)
    assert signed.marks[CRITICAL] == "not_seen"
    assert not signed.passed
    assert signed.remarks == {CRITICAL: "Stood behind the door."}
    assert signed.device_times == {CRITICAL: "2026-03-02T15:15:00Z"}
    assert signed.filled_offline


def photo(size, kind="JPEG", **more):
    written = BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(written, kind, **more)
    return written.getvalue()


def picture(way, practical, data, by=None):
    return add_picture(
        way.cast.database, practical=practical, data=data, by=by or way.cast.tom, now=way.tick()
    )


def test_a_picture_is_kept_small_and_without_its_metadata(way):
    exif = Image.Exif()
    exif[0x010F] = "Phone of somebody"  # the tag Make of Exif 2.3
    data = photo((3000, 2000), exif=exif)
    assert b"Phone of somebody" in data
    practical = way.practical()
    assert picture(way, practical, data) == picture(way, practical, data) == practical
    (kept,) = rows(way, PracticalPicture)
    small = b64decode(kept.jpeg)
    assert len(small) <= LARGEST_KEPT
    assert hashlib.sha256(small).hexdigest() == kept.sha256
    with Image.open(BytesIO(small)) as read:
        assert max(read.size) == LONG_SIDE
        assert dict(read.getexif()) == {}
    assert b"Phone of somebody" not in small
    assert logged(way).count("practical.pictured") == 1
    assert picture(way, practical, photo((50, 50), "PNG")) == Refused(("picture.already",))


def test_what_is_no_jpeg_or_png_is_refused(way):
    practical, cut = way.practical(), photo((60, 60))[:400]
    for data in (b"", b"<svg/>", b"\xff\xd8\xff rubbish", cut, photo((60, 60), "GIF")):
        assert picture(way, practical, data) == Refused(("picture.unreadable",))


def test_only_the_observer_pictures_and_only_soon(way):
    practical = way.practical()
    assert picture(way, practical, photo((50, 50)), way.cast.mia) == Refused(("picture.not_observer",))
    way.now += timedelta(days=8)
    assert picture(way, practical, photo((50, 50))) == Refused(("picture.too_late",))
