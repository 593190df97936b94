"""Sentences about exams that are scored again after a key changed: log entries and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.exam.rescored": Sentence(
        "Scored an exam again after a change of {question}: {right} of {items} right now.",
        "Calificó un examen otra vez después de un cambio de {question}: ahora {right} de {items} correctas.",
    ),
    "log.exam.rescore_seen": Sentence(
        "Read that an exam was scored again.", "Leyó que un examen se calificó otra vez."
    ),
    "rescore.no_right": Sentence(
        "A trainer or manager of the site decides this.", "Esto lo decide un instructor o gerente del sitio."
    ),
    "rescore.key_changed": Sentence(
        "A newer version came into use since you opened this page. Open it again and look at whom it touches now.",
        "Desde que abriste esta página se puso en uso una versión más nueva. Ábrela otra vez y mira a quién afecta ahora.",
    ),
    "rescore.say_why": Sentence(
        "Say why. Everybody whose exam changes reads it.",
        "Di por qué. Lo lee cada persona cuyo examen cambia.",
    ),
    "rescore.nobody": Sentence("Nobody's exam would change.", "No cambiaría el examen de nadie."),
    "rescore.own": Sentence(
        "Only your own exam is left. Somebody else decides about that.",
        "Solo queda tu propio examen. Sobre ese decide otra persona.",
    ),
    "rescore.unsound": Sentence(
        "An exam worked out again does not give the result on record. Look at its evidence first; nothing was changed.",
        "Un examen calculado otra vez no da el resultado registrado. Revisa primero su evidencia; no se cambió nada.",
    ),
    "exam.replay_rescore": Sentence(
        "A result that was scored again does not follow from its marks.",
        "Un resultado calificado otra vez no sale de sus marcas.",
    ),
}
