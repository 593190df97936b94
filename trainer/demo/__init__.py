"""The invented wash and its people, made through the acts themselves, each at its own moment in the past."""

from __future__ import annotations

from datetime import datetime, timedelta

from trainer.acts import keys, sites
from trainer.config import Config
from trainer.demo import cases
from trainer.demo.maker import CAST, PASSWORD, Content, Maker, SignIn
from trainer.records.database import Database
from trainer.sites import demo_sheet, demo_text

__all__ = ["CAST", "PASSWORD", "Content", "Maker", "SignIn", "build"]

LAPSES_IN = timedelta(days=30)


def build(database: Database, config: Config, content: Content, now: datetime) -> list[SignIn]:
    """Fill an empty installation; gives how to sign in."""
    start = now - timedelta(days=420)
    keys.keep_key(database, config.signing_key, config.address, start)
    site_id = sites.open_site(database, sheet=demo_sheet(), text=demo_text(), now=start)
    wash = Maker(database, config, content, site_id)
    for one in CAST:
        wash.enrol(one, start)
    wash.freeze(start)
    wash.qualify("dale", "Lead technician here for nine years.", start)
    wash.qualify("greta", "Maintains the pumps and took over the conveyor two years ago.", start)
    months = wash.scheme.certificate_months
    granted = now - timedelta(days=round(months * 30.44)) + LAPSES_IN
    wash.certified("pilar", granted)
    cases.second_observer(wash, "pilar", granted + timedelta(days=3))
    cases.suspended_and_lifted(wash, "pilar", now - timedelta(days=200))
    cases.inspected(wash, "pilar", now - timedelta(days=100))
    cases.withdrawn_and_appealed(wash, "pilar", now - timedelta(days=60))
    cases.threat(wash, now - timedelta(days=40))
    wash.ready("omar", now - timedelta(days=12))
    cases.refused_and_appealing(wash, "omar", now - timedelta(days=8))
    wash.half_way("june", now - timedelta(hours=20))
    wash.work_bench("june", "delay", now - timedelta(hours=12))
    wash.give_bench(
        "rico", "beam", "Set both heads so that the low cars are seen too.", now - timedelta(hours=3)
    )
    return list(CAST)
