"""Sentences about a site's own questions: the steps of their life, and why a step may not be taken."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.question.begun": Sentence("Began the question {question}.", "Empezó la pregunta {question}."),
    "log.question.submitted": Sentence(
        "Gave version {version} of {question} to be read by somebody else.",
        "Entregó la versión {version} de {question} para que otra persona la lea.",
    ),
    "log.question.returned": Sentence(
        "Gave version {version} of {question} back to be changed.",
        "Devolvió la versión {version} de {question} para cambiarla.",
    ),
    "log.question.reviewed": Sentence(
        "Read version {version} of {question} and let it be tried out.",
        "Leyó la versión {version} de {question} y la dejó a prueba.",
    ),
    "log.question.published": Sentence(
        "Put version {version} of {question} into use.", "Puso en uso la versión {version} de {question}."
    ),
    "log.question.retired": Sentence(
        "Took version {version} of {question} out of use.", "Retiró la versión {version} de {question}."
    ),
    "question.unknown": Sentence("There is no such question here.", "Aquí no existe esa pregunta."),
    "question.name_taken": Sentence(
        "There is a question of this name already. Choose other words.",
        "Ya existe una pregunta con ese nombre. Elige otras palabras.",
    ),
    "question.changed_meanwhile": Sentence(
        "Somebody else has saved this question since you opened it. Your text is below; copy what you need, then open "
        "the question again.",
        "Otra persona guardó esta pregunta después de que la abriste. Tu texto está abajo; copia lo que necesites y "
        "abre la pregunta otra vez.",
    ),
    "question.other_state": Sentence(
        "The question does not stand where this step begins. Open it again to see where it stands.",
        "La pregunta no está en el punto donde empieza este paso. Ábrela otra vez para ver en qué punto está.",
    ),
    "question.own_work": Sentence(
        "Somebody who did not write on it has to read it.",
        "La tiene que leer alguien que no la haya escrito.",
    ),
    "question.not_proven": Sentence(
        "The check found something. It has to be mended first.",
        "La revisión encontró algo. Primero hay que arreglarlo.",
    ),
    "question.say_why": Sentence("Say why, in a few words.", "Di por qué, en pocas palabras."),
    "photo.nothing": Sentence(
        "There is nothing in that file. Choose the photo again, or take it anew.",
        "Ese archivo está vacío. Elige la foto otra vez, o tómala de nuevo.",
    ),
    "photo.too_large": Sentence(
        "That photo is larger than 12 MB. Take it with the phone's camera at its usual size.",
        "Esa foto pasa de 12 MB. Tómala con la cámara del teléfono en su tamaño normal.",
    ),
    "photo.other_kind": Sentence(
        "That is no JPEG, PNG or WebP picture. Take the photo with the phone's camera, or save it as JPEG first.",
        "Eso no es una imagen JPEG, PNG ni WebP. Toma la foto con la cámara del teléfono, o guárdala antes como JPEG.",
    ),
    "photo.too_many_pixels": Sentence(
        "That picture has too many pixels: 60 million at most as JPEG, 25 million as PNG or WebP. Make it smaller first.",
        "Esa imagen tiene demasiados píxeles: a lo más 60 millones en JPEG, 25 millones en PNG o WebP. Hazla más pequeña antes.",
    ),
    "photo.broken": Sentence(
        "That photo breaks off or is damaged. Choose it again, or take it anew.",
        "Esa foto está cortada o dañada. Elígela otra vez, o tómala de nuevo.",
    ),
}
