"""Published vectors for canonical JSON, Ed25519 and the `eddsa-jcs-2022` proof."""

import base64
import hashlib
import json
from datetime import UTC, datetime

import pytest
import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from trainer.certificates.credential import (
    canonical_hash,
    public_key_of,
    sign_credential,
    signed_bytes,
    verify_credential,
)
from trainer.certificates.multibase import decode_base58, encode_base58

# W3C Data Integrity EdDSA Cryptosuites, repository w3c/vc-di-eddsa, TestVectors at commit abb673eb
# (eddsa-jcs-2022). The private key is the published test key.
PUBLIC = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
PRIVATE = "z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq"
KEY = decode_base58(PRIVATE)[2:]
CANONICAL = (
    '{"@context":["https://www.w3.org/ns/credentials/v2","https://www.w3.org/ns/credentials/examples/v2"],'
    '"credentialSubject":{"alumniOf":"The School of Examples","id":"did:example:abcdefgh"},'
    '"description":"A minimum viable example of an Alumni Credential.",'
    '"id":"urn:uuid:58172aac-d8ba-11ed-83dd-0b3aef56cc33","issuer":"https://vc.example/issuers/5678",'
    '"name":"Alumni Credential","type":["VerifiableCredential","AlumniCredential"],'
    '"validFrom":"2023-01-01T00:00:00Z"}'
)
CREATED = datetime(2023, 2, 24, 23, 36, 38, tzinfo=UTC)
DOCUMENT_HASH = "59b7cb6251b8991add1ce0bc83107e3db9dbbab5bd2c28f687db1a03abc92f19"
PROOF_HASH = "66ab154f5c2890a140cb8388a22a160454f80575f6eae09e5a097cabe539a1db"
SIGNATURE = (
    "407cd12654b33d718ecbb99179a1506daaa849450bf3fc523cce3e1c96f8b803"
    "51da3f253d725c6f00b07c9e5448d50b3ef78012b9ab54255116d069c6dd2808"
)
PROOF_VALUE = "z2HnFSSPPBzR36zdDgK8PbEHeXbR56YF24jwMpt3R1eHXQzJDMWS93FCzpvJpwTWd3GAVFuUfjoJdcnTMuVor51aX"

# RFC 8037 appendix A: the key of A.1, whose use in A.4 signs "Example of Ed25519 signing".
JWK_D = "nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A"
JWK_X = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"


def unpadded(raw: bytes) -> str:
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def padded(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def test_multikey_of_the_published_pair():
    assert decode_base58(PRIVATE)[:2].hex() == "8026"
    assert (
        decode_base58(PUBLIC).hex() == "ed01b00d8d938e7f773d51565aad36a623f5344f7f5d1960f9cf3e8e12620ea2810f"
    )
    assert public_key_of(KEY) == PUBLIC
    assert encode_base58(decode_base58(PUBLIC)) == PUBLIC


def test_proof_equals_the_published_one():
    document = json.loads(CANONICAL)
    assert rfc8785.dumps(document).decode() == CANONICAL
    assert canonical_hash(document) == DOCUMENT_HASH
    signed = sign_credential(document, KEY, CREATED)
    options = {name: value for name, value in signed["proof"].items() if name != "proofValue"}
    assert canonical_hash(options) == PROOF_HASH
    assert decode_base58(signed["proof"]["proofValue"]).hex() == SIGNATURE
    assert signed["proof"]["proofValue"] == PROOF_VALUE


def test_published_credential_verifies_with_its_key_trusted():
    signed = sign_credential(json.loads(CANONICAL), KEY, CREATED)
    assert verify_credential(signed, {PUBLIC}).good
    assert verify_credential(signed, {PUBLIC}).issuer_key == PUBLIC
    # Its issuer is an address, not the key: without a key to trust, nothing ties the two together.
    assert verify_credential(signed).reasons == ("credential.issuer_key",)


def test_one_sign_more_in_the_published_credential_fails():
    signed = sign_credential(json.loads(CANONICAL), KEY, CREATED)
    signed["credentialSubject"]["alumniOf"] += "!"
    assert verify_credential(signed, {PUBLIC}).reasons == ("credential.signature",)


def test_hashes_in_the_other_order_give_another_signature():
    document = json.loads(CANONICAL)
    signed = sign_credential(document, KEY, CREATED)
    options = {name: value for name, value in signed["proof"].items() if name != "proofValue"}
    right = signed_bytes(document, options)
    assert Ed25519PrivateKey.from_private_bytes(KEY).sign(right).hex() == SIGNATURE
    assert Ed25519PrivateKey.from_private_bytes(KEY).sign(right[32:] + right[:32]).hex() != SIGNATURE


def test_badge_shaped_credential_signs_as_two_libraries_reckoned():
    # Reckoned twice apart with the published test key: rfc8785 + cryptography, and jcs + OpenSSL 3.0.
    text = (
        '{"@context":["https://www.w3.org/ns/credentials/v2","https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json"],'
        '"credentialSubject":{"achievement":{"criteria":{"narrative":"Passed form family v1 at the cut score and the '
        'lockout practical."},"description":"Through-beam photo-eye work on a conveyor wash.",'
        '"id":"urn:uuid:0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0003","name":"Photo-eye technician, level 1",'
        '"type":["Achievement"]},"id":"urn:uuid:0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0002","type":["AchievementSubject"]},'
        '"id":"urn:uuid:0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001","issuer":'
        '{"id":"did:key:z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2","name":"Example Wash","type":["Profile"]},'
        '"name":"Photo-eye technician, level 1","type":["VerifiableCredential","OpenBadgeCredential"],'
        '"validFrom":"2026-01-05T12:00:00Z","validUntil":"2028-01-05T12:00:00Z"}'
    )
    document = json.loads(text)
    assert canonical_hash(document) == "d2d5dbddd55bacf6df6c3793c0ab3446f773ce80a716b73ad2c95513d2f41824"
    signed = sign_credential(document, KEY, datetime(2026, 1, 5, 12, tzinfo=UTC))
    options = {name: value for name, value in signed["proof"].items() if name != "proofValue"}
    assert canonical_hash(options) == "0706c24a0964d01c40d9e213b22dd250f79456c499f92450ac8c125fee31cf97"
    assert signed["proof"]["proofValue"] == (
        "z4RaXdk4GmnWnztWqjLqN9dPvPc4w5VXNVF3W1yRdSBqrZVMqSd7YmuPVWZTZL3Ai8ToztPNXhdzcbkJ49ENeZmYg"
    )
    assert verify_credential(signed).good


def test_signature_of_rfc_8037():
    # RFC 8037, appendix A.4: the compact JWS, made here from its parts.
    head = unpadded(b'{"alg":"EdDSA"}')
    body = unpadded(b"Example of Ed25519 signing")
    signature = Ed25519PrivateKey.from_private_bytes(padded(JWK_D)).sign(f"{head}.{body}".encode())
    assert f"{head}.{body}.{unpadded(signature)}" == (
        "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc."
        "hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
    )
    assert decode_base58(public_key_of(padded(JWK_D)))[2:] == padded(JWK_X)


def test_thumbprint_of_rfc_8037():
    # RFC 8037, appendix A.3 (value from memory): SHA-256 over the key's canonical JSON.
    canonical = rfc8785.dumps({"kty": "OKP", "crv": "Ed25519", "x": JWK_X})
    assert unpadded(hashlib.sha256(canonical).digest()) == "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"


def test_empty_message_of_rfc_8032():
    # RFC 8032, section 7.1, test 1 (values from memory).
    key = Ed25519PrivateKey.from_private_bytes(padded(JWK_D))
    assert key.public_key().public_bytes_raw().hex() == (
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
    )
    assert key.sign(b"").hex() == (
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
        "d25bf5f0595bbe24655141438e7a100b"
    )


# Repository cyberphone/json-canonicalization: each file of testdata/input beside the one of testdata/output.
# The arrays' output was not at hand as text; its SHA-256 begins 099601b1.
JCS_FILES = [
    (
        "french",
        '{"peach": "This sorting order", "péché": "is wrong according to French",'
        '"pêche": "but canonicalization MUST", "sin": "ingnore locale"}',
        '{"peach":"This sorting order","péché":"is wrong according to French",'
        '"pêche":"but canonicalization MUST","sin":"ingnore locale"}',
    ),
    (
        "structures",
        '{"1": {"f": {"f": "hi","F": 5} ,"\\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}',
        '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}',
    ),
    ("unicode", '{"Unnormalized Unicode":"\\u1e0d\\u0307"}', '{"Unnormalized Unicode":"\u1e0d\u0307"}'),
    (
        "values",
        '{"numbers": [1E30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001],'
        '"escaping": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}',
        '{"escaping":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/","literals":[null,true,false],'
        '"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}',
    ),
    (
        "weird",
        '{"\\u20ac": "Euro Sign", "1": "One", "\\u0080": "Control\\u007f", "\\ud83d\\ude02": "Smiley",'
        '"\\u00f6": "Latin Small Letter O With Diaeresis", "\\ufb33": "Hebrew Letter Dalet With Dagesh",'
        '"</script>": "Browser Challenge"}',
        '{"1":"One","</script>":"Browser Challenge","\x80":"Control\x7f","ö":"Latin Small Letter O With Diaeresis",'
        '"€":"Euro Sign","\U0001f602":"Smiley","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
    ),
]


@pytest.mark.parametrize(("name", "text", "published"), JCS_FILES, ids=[one[0] for one in JCS_FILES])
def test_canonical_json_of_the_published_files(name, text, published):
    assert rfc8785.dumps(json.loads(text)).decode() == published


def test_canonical_json_of_the_published_arrays():
    text = '[\n  56,\n  {\n    "d": true,\n    "10": null,\n    "1": [ ]\n  }\n]'
    assert hashlib.sha256(rfc8785.dumps(json.loads(text))).hexdigest().startswith("099601b1")
