"""Sentences about exams: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.exam.started": Sentence(
        "Started the exam {scheme}, version {version}.", "Empezó el examen {scheme}, versión {version}."
    ),
    "log.exam.answered": Sentence(
        "Answered question {slot}, revision {revision}.", "Respondió la pregunta {slot}, revisión {revision}."
    ),
    "log.exam.acted": Sentence(
        "Did step {revision} on the bench of question {slot}.",
        "Hizo el paso {revision} en el banco de práctica de la pregunta {slot}.",
    ),
    "log.exam.closed": Sentence(
        "The exam was closed with {right} of {items} right.",
        "El examen se cerró con {right} de {items} correctas.",
    ),
    "exam.unknown": Sentence("There is no such exam.", "No existe ese examen."),
    "exam.unknown_scheme": Sentence("There is no such exam here.", "Aquí no existe ese examen."),
    "exam.not_yours": Sentence(
        "This exam belongs to somebody else. Open your own.", "Este examen es de otra persona. Abre el tuyo."
    ),
    "exam.closed": Sentence(
        "The exam is closed; nothing can be changed any more.",
        "El examen está cerrado; ya no se puede cambiar nada.",
    ),
    "exam.late": Sentence(
        "The time was up when this reached the server, so it does not count.",
        "El tiempo ya había terminado cuando esto llegó al servidor, así que no cuenta.",
    ),
    "exam.unknown_slot": Sentence("This exam has no such question.", "Este examen no tiene esa pregunta."),
    "exam.revision_unknown": Sentence(
        "This answer carries no number that can stand. Load the page again and save once more.",
        "Esta respuesta trae un número que no vale. Vuelve a cargar la página y guarda otra vez.",
    ),
    "exam.revision_taken": Sentence(
        "Another answer was saved from somewhere else in the meantime. Look at it here; save again to change it.",
        "Mientras tanto se guardó otra respuesta desde otro lugar. Mírala aquí y guarda otra vez si quieres cambiarla.",
    ),
    "exam.answer_too_long": Sentence(
        "The answer is too long. Write it shorter.", "La respuesta es demasiado larga. Escríbela más corta."
    ),
    "exam.answer_not_text": Sentence(
        "There are characters in it that cannot be kept. Type the answer again.",
        "Tiene caracteres que no se pueden guardar. Escribe la respuesta otra vez.",
    ),
    "exam.bench_slot": Sentence(
        "This is a bench: what counts is what you do on it, step by step.",
        "Este es un banco de práctica: cuenta lo que haces en él, paso por paso.",
    ),
    "exam.not_bench": Sentence(
        "This question is not a bench. Load the page again and answer it there.",
        "Esta pregunta no es un banco de práctica. Vuelve a cargar la página y respóndela ahí.",
    ),
    "exam.bench_done": Sentence(
        "You have ended this bench; nothing can be added or taken back. Go on to the next question.",
        "Ya terminaste este banco de práctica; no se le puede agregar ni quitar nada. Sigue con la próxima pregunta.",
    ),
    "exam.out_of_step": Sentence(
        "This bench went on somewhere else, on another page or tablet. Load this page again and go on from there.",
        "Este banco de práctica siguió en otro lugar, en otra página o tableta. Vuelve a cargar esta página y sigue "
        "desde ahí.",
    ),
    "exam.too_many_acts": Sentence(
        "This bench has as many steps as one may have in an exam. Go on to the next question.",
        "Este banco de práctica ya tiene todos los pasos que puede tener en un examen. Sigue con la próxima pregunta.",
    ),
    "exam.bench_changed": Sentence(
        "This bench was changed while your exam was open. Your exam counts neither for nor against you.",
        "Este banco de práctica cambió mientras tu examen estaba abierto. El examen no cuenta ni a favor ni en contra.",
    ),
    "exam.no_such_act": Sentence(
        "This cannot be done here. Load the page again.",
        "Eso no se puede hacer aquí. Vuelve a cargar la página.",
    ),
    "exam.no_bench_task": Sentence(
        "This exam has a bench for which your site's sheet gives no task. Tell your trainer.",
        "Este examen tiene un banco de práctica para el que la hoja de tu sitio no da una tarea. Avísale a tu instructor.",
    ),
    "exam.one_open": Sentence(
        "You have an exam open. Finish that one first.", "Tienes un examen abierto. Termina ese primero."
    ),
    "exam.still_valid": Sentence(
        "You have passed this exam and it still counts.", "Ya aprobaste este examen y todavía vale."
    ),
    "exam.tries_used": Sentence(
        "You have used all your tries for now.", "Por ahora ya usaste todos tus intentos."
    ),
    "exam.wait": Sentence(
        "There is a wait between two tries. Use it to practise.",
        "Entre dos intentos hay una espera. Úsala para practicar.",
    ),
    "exam.skills_open": Sentence(
        "Some skills must be proven in practice first.",
        "Primero hay que demostrar algunas habilidades en los ejercicios.",
    ),
    "exam.no_sheet": Sentence(
        "Your site has no site sheet yet. Ask your trainer.",
        "Tu sitio todavía no tiene hoja del sitio. Pregúntale a tu instructor.",
    ),
    "exam.too_few_questions": Sentence(
        "There are too few questions for this exam at your site. Tell your trainer.",
        "Hay muy pocas preguntas para este examen en tu sitio. Avísale a tu instructor.",
    ),
    "exam.under_cut": Sentence(
        "Fewer right answers than the exam asks for.", "Menos respuestas correctas de las que pide el examen."
    ),
    "exam.critical_missed": Sentence(
        "An answer was missing or wrong in something that nothing makes up for.",
        "Faltó una respuesta o estuvo mal en algo que nada compensa.",
    ),
    "exam.question_changed": Sentence(
        "A question was changed while the exam was open, so it counts neither for nor against you. Start a new one.",
        "Una pregunta cambió mientras el examen estaba abierto; no cuenta ni a favor ni en contra. Empieza otro.",
    ),
    "exam.replay_result": Sentence(
        "The result worked out again is not the one on record.",
        "El resultado calculado otra vez no es el registrado.",
    ),
    "exam.replay_passed": Sentence(
        "Right answers or pass on record do not follow from the answers.",
        "Los aciertos o la aprobación registrados no salen de las respuestas.",
    ),
    "exam.replay_answers": Sentence(
        "The answers on record are not those in the log.",
        "Las respuestas registradas no son las del registro.",
    ),
}
