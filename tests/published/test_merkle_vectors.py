"""The tree over the record log against the published vectors of RFC 6962 trees.

Source of vectors and of the classes of bad proofs: repository transparency-dev/merkle at commit 417fb0c3, its
RFC 6962 hasher, inclusion and consistency tests. Leaves, roots, proofs were reckoned again with hashlib and pymerkle.
"""

import hashlib

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from trainer.records.tree import (
    Peaks,
    consistency_proof,
    inclusion_proof,
    leaf_hash,
    node_hash,
    peaks_text,
    proves_growth,
    proves_inclusion,
    read_peaks,
    root_of,
)

DATA = ["", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"]
LEAVES = [leaf_hash(bytes.fromhex(one)) for one in DATA]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
ONE_OF_EIGHT = [
    "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
]
INCLUSION = {
    (0, 8): ONE_OF_EIGHT,
    (5, 8): [
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    ],
    (2, 3): ["fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"],
    (1, 5): [
        "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    ],
}
CONSISTENCY = {
    (1, 8): ONE_OF_EIGHT,
    (6, 8): [
        "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    ],
    (2, 5): [
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    ],
}


def raw(proof):
    return [bytes.fromhex(one) for one in proof]


def flipped(value: bytes, bit: int = 0) -> bytes:
    return bytes([value[0] ^ (1 << bit), *value[1:]])


def test_leaf_and_node():
    assert leaf_hash(b"").hex() == ROOTS[1]
    assert leaf_hash(b"L123456").hex() == "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    assert (
        node_hash(b"N123", b"N456").hex()
        == "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"
    )


def test_a_leaf_of_two_hashes_is_no_node():
    assert leaf_hash(LEAVES[0] + LEAVES[1]) != node_hash(LEAVES[0], LEAVES[1])


@pytest.mark.parametrize("size", range(9))
def test_roots(size):
    assert root_of(LEAVES[:size]).hex() == ROOTS[size]


@pytest.mark.parametrize(("place", "proof"), INCLUSION.items())
def test_inclusion_proofs(place, proof):
    index, size = place
    assert [one.hex() for one in inclusion_proof(LEAVES[:size], index)] == proof
    assert proves_inclusion(LEAVES[index], index, size, raw(proof), bytes.fromhex(ROOTS[size]))


@pytest.mark.parametrize(("place", "proof"), CONSISTENCY.items())
def test_consistency_proofs(place, proof):
    earlier, later = place
    assert [one.hex() for one in consistency_proof(LEAVES[:later], earlier)] == proof
    assert proves_growth(
        earlier, later, raw(proof), bytes.fromhex(ROOTS[earlier]), bytes.fromhex(ROOTS[later])
    )


def bad_proofs(proof):
    """Every class of bad path in the published tests: cut at either end, added to at either end, a bit changed."""
    other = hashlib.sha256(b"other").digest()
    yield proof[:-1] if proof else [other]
    yield proof[1:] if proof else [other, other]
    yield [*proof, b""]
    yield [*proof, other]
    yield [other, *proof]
    yield [*proof, *proof] or [other]
    yield [one[:-1] for one in proof] or [b""]
    for place, step in enumerate(proof):
        yield [*proof[:place], flipped(step), *proof[place + 1 :]]
        yield [*proof[:place], *proof[place + 1 :]]
    if len(proof) > 1:
        yield list(reversed(proof))


@pytest.mark.parametrize("place", INCLUSION)
def test_bad_inclusion_proofs_are_rejected(place):
    index, size = place
    leaf, root, proof = LEAVES[index], bytes.fromhex(ROOTS[size]), raw(INCLUSION[place])
    for bad in bad_proofs(proof):
        assert not proves_inclusion(leaf, index, size, bad, root)
    for other in range(size):
        assert proves_inclusion(leaf, other, size, proof, root) == (other == index)
    assert not proves_inclusion(flipped(leaf), index, size, proof, root)
    assert not proves_inclusion(leaf, index, size, proof, flipped(root))
    assert not proves_inclusion(root, index, size, proof, leaf)
    for index_, size_ in ((-1, size), (size, size), (index, 0), (index, -1), (index, index)):
        assert not proves_inclusion(leaf, index_, size_, proof, root)


@pytest.mark.parametrize("place", CONSISTENCY)
def test_bad_consistency_proofs_are_rejected(place):
    earlier, later = place
    old, new, proof = bytes.fromhex(ROOTS[earlier]), bytes.fromhex(ROOTS[later]), raw(CONSISTENCY[place])
    for bad in bad_proofs(proof):
        assert not proves_growth(earlier, later, bad, old, new)
    assert not proves_growth(earlier, later, proof, new, old)
    assert not proves_growth(earlier, later, proof, flipped(old), new)
    assert not proves_growth(earlier, later, proof, old, flipped(new))
    assert not proves_growth(later, earlier, proof, old, new)
    assert not proves_growth(earlier, later, [], old, new)
    assert not proves_growth(0, later, proof, old, new)
    assert not proves_growth(earlier, earlier, proof, old, old)


def test_a_proof_does_not_bind_the_size():
    # Reckoned for this project: why size and root are taken from one signed head and never from a request.
    root, proof = bytes.fromhex(ROOTS[8]), raw(INCLUSION[0, 8])
    assert [size for size in range(1, 20) if proves_inclusion(LEAVES[0], 0, size, proof, root)] == [
        5,
        6,
        7,
        8,
    ]


def test_trees_without_growth():
    empty, eight = bytes.fromhex(ROOTS[0]), bytes.fromhex(ROOTS[8])
    assert proves_growth(0, 8, [], empty, eight) and proves_growth(8, 8, [], eight, eight)
    assert not proves_growth(0, 8, [], eight, eight)
    assert not proves_growth(8, 8, [], eight, empty)
    with pytest.raises(IndexError):
        inclusion_proof(LEAVES, 8)
    with pytest.raises(IndexError):
        consistency_proof(LEAVES, 0)


def test_root_of_three_records():
    # Three records as canonical JSON (RFC 8785); the root was reckoned apart with hashlib and pymerkle.
    records = [
        {"at": "2026-01-05T09:00:00Z", "seq": 1, "type": "exam.started", "who": "c-001"},
        {"at": "2026-01-05T09:01:30Z", "item": "f1#7", "seq": 2, "type": "answer", "value": "4.20", "who": "c-001"},
        {"at": "2026-01-05T09:25:00Z", "seq": 3, "type": "exam.submitted", "who": "c-001"},
    ]  # fmt: skip
    root = root_of([leaf_hash(rfc8785.dumps(one)) for one in records])
    assert root.hex() == "53f76f2bdb7e736b7679428b7c0501142cd28566c10c991f365d66b780951131"


def mth(data: list[bytes]) -> bytes:
    """MTH as RFC 6962, section 2.1, writes it down: by recursion, apart from the code under test."""
    if len(data) <= 1:
        return hashlib.sha256(b"\0" + data[0] if data else b"").digest()
    k = 1
    while k * 2 < len(data):
        k *= 2
    return hashlib.sha256(b"\1" + mth(data[:k]) + mth(data[k:])).digest()


@given(st.data(), st.integers(1, 70))
def test_every_proof_of_every_size_holds_and_no_other(data, size):
    entries = [str(number).encode() for number in range(size)]
    leaves = [leaf_hash(one) for one in entries]
    root = root_of(leaves)
    assert root == mth(entries)
    index, earlier = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size))
    shown, grown = inclusion_proof(leaves, index), consistency_proof(leaves, earlier)
    assert proves_inclusion(leaves[index], index, size, shown, root)
    assert proves_growth(earlier, size, grown, mth(entries[:earlier]), root)
    wrong = data.draw(st.integers(0, size - 1).filter(lambda one: one != index)) if size > 1 else size
    assert not proves_inclusion(leaves[index], wrong, size, shown, root)
    for bad in bad_proofs(shown):
        assert not proves_inclusion(leaves[index], index, size, bad, root)
    for bad in bad_proofs(grown):
        assert not proves_growth(earlier, size, bad, mth(entries[:earlier]), root)


@given(st.lists(st.integers(0, 9), max_size=8))
def test_peaks_that_grow_in_steps_give_the_root_at_once(steps):
    peaks, leaves = Peaks(), [leaf_hash(str(one).encode()) for one in range(sum(steps))]
    for step in steps:
        peaks = peaks.grown(leaves[peaks.size : peaks.size + step])
        peaks = read_peaks(peaks.size, peaks_text(peaks))
    assert (peaks.size, peaks.root()) == (len(leaves), root_of(leaves))


@pytest.mark.parametrize(
    ("size", "text"), [(1, ""), (3, "ab"), (1, "zz"), (1, "ab" * 31), (0, "ab" * 32), (-1, "")]
)
def test_peaks_that_fit_no_tree_are_not_read(size, text):
    assert read_peaks(size, text) is None
