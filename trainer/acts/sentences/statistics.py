"""Sentences about how questions do: log entries of looks, flags and decisions, and why a decision may not be taken."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.questions.looked_at": Sentence(
        "Looked at how the questions do, on {answers} answers; flagged {flagged}.",
        "Revisó cómo funcionan las preguntas, con {answers} respuestas; marcó {flagged}.",
    ),
    "log.question.flagged": Sentence(
        "Took version {version} of {question} out of scored use until somebody decides, on {answers} answers.",
        "Sacó la versión {version} de {question} de lo que cuenta hasta que alguien decida, con {answers} respuestas.",
    ),
    "log.question.flag_kept": Sentence(
        "Put version {version} of {question} back into scored use.",
        "Devolvió la versión {version} de {question} a lo que cuenta.",
    ),
    "log.question.flag_out": Sentence(
        "Left version {version} of {question} out of scored use.",
        "Dejó la versión {version} de {question} fuera de lo que cuenta.",
    ),
    "exam.too_few_unflagged": Sentence(
        "There are too few questions for a form while some are out of scored use. A trainer or a manager has to decide "
        "on those first, under Questions.",
        "No alcanzan las preguntas para un examen mientras algunas no cuentan. Antes un instructor o gerente tiene que "
        "decidir sobre esas, en Preguntas.",
    ),
    "flag.unknown": Sentence("There is no such flag here.", "Aquí no existe esa marca."),
    "flag.decided": Sentence(
        "Somebody has decided on this question already.", "Alguien ya decidió sobre esta pregunta."
    ),
    "flag.own_work": Sentence(
        "Somebody who did not write the question has to decide.",
        "Tiene que decidir alguien que no haya escrito la pregunta.",
    ),
    "flag.say_why": Sentence(
        "Say why, in a few words: what did you find when you read it?",
        "Di por qué, en pocas palabras: ¿qué encontraste al leerla?",
    ),
}
