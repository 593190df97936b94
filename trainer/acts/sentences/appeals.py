"""Sentences about appeals, yearly inspections of procedures and threats to impartiality."""

from trainer.acts.sentences.sentence import Sentence

LOGGED: dict[str, Sentence] = {
    "log.appeal.filed": Sentence(
        "Filed an appeal; the evidence was frozen.", "Presentó una apelación; la evidencia quedó congelada."
    ),
    "log.appeal.taken": Sentence("Took on an appeal.", "Se hizo cargo de una apelación."),
    "log.appeal.upheld": Sentence("Upheld an appeal.", "Dio la razón en una apelación."),
    "log.appeal.partly": Sentence("Upheld an appeal in part.", "Dio la razón en parte en una apelación."),
    "log.appeal.not_upheld": Sentence("Did not uphold an appeal.", "No dio la razón en una apelación."),
    "log.procedure.inspected": Sentence(
        "Wrote down the inspection of the lockout procedure of {machine} on {day}.",
        "Anotó la inspección del procedimiento de bloqueo de {machine} del {day}.",
    ),
    "log.threat.written": Sentence(
        "Wrote down a threat to impartiality.", "Anotó un riesgo para la imparcialidad."
    ),
    "log.threat.reviewed": Sentence(
        "Looked again at a threat to impartiality; next review by {review}.",
        "Revisó un riesgo para la imparcialidad; próxima revisión a más tardar el {review}.",
    ),
    "log.threat.closed": Sentence(
        "Closed a threat to impartiality.", "Cerró un riesgo para la imparcialidad."
    ),
}

REFUSALS: dict[str, Sentence] = {
    "appeal.nothing_adverse": Sentence(
        "There is nothing here to appeal against.", "Aquí no hay nada contra qué apelar."
    ),
    "appeal.not_yours": Sentence(
        "This is about somebody else. Only they can appeal, or a manager who writes down their letter.",
        "Esto es sobre otra persona. Solo ella puede apelar, o un gerente que anote su carta.",
    ),
    "appeal.no_grounds": Sentence(
        "Write why it should be looked at again.", "Escribe por qué se debe revisar otra vez."
    ),
    "appeal.twice": Sentence("There is an appeal against this already.", "Ya hay una apelación contra esto."),
    "appeal.too_late": Sentence(
        "The time to appeal is over: it ends 30 days after the act. Speak with your manager.",
        "Ya pasó el tiempo para apelar: son 30 días después del acto. Habla con tu gerente.",
    ),
    "appeal.decided": Sentence(
        "This appeal is decided. It is not decided twice.",
        "Esta apelación ya se decidió. No se decide dos veces.",
    ),
    "appeal.not_taken": Sentence(
        "Nobody has taken this appeal on. Take it on first.",
        "Nadie se ha hecho cargo de esta apelación. Primero hay que hacerse cargo.",
    ),
    "appeal.no_outcome": Sentence(
        "Say whether the appeal is upheld, upheld in part or not upheld.",
        "Di si se da la razón, se da en parte o no se da.",
    ),
    "appeal.no_reason": Sentence(
        "Write the reason. The person reads it.", "Escribe la razón. La persona la lee."
    ),
    "handler.no_right": Sentence(
        "Only a manager or the administrator hears an appeal.",
        "Solo un gerente o el administrador atiende una apelación.",
    ),
    "handler.is_person": Sentence(
        "Nobody hears their own appeal. Ask somebody else.",
        "Nadie atiende su propia apelación. Pide a otra persona.",
    ),
    "handler.not_independent": Sentence(
        "You trained, observed, invigilated, decided or changed something about this person. Somebody who did none of "
        "that must hear the appeal: another manager, or the administrator.",
        "Tú capacitaste, observaste, vigilaste un examen, decidiste o cambiaste algo sobre esta persona. La apelación la "
        "debe atender alguien que no hizo nada de eso: otro gerente, o el administrador.",
    ),
    "handler.other": Sentence(
        "Somebody else hears this appeal. Take it over first, or leave it to them.",
        "Otra persona atiende esta apelación. Primero hazte cargo, o déjasela.",
    ),
    "inspection.no_right": Sentence(
        "Only a trainer or a manager writes down an inspection.",
        "Solo un instructor o un gerente anota una inspección.",
    ),
    "inspection.nobody_included": Sentence(
        "Tick the employees that the inspection included.", "Marca a los empleados que incluyó la inspección."
    ),
    "inspection.nobody_used": Sentence(
        "Tick who was using the procedure while it was inspected.",
        "Marca quién usaba el procedimiento mientras se inspeccionaba.",
    ),
    "inspection.used_not_included": Sentence(
        "Whoever used the procedure was included, too. Tick them in both lists.",
        "Quien usó el procedimiento también quedó incluido. Márcalo en las dos listas.",
    ),
    "inspection.inspector_used": Sentence(
        "Nobody inspects a procedure that they are using. Name another inspector.",
        "Nadie inspecciona un procedimiento que está usando. Nombra a otro inspector.",
    ),
    "inspection.inspector_not_authorized": Sentence(
        "The inspector must be an authorized employee: somebody who may open a cabinet of this site now.",
        "El inspector debe ser un empleado autorizado: alguien que ahora pueda abrir un tablero de este sitio.",
    ),
    "inspection.future": Sentence(
        "That day has not come yet. Write the inspection down once it is done.",
        "Ese día todavía no llega. Anota la inspección cuando esté hecha.",
    ),
    "inspection.too_long_ago": Sentence(
        "That is more than a year back. Check the date.", "Eso fue hace más de un año. Revisa la fecha."
    ),
    "threat.no_right": Sentence(
        "Only a manager keeps this register.", "Solo un gerente lleva este registro."
    ),
    "threat.nothing_said": Sentence("Write what the threat is.", "Escribe cuál es el riesgo."),
    "threat.no_treatment": Sentence("Write what is done about it.", "Escribe qué se hace al respecto."),
    "threat.no_owner": Sentence(
        "Name somebody of this site who looks after it.", "Nombra a alguien de este sitio que lo atienda."
    ),
    "threat.review_past": Sentence(
        "The next review must be on a later day.", "La próxima revisión debe ser en un día posterior."
    ),
    "threat.review_far": Sentence(
        "The next review is at most a year away. Give an earlier day.",
        "La próxima revisión es a lo más en un año. Pon un día más cercano.",
    ),
}

SENTENCES: dict[str, Sentence] = {**LOGGED, **REFUSALS}
