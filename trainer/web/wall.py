"""Wall: who may open a cabinet, on a tablet beside it, in both languages at once; and expiries for a calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from babel.dates import format_datetime
from flask import Blueprint, Response, abort, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.certificates.calendar import calendar, expiries
from trainer.certificates.facts import CabinetPlace
from trainer.certificates.permission import Evidence, cabinet_permission, standing_of
from trainer.certificates.scope import TASKS
from trainer.exams.scheme import Text
from trainer.records.queries import certifying as queries
from trainer.web.cabinet_words import cabinet_scheme
from trainer.web.callers import this_tablet
from trainer.web.guards import needs, open_to_all
from trainer.web.house import me, now, reading
from trainer.web.wall_words import WALL
from trainer.web.words import language

page = Blueprint("wall", __name__)


@dataclass(frozen=True)
class WallLine:
    """One person who may open the cabinet now: until when, in both languages, and what they may not do there."""

    name: str
    until: Text
    seconds_left: int
    without: tuple[Text, ...]


@page.get("/roster/<int:cabinet_id>")
@open_to_all
def roster(cabinet_id: int) -> AnyResponse | str:
    """Names and until when, nothing else, for an enrolled tablet of the site or whoever of it is signed in."""
    site_id = _site_of_the_caller()
    if site_id is None:
        return redirect(url_for("sign_in.door", then=request.path), 303)
    with reading() as db:
        cabinet = queries.cabinet(db, site_id, cabinet_id) or abort(404)
        evidence = queries.cabinet_evidence(db, cabinet.id, cabinet_scheme().id)
    lines = [line for line in (_line(e, cabinet) for e in evidence) if line is not None]
    return render_template(
        "wall/roster.html",
        cabinet=cabinet,
        lines=lines,
        said=WALL,
        at=_moment_texts(now(), cabinet.time_zone),
        clock=f"{now().astimezone(ZoneInfo(cabinet.time_zone)):%H:%M:%S}",
    )


@page.get("/cabinets/expiries.ics")
@needs("decide")
def expiries_file() -> Response:
    """When certificates of my site run out, as entries of a calendar."""
    with reading() as db:
        held = queries.certificates_of_site(db, me().site_id)
    answer = Response(calendar(expiries(held), language()), content_type="text/calendar; charset=utf-8")
    answer.headers["Content-Disposition"] = 'attachment; filename="certificate-expiries.ics"'
    return answer


def _site_of_the_caller() -> int | None:
    member = g.get("member")
    if member is not None:
        return int(member.site_id)
    tablet = this_tablet()
    return None if tablet is None else tablet.site_id


def _line(e: Evidence, cabinet: CabinetPlace) -> WallLine | None:
    if not cabinet_permission(e, now()).may_open or e.expires_at is None:
        return None
    stands = standing_of(e, now())
    taken = stands.taken if stands is not None else ()
    return WallLine(
        e.person,
        _moment_texts(e.expires_at, cabinet.time_zone),
        # Rounded down: the tablet takes a name off rather too early than too late.
        int((e.expires_at - now()).total_seconds()),
        tuple(TASKS.get(one, Text(one, one)) for one in taken),
    )


def _moment_texts(at: datetime, time_zone: str) -> Text:
    local = at.astimezone(ZoneInfo(time_zone))
    return Text(*(format_datetime(local, "medium", locale=code) for code in ("en", "es")))
