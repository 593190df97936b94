"""How hard a text reads: published examples of the formulas, and what is left out of a page."""

import pytest

from trainer.language.lesson_checks import check_lesson
from trainer.language.lessons import load_lessons
from trainer.language.reading_level import HARDEST_GRADE, LEAST_EASE, Reading, count, ease, grade, level


def test_the_platypus_has_the_published_grade():
    """From memory: Wikipedia, “Flesch–Kincaid readability tests”, 13 words and 24 syllables: grade 11.3."""
    assert round(grade(Reading(sentences=1, words=13, numbers=0, syllables=24)), 1) == 11.3


def test_a_childrens_book_has_the_published_grade():
    """Movingowee, 2007-06, quoting Wikipedia: Green Eggs and Ham, 5.7 words a sentence, 1.02 syllables a word: -1.3."""
    assert round(grade(Reading(sentences=1000, words=5700, numbers=0, syllables=5814)), 1) == -1.3


def test_a_spanish_sentence_counted_by_hand():
    """Formula of Szigriszt-Pazos; counted by hand: el o-jo ve un ca-rro, la luz se va."""
    read = count("El ojo ve un carro. La luz se va.", "es")
    assert (read.sentences, read.words, read.syllables) == (2, 9, 11)
    assert ease(read) == pytest.approx(206.835 - 62.3 * 11 / 9 - 4.5)


def test_a_number_is_one_word_and_no_syllable():
    read = count("The bay is 14.5 wide by 29 CFR 1910.147(b)(2), they say to us.", "en")
    assert (read.words, read.numbers) == (11, 4)
    assert read.length == 15


def test_arithmetic_is_no_sentence():
    assert count("0 ÷ 0 = 0. 12 × 3 ft = 36 ft.\n\nYou divide.", "en").sentences == 1


def test_points_inside_numbers_end_no_sentence():
    assert count("It takes 0.5 of it. “Stop.” Then go on.", "en").sentences == 3


PAGE = """\
---
id: parts.made
topic: parts
title: Made
skills: [parts.identify]
minutes: 1
purpose: Made.
---
{text}

- [ ] Look.
"""


@pytest.fixture
def page(tmp_path):
    """Makes a page of a text in English."""

    def made(text):
        for language in ("en", "es"):
            (tmp_path / language).mkdir(exist_ok=True)
            path = tmp_path / language / "parts.made.md"
            path.write_text(PAGE.format(text=text), encoding="utf-8")
        return load_lessons(tmp_path).by_id["parts.made"]

    return made


def test_headings_and_tables_are_left_out(page):
    plain = page("You look at it. You go.")
    heavy = page(
        "## Responsibilities of intercontinental organizations\n\n"
        "You look at it. You go.\n\n"
        "| Responsibilities | of organizations |\n| --- | --- |\n| everything | considered |\n"
    )
    assert level(heavy.pages["en"], "en") == level(plain.pages["en"], "en")


def test_items_of_a_list_are_sentences_of_their_own(page):
    joined = page("You see a lamp that is on, and a plug that is wet, and a lens that is full of dirt.")
    listed = page("You see:\n\n- a lamp that is on\n- a plug that is wet\n- a lens that is full of dirt")
    assert level(listed.pages["en"], "en") < level(joined.pages["en"], "en")


def test_a_hard_text_is_a_finding_in_both_languages(page):
    hard = (
        "Notwithstanding considerations regarding organizational responsibilities, "
        "intermediary authorities communicate characteristically complicated interpretations."
    )
    found = [one for one in check_lesson(page(hard)) if "reads" in one]
    assert len(found) == 2 and "grade" in found[0] and "Szigriszt-Pazos" in found[1]


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_built_in_lessons_read_easily(language):
    for lesson in load_lessons().by_id.values():
        read = level(lesson.pages[language], language)
        assert read <= HARDEST_GRADE if language == "en" else read >= LEAST_EASE, (lesson.id, read)
