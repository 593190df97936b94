"""The tasks that a cabinet certificate covers, so that a reduction can name what it takes away."""

from __future__ import annotations

from trainer.exams.scheme import Text

OPEN_ALONE = "open_alone"

# Common practice, no source: what one does at a control cabinet of a wash, from most to least on one's own.
TASKS: dict[str, Text] = {
    OPEN_ALONE: Text("Open the cabinet alone, under lockout", "Abrir el tablero a solas, con bloqueo"),
    "open_together": Text(
        "Open the cabinet beside a second certified person",
        "Abrir el tablero junto a otra persona certificada",
    ),
    "replace_parts": Text(
        "Replace eyes, relays and terminals in it", "Cambiar ojos, relevadores y terminales en él"
    ),
    "change_settings": Text("Change delays and settings in it", "Cambiar retardos y ajustes en él"),
}
