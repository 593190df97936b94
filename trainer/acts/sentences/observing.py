"""Sentences about who may observe, second observers and pictures: log entries, what somebody lacks, refusals."""

from trainer.acts.sentences.sentence import Sentence

LOGGED: dict[str, Sentence] = {
    "log.observer.qualified": Sentence(
        "Qualified as an observer on {machine}, until {until}.",
        "Dio la calificación de observador en {machine}, hasta {until}.",
    ),
    "log.observer.ended": Sentence(
        "Ended the qualification as an observer on {machine}.",
        "Terminó la calificación de observador en {machine}.",
    ),
    "log.practical.second_agrees": Sentence(
        "Signed as the second observer of a practical on {machine}: agrees on every critical step.",
        "Firmó como segundo observador de una práctica en {machine}: coincide en cada paso crítico.",
    ),
    "log.practical.second_differs": Sentence(
        "Signed as the second observer of a practical on {machine}: differs on a critical step.",
        "Firmó como segundo observador de una práctica en {machine}: difiere en un paso crítico.",
    ),
    "log.practical.marks_shown": Sentence(
        "Looked at a practical's marks, and so can no longer be its second observer.",
        "Vio las marcas de una práctica, y por eso ya no puede ser su segundo observador.",
    ),
    "log.practical.counts": Sentence(
        "Looked into a practical whose observers differ: it counts as the first one marked it.",
        "Revisó una práctica cuyos observadores difieren: vale como la marcó el primero.",
    ),
    "log.practical.does_not_count": Sentence(
        "Looked into a practical whose observers differ: it does not count.",
        "Revisó una práctica cuyos observadores difieren: no vale.",
    ),
    "log.practical.pictured": Sentence(
        "Put a picture beside a practical.", "Puso una foto junto a una práctica."
    ),
}

LACKED: dict[str, Sentence] = {
    "practical.observers_differ": Sentence(
        "The two observers of the practical differ on a critical step: a manager must look into it.",
        "Los dos observadores de la práctica difieren en un paso crítico: un gerente debe revisarlo.",
    ),
    "practical.not_counted": Sentence(
        "The practical does not count, because its two observers differed: observe a new one.",
        "La práctica no vale, porque sus dos observadores difirieron: hay que observar una nueva.",
    ),
}

REFUSALS: dict[str, Sentence] = {
    "observer.not_qualified": Sentence(
        "You are not qualified to observe on this machine. Ask a manager to qualify you, then sign.",
        "No tienes la calificación de observador en esta máquina. Pide a un gerente que te la dé y luego firma.",
    ),
    "observer.lapsed": Sentence(
        "Your qualification to observe on this machine has run out. Ask a manager to renew it, then sign.",
        "Tu calificación de observador en esta máquina venció. Pide a un gerente que la renueve y luego firma.",
    ),
    "observer.ended": Sentence(
        "Your qualification to observe on this machine was ended. Ask a manager.",
        "Tu calificación de observador en esta máquina se terminó. Pregunta a un gerente.",
    ),
    "qualifier.no_right": Sentence(
        "Only a manager says who may observe.", "Solo un gerente dice quién puede observar."
    ),
    "qualifier.is_person": Sentence(
        "Nobody qualifies themself. Ask another manager.",
        "Nadie se califica a sí mismo. Pide a otro gerente.",
    ),
    "qualification.no_grounds": Sentence(
        "Write why this person can judge the practical on this machine.",
        "Escribe por qué esta persona puede juzgar la práctica en esta máquina.",
    ),
    "qualification.over": Sentence(
        "The day until which it counts has passed. Pick a later one.",
        "El día hasta el que vale ya pasó. Escoge uno posterior.",
    ),
    "qualification.too_long": Sentence(
        "It may count for three years at the most. Pick an earlier day and renew it then.",
        "Puede valer a lo más tres años. Escoge un día anterior y renuévala entonces.",
    ),
    "qualification.no_reason": Sentence(
        "Write why the qualification ends.", "Escribe por qué termina la calificación."
    ),
    "practical.not_text": Sentence(
        "Something in a remark or in the note cannot be kept. Type it again without special signs.",
        "Algo en una observación o en la nota no se puede guardar. Escríbelo otra vez sin signos especiales.",
    ),
    "second.no_first": Sentence(
        "The first observer has not signed yet. Your marks stay on this device: sign after them.",
        "El primer observador todavía no ha firmado. Tus marcas se quedan en este aparato: firma después de él.",
    ),
    "second.not_asked": Sentence(
        "The newest practical of this person on this machine asks for no second observer, so there is nothing to sign. "
        "Have the first observer sign before you.",
        "La práctica más reciente de esta persona en esta máquina no pide segundo observador, así que no hay nada que "
        "firmar. Que el primer observador firme antes que tú.",
    ),
    "second.already": Sentence(
        "A second observer has signed this practical already.",
        "Un segundo observador ya firmó esta práctica.",
    ),
    "second.same": Sentence(
        "You signed as the first observer. The second must be somebody else who watched.",
        "Firmaste como primer observador. El segundo debe ser otra persona que haya mirado.",
    ),
    "second.has_seen": Sentence(
        "You have looked at the first observer's marks, so yours would not be your own. Somebody else must be the second.",
        "Ya viste las marcas del primer observador, así que las tuyas no serían propias. El segundo debe ser otra persona.",
    ),
    "second.too_late": Sentence(
        "The practical was more than 7 days ago: second marks of it no longer count.",
        "La práctica fue hace más de 7 días: ya no valen segundas marcas.",
    ),
    "look.not_differing": Sentence(
        "The observers of this practical do not differ, so there is nothing to look into.",
        "Los observadores de esta práctica no difieren, así que no hay nada que revisar.",
    ),
    "look.already": Sentence(
        "Somebody has looked into this practical already. What they said stands.",
        "Alguien ya revisó esta práctica. Queda lo que dijo.",
    ),
    "look.observed": Sentence(
        "You are one of its two observers. Another manager must look into it.",
        "Eres uno de sus dos observadores. Otro gerente debe revisarla.",
    ),
    "look.is_person": Sentence(
        "Nobody looks into their own practical. Ask another manager.",
        "Nadie revisa su propia práctica. Pide a otro gerente.",
    ),
    "look.no_choice": Sentence(
        "Say whether the practical counts or not.", "Di si la práctica vale o no vale."
    ),
    "look.no_reason": Sentence(
        "Write what you found out: the person and both observers have a right to know it.",
        "Escribe qué averiguaste: la persona y los dos observadores tienen derecho a saberlo.",
    ),
    "picture.not_observer": Sentence(
        "Only who signed the practical puts a picture beside it.",
        "Solo quien firmó la práctica pone una foto junto a ella.",
    ),
    "picture.already": Sentence(
        "There is a picture already, and it stays.", "Ya hay una foto, y esa se queda."
    ),
    "picture.unreadable": Sentence(
        "This is no JPEG, PNG or WebP picture of 12 MB at most. Take it again with the phone's camera, or leave it.",
        "Esto no es una foto JPEG, PNG o WebP de 12 MB a lo más. Tómala otra vez con la cámara del teléfono, o déjala.",
    ),
    "picture.too_late": Sentence(
        "The practical was more than 7 days ago: a picture can no longer be put beside it.",
        "La práctica fue hace más de 7 días: ya no se puede poner una foto.",
    ),
}

SENTENCES: dict[str, Sentence] = {**LOGGED, **LACKED, **REFUSALS}
