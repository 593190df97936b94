"""Sentences about legal holds and forgetting: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.hold.placed": Sentence(
        "Placed a legal hold: nothing that it covers is forgotten.",
        "Puso una retención legal: no se olvida nada de lo que cubre.",
    ),
    "log.hold.lifted": Sentence("Lifted a legal hold.", "Levantó una retención legal."),
    "log.person.forget_proposed": Sentence(
        "Proposed to forget this person.", "Propuso olvidar a esta persona."
    ),
    "log.person.forget_dropped": Sentence(
        "Dropped the proposal to forget this person.", "Descartó la propuesta de olvidar a esta persona."
    ),
    "log.person.forgotten": Sentence(
        "This person was forgotten: name, sign-in and every note about them were taken out, in {rows} rows.",
        "Se olvidó a esta persona: se quitaron nombre, acceso y toda nota sobre ella, en {rows} filas.",
    ),
    "hold.no_right": Sentence(
        "Only a manager or an administrator places or lifts a legal hold.",
        "Solo un gerente o un administrador pone o levanta una retención legal.",
    ),
    "hold.no_reason": Sentence(
        "Write the reason: who asked for it, and about what.", "Escribe la razón: quién la pidió y sobre qué."
    ),
    "hold.lifted": Sentence("This hold was lifted already.", "Esta retención ya se levantó."),
    "forget.no_right": Sentence(
        "Only a manager or an administrator proposes to forget somebody.",
        "Solo un gerente o un administrador propone olvidar a alguien.",
    ),
    "forget.not_administrator": Sentence(
        "Only an administrator carries it out. Ask one.", "Solo un administrador lo ejecuta. Pídeselo a uno."
    ),
    "forget.own": Sentence(
        "Nobody forgets themself. Ask somebody else.", "Nadie se olvida a sí mismo. Pídeselo a otro."
    ),
    "forget.same_person": Sentence(
        "Whoever proposed it does not carry it out. Ask another administrator.",
        "Quien lo propuso no lo ejecuta. Pídeselo a otro administrador.",
    ),
    "forget.closed": Sentence("This proposal was closed already.", "Esta propuesta ya se cerró."),
    "forget.waits": Sentence(
        "A proposal to forget this person already waits. Carry it out or drop it.",
        "Ya hay una propuesta para olvidar a esta persona. Ejecútala o descártala.",
    ),
    "forget.no_reason": Sentence(
        "Write the reason, such as who asked for it and when.", "Escribe la razón: quién lo pidió y cuándo."
    ),
    "forget.done": Sentence("This person was forgotten already.", "A esta persona ya se le olvidó."),
    "forget.employed": Sentence(
        "The person still works here. Write down first that they have left.",
        "La persona todavía trabaja aquí. Anota primero que dejó el sitio.",
    ),
    "forget.kept": Sentence(
        "The records have to be kept longer. The day until which stands beside the name.",
        "Los registros se deben guardar más tiempo. El día hasta cuándo está junto al nombre.",
    ),
    "forget.hold": Sentence(
        "A legal hold covers this person. Lift it first, if whoever asked for it agrees.",
        "Una retención legal cubre a esta persona. Levántala primero, si quien la pidió está de acuerdo.",
    ),
}
