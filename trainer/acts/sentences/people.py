"""Sentences about people: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.site.opened": Sentence("The site was set up.", "Se creó el sitio."),
    "log.sheet.saved": Sentence(
        "Saved version {version} of the site sheet.", "Guardó la versión {version} de la hoja del sitio."
    ),
    "log.sheet.measured": Sentence(
        "Saved {numbers} measured numbers as version {version} of the site sheet.",
        "Guardó {numbers} números medidos como versión {version} de la hoja del sitio.",
    ),
    "log.sheet.walk_dropped": Sentence(
        "Threw away {numbers} measured numbers that were not saved yet.",
        "Desechó {numbers} números medidos que aún no se guardaban.",
    ),
    "measure.changed_meanwhile": Sentence(
        "Somebody else measured this meanwhile. Look at their number, then send yours again if you mean it.",
        "Mientras tanto, otra persona midió esto. Mira su número y envía el tuyo otra vez si va en serio.",
    ),
    "measure.nothing": Sentence(
        "Nothing is measured yet, so there is nothing to save.",
        "Todavía no hay nada medido, así que no hay nada que guardar.",
    ),
    "measure.changed_since_read": Sentence(
        "The sheet or a number changed after you opened this page. Nothing was saved; read it again.",
        "La hoja o un número cambió después de que abriste esta página. No se guardó nada; léela otra vez.",
    ),
    "log.person.enrolled": Sentence("Enrolled as {role}.", "Inscrito como {role}."),
}
