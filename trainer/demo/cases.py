"""What a wash answers for in a year: a second observer, changed certificates, appeals, an inspection, a threat."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from trainer.acts import appeals, impartiality, inspections, practicals, standing
from trainer.certificates.states import add_months
from trainer.demo.maker import PASSWORD, Maker, made
from trainer.records.queries import appeals as appeal_queries
from trainer.records.queries import certifying as certifying_queries

MAIN, PUMPS = 0, 1  # the demo's cabinets
SIX_MONTHS = 6


def second_observer(wash: Maker, name: str, at: datetime) -> None:
    """The practical at the pumps, marked by two observers alike, and the cabinet granted."""
    wash.sign(name, at, PUMPS)
    made("second marks", practicals.sign_second(
        wash.database, wash.observed(name, PUMPS), scheme=wash.scheme, by=wash.member("greta").id, password=PASSWORD,
        address="demo", now=at + timedelta(days=1),
    ))  # fmt: skip
    wash.decide(name, PUMPS, at + timedelta(days=2), "Both observers saw the same.")


def suspended_and_lifted(wash: Maker, name: str, at: datetime) -> None:
    """The main cabinet taken away for a week and given back."""
    held, by = _certificate(wash, name, MAIN), wash.member("nora").id
    suspension = standing.Asked(
        str(uuid.uuid4()), held, "Back after three months away: walk through the procedure first."
    )
    made("suspension", standing.suspend(wash.database, suspension, by=by, now=at))
    with wash.database.reading() as db:
        [newest, *_] = appeal_queries.adverse_of(db, wash.member(name).id)
    lift = standing.Asked(
        str(uuid.uuid4()), held, "Walked through the whole procedure with the lead technician."
    )
    made("lift", standing.lift(wash.database, lift, newest.public_id, by=by, now=at + timedelta(days=7)))


def inspected(wash: Maker, name: str, at: datetime) -> None:
    """The conveyor's procedure inspected by somebody who may open its cabinet; that of the pumps never was."""
    with wash.database.reading() as db:
        conveyor = certifying_queries.cabinets(db, wash.site_id)[MAIN]
    dale, june = wash.member("dale").id, wash.member("june").id
    asked = inspections.Inspected(
        str(uuid.uuid4()), conveyor.machine_id, at.astimezone(ZoneInfo(conveyor.time_zone)).date(),
        wash.member(name).id, frozenset({dale, june}), frozenset({dale}),
        "The tag at the air valve could not be read any more; a new one hangs there.",
    )  # fmt: skip
    made("inspection", inspections.record_inspection(
        wash.database, asked, scheme=wash.scheme.id, by=dale, now=at
    ))  # fmt: skip


def withdrawn_and_appealed(wash: Maker, name: str, at: datetime) -> None:
    """The pumps withdrawn; the administrator, who had no hand in it, hears the appeal and lets it stand."""
    made("withdrawal", standing.withdraw(
        wash.database, certificate=_certificate(wash, name, PUMPS), by=wash.member("nora").id,
        reason="Works at the front of the wash alone since spring and has not opened the pump cabinet for months.",
        now=at,
    ))  # fmt: skip
    appeal = _appeal(
        wash, name, "I can still do it, and I would help out on Saturdays.", at + timedelta(days=5)
    )
    ivy = wash.member("ivy").id
    made("hearing", appeals.take_appeal(wash.database, appeal, by=ivy, now=at + timedelta(days=7)))
    made("outcome", appeals.decide_appeal(
        wash.database, appeal, outcome="not_upheld", by=ivy, now=at + timedelta(days=16),
        reason="Nobody doubts the skill, but it was last seen long ago. A new practical opens the way back.",
    ))  # fmt: skip


def threat(wash: Maker, at: datetime) -> None:
    """What could sway the manager, and who looks after it."""
    entry, ivy = str(uuid.uuid4()), wash.member("ivy").id
    written = impartiality.ThreatWritten(
        entry, entry, "The yearly bonus of the manager counts how many people are certified.",
        "The bonus counts shifts without an incident from next year; until then the administrator reads every grant.",
        ivy, add_months(at.date(), SIX_MONTHS),
    )  # fmt: skip
    made("threat", impartiality.write_threat(wash.database, written, by=wash.member("nora").id, now=at))


def refused_and_appealing(wash: Maker, name: str, at: datetime) -> None:
    """The pumps refused, and an appeal that nobody has taken on yet."""
    wash.decide(name, PUMPS, at, "Nobody has observed a lockout at the pumps yet.", granted=False)
    _appeal(wash, name, "My lockout at the conveyor was the same seven steps.", at + timedelta(days=6))


def _certificate(wash: Maker, name: str, cabinet: int) -> str:
    person, place = wash.member(name).id, wash.cabinets()[cabinet].id
    with wash.database.reading() as db:
        held = certifying_queries.certificates_of(db, person)
    return next(one.public_id for one in held if one.cabinet_id == place)


def _appeal(wash: Maker, name: str, grounds: str, at: datetime) -> str:
    """The person appeals against what was decided against them last."""
    person = wash.member(name).id
    with wash.database.reading() as db:
        [newest, *_] = appeal_queries.adverse_of(db, person)
    filed = appeals.Filed(str(uuid.uuid4()), newest.kind, newest.public_id, grounds)
    return made("appeal", appeals.file_appeal(wash.database, filed, by=person, tools=wash.exams, now=at))
