"""The lockout bench: a machine's own energy sources, and the procedure that lets hands in, laid card by card.

Which order is right is the solver's to say: every order that keeps each constraint has full points. Nothing makes good
a verification that is missing or early, work without a lock, or another's lock taken off.
"""

from trainer.benches.frame import Card
from trainer.benches.lockout.cards import kinds
from trainer.benches.lockout.debriefing import debrief
from trainer.benches.lockout.play import is_over, refusal
from trainer.benches.lockout.scoring import best, score
from trainer.benches.lockout.showing import show
from trainer.benches.lockout.task import make_task, options
from trainer.sites.said import Said

CARD = Card(
    id="lockout",
    version=1,
    title=Said(
        "Lockout bench: let no energy reach a hand", "Banco de bloqueo: que ninguna energía llegue a la mano"
    ),
    purpose=Said(
        "Lock out a machine of your site, prove zero, work, and give it back, in an order that keeps every rule.",
        "Bloquea una máquina de tu sitio, comprueba el cero, trabaja y devuélvela, en un orden que cumple cada regla.",
    ),
    minutes=10,
    skills=(
        "lockout.energy_sources",
        "lockout.isolate_or_control",
        "lockout.order_of_steps",
        "lockout.lock_and_tag",
        "lockout.stored_charge",
        "lockout.verify_zero",
        "lockout.give_back",
    ),
)

__all__ = [
    "CARD", "best", "debrief", "is_over", "kinds", "make_task", "options", "refusal", "score", "show",
]  # fmt: skip
