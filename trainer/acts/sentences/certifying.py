"""Sentences about certifying: log entries (`log.`), what somebody still lacks, refusals, and checks of a credential."""

from trainer.acts.sentences.sentence import Sentence

LOGGED: dict[str, Sentence] = {
    "log.practical.passed": Sentence(
        "Observed and signed a practical on {machine}: passed.",
        "Observó y firmó una práctica en {machine}: aprobada.",
    ),
    "log.practical.failed": Sentence(
        "Observed and signed a practical on {machine}: not passed.",
        "Observó y firmó una práctica en {machine}: no aprobada.",
    ),
    "log.decision.granted": Sentence("Granted cabinet {cabinet}.", "Concedió el tablero {cabinet}."),
    "log.decision.refused": Sentence("Refused cabinet {cabinet}.", "Negó el tablero {cabinet}."),
    "log.decision.waits": Sentence(
        "Granted cabinet {cabinet}, having trained or observed the person; it waits for a second approver.",
        "Concedió el tablero {cabinet} después de capacitar u observar a la persona; espera una segunda aprobación.",
    ),
    "log.decision.approved": Sentence(
        "Approved as the second person: cabinet {cabinet}.",
        "Aprobó como segunda persona: tablero {cabinet}.",
    ),
    "log.certificate.issued": Sentence(
        "Issued a certificate for cabinet {cabinet}, scheme {scheme} version {version}.",
        "Emitió un certificado para el tablero {cabinet}, esquema {scheme} versión {version}.",
    ),
    "log.certificate.withdrawn": Sentence(
        "Withdrew a certificate for good.", "Retiró un certificado para siempre."
    ),
}

LACKED: dict[str, Sentence] = {
    "person.left": Sentence("No longer works here.", "Ya no trabaja aquí."),
    "exam.none_valid": Sentence("No passed exam.", "Sin examen aprobado."),
    "exam.other_scheme": Sentence(
        "The exam passed is not the one for this cabinet.", "El examen aprobado no es el de este tablero."
    ),
    "exam.lapsed": Sentence(
        "The exam has lapsed: sit it again.", "El examen venció: hay que presentarlo otra vez."
    ),
    "practical.not_signed": Sentence(
        "No signed practical on this machine.", "Sin práctica firmada en esta máquina."
    ),
    "practical.other_machine": Sentence(
        "The practical was on another machine: observe it on this one.",
        "La práctica fue en otra máquina: hay que observarla en esta.",
    ),
    "practical.failed": Sentence(
        "The newest practical on this machine was not passed.",
        "La práctica más reciente en esta máquina no se aprobó.",
    ),
    "practical.self_signed": Sentence(
        "The practical was signed by the person themself.", "La práctica la firmó la misma persona."
    ),
    "practical.before_withdrawal": Sentence(
        "A certificate was withdrawn since the practical: observe a new practical first.",
        "Se retiró un certificado después de la práctica: primero hay que observar una práctica nueva.",
    ),
    "practical.too_old": Sentence(
        "The practical is too old for a certificate: observe a new one.",
        "La práctica es muy vieja para un certificado: hay que observar una nueva.",
    ),
    "decision.none": Sentence("No decision by a manager yet.", "Todavía sin decisión de un gerente."),
    "decision.refused": Sentence("A manager refused.", "Un gerente lo negó."),
    "decision.own": Sentence(
        "The decision was made by the person themself.", "La decisión la tomó la misma persona."
    ),
    "overlap.no_reason": Sentence(
        "Whoever decides has trained or observed this person: write the reason.",
        "Quien decide capacitó u observó a esta persona: escribe la razón.",
    ),
    "second_approver.none": Sentence(
        "Waits for a second approver, because whoever decided also trained or observed.",
        "Espera una segunda aprobación, porque quien decidió también capacitó u observó.",
    ),
    "second_approver.same": Sentence(
        "The second approver must be somebody else than the person and than whoever decided.",
        "La segunda aprobación debe ser de alguien distinto de la persona y de quien decidió.",
    ),
    "second_approver.overlaps": Sentence(
        "The second approver must not have trained or observed this person.",
        "Quien da la segunda aprobación no debe haber capacitado ni observado a esta persona.",
    ),
    "certificate.none": Sentence("No certificate.", "Sin certificado."),
    "certificate.not_yet": Sentence("The certificate does not count yet.", "El certificado todavía no vale."),
    "certificate.expired": Sentence("The certificate has expired.", "El certificado venció."),
    "certificate.withdrawn": Sentence("The certificate was withdrawn.", "El certificado fue retirado."),
}

REFUSALS: dict[str, Sentence] = {
    "signature.wrong": Sentence(
        "That is not your password, so nothing was signed. Type your own password and sign again.",
        "Esa no es tu contraseña, así que no se firmó nada. Escribe tu contraseña y firma otra vez.",
    ),
    "form.used": Sentence(
        "This form was already used for something else. Open a new one.",
        "Este formulario ya se usó para otra cosa. Abre uno nuevo.",
    ),
    "site.other": Sentence(
        "This belongs to another site. Go back and pick somebody and something of your own site.",
        "Esto es de otro sitio. Regresa y escoge algo y a alguien de tu propio sitio.",
    ),
    "text.too_long": Sentence(
        "The text is too long. Shorten it to 2000 characters.",
        "El texto es muy largo. Acórtalo a 2000 caracteres.",
    ),
    "observer.no_right": Sentence(
        "Only a trainer or a manager signs a practical.",
        "Solo un instructor o un gerente firma una práctica.",
    ),
    "observer.is_person": Sentence(
        "Nobody signs their own practical. Ask another trainer or manager to observe.",
        "Nadie firma su propia práctica. Pide a otro instructor o gerente que observe.",
    ),
    "practical.no_steps": Sentence(
        "The scheme has no checklist, so there is nothing to sign.",
        "El esquema no tiene lista de pasos, así que no hay nada que firmar.",
    ),
    "practical.unanswered": Sentence(
        "Some steps have no mark. Mark each step as met, not met or not seen, then sign.",
        "Faltan pasos por marcar. Marca cada paso como cumplido, no cumplido o no visto y luego firma.",
    ),
    "practical.bench_not_theirs": Sentence(
        "One of the bench runs is not of this person. Open the checklist again and tick theirs alone.",
        "Uno de los intentos en los bancos de práctica no es de esta persona. Abre otra vez la lista y marca solo los "
        "suyos.",
    ),
    "practical.bench_open": Sentence(
        "One of the bench runs is not ended. Have it ended first, or leave it out.",
        "Uno de los intentos en los bancos de práctica no está terminado. Que se termine primero, o déjalo fuera.",
    ),
    "practical.too_many_benches": Sentence(
        "At most 10 bench runs go with a practical. Tick fewer.",
        "Con una práctica van a lo más 10 intentos en los bancos de práctica. Marca menos.",
    ),
    "decider.no_right": Sentence("Only a manager decides.", "Solo un gerente decide."),
    "decider.is_person": Sentence(
        "Nobody decides on themself. Ask another manager.",
        "Nadie decide sobre sí mismo. Pide a otro gerente.",
    ),
    "decision.no_reason": Sentence(
        "Write the reason: the person has a right to know it.",
        "Escribe la razón: la persona tiene derecho a saberla.",
    ),
    "decision.already_granted": Sentence(
        "This evidence has been granted already. A new exam or a new practical is needed for a new certificate.",
        "Con esta evidencia ya se concedió uno. Para otro certificado hace falta un examen nuevo o una práctica nueva.",
    ),
    "decision.already_waiting": Sentence(
        "A grant on this evidence already waits for its second approver.",
        "Ya hay una concesión con esta evidencia que espera la segunda aprobación.",
    ),
    "decision.not_waiting": Sentence(
        "This decision no longer waits: it was approved, or a newer decision took its place.",
        "Esta decisión ya no espera: se aprobó, o una decisión más nueva la reemplazó.",
    ),
    "decision.older_evidence": Sentence(
        "A newer exam or practical has come in since. Decide again on what counts now.",
        "Después llegó un examen más nuevo o una práctica más nueva. Decide otra vez con lo que vale ahora.",
    ),
    "certificate.still_active": Sentence(
        "The person holds an active certificate. Withdraw it instead.",
        "La persona tiene un certificado activo. Retíralo en su lugar.",
    ),
    "withdrawal.no_reason": Sentence(
        "Write the reason. A withdrawn certificate never comes back.",
        "Escribe la razón. Un certificado retirado nunca regresa.",
    ),
}

CHECKED: dict[str, Sentence] = {
    "credential.missing": Sentence("It has no {name}.", "No tiene {name}."),
    "credential.proof_kind": Sentence(
        "Its proof is not an eddsa-jcs-2022 proof.", "Su prueba no es una prueba eddsa-jcs-2022."
    ),
    "credential.purpose": Sentence(
        "Its proof was made for another purpose.", "Su prueba se hizo para otro fin."
    ),
    "credential.context": Sentence(
        "Its proof names other contexts than the certificate.",
        "Su prueba nombra contextos distintos de los del certificado.",
    ),
    "credential.created": Sentence(
        "Its proof has no moment of signing.", "Su prueba no tiene momento de firma."
    ),
    "credential.key_unreadable": Sentence(
        "It names no key that I can read.", "No nombra ninguna clave que yo pueda leer."
    ),
    "credential.signature": Sentence(
        "The signature does not belong to this text: something in it was changed.",
        "La firma no corresponde a este texto: algo se cambió.",
    ),
    "credential.issuer_key": Sentence(
        "The issuer named in it is not the key that signed it.",
        "El emisor que nombra no es la clave que lo firmó.",
    ),
    "credential.key_not_trusted": Sentence(
        "It was signed with another key than the one you trust.",
        "Se firmó con una clave distinta de la que tú aceptas.",
    ),
    "credential.not_yet": Sentence("It counts only from {moment}.", "Vale solo desde el {moment}."),
    "credential.expired": Sentence("It expired at {moment}.", "Venció el {moment}."),
    "credential.dates": Sentence("Its dates cannot be read.", "No se pueden leer sus fechas."),
}

SENTENCES: dict[str, Sentence] = {**LOGGED, **LACKED, **REFUSALS, **CHECKED}
