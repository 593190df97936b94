"""Sentences about sitting an exam under somebody's eye: who confirms, the one place, pauses, extra time, marks."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.exam.asked": Sentence(
        "Asked an invigilator for the exam {scheme}.", "Pidió a un vigilante el examen {scheme}."
    ),
    "log.exam.admitted": Sentence(
        "Confirmed who sits the exam {scheme}.", "Confirmó quién hace el examen {scheme}."
    ),
    "log.exam.turned_away": Sentence(
        "Turned somebody away from the exam {scheme}.", "No dejó pasar a alguien al examen {scheme}."
    ),
    "log.exam.moved": Sentence("The exam went on in another place.", "El examen siguió en otro lugar."),
    "log.exam.paused": Sentence("Stopped the clock of an exam.", "Detuvo el reloj de un examen."),
    "log.exam.resumed": Sentence(
        "The clock of an exam went on after {seconds} seconds.",
        "El reloj de un examen siguió después de {seconds} segundos.",
    ),
    "log.exam.time_given_back": Sentence(
        "Gave {seconds} seconds of an exam back.", "Devolvió {seconds} segundos de un examen."
    ),
    "log.exam.time_allowed": Sentence(
        "Approved an arrangement for a person's exams.", "Aprobó un ajuste para los exámenes de una persona."
    ),
    "log.exam.time_ended": Sentence(
        "Ended an arrangement for a person's exams.", "Terminó un ajuste para los exámenes de una persona."
    ),
    "log.exam.looked_at": Sentence(
        "Looked at a closed exam: {keys} keys of others, {bursts} bursts of changes, {fast} answers too fast.",
        "Se revisó un examen cerrado: {keys} claves de otros, {bursts} ráfagas de cambios, {fast} respuestas muy rápidas.",
    ),
    "exam.not_admitted": Sentence(
        "An invigilator has to confirm who you are first. Ask to start, then go to your trainer or manager.",
        "Primero un vigilante tiene que confirmar quién eres. Pide empezar y ve con tu instructor o gerente.",
    ),
    "exam.admitted_elsewhere": Sentence(
        "You were confirmed on another device. Start there, or ask again from here.",
        "Te confirmaron en otro aparato. Empieza ahí, o pide otra vez desde aquí.",
    ),
    "exam.signed_out": Sentence(
        "You were signed out. Sign in again; what you typed is kept on this page.",
        "Se cerró tu sesión. Entra otra vez; lo que escribiste queda en esta página.",
    ),
    "exam.elsewhere": Sentence(
        "Your exam goes on in another place now, so nothing is taken from here.",
        "Tu examen sigue ahora en otro lugar, así que de aquí no se toma nada.",
    ),
    "exam.wrong_secret": Sentence(
        "That is not what you sign in with. Type it again.",
        "Eso no es con lo que entras. Escríbelo otra vez.",
    ),
    "exam.ask_to_move": Sentence(
        "An invigilator has to agree before you go on here. Ask them.",
        "Un vigilante tiene que estar de acuerdo antes de que sigas aquí. Pídeselo.",
    ),
    "exam.paused": Sentence(
        "The clock of your exam stands. Nothing is taken until the invigilator starts it again.",
        "El reloj de tu examen está detenido. No se toma nada hasta que el vigilante lo ponga en marcha.",
    ),
    "exam.practise_again": Sentence(
        "After the last try some skills must be practised again first, without help.",
        "Después del último intento primero hay que practicar otra vez algunas habilidades, sin ayuda.",
    ),
    "invigilator.not_here": Sentence(
        "This person is not at your site. Somebody there has to do it.",
        "Esa persona no es de tu sitio. Tiene que hacerlo alguien de ahí.",
    ),
    "invigilator.role": Sentence(
        "Only a trainer or a manager may invigilate. Ask one of them.",
        "Solo un instructor o un gerente puede vigilar un examen. Pídeselo a uno de ellos.",
    ),
    "invigilator.own": Sentence(
        "This exam is your own. Somebody else has to invigilate.",
        "Este examen es tuyo. Tiene que vigilarlo otra persona.",
    ),
    "invigilator.not_waiting": Sentence(
        "This request no longer waits. The person can ask again.",
        "Esa solicitud ya no espera. La persona puede pedir otra vez.",
    ),
    "invigilator.not_attested": Sentence(
        "Tick what you confirm: without it nobody is let in.",
        "Marca lo que confirmas: sin eso no entra nadie.",
    ),
    "pause.not_open": Sentence("This exam is not open any more.", "Este examen ya no está abierto."),
    "pause.already": Sentence(
        "The clock of this exam stands already.", "El reloj de este examen ya está detenido."
    ),
    "pause.not_paused": Sentence("The clock of this exam runs.", "El reloj de este examen está en marcha."),
    "pause.no_reason": Sentence(
        "Write why: whoever looks at this exam later has to know.",
        "Escribe por qué: quien mire este examen después lo tiene que saber.",
    ),
    "pause.too_much": Sentence(
        "Give back from 1 to 120 minutes at a time.", "Devuelve de 1 a 120 minutos cada vez."
    ),
    "allowance.not_here": Sentence("This person is not at your site.", "Esa persona no es de tu sitio."),
    "allowance.role": Sentence(
        "Only a manager approves extra time.", "Solo un gerente aprueba tiempo adicional."
    ),
    "allowance.own": Sentence(
        "This is about yourself. Another manager has to approve it.",
        "Se trata de ti. Tiene que aprobarlo otro gerente.",
    ),
    "allowance.unknown": Sentence("Choose how much extra time.", "Elige cuánto tiempo adicional."),
    "allowance.no_reason": Sentence(
        "Write the reason. Only managers and the invigilator see it.",
        "Escribe el motivo. Solo lo ven los gerentes y el vigilante.",
    ),
    "allowance.none": Sentence("There is no extra time to end.", "No hay tiempo adicional que terminar."),
}
