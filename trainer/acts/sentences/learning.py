"""Sentences about lessons and drills: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.lesson.read": Sentence("Read the lesson {lesson}.", "Leyó la lección {lesson}."),
    "log.skill.mastered": Sentence(
        "Proved the skill {skill} in practice.", "Demostró la habilidad {skill} en los ejercicios."
    ),
    "log.skill.lost": Sentence(
        "Missed the skill {skill} in review; it is open again.",
        "Falló la habilidad {skill} en el repaso; vuelve a quedar pendiente.",
    ),
    "drill.not_yours": Sentence(
        "This drill was shown to somebody else. Start your own.",
        "Este ejercicio se mostró a otra persona. Empieza el tuyo.",
    ),
    "drill.unknown": Sentence(
        "There is no such drill. Start a new one.", "No existe ese ejercicio. Empieza uno nuevo."
    ),
    "drill.changed": Sentence(
        "The question was changed since it was shown. Nothing was counted; take the next one.",
        "La pregunta cambió desde que se mostró. No se contó nada; sigue con la próxima.",
    ),
}
