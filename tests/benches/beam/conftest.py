"""Tasks of the beam bench that many tests share."""

from dataclasses import replace

import pytest

from trainer.benches import beam
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet
from trainer.sites.sheet import StandingRoom

INCH = 0.0254


@pytest.fixture(scope="session")
def make_task():
    """Makes a task of the demo wash, or of one whose entry pair has other room [in]."""

    def make(level=1, seed="a", system="us", eye="entry", room=None, **changes):
        sheet = demo_sheet()
        if room is not None:
            changes["may_stand"] = StandingRoom(room[0] * INCH, room[1] * INCH, 0.0, 0.0)
        if changes:
            eyes = tuple(replace(one, **changes) if one.id == eye else one for one in sheet.eyes)
            sheet = replace(sheet, eyes=eyes)
        fixed = {"level": str(level), "eye": eye}
        return beam.make_task(sheet, fixed, Stream(b"secret", seed), system)

    return make
