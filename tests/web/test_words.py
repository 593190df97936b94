import re
from collections import Counter
from importlib import import_module
from pkgutil import iter_modules

import pytest

from tests.web.messages import WEB, used_messages, written_messages
from trainer.acts import sentences
from trainer.acts.sentences import SENTENCES

PO = (WEB / "translations" / "es.po").read_text("utf-8")
GAP = re.compile(r"%\(\w+\)[sd]|\{\w+[^}]*\}")


def ids(entry):
    return entry.id if isinstance(entry.id, tuple) else (entry.id,)


def needed():
    return {one.message: one.place for one in used_messages()}


def test_every_message_of_the_pages_is_in_the_spanish_catalogue():
    written = {id_ for entry in written_messages() for id_ in ids(entry)}
    missing = [(place, message) for message, place in needed().items() if not set(message) <= written]
    assert missing == []


def test_the_catalogue_holds_nothing_that_no_page_says():
    used = {part for message in needed() for part in message}
    assert [entry.id for entry in written_messages() if not set(ids(entry)) <= used] == []


def test_every_entry_says_something_and_fills_the_same_gaps():
    for entry in written_messages():
        strings = entry.string if isinstance(entry.string, tuple) else (entry.string,)
        for said in strings:
            assert said.strip(), entry.id
            assert set(GAP.findall(said)) == set(GAP.findall(ids(entry)[-1])), entry.id


def test_no_message_stands_twice_in_the_file():
    counted = Counter(re.findall(r'^msgid "(.+)"$', PO, re.MULTILINE))
    assert [message for message, count in counted.items() if count > 1] == []


@pytest.mark.parametrize("key", sorted(SENTENCES))
def test_every_sentence_fills_the_same_gaps_in_both_languages(key):
    sentence = SENTENCES[key]
    assert sentence.en.strip()
    assert sentence.es.strip()
    assert Counter(GAP.findall(sentence.en)) == Counter(GAP.findall(sentence.es))


def test_no_key_of_a_sentence_is_written_in_two_files():
    files = [one.name for one in iter_modules(sentences.__path__) if one.name != "sentence"]
    parts = [import_module(f"{sentences.__name__}.{name}") for name in files]
    # A module that only reads the sentences names all of them.
    said = [getattr(part, "SENTENCES", SENTENCES) for part in parts]
    keys = [key for own in said if own is not SENTENCES for key in own]
    assert len(files) >= 6
    assert [key for key, count in Counter(keys).items() if count > 1] == []
