"""The aiming bench: two heads on swivels that look askew; a string, then the signal, brings both into line."""

from __future__ import annotations

from trainer.benches.aiming.debrief import debrief
from trainer.benches.aiming.scoring import best, score
from trainer.benches.aiming.showing import show
from trainer.benches.aiming.task import make_task, options
from trainer.benches.aiming.walk import is_over, kinds, refusal
from trainer.benches.frame import Card
from trainer.sites.said import Said

CARD = Card(
    id="aiming",
    version=1,
    title=Said("Aiming bench", "Banco de puntería"),
    purpose=Said(
        "Aim both heads of a pair: by a string first, then by the signal.",
        "Apuntar los dos cabezales de un par: primero con hilo, luego con la señal.",
    ),
    minutes=12,
    skills=("mounting.aim", "faults.look_clean_aim"),
)

__all__ = [
    "CARD", "best", "debrief", "is_over", "kinds", "make_task", "options", "refusal", "score", "show",
]  # fmt: skip
