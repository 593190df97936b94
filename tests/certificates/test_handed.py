"""Files that somebody hands in: whatever they hold, they are read, refused or found not good; nothing breaks."""

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.acts.sentences import SENTENCES
from trainer.acts.sentences.reasons import say_reason
from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.handed import HandedError, check, read_handed, record_reasons
from trainer.certificates.keys import SigningKey
from trainer.certificates.status_list import FEWEST, PURPOSES, StatusEntry, status_list

KEY = bytes(range(32))
PUBLIC = public_key_of(KEY)
AT = datetime(2026, 3, 2, 15, tzinfo=UTC)
KEYS = [SigningKey(PUBLIC, AT)]
SIGNED = sign_credential(
    {
        "@context": ["https://www.w3.org/ns/credentials/v2"], "id": "urn:uuid:1", "type": ["VerifiableCredential"],
        "issuer": {"id": f"did:key:{PUBLIC}"}, "validFrom": "2026-03-02T15:00:00Z",
        "validUntil": "2027-03-02T15:00:00Z", "credentialSubject": {"id": "urn:uuid:2"},
        "credentialStatus": [StatusEntry(one, 7, f"https://wash.example/{one}").document() for one in PURPOSES],
    },
    KEY, AT,
)  # fmt: skip
JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
PATHS = [(name,) for name in SIGNED] + [("proof", name) for name in SIGNED["proof"]] + [
    ("credentialStatus", 0, name) for name in SIGNED["credentialStatus"][0]
]  # fmt: skip


def signed_list(purpose):
    made = status_list(purpose, set(), address="urn:x:y", public_key=PUBLIC, length=FEWEST, now=AT)
    return sign_credential(made, KEY, AT)


LISTS = [signed_list(one) for one in PURPOSES]


@given(st.binary(max_size=200) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_read_or_refused_with_a_sentence(raw):
    try:
        assert isinstance(read_handed(raw), dict)
    except HandedError as error:
        for language in ("en", "es"):
            assert SENTENCES[error.key].say(language, **error.facts)


@settings(max_examples=150)
@given(st.sampled_from(PATHS), JUNK, st.booleans())
def test_any_one_thing_put_in_place_of_another_is_never_good(path, junk, trusted):
    held = json.loads(json.dumps(SIGNED))
    inner = held
    for step in path[:-1]:
        inner = inner[step]
    if inner[path[-1]] == junk:
        return
    inner[path[-1]] = junk
    found = check(held, KEYS if trusted else None, AT, LISTS)
    assert not found.good
    assert all(say_reason(one, "es") for one in found.reasons)


@settings(max_examples=60)
@given(st.dictionaries(st.sampled_from(list(LISTS[0])), JUNK, max_size=4))
def test_any_list_that_is_not_the_site_s_is_not_believed(junk):
    strange = {**LISTS[0], **junk}
    if strange != LISTS[0]:
        assert "status.not_trusted" in check(SIGNED, KEYS, AT, [strange, *LISTS]).reasons


def test_the_untouched_one_is_good():
    assert check(SIGNED, KEYS, AT, LISTS).good
    assert check(SIGNED, None, AT).good
    assert not check(SIGNED, None, AT).status_checked


def test_a_mark_of_byte_order_before_the_text_does_no_harm():
    assert read_handed(b"\xef\xbb\xbf" + json.dumps(SIGNED).encode()) == SIGNED


@pytest.mark.parametrize(
    ("texts", "state", "reasons"),
    [
        ([], None, ("record.unknown",)),
        (["{}"], "active", ("record.differs",)),
        (["{}", json.dumps(SIGNED)], "active", ()),
        ([json.dumps(SIGNED)], "reduced", ()),
        ([json.dumps(SIGNED)], "suspended", ("status.suspension",)),
        ([json.dumps(SIGNED)], "withdrawn", ("status.revocation",)),
    ],
)
def test_the_site_s_record_speaks_too(texts, state, reasons):
    assert record_reasons(SIGNED, texts, state) == reasons
