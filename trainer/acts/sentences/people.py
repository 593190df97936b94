"""Sentences about people: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.site.opened": Sentence("The site was set up.", "Se creó el sitio."),
    "log.sheet.saved": Sentence(
        "Saved version {version} of the site sheet.", "Guardó la versión {version} de la hoja del sitio."
    ),
    "log.person.enrolled": Sentence("Enrolled as {role}.", "Inscrito como {role}."),
}
