"""Schemes, pools and sittings with sensible defaults for the tests of this room."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from trainer.exams.scheme import Area, Scheme, Text, Tries
from trainer.exams.sitting import Sitting

START = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
WORDS = Text("words", "palabras")


def make_scheme(**facts):
    areas = (
        Area("eyes", WORDS, ("eyes.see", "eyes.aim"), 3),
        Area("lockout", WORDS, ("lockout.verify", "lockout.lock"), 2, critical=True),
    )
    usual = {
        "id": "small", "version": 1, "title": WORDS, "scope": WORDS, "opens_cabinet": False, "minutes": 10, "cut": 3,
        "tries": Tries(3, 90, 24), "mastery": "none", "exam_months": 12, "certificate_months": 12, "areas": areas,
    }  # fmt: skip
    return Scheme(**{**usual, **facts})


@dataclass(frozen=True)
class PoolQuestion:
    id: str
    version: int = 1
    fingerprint: str = "f" * 64


@dataclass(frozen=True)
class PoolSkill:
    hazard: bool


@dataclass(frozen=True)
class SmallPool:
    """`each` questions a skill of the scheme; skills that begin with lockout are hazards."""

    scheme: Scheme
    each: int = 2
    by_skill: dict = field(default_factory=dict)
    skills: dict = field(default_factory=dict)

    def __post_init__(self):
        for skill in self.scheme.skills:
            self.by_skill[skill] = [PoolQuestion(f"{skill}_{n}") for n in range(self.each)]
            self.skills[skill] = PoolSkill(skill.startswith("lockout"))


def make_sitting(**facts):
    usual = {
        "id": 1, "public_id": "exam-1", "person_id": 7, "person_public_id": "person-7", "site_id": 1,
        "time_zone": "America/Chicago", "scheme": "small", "scheme_version": 1, "sheet_version": 1, "system": "us",
        "form": "{}", "started_at": START, "deadline": START + timedelta(minutes=10),
    }  # fmt: skip
    return Sitting(**{**usual, **facts})
