"""Photos of a site's own questions, on both databases: kept once a site, and dropped when no text names them."""

import hashlib
from base64 import b64decode
from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image
from sqlalchemy import select

from tests.acts.test_learning import cast
from tests.acts.test_questions import TEXT, begin, save, who
from tests.cast import MONDAY
from tests.certificates.test_picture import located, photo
from trainer.access.refusal import Refused
from trainer.acts.pictures import drop_photos, keep_photo
from trainer.records.backup import restore_backup, write_backup
from trainer.records.database import Database
from trainer.records.export import exported_tables
from trainer.records.queries import questions as queries
from trainer.records.tables import OwnQuestionPhoto

__all__ = ["cast"]
LATER = MONDAY + timedelta(hours=25)


def keep(cast, data, by="tom", now=MONDAY):
    return keep_photo(cast.database, member=who(cast, by), data=data, now=now)


def kept(cast, site=None):
    with cast.database.reading() as db:
        return queries.photos_at(db, site or cast.site)


def named(sha256):
    return f"{TEXT}photo: {{sha256: {sha256}, en: A van., es: Una van.}}\n"


def test_a_photo_is_kept_by_its_digest_small_and_without_its_place(cast):
    sha256 = keep(cast, photo((3000, 1500), exif=located()))
    with cast.database.reading() as db:
        small = b64decode(queries.photo_text(db, cast.site, sha256))
    assert hashlib.sha256(small).hexdigest() == sha256
    with Image.open(BytesIO(small)) as read:
        assert read.size == (1600, 800)
        assert dict(read.getexif()) == {}


def test_the_same_photo_is_kept_once_a_site_and_each_site_has_its_own(cast):
    one = keep(cast, photo())
    assert keep(cast, photo(exif=located())) == keep(cast, photo(), by="mia") == one
    assert kept(cast) == {one}
    assert kept(cast, cast.other_site) == set()
    assert keep(cast, photo(), by="otto") == one
    with cast.database.reading() as db:
        assert len(list(db.scalars(select(OwnQuestionPhoto)))) == 2
        assert queries.photo_text(db, cast.other_site, one) == queries.photo_text(db, cast.site, one)


@pytest.mark.parametrize(
    ("data", "why"), [(b"", "nothing"), (b"<svg/>", "other_kind"), (photo((900, 900))[:900], "broken")]
)
def test_what_is_no_picture_is_refused_and_nothing_is_kept(cast, data, why):
    assert keep(cast, data) == Refused((f"photo.{why}",))
    assert kept(cast) == set()


def test_a_photo_that_no_text_names_goes_after_a_day(cast):
    lone, used, then = (keep(cast, photo(colour=one)) for one in ("red", "green", "blue"))
    begin(cast, named(then))
    save(cast, named(used), named(then))
    assert drop_photos(cast.database, MONDAY + timedelta(hours=23)) == 0
    assert keep(cast, photo(colour="red"), now=MONDAY + timedelta(hours=2)) == lone
    assert drop_photos(cast.database, LATER) == 0  # it was brought again two hours later
    assert drop_photos(cast.database, LATER + timedelta(hours=2)) == 1
    # An earlier save of a version still reads as it did: its photo stays.
    assert kept(cast) == {used, then}
    assert drop_photos(cast.database, LATER + timedelta(days=400)) == 0


def test_a_text_of_another_site_keeps_no_photo(cast):
    sha256 = keep(cast, photo(), by="otto")
    begin(cast, named(sha256))
    assert drop_photos(cast.database, LATER) == 1
    assert kept(cast, cast.other_site) == set()


def test_it_goes_out_with_its_site_and_comes_back_from_a_backup(cast, tmp_path):
    sha256 = keep(cast, photo())
    keep(cast, photo(colour="blue"), by="otto")
    with cast.database.reading() as db:
        rows = dict(exported_tables(db, cast.site))["own_question_photo"]
    assert [row["sha256"] for row in rows] == [sha256]
    write_backup(cast.database, tmp_path / "copy")
    other = Database(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    restore_backup(other, tmp_path / "copy")
    with other.reading() as db:
        assert hashlib.sha256(b64decode(queries.photo_text(db, cast.site, sha256))).hexdigest() == sha256
    other.dispose()
