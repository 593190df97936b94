import copy
import json
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.certificates.credential import key_bytes, public_key_of, sign_credential, verify_credential
from trainer.certificates.multibase import MultibaseError, decode_base58, encode_base58
from trainer.certificates.statement import Statement, credential_document
from trainer.exams.scheme import Text

KEY = bytes(range(32))
OTHER = bytes(range(1, 33))
AT = datetime(2026, 3, 2, 15, tzinfo=UTC)
STATEMENT = Statement(
    certificate="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001", person_public_id="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0002",
    person="Ana Ruiz", site="Plumb Lane Wash", cabinet_key="main", cabinet="Main cabinet", machine="Conveyor",
    scheme="eye-technician", scheme_version=1, title="Eye technician", effective_at=AT,
    expires_at=AT.replace(year=2028), exam="e-1", practical="p-1", decision="d-1", log_head="ab" * 32,
    scope=Text("Work in the open cabinet.", "Trabajar en el tablero abierto."),
)  # fmt: skip
SIGNED = sign_credential(credential_document(STATEMENT, public_key_of(KEY)), KEY, AT)


def leaves(value, path=()):
    """Each place in the credential that holds a value, by its path."""
    if isinstance(value, dict):
        for name in value:
            yield from leaves(value[name], (*path, name))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            yield from leaves(one, (*path, index))
    else:
        yield path


def holder(credential, path):
    for step in path[:-1]:
        credential = credential[step]
    return credential


def test_our_own_credential_holds():
    found = verify_credential(SIGNED)
    assert (found.good, found.reasons, found.issuer_key) == (True, (), public_key_of(KEY))
    assert verify_credential(json.loads(json.dumps(SIGNED)), {public_key_of(KEY)}).good


def test_it_holds_what_the_badge_shape_asks():
    # Open Badges 3.0, OpenBadgeCredential: the required properties.
    assert SIGNED["@context"][0] == "https://www.w3.org/ns/credentials/v2"
    assert SIGNED["type"] == ["VerifiableCredential", "OpenBadgeCredential"]
    assert {"id", "type", "name", "description", "criteria"} <= SIGNED["credentialSubject"][
        "achievement"
    ].keys()
    assert SIGNED["validFrom"] == "2026-03-02T15:00:00Z"
    assert SIGNED["validUntil"] == "2028-03-02T15:00:00Z"
    assert "ASTM E2659" in SIGNED["credentialSubject"]["achievement"]["description"]


@pytest.mark.parametrize("path", list(leaves(SIGNED)), ids=lambda path: ".".join(map(str, path)))
def test_every_value_changed_is_refused(path):
    changed = copy.deepcopy(SIGNED)
    place = holder(changed, path)
    place[path[-1]] = (not place[path[-1]]) if isinstance(place[path[-1]], bool) else place[path[-1]] + "x"
    assert not verify_credential(changed).good


@pytest.mark.parametrize("path", list(leaves(SIGNED)), ids=lambda path: ".".join(map(str, path)))
def test_every_value_taken_out_is_refused(path):
    changed = copy.deepcopy(SIGNED)
    del holder(changed, path)[path[-1]]
    assert not verify_credential(changed).good


@pytest.mark.parametrize("name", ["credentialStatus", "note"])
def test_anything_added_is_refused(name):
    assert not verify_credential({**SIGNED, name: "x"}).good
    assert not verify_credential({**SIGNED, "proof": {**SIGNED["proof"], name: "x"}}).good


def test_signed_again_with_another_key_is_refused():
    document = {name: value for name, value in SIGNED.items() if name != "proof"}
    forged = sign_credential(document, OTHER, AT)
    assert verify_credential(forged).reasons == ("credential.issuer_key",)
    renamed = sign_credential(credential_document(STATEMENT, public_key_of(OTHER)), OTHER, AT)
    assert verify_credential(renamed).good
    assert verify_credential(renamed, {public_key_of(KEY)}).reasons == ("credential.key_not_trusted",)


@pytest.mark.parametrize(
    ("proof", "reason"),
    [
        ([], "credential.proof_kind"),
        ({**SIGNED["proof"], "cryptosuite": "eddsa-rdfc-2022"}, "credential.proof_kind"),
        ({**SIGNED["proof"], "proofPurpose": "authentication"}, "credential.purpose"),
        ({**SIGNED["proof"], "created": "yesterday"}, "credential.created"),
        ({**SIGNED["proof"], "@context": []}, "credential.context"),
        ({**SIGNED["proof"], "verificationMethod": "did:web:example.org"}, "credential.key_unreadable"),
        ({**SIGNED["proof"], "verificationMethod": 7}, "credential.key_unreadable"),
        ({**SIGNED["proof"], "proofValue": "z1"}, "credential.signature"),
        ({**SIGNED["proof"], "proofValue": "m1"}, "credential.signature"),
    ],
)
def test_what_is_wrong_with_a_proof_is_said(proof, reason):
    found = verify_credential({**SIGNED, "proof": proof})
    assert not found.good
    assert reason in found.reasons


def test_what_is_missing_is_named():
    assert verify_credential({}).reasons[0] == "credential.missing:@context"
    assert verify_credential({name: 1 for name in SIGNED if name != "proof"}).reasons == (
        "credential.missing:proof",
    )


def test_numbers_no_canonical_json_can_hold_are_refused():
    assert verify_credential({**SIGNED, "note": float("nan")}).reasons == ("credential.signature",)
    assert verify_credential({**SIGNED, "note": 2**60}).reasons == ("credential.signature",)


@given(st.binary(max_size=80))
def test_base58_comes_back(raw):
    assert decode_base58(encode_base58(raw)) == raw


@pytest.mark.parametrize("text", ["", "abc", "z0", "zl", "z é", None, "z" + "2" * 500])
def test_what_is_no_base58_is_refused(text):
    with pytest.raises(MultibaseError):
        decode_base58(text)


def test_a_key_of_another_kind_is_no_key():
    assert key_bytes(public_key_of(KEY)) is not None
    assert key_bytes(encode_base58(bytes.fromhex("8026") + KEY)) is None
    assert key_bytes("z6Mk") is None
