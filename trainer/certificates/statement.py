"""What a certificate says: the credential document in the shape of Open Badges 3.0, made from the record alone."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.certificates.credential import did_of, moment
from trainer.certificates.status_list import StatusEntry
from trainer.exams.scheme import PROGRAMME, Text

CONTEXTS = [
    "https://www.w3.org/ns/credentials/v2",
    "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json",
]
# Names the achievement of a scheme at a cabinet: the same words give the same id on every installation.
ACHIEVEMENTS = uuid.uuid5(uuid.NAMESPACE_URL, "stringline:achievement")

SCOPE = Text(
    "It permits work in the named cabinet only, under this employer's energy-control procedure. Local codes and "
    "licensed practice come first.",
    "Permite trabajar solo en el tablero nombrado, según el procedimiento de control de energía de este empleador. "
    "Los códigos locales y el electricista con licencia van primero.",
)


@dataclass(frozen=True)
class Statement:
    """The facts of one certificate; ids are public ids, moments aware."""

    certificate: str
    person_public_id: str
    person: str
    site: str
    cabinet_key: str
    cabinet: str
    machine: str
    scheme: str
    scheme_version: int
    title: str
    effective_at: datetime
    expires_at: datetime
    exam: str
    practical: str
    decision: str
    log_head: str
    scope: Text
    entries: tuple[StatusEntry, ...] = ()


def credential_document(s: Statement, public_key: str) -> dict[str, Any]:
    """The credential before it is signed; `public_key` is the multikey text of the key that will sign it."""
    document = {
        "@context": list(CONTEXTS),
        "id": f"urn:uuid:{s.certificate}",
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "issuer": {"id": did_of(public_key), "type": ["Profile"], "name": s.site},
        "name": s.title,
        "description": f"{PROGRAMME.en} {PROGRAMME.es}",
        "validFrom": moment(s.effective_at),
        "validUntil": moment(s.expires_at),
        "credentialSubject": {
            "id": f"urn:uuid:{s.person_public_id}",
            "type": ["AchievementSubject"],
            "identifier": [
                {"type": "IdentityObject", "hashed": False, "identityType": "name", "identityHash": s.person}
            ],
            "narrative": f"{s.cabinet}, {s.machine}. {s.scope.en} {SCOPE.en} {s.scope.es} {SCOPE.es}",
            "achievement": _achievement(s),
        },
        "evidence": _evidence(s),
    }
    if s.entries:
        document["credentialStatus"] = [entry.document() for entry in s.entries]
    return document


def _achievement(s: Statement) -> dict[str, Any]:
    named = f"{s.site}/{s.cabinet_key}/{s.scheme}/{s.scheme_version}"
    return {
        "id": f"urn:uuid:{uuid.uuid5(ACHIEVEMENTS, named)}",
        "type": ["Achievement"],
        # "Certificate", not "Certification": whoever trains and examines its own people issues the former (ASTM E2659).
        "achievementType": "Certificate",
        "version": str(s.scheme_version),
        "humanCode": s.cabinet_key,
        "specialization": f"{s.cabinet}, {s.machine}",
        "name": s.title,
        "description": f"{s.cabinet}, {s.machine}, {s.site}. {PROGRAMME.en} {SCOPE.en} {PROGRAMME.es} {SCOPE.es}",
        "criteria": {
            "narrative": f"Scheme {s.scheme}, version {s.scheme_version}: exam passed, practical on this machine "
            "signed by a named qualified person, decision by a manager."
        },
    }


def _evidence(s: Statement) -> list[dict[str, Any]]:
    """What it rests on, by public id alone, and the log's head just before, so that each holder is a witness."""
    said = {"Exam": s.exam, "Practical": s.practical, "Decision": s.decision}
    return [
        *(
            {"id": f"urn:uuid:{public_id}", "type": ["Evidence"], "name": name}
            for name, public_id in said.items()
        ),
        {"type": ["Evidence"], "name": "Head of the record log", "narrative": s.log_head},
    ]
