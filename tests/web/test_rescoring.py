"""Pages of scoring again: whom a newer key touches, who decides, and what the person is told in their language."""

import pytest

from tests.acts.certified import Way, new_id
from tests.acts.mended import BAD, GOOD, NAME, REWORDED, WHY
from tests.cast import PASSWORD
from tests.web.certifying import hidden, words
from tests.web.mended_house import make_mended_house, on_time
from trainer.acts import standing
from trainer.records.queries import certifying

TOUCHED = f"/questions/{NAME}/touched"
RESCORE = f"/questions/{NAME}/rescore"


@pytest.fixture
def mended(tmp_path):
    made, wash = make_mended_house(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    wash.put_into_use(BAD)
    yield made, wash
    made.cast.database.dispose()


def page(mended, who, address):
    made, wash = mended
    return on_time(made, wash).client(getattr(made.cast, who)).get(address)


def send(mended, who, address, **fields):
    made, wash = mended
    return on_time(made, wash).client(getattr(made.cast, who)).post(address, data=fields)


def rescore(mended, who, how="newer", **more):
    before = page(mended, who, TOUCHED)
    sent = {name: hidden(before, name) for name in ("form_id", "newer")}
    return send(mended, who, RESCORE, how=how, **{**sent, "reason": WHY, "password": PASSWORD, **more})


def test_nobody_is_touched_before_there_is_a_newer_key(mended):
    mended[1].sit("ana")
    told = words(page(mended, "mia", TOUCHED))
    assert "Nobody is touched." in told and "Your password" not in told


def test_the_list_says_whom_it_touches_and_what_would_become_of_them(mended):
    wash = mended[1]
    wash.sit("ana")
    wash.sit("rosa", 3)
    wash.put_into_use(GOOD, 2)
    told = words(page(mended, "tom", TOUCHED))
    assert "Ana Ruiz" in told and "✗ wrong → ✓ right" in told
    assert "5 of 6 right, not passed → 6 of 6 right, passed" in told
    assert "6 of 6 right, passed → 5 of 6 right, passed. By this key it would not be passed." in told
    assert "Score 2 exams again by the newer key" in told
    # Whoever sat one is told that somebody else decides about theirs.
    own = words(page(mended, "rosa", TOUCHED))
    assert "Your own exam is among them." in own and "Score 1 exam again by the newer key" in own


@pytest.mark.parametrize("who", ["ana", "lee"])
def test_learners_and_administrators_see_none_of_it(mended, who):
    mended[1].sit("ana")
    mended[1].put_into_use(GOOD, 2)
    assert page(mended, who, TOUCHED).status_code == 403
    assert send(mended, who, RESCORE, how="newer").status_code == 403
    assert page(mended, "otto", TOUCHED).status_code == 404


def test_a_form_that_lacks_something_stays_and_says_what(mended):
    mended[1].sit("ana")
    mended[1].put_into_use(GOOD, 2)
    without = rescore(mended, "mia", reason="")
    assert without.status_code == 422 and "Everybody whose exam changes reads it." in words(without)
    assert rescore(mended, "mia", password="").status_code == 422
    wrong = rescore(mended, "mia", password="not mine", reason="A yard is no foot.")
    assert wrong.status_code == 422 and "A yard is no foot." in words(wrong)
    assert rescore(mended, "mia", newer="0" * 64).status_code == 422
    assert "5 of 6 right, not passed" in words(page(mended, "mia", TOUCHED))


def test_the_person_is_told_in_their_language_until_they_have_read_it(mended):
    wash = mended[1]
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    assert rescore(mended, "mia").status_code == 303
    after = words(page(mended, "mia", TOUCHED))
    assert "Nobody is touched." in after and "Mia Okafor scored 1 exam again: " + WHY in after
    today = words(page(mended, "ana", "/today"))
    assert "se calificó otra vez" in today
    assert "Antes: 5 de 6 correctas, no aprobado. Ahora: 6 de 6 correctas, aprobado." in today
    result = page(mended, "ana", f"/exams/{exam}/result")
    told = words(result)
    assert WHY in told and "Tu respuesta se había dado por incorrecta, y era correcta." in told
    assert "6 de 6 correctas" in told and "Este examen vale hasta" in told
    assert "→" not in told and NAME not in told  # neither key nor question is said
    assert "calificó otra vez" not in words(page(mended, "mia", "/today"))
    assert send(mended, "tom", f"/exams/{exam}/rescored").status_code == 404
    assert send(mended, "ana", f"/exams/{exam}/rescored").status_code == 303
    assert "se calificó otra vez" not in words(page(mended, "ana", "/today"))
    stays = words(page(mended, "ana", f"/exams/{exam}/result"))
    assert WHY in stays and "Ya lo leí" not in stays


def test_a_pass_that_stays_is_put_before_the_manager(mended):
    made, wash = mended
    exam = wash.sit("ana", 3)
    way = Way(made.cast, wash.now)
    assert isinstance(way.practical(), str) and isinstance(way.decide(), str)
    wash.now = way.now
    wash.put_into_use(GOOD, 2)
    told = words(page(mended, "mia", TOUCHED))
    assert "Main control cabinet: Active" in told
    assert rescore(mended, "tom").status_code == 303
    due = words(page(mended, "mia", "/cabinets"))
    assert "the certificate rests on a pass that a corrected key would not give" in due
    told = words(page(mended, "ana", f"/exams/{exam}/result"))
    assert "Sigues aprobado" in told and "pide otra revisión" in told
    assert "Examen calificado otra vez: aprobado, pero no con la clave nueva" in words(
        page(mended, "ana", "/appeals")
    )
    with made.cast.database.reading() as db:
        [held] = certifying.certificates_of(db, made.cast.ana)
    asked = standing.Asked(new_id(), held.public_id, "To be observed again.")
    assert isinstance(standing.suspend(made.cast.database, asked, by=made.cast.mia, now=wash.tick()), str)
    assert "a corrected key would not give" not in words(page(mended, "mia", "/cabinets"))


def test_what_cannot_be_compared_is_counted_right_or_left(mended):
    wash = mended[1]
    wash.sit("ana")
    wash.put_into_use(REWORDED, 2)
    told = words(page(mended, "mia", TOUCHED))
    assert "These answers cannot be compared" in told and "Count it right in 1 exam" in told
    assert "again by the newer key" not in told
    assert rescore(mended, "mia", how="right").status_code == 303
    assert "6 de 6" in words(page(mended, "ana", "/today"))


def test_publishing_a_newer_version_leads_to_whom_it_touches(mended):
    wash = mended[1]
    wash.sit("ana")
    wash.put_into_use(GOOD, 2, trial=True)
    read = f"/questions/read/{NAME}"
    checked = hidden(page(mended, "mia", read), "checked")
    done = send(mended, "mia", read, go="published", checked=checked)
    assert (done.status_code, done.location) == (303, TOUCHED)
    assert "Whom a newer key touches" in words(page(mended, "mia", read))
