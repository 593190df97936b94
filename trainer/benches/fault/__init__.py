"""The fault bench: a loop that sees wrong, tests that take minutes, and the fewest of them that prove what ails it.

The solver's model stands behind it: one of the listed faults is there, a test always says the same, and the search goes
on until the fault is known or no test can tell more. A test that needs power is counted without the minutes of giving
it back once it is locked out; the words say what giving it back takes.
"""

from trainer.benches.fault.debriefing import debrief
from trainer.benches.fault.run import best, is_over, score
from trainer.benches.fault.showing import kinds, refusal, show
from trainer.benches.fault.task import make_task, options
from trainer.benches.frame import Card
from trainer.sites.said import Said

CARD = Card(
    id="fault",
    version=1,
    title=Said("Fault bench: find what ails the eye", "Banco de fallas: halla lo que tiene el ojo"),
    purpose=Said(
        "Choose the next test well, prove the fault in few minutes, and stop at the cabinet door until it "
        "is locked out.",
        "Elige bien la prueba siguiente, comprueba la falla en pocos minutos y detente en la puerta del "
        "tablero hasta bloquear.",
    ),
    minutes=8,
    skills=(
        "faults.read_symptom",
        "faults.look_clean_aim",
        "faults.split_loop",
        "faults.swap_heads",
        "faults.find_by_resistance",
        "faults.stop_at_permission",
    ),
)

__all__ = [
    "CARD", "best", "debrief", "is_over", "kinds", "make_task", "options", "refusal", "score", "show",
]  # fmt: skip
