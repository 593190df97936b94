"""The beam bench: hang both heads so that every vehicle is seen once and whole, wherever in the lane it stands."""

from __future__ import annotations

from trainer.benches.beam.debriefing import debrief
from trainer.benches.beam.playing import is_over, kinds, refusal
from trainer.benches.beam.scoring import best, score
from trainer.benches.beam.showing import show
from trainer.benches.beam.task import make_task, options
from trainer.benches.frame import Card
from trainer.sites.said import Said

CARD = Card(
    id="beam",
    version=1,
    title=Said("Beam bench", "Banco del haz"),
    purpose=Said(
        "Choose heights and sides so that every vehicle is seen once and whole.",
        "Escoger alturas y lados para que cada vehículo se vea una vez y entero.",
    ),
    minutes=10,
    skills=("mounting.beam_heights", "mounting.out_of_sun"),
)

__all__ = [
    "CARD", "best", "debrief", "is_over", "kinds", "make_task", "options", "refusal", "score", "show",
]  # fmt: skip
