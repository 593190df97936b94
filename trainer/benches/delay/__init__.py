"""The delay bench: an eye's two delays are set on a part of a recording and scored on all of it."""

from __future__ import annotations

from trainer.benches.acts import Option, Pick
from trainer.benches.delay import words
from trainer.benches.delay.recording import counting_eyes, make_task
from trainer.benches.delay.scoring import best, is_over, kinds, refusal, score
from trainer.benches.delay.showing import show
from trainer.benches.delay.telling import debrief
from trainer.benches.frame import Card
from trainer.sites.said import Said
from trainer.sites.sheet import SiteSheet

CARD = Card(
    id="delay",
    version=1,
    title=words.TITLE,
    purpose=words.PURPOSE,
    minutes=6,
    skills=("delays.on_delay", "delays.off_delay", "delays.window"),
)


def options(sheet: SiteSheet) -> tuple[Pick, ...]:
    """How hard it is, and which of the eyes that count."""
    levels = tuple(Option(level, said) for level, said in words.LEVELS.items())
    eyes = tuple(Option(one.id, Said(one.name["en"], one.name["es"])) for one in counting_eyes(sheet))
    return Pick("level", words.LEVEL, levels), Pick("eye", words.EYE, eyes)


__all__ = ["CARD", "best", "debrief", "is_over", "kinds", "make_task", "options", "refusal", "score", "show"]
