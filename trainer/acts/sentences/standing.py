"""Sentences about what happens to a certificate after it was issued, and about changes of machines."""

from trainer.acts.sentences.sentence import Sentence

LOGGED: dict[str, Sentence] = {
    "log.certificate.suspended": Sentence("Suspended a certificate.", "Suspendió un certificado."),
    "log.certificate.lifted": Sentence(
        "Lifted a suspension of a certificate.", "Levantó la suspensión de un certificado."
    ),
    "log.certificate.reduced": Sentence(
        "Reduced the scope of a certificate.", "Redujo el alcance de un certificado."
    ),
    "log.workplace.machine_changed": Sentence(
        "Wrote down that the machine {machine} changed, since {since}.",
        "Anotó que la máquina {machine} cambió, desde {since}.",
    ),
    "log.workplace.procedure_changed": Sentence(
        "Wrote down that the lockout procedure of {machine} changed, since {since}.",
        "Anotó que el procedimiento de bloqueo de {machine} cambió, desde {since}.",
    ),
}

LACKED: dict[str, Sentence] = {
    "certificate.suspended": Sentence("The certificate is suspended.", "El certificado está suspendido."),
    "certificate.reduced": Sentence(
        "The certificate was reduced: it no longer covers opening the cabinet alone.",
        "El certificado se redujo: ya no cubre abrir el tablero a solas.",
    ),
    "change.machine": Sentence(
        "The machine has changed since the practical: retrain, observe a new practical, then lift the suspension.",
        "La máquina cambió después de la práctica: hay que capacitar de nuevo, observar una práctica nueva y levantar "
        "la suspensión.",
    ),
    "change.procedure": Sentence(
        "The lockout procedure has changed since the practical: retrain, observe a new practical, then lift the "
        "suspension.",
        "El procedimiento de bloqueo cambió después de la práctica: hay que capacitar de nuevo, observar una práctica "
        "nueva y levantar la suspensión.",
    ),
    "practical.before_reduction": Sentence(
        "The scope was reduced since the practical: observe a new practical first.",
        "El alcance se redujo después de la práctica: primero hay que observar una práctica nueva.",
    ),
    "practical.before_change": Sentence(
        "The machine or its procedure has changed since the practical: observe a new practical first.",
        "La máquina o su procedimiento cambió después de la práctica: primero hay que observar una práctica nueva.",
    ),
    "decision.suspended": Sentence(
        "The certificate is suspended. Lift the suspension or withdraw the certificate before you grant again.",
        "El certificado está suspendido. Levanta la suspensión o retira el certificado antes de conceder otra vez.",
    ),
}

REFUSALS: dict[str, Sentence] = {
    "certificate.not_running": Sentence(
        "This certificate has run out or was withdrawn, so nothing can be taken from it.",
        "Este certificado venció o fue retirado, así que ya no se le puede quitar nada.",
    ),
    "suspension.no_reason": Sentence(
        "Write the reason. The person reads it, and may appeal against it.",
        "Escribe la razón. La persona la lee y puede apelar.",
    ),
    "reduction.no_reason": Sentence(
        "Write the reason. The person reads it, and may appeal against it.",
        "Escribe la razón. La persona la lee y puede apelar.",
    ),
    "reduction.nothing": Sentence(
        "Tick at least one task that the certificate still covers.",
        "Marca al menos una tarea que el certificado todavía cubra.",
    ),
    "reduction.everything": Sentence(
        "Nothing would be left of it. Suspend or withdraw it instead.",
        "No quedaría nada. Suspéndelo o retíralo en su lugar.",
    ),
    "lift.not_suspended": Sentence(
        "This suspension is no longer open. Go back and look at the certificate again.",
        "Esta suspensión ya no está abierta. Regresa y mira otra vez el certificado.",
    ),
    "lift.overlaps": Sentence(
        "You trained or observed this person. Ask another manager to lift the suspension.",
        "Tú capacitaste u observaste a esta persona. Pide a otro gerente que levante la suspensión.",
    ),
    "lift.no_retraining": Sentence(
        "No practical on this machine was passed since the change. Retrain the person and observe a new practical first.",
        "No hay práctica aprobada en esta máquina después del cambio. Primero capacita a la persona y observa una "
        "práctica nueva.",
    ),
    "lift.no_reason": Sentence(
        "Write why the certificate may count again.", "Escribe por qué el certificado puede valer otra vez."
    ),
    "change.nothing_said": Sentence("Write what changed.", "Escribe qué cambió."),
    "change.future": Sentence(
        "A change is written down once it holds. Give a moment that is not in the future.",
        "Un cambio se anota cuando ya vale. Pon un momento que no esté en el futuro.",
    ),
    "change.too_long_ago": Sentence(
        "That is more than a year back. Check the date.", "Eso fue hace más de un año. Revisa la fecha."
    ),
}

SENTENCES: dict[str, Sentence] = {**LOGGED, **LACKED, **REFUSALS}
