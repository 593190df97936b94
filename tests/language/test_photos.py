"""A photo in a question's file: named by its digest, said in both languages, told when it is not there."""

import pytest

from tests.language.make import SECRET, SITE, make_question, make_text
from tests.language.test_loading import faults_of, folder, write
from trainer.documents import DocumentError
from trainer.language.auditing import audit
from trainer.language.draws import draw
from trainer.language.loading import load_question, missing_photos
from trainer.language.questions import words_of
from trainer.language.rendering import show

__all__ = ["folder"]
SHA256 = "0f" * 32
SAID = f"photo: {{sha256: {SHA256}, en: The arch <b> & its eye., es: El arco y su ojo.}}\n"


def with_photo(photo=SAID):
    return make_text() + photo


def faults(photo):
    with pytest.raises(DocumentError) as refused:
        load_question(with_photo(photo), "made.yaml")
    return [str(fault) for fault in refused.value.faults]


def test_it_is_shown_by_its_digest_with_words_that_are_no_html():
    instance = draw(load_question(with_photo(), "made.yaml"), SITE, SECRET, "kept|0")
    photo = show(instance, "en").photo
    assert (photo.sha256, photo.shows) == (SHA256, "The arch <b> & its eye.")
    assert show(instance, "es").photo.shows == "El arco y su ojo."
    assert show(draw(make_question(), SITE, SECRET, "kept|0"), "en").photo is None


def test_its_words_may_hold_the_question_s_numbers():
    said = SAID.replace("The arch <b> & its eye.", "'A car of {{ pulses }}.'")
    said = said.replace("El arco y su ojo.", "'Un carro de {{ pulses }}.'")
    instance = draw(load_question(with_photo(said), "made.yaml"), SITE, SECRET, "kept|0")
    assert show(instance, "en").photo.shows == "A car of 182."
    [fault] = faults(said.replace("{{ pulses }}.'}", "algo.'}"))
    assert "The Spanish text lacks" in fault


def test_another_photo_is_another_question():
    one, other = (load_question(with_photo(SAID.replace("0f", two)), "made.yaml") for two in ("0f", "1f"))
    assert one.fingerprint != other.fingerprint
    assert one.photo.shows in list(words_of(one))


@pytest.mark.parametrize("missing", ["en", "es"])
def test_a_photo_without_words_can_be_looked_at_and_never_passes_the_audit(missing):
    words = {"en": "The arch.", "es": "El arco."}
    del words[missing]
    said = f"photo: {{sha256: {SHA256}, {', '.join(f'{key}: {text}' for key, text in words.items())}}}\n"
    question = load_question(with_photo(said), "made.yaml")
    [finding] = audit(question, SITE).findings
    assert finding == f"The photo has no words ({missing}). Say what it shows, for whoever cannot see it."
    assert audit(load_question(with_photo(), "made.yaml"), SITE).findings == ()


def test_a_photo_alone_without_any_words_is_read():
    question = load_question(with_photo(f"photo: {{sha256: {SHA256}}}\n"), "made.yaml")
    assert len(audit(question, SITE).findings) == 2
    assert show(draw(question, SITE, SECRET, "kept|0"), "en").photo.shows == ""


@pytest.mark.parametrize("name", ["arch.jpg", SHA256[:-1], SHA256.upper(), f"'../{SHA256}'", "''", "[]"])
def test_it_is_named_by_its_digest_alone(name):
    [fault] = faults(f"photo: {{sha256: {name}, en: The arch., es: El arco.}}\n")
    assert fault.startswith("made.yaml:24:17:")


def test_a_question_has_one_picture():
    [fault] = faults(f"{SAID}figure: {{name: blocked_length, with: {{length: length}}}}\n")
    assert "one picture" in fault


def test_a_photo_that_is_not_there_is_told_with_its_place():
    question = load_question(with_photo(), "made.yaml")
    [fault] = missing_photos(question, ["1f" * 32])
    assert str(fault).startswith(f"made.yaml:24:17: I read `{SHA256}`. There is no such photo.")
    assert list(missing_photos(question, [SHA256])) == []
    assert list(missing_photos(make_question(), [])) == []


def test_a_built_in_question_has_no_photo(folder):
    write(folder, "made", with_photo())
    [fault] = faults_of(folder)
    assert "There is no such photo." in str(fault)
