"""Drawing numbers against HMAC-SHA256's published vector, and the numbers derived from it."""

import hashlib
import hmac

import pytest

from trainer.language.draws import WORD, Stream


def test_hmac_sha256_agrees_with_the_published_vector():
    # RFC 4231, section 4.3, test case 2 (from memory): key "Jefe".
    digest = hmac.digest(b"Jefe", b"what do ya want for nothing?", hashlib.sha256)
    assert digest.hex() == "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"


@pytest.mark.parametrize(("slot", "length"), list(enumerate([4021, 5265, 4382, 2983, 2938])))
def test_numbers_follow_from_the_vector(slot, length):
    # Our own recomputation, no published source: key 00..1f, words HMAC(key, "attempt-1|slot-s|length_mm|i"), the
    # first 8 bytes big-endian, those above the largest multiple of the span left out, range 1800 to 6200.
    stream = Stream(bytes(range(32)), f"attempt-1|slot-{slot}")
    assert 1800 + stream.below("length_mm", 6200 - 1800 + 1) == length


def test_a_stream_is_the_recipe_written_out():
    key, label, span = b"k" * 32, "a|b", 7
    count, wanted = 0, []
    while len(wanted) < 50:
        word = int.from_bytes(hmac.new(key, f"{label}|x|{count}".encode(), "sha256").digest()[:8], "big")
        count += 1
        if word < 2**64 // span * span:
            wanted.append(word % span)
    stream = Stream(key, label)
    assert [stream.below("x", span) for _ in range(50)] == wanted


def test_words_past_the_last_whole_span_are_left_out(monkeypatch):
    words = iter([WORD - 1, WORD - 1, 5])
    stream = Stream(b"k", "l")
    monkeypatch.setattr(stream, "_word", lambda name: next(words))
    assert stream.below("x", 3 * 2**62) == 5
