from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from trainer.access.members import ROLES, Member
from trainer.access.rights import RIGHTS, may, may_look_after
from trainer.access.sessions import SignedIn, ends_at, holds, local_path

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)
ANA = Member(
    1, "a-1", 1, "Plumb Lane Wash", "America/Chicago", "Ana Ruiz", "ana", "learner", "es", "us", 3, None, None
)
SESSION = SignedIn(1, 3, NOW, NOW, None, by_pin=False)
ON_TABLET = replace(SESSION, tablet_id=7, by_pin=True)


def test_a_session_ends_twelve_hours_after_signing_in_whatever_happens_in_it():
    busy = replace(SESSION, seen_at=NOW + timedelta(hours=11, minutes=59))
    assert ends_at(busy) == NOW + timedelta(hours=12)


def test_on_a_shared_tablet_half_an_hour_of_quiet_ends_it():
    assert ends_at(ON_TABLET) == NOW + timedelta(minutes=30)
    assert holds(ON_TABLET, ANA, True, NOW + timedelta(minutes=29, seconds=59))
    assert not holds(ON_TABLET, ANA, True, NOW + timedelta(minutes=30))


@pytest.mark.parametrize(
    ("session", "member", "tablet_stands"),
    [
        (SESSION, None, False),
        (SESSION, replace(ANA, left_at=NOW), False),
        (SESSION, replace(ANA, session_number=4), False),
        (ON_TABLET, ANA, False),
        (replace(SESSION, seen_at=NOW + timedelta(hours=1)), ANA, False),
    ],
)
def test_a_session_falls_with_its_person_its_number_its_tablet_or_a_moment_to_come(
    session, member, tablet_stands
):
    assert holds(SESSION, ANA, False, NOW)
    assert not holds(session, member, tablet_stands, NOW)


@pytest.mark.parametrize("address", ["/today", "/drill?skill=a&n=2", "/lessons/bay#top"])
def test_a_local_path_is_followed(address):
    assert local_path(address) == address


@pytest.mark.parametrize(
    "address",
    [
        None,
        "",
        "today",
        "//evil.example",
        "/\\evil.example",
        "https://evil.example/",
        "/\t/evil.example",
        "javascript:x",
    ],
)
def test_nobody_is_sent_elsewhere(address):
    assert local_path(address) is None


def test_each_right_is_held_as_the_table_says():
    held = {right: [role for role in ROLES if may(role, right)] for right in RIGHTS}
    assert held == {
        "learn": ["learner", "trainer", "manager", "administrator"],
        "sit": ["learner", "trainer", "manager"],
        "train": ["trainer", "manager"],
        "author": ["trainer"],
        "review": ["trainer", "manager"],
        "invigilate": ["trainer", "manager"],
        "decide": ["manager"],
        "hear": ["manager", "administrator"],
        "enrol": ["manager", "administrator"],
        "administer": ["administrator"],
    }


def test_a_manager_looks_after_learners_alone():
    assert [role for role in ROLES if may_look_after("manager", role)] == ["learner"]
    assert not any(may_look_after(role, other) for role in ("learner", "trainer") for other in ROLES)
