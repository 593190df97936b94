"""Writing measured values into a site sheet's text, with everything else, comments too, left as people wrote it."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.documents import rewritten


def with_measurements(text: str, measured: Mapping[str, str]) -> str:
    """The sheet's text with each value at its field: `bay.width`, or `eyes.entry.low` for an item of a list by its id.

    text: a sheet that `read_sheet` reads; measured: each value as a sheet has it (`11 ft 10 1/2 in`, `driver`)
    Raises KeyError for an eye or an application that the sheet does not have.
    """
    return rewritten(text, {tuple(field.split(".")): value for field, value in measured.items()})
