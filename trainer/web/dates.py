"""Moments as people read them: in the site's time zone and the reader's language."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_datetime

from trainer.web.house import me
from trainer.web.words import language


def day_words(moment: datetime, time_zone: str | None = None) -> str:
    """The day, such as `March 8, 2026`."""
    return format_date(_local(moment, time_zone), "long", locale=language())


def date_words(day: date) -> str:
    """A day that has no time of day, such as the last day of a deadline."""
    return format_date(day, "long", locale=language())


def moment_words(moment: datetime, time_zone: str | None = None) -> str:
    """Day and time of day."""
    return format_datetime(_local(moment, time_zone), "medium", locale=language())


def _local(moment: datetime, time_zone: str | None) -> datetime:
    return moment.astimezone(ZoneInfo(time_zone or me().time_zone))
