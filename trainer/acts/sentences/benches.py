"""Sentences about benches: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.bench.ended": Sentence(
        "Finished the bench {bench}, level {level}, with {points} of 100 points.",
        "Terminó el banco de práctica {bench}, nivel {level}, con {points} de 100 puntos.",
    ),
    "log.bench.given": Sentence(
        "Was given a task on the bench {bench}, level {level}.",
        "Recibió una tarea en el banco de práctica {bench}, nivel {level}.",
    ),
    "log.bench.withdrawn": Sentence(
        "A task on the bench {bench} was taken back.", "Se retiró una tarea del banco de práctica {bench}."
    ),
    "bench.unknown": Sentence("There is no such bench. Pick one from the list.", "No existe ese banco de práctica. Elige uno de la lista."),
    "bench.unknown_run": Sentence("There is no such run. Start a new one.", "No existe ese intento. Empieza uno nuevo."),
    "bench.not_yours": Sentence(
        "This run belongs to somebody else. Start your own.", "Este intento es de otra persona. Empieza el tuyo."
    ),
    "bench.changed": Sentence(
        "The bench was changed since this run began, so it cannot go on. Start a new one.",
        "El banco de práctica cambió desde que empezó este intento, así que no puede seguir. Empieza uno nuevo.",
    ),
    "bench.over": Sentence(
        "This run is over; nothing can be added. Start a new one to try again.",
        "Este intento ya terminó; no se le puede agregar nada. Empieza uno nuevo para probar otra vez.",
    ),
    "bench.out_of_step": Sentence(
        "This run went on somewhere else, on another page or tablet. Load this page again and go on from there.",
        "Este intento siguió en otro lugar, en otra página o tableta. Vuelve a cargar esta página y sigue desde ahí.",
    ),
    "bench.no_such_act": Sentence(
        "This cannot be done here. Load the page again.", "Eso no se puede hacer aquí. Vuelve a cargar la página."
    ),
    "bench.too_many": Sentence(
        "This run has as many steps as one may have. Start a new one.",
        "Este intento ya tiene todos los pasos que puede tener. Empieza uno nuevo.",
    ),
    "bench.no_option": Sentence(
        "That choice is not to be had with your site's sheet. Choose again.",
        "Esa opción no existe con la hoja de tu sitio. Elige otra vez.",
    ),
    "bench.no_task": Sentence(
        "Your site's sheet does not give what this bench needs.",
        "La hoja de tu sitio no tiene lo que este banco de práctica necesita.",
    ),
    "bench.given_unknown": Sentence(
        "There is no such task at your site.", "En tu sitio no existe esa tarea."
    ),
    "bench.given_not_yours": Sentence(
        "This task was given to somebody else. Open your own.", "Esta tarea es de otra persona. Abre la tuya."
    ),
    "bench.given_withdrawn": Sentence(
        "Your trainer took this task back. You need not do it.",
        "Tu instructor retiró esta tarea. Ya no tienes que hacerla.",
    ),
    "bench.may_not_give": Sentence(
        "Only trainers and managers give tasks. Nothing was changed.",
        "Solo los instructores y gerentes dan tareas. No se cambió nada.",
    ),
    "bench.person_unknown": Sentence(
        "This person is not at your site. Pick one from the list.",
        "Esta persona no es de tu sitio. Elige a otra de la lista.",
    ),
    "bench.note_too_long": Sentence(
        "The note is too long. Write it in 500 characters or fewer.",
        "La nota es muy larga. Escríbela en 500 caracteres o menos.",
    ),
    "bench.note_not_text": Sentence(
        "There are characters in the note that cannot be kept. Type it again.",
        "La nota tiene caracteres que no se pueden guardar. Escríbela otra vez.",
    ),
    "bench.due_past": Sentence(
        "That day is past. Pick a later one, or leave it out.",
        "Esa fecha ya pasó. Elige una posterior o déjala vacía.",
    ),
    "bench.replay_task": Sentence(
        "The task worked out again is not the one that was shown.",
        "La tarea calculada otra vez no es la que se mostró.",
    ),
    "bench.replay_score": Sentence(
        "The points on record do not follow from what was done.",
        "Los puntos registrados no salen de lo que se hizo.",
    ),
    "bench.replay_log": Sentence(
        "What is on record is not what the log says.", "Lo registrado no es lo que dice el registro."
    ),
}  # fmt: skip
