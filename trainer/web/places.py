"""The places a person can go from every page, and the front door of each role."""

from __future__ import annotations

from dataclasses import dataclass

from flask import current_app, g, request, url_for

from trainer.access.members import Role
from trainer.access.rights import PASSWORD_ONLY, may
from trainer.web.words import Later

PLACES = (
    ("learn.today", Later("Today")),
    ("benches.everything", Later("Benches")),
    ("examine.exams", Later("Exams")),
    ("people.everyone", Later("People")),
    ("reviewing.everything", Later("Questions")),
    ("invigilate.everyone", Later("Exam room")),
    ("manage.cabinets", Later("Cabinets")),
    ("members.everyone", Later("People and tablets")),
)
FRONT_DOORS: dict[Role, str] = {
    "learner": "learn.today",
    "trainer": "people.everyone",
    "manager": "manage.cabinets",
    "administrator": "members.everyone",
}


@dataclass(frozen=True)
class Place:
    """One place: its name, its address, whether we stand in it."""

    name: Later
    href: str
    here: bool


def open_to_me(endpoint: str) -> bool:
    """Whether the view exists and its guard would let this person through as they are signed in."""
    view = current_app.view_functions.get(endpoint)
    right = getattr(view, "needs", None)
    if view is None or right is None or g.get("member") is None:
        return False
    return may(g.member.role, right) and not (g.get("by_pin") and right in PASSWORD_ONLY)


def places() -> list[Place]:
    """Where this person may go."""
    return [
        Place(name, url_for(endpoint), here=request.endpoint == endpoint)
        for endpoint, name in PLACES
        if open_to_me(endpoint)
    ]


def front_door() -> str:
    """The address where this person's work begins."""
    wanted = (FRONT_DOORS[g.member.role], "learn.today", "sign_in.preferences")
    return url_for(next(endpoint for endpoint in wanted if open_to_me(endpoint)))
