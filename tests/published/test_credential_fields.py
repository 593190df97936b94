"""Fields that the published specifications demand of a credential, each beside its source."""

from datetime import UTC, datetime

import pytest

from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.statement import Statement, credential_document
from trainer.certificates.status_list import StatusEntry
from trainer.exams.scheme import Text

KEY = bytes(range(32))
AT = datetime(2026, 3, 2, 15, tzinfo=UTC)
ENTRIES = tuple(
    StatusEntry(one, 94567, f"https://wash.example/status/{one}") for one in ("revocation", "suspension")
)
STATEMENT = Statement(
    certificate="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001", person_public_id="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0002",
    person="Ana Ruiz", site="Plumb Lane Wash", cabinet_key="main", cabinet="Main cabinet", machine="Conveyor",
    scheme="cabinet", scheme_version=3, title="Opening the cabinet", effective_at=AT,
    expires_at=AT.replace(year=2027), exam="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0003",
    practical="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0004", decision="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0005",
    log_head="ab" * 32, scope=Text("Work in the open cabinet.", "Trabajar en el tablero abierto."), entries=ENTRIES,
)  # fmt: skip
SIGNED = sign_credential(credential_document(STATEMENT, public_key_of(KEY)), KEY, AT)

# 1EdTech, repository 1EdTech/openbadges-specification, ob_v3p0/common_credentials.lines: the properties whose
# multiplicity begins with 1, class by class ("1", "1..*"), and the types that MUST be among the listed ones.
SUBJECT = ("credentialSubject",)
ACHIEVEMENT = (*SUBJECT, "achievement")
DEMANDED = {
    (): (("@context", "id", "type", "name", "issuer", "credentialSubject"), "OpenBadgeCredential"),
    ("issuer",): (("id", "type"), "Profile"),
    SUBJECT: (("type", "achievement"), "AchievementSubject"),
    (*SUBJECT, "identifier", 0): (("type", "hashed", "identityHash", "identityType"), "IdentityObject"),
    ACHIEVEMENT: (("id", "type", "criteria", "description", "name"), "Achievement"),
    **{("evidence", number): (("type",), "Evidence") for number in range(4)},
    ("proof",): (
        ("type", "created", "proofPurpose", "proofValue", "verificationMethod"),
        "DataIntegrityProof",
    ),
    **{("credentialStatus", number): (("id", "type"), "BitstringStatusListEntry") for number in range(2)},
}


def at(path):
    found = SIGNED
    for step in path:
        found = found[step]
    return found


@pytest.mark.parametrize("path", DEMANDED, ids=lambda path: ".".join(map(str, path)) or "credential")
def test_each_class_has_what_the_badge_specification_demands(path):
    names, kind = DEMANDED[path]
    part = at(path)
    assert [name for name in names if not part.get(name) and part.get(name) is not False] == []
    assert kind in (part["type"] if isinstance(part["type"], list) else [part["type"]])


def test_contexts_stand_in_the_order_that_is_demanded():
    # Same file, AchievementCredential.@context: an ordered set, the W3C's first; version 2 and 3.0.3 as in
    # w3c/vc-data-model (section "Contexts") and ob_v3p0/context-3.0.3.json.
    assert SIGNED["@context"] == [
        "https://www.w3.org/ns/credentials/v2",
        "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json",
    ]


def test_the_credential_and_the_proof_say_their_times_as_instants():
    # W3C Verifiable Credentials Data Model 2.0, section "Validity Period": validFrom and validUntil, dateTimeStamp.
    times = [SIGNED["validFrom"], SIGNED["validUntil"], SIGNED["proof"]["created"]]
    moments = [datetime.fromisoformat(one) for one in times]
    assert all(one.tzinfo is not None for one in moments)
    assert moments[0] < moments[1]


# ob_v3p0/context-3.0.3.json: the terms that each class may use besides id and type; `name`, `description`,
# `narrative` and `url` may stand anywhere. A term that no context defines would be lost on other readers.
ANYWHERE = {"id", "type", "name", "description", "narrative", "url"}
TERMS = {
    ACHIEVEMENT: {"achievementType", "criteria", "humanCode", "specialization", "version"},
    SUBJECT: {"achievement", "identifier"},
    (*SUBJECT, "identifier", 0): {"hashed", "identityHash", "identityType"},
    ("issuer",): set(),
    **{("evidence", number): set() for number in range(4)},
}


@pytest.mark.parametrize("path", TERMS, ids=lambda path: ".".join(map(str, path)))
def test_every_term_is_one_that_the_published_context_defines(path):
    assert set(at(path)) - ANYWHERE <= TERMS[path]


def test_the_achievement_type_is_one_of_the_published_ones():
    # Same file, enumeration AchievementType. "Certificate" and "Certification" are two terms.
    assert at(ACHIEVEMENT)["achievementType"] == "Certificate"


def test_scope_version_and_programme_are_said_and_no_score_is():
    # ISO/IEC 17024 asks name, unique id, body, scheme, scope, effective and expiry dates (clause from memory).
    achievement = at(ACHIEVEMENT)
    assert (achievement["humanCode"], achievement["version"]) == ("main", "3")
    assert achievement["specialization"] == "Main cabinet, Conveyor"
    assert "Work in the open cabinet." in SIGNED["credentialSubject"]["narrative"]
    assert "Trabajar en el tablero abierto." in SIGNED["credentialSubject"]["narrative"]
    # ASTM E2659 tells a certificate programme from certification.
    assert "not accredited certification" in SIGNED["description"]
    assert "ASTM E2659" in SIGNED["description"]
    assert not {"result", "creditsEarned"} & set(SIGNED["credentialSubject"])


def test_evidence_points_at_the_exam_the_practical_the_decision_and_the_log():
    assert [one["name"] for one in SIGNED["evidence"]] == [
        "Exam",
        "Practical",
        "Decision",
        "Head of the record log",
    ]
