"""Writing a site's own questions over the pages: copies, buttons, stale saves, files, and who may take which step."""

import io
import re

import pytest

from tests.acts.test_questions import NAME, TEXT
from tests.web.certifying import hidden, words
from trainer.language.loading import content_folder
from trainer.language.source import fingerprint
from trainer.records.queries import questions as queries

BEGIN = "/questions/need/measuring.length_from_pulses"
WRITE = f"/questions/write/{NAME}"
READ = f"/questions/read/{NAME}"
SITUATION = "The van blocks the eye for 270 pulses at 12 pulses per foot. How long is it?"


@pytest.fixture
def tom(stage):
    return stage.visitor(stage.cast.tom)


def kept(stage):
    with stage.cast.database.reading() as db:
        return queries.own_question(db, stage.cast.site, NAME)


def begin(tom, **more):
    return tom.send(BEGIN, **{"name": "Long van", "situation": SITUATION, "kind": "number", **more})


def with_file(tom, text=TEXT, seen=None):
    return tom.send(f"{WRITE}/file", text=text, seen=seen or hidden(tom.get(f"{WRITE}/file"), "seen"))


def test_begins_with_a_situation_in_the_reader_s_words_and_finds_the_numbers_in_it(stage, tom):
    assert begin(tom).location == WRITE
    page = tom.get(WRITE)
    assert "270 pulses" in page.text
    assert "pulses the conveyor gives for each foot of travel" in words(page)
    assert 'value="pulses_per_foot" selected' in page.text  # the site's own number is offered first
    taken = tom.send(WRITE, take="yes", spot0="drawn", spot1="pulses_per_foot", **{"ask-en": SITUATION})
    assert "for {{ pulses }} at {{ pulses_per_foot }}." in taken.text
    assert kept(stage).newest.text.count("270") == 1  # a look changes nothing that is kept


def test_a_name_that_is_taken_is_refused_and_the_words_stay(tom):
    begin(tom)
    again = begin(tom, situation="Something else happened.")
    assert again.status_code == 422
    assert "There is a question of this name already" in words(again)
    assert "Something else happened." in again.text


def test_a_copy_is_the_built_in_file_under_its_own_name(stage, tom):
    begin(tom, copy="measuring.length_from_pulses")
    built_in = (content_folder() / "questions/measuring/length_from_pulses.yaml").read_text("utf-8")
    lines = zip(built_in.split("\n"), kept(stage).newest.text.split("\n"), strict=True)
    different = [new for old, new in lines if old != new]
    assert f"id: {NAME}" in different
    assert all(line.startswith(("id:", "version:")) for line in different)
    assert "The check finds nothing against it." in words(tom.get(WRITE))


def test_the_file_and_the_fields_are_the_same_text_and_comments_stay(stage, tom):
    begin(tom)
    commented = TEXT.replace("level: 1\n", "level: 1  # they learn this on day two\n")
    assert with_file(tom, commented).status_code == 303
    page = tom.get(WRITE)
    assert "The check finds nothing against it." in words(page)
    fields = {
        "ask-en": "The van of the florist is long: {{ pulses }} pulses at {{ pulses_per_foot }}. How long?"
    }
    sent = tom.send(WRITE, go="save", seen=hidden(page, "seen"), **filled(page), **fields)
    assert sent.status_code == 303
    text = kept(stage).newest.text
    assert "# they learn this on day two" in text
    assert "florist" in text
    changed = [
        line
        for line in text.split("\n")
        if line not in commented.split("\n") and not line.startswith("version")
    ]
    assert len(changed) == 1


def filled(page):
    """What the browser would send of a page's fields."""
    names = dict(
        re.findall(r'<input[^>]*name="((?:n\d|s\d|value|unit|within|kind)[^"]*)" value="([^"]*)"', page.text)
    )
    areas = {
        name: text.replace("&#39;", "'").replace("&#34;", '"')
        for name, text in re.findall(
            r'<textarea[^>]*name="([^"]+)"[^>]*>(.*?)</textarea>', page.text, re.DOTALL
        )
    }
    areas.pop("ask-en")
    return {**names, **areas, "level": "1"}


def test_a_save_over_somebody_else_s_save_is_refused_and_the_text_stays(stage, tom):
    begin(tom)
    stale = hidden(tom.get(f"{WRITE}/file"), "seen")
    with_file(tom)
    late = with_file(tom, TEXT.replace("bakery", "florist"), seen=stale)
    assert late.status_code == 422
    assert "Somebody else has saved this question" in words(late)
    assert "florist" in late.text
    assert hidden(late, "seen") == stale  # pressing once more overwrites nothing either
    looked = tom.send(WRITE, go="look", seen=stale, **{"ask-en": "A look in between."})
    assert hidden(looked, "seen") == stale
    assert kept(stage).newest.fingerprint == fingerprint(TEXT)


@pytest.mark.parametrize("text", ["id: [", "- a\n- b\n", "", "id: x\nid: y\n"])
def test_a_file_that_is_no_question_is_kept_and_its_faults_are_named(stage, tom, text):
    begin(tom)
    answer = with_file(tom, text)
    page = tom.get(f"{WRITE}/file")
    assert page.status_code == 200
    assert answer.status_code == 303
    assert "mended before it can be used" in words(page)
    assert tom.get(READ).status_code == 200
    assert tom.get(WRITE).status_code in (200, 303)


def test_an_uploaded_file_takes_the_place_of_the_text(stage, tom):
    begin(tom)
    seen = hidden(tom.get(f"{WRITE}/file"), "seen")
    tom.post(
        f"{WRITE}/file",
        data={
            "csrf_token": tom.token(), "seen": seen, "text": "",
            "upload": (io.BytesIO(TEXT.replace("\n", "\r\n").encode()), "own.yaml"),
        },
    )  # fmt: skip
    assert kept(stage).newest.text == TEXT
    assert tom.get(f"{READ}/question.yaml").text == TEXT


def test_only_what_the_check_lets_through_is_given_on_and_nobody_reviews_their_own(stage, tom):
    begin(tom)
    with_file(tom, TEXT.replace("within: 1 in", "within: 900 ft"))
    refused = tom.send(READ, go="submitted", checked=hidden(tom.get(READ), "checked"))
    assert refused.status_code == 422
    assert "It has to be mended first" in words(refused)
    with_file(tom)
    tom.send(READ, go="submitted", checked=hidden(tom.get(READ), "checked"))
    own = tom.send(READ, go="reviewed", checked=fingerprint(TEXT))
    assert "Somebody who did not write on it has to read it." in words(own)
    mia = stage.visitor(stage.cast.mia)
    without_reason = mia.send(READ, go="returned", checked=fingerprint(TEXT))
    assert "Say why" in words(without_reason)
    mia.send(READ, go="returned", note="Which van?", checked=fingerprint(TEXT))
    assert "Which van?" in words(tom.get(READ))
    assert kept(stage).state == "draft"


def test_the_look_says_what_a_page_would_and_keeps_nothing(stage, tom):
    begin(tom)
    with_file(tom)
    page = tom.get(WRITE)
    looked = tom.send(
        f"{WRITE}/look", **filled(page), **{"ask-en": "{{ pulses }} at {{ pulses_per_foot }}: how long?"}
    )
    assert "The check finds nothing against it." in words(looked)
    assert looked.text.count('class="draw"') == 3
    assert kept(stage).newest.fingerprint == fingerprint(TEXT)


def test_in_spanish_the_audit_is_told_in_spanish(stage, tom):
    begin(tom)
    with_file(tom)
    tom.send("/preferences", language="es", system="metric")
    page = words(tom.get(READ))
    assert "La revisión no encuentra nada en contra." in page
    assert "La van de la panadería" in page


def test_another_site_s_trainer_finds_nothing(stage, tom):
    begin(tom)
    assert stage.visitor(stage.cast.otto).get(READ).status_code in (403, 404)
