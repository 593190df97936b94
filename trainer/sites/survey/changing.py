"""A sheet with some of its fields set anew, to see whether a mend does what it promises."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from trainer.sites.sheet import SiteSheet
from trainer.sites.survey.results import Amount, Change


def changed(sheet: SiteSheet, changes: Iterable[Change]) -> SiteSheet:
    """The sheet with each change made; a body to turn away joins the others. Raises KeyError for an unknown part."""
    for one in changes:
        value = one.value.value if isinstance(one.value, Amount) else one.value
        if one.field == "turned_away":
            sheet = replace(sheet, turned_away=(*sheet.turned_away, str(value)))
            continue
        sheet = _set(sheet, one.field.split("."), None if value == "none" else value)
    return sheet


def _set(sheet: SiteSheet, path: list[str], value: Any) -> SiteSheet:
    section, *where, name = path
    made: Any
    if where:
        items = getattr(sheet, section)
        if where[0] not in {one.id for one in items}:
            raise KeyError(where[0])
        made = tuple(replace(one, **{name: value}) if one.id == where[0] else one for one in items)
    else:
        made = replace(getattr(sheet, section), **{name: value})
    return replace(sheet, **{section: made})
