"""Published hashes of RFC 6962 trees, and the record log's chain reckoned apart."""

import hashlib

import rfc8785

from trainer.records.log import FIRST, chain_hash

RECORDS = [
    {"at": "2026-01-05T09:00:00Z", "seq": 1, "type": "exam.started", "who": "c-001"},
    {
        "at": "2026-01-05T09:01:30Z",
        "item": "f1#7",
        "seq": 2,
        "type": "answer",
        "value": "4.20",
        "who": "c-001",
    },
    {"at": "2026-01-05T09:25:00Z", "seq": 3, "type": "exam.submitted", "who": "c-001"},
]


def leaf(data: bytes) -> bytes:
    return hashlib.sha256(b"\0" + data).digest()


def node(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\1" + left + right).digest()


def chained(records):
    hashes, previous = [], FIRST
    for record in records:
        previous = chain_hash(previous, rfc8785.dumps(record))
        hashes.append(previous.hex())
    return hashes


def test_leaf_and_node_hashes_of_rfc_6962():
    # Repository transparency-dev/merkle at 417fb0c3, its RFC 6962 hasher tests.
    assert leaf(b"L123456").hex() == "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    assert node(b"N123", b"N456").hex() == "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"


def test_a_leaf_of_two_hashes_is_no_node():
    # RFC 6962, section 2.1: the prefix byte keeps a second preimage out.
    one, two = leaf(b"one"), leaf(b"two")
    assert leaf(one + two) != node(one, two)


def test_chain_of_three_records():
    # Reckoned apart with two canonicalizers (rfc8785, jcs): h0 = 32 zero bytes, h = SHA-256(h before + record).
    assert chained(RECORDS) == [
        "80f8b3685af0b966dd8ca62a2c63948ceea7585d3c2fb13b698017b977e8afa7",
        "ff5f8e655eb2e3601bdf756c81214958bb163f1bd5ead912e015a7e7db4d4568",
        "6f4cb714df4b9ec449c588ff736de5b639cd78f6e518b846ef11459fa3fce84b",
    ]


def test_a_changed_answer_changes_every_hash_from_there_on():
    changed = [RECORDS[0], {**RECORDS[1], "value": "4.21"}, RECORDS[2]]
    assert chained(changed) == [
        "80f8b3685af0b966dd8ca62a2c63948ceea7585d3c2fb13b698017b977e8afa7",
        "87df7bf769dea750ea402b44e70f1232baecc1667306a942547018ffaa07b9e9",
        "fcfa89bf616b05121e28efeea8736186923acce011ae29f1187701894fad6dbf",
    ]


def test_tree_root_of_the_same_records():
    # RFC 6962, section 2.1: three leaves split two and one. Reckoned apart with hashlib and pymerkle.
    leaves = [leaf(rfc8785.dumps(record)) for record in RECORDS]
    root = node(node(leaves[0], leaves[1]), leaves[2])
    assert root.hex() == "53f76f2bdb7e736b7679428b7c0501142cd28566c10c991f365d66b780951131"
