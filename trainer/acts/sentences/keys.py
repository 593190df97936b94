"""Sentences about signing keys, status lists and what a check of a certificate found beside its signature."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.key.first": Sentence(
        "Began to sign certificates with the key {key}.", "Empezó a firmar certificados con la clave {key}."
    ),
    "log.key.replaced": Sentence(
        "Changed the signing key: {new} instead of {old}. What the old key signed keeps counting.",
        "Cambió la clave de firma: {new} en lugar de {old}. Lo que firmó la clave anterior sigue valiendo.",
    ),
    "log.key.lost": Sentence(
        "Changed the signing key: {new} instead of {old}, which others may have had since {since}.",
        "Cambió la clave de firma: {new} en lugar de {old}, que otros pudieron tener desde {since}.",
    ),
    "log.certificate.signed_again": Sentence(
        "Signed a certificate again, with the key {key}.",
        "Firmó otra vez un certificado, con la clave {key}.",
    ),
    "key.retired": Sentence(
        "The signing key that this program holds was retired, so nothing was signed. Start the program again with the "
        "new key.",
        "La clave de firma que tiene este programa ya se retiró, así que no se firmó nada. Hay que arrancar otra vez "
        "el programa con la clave nueva.",
    ),
    "key.unknown": Sentence(
        "The old key is not among the site's keys.", "La clave anterior no está entre las claves del sitio."
    ),
    "key.used_before": Sentence(
        "The new key is one of the site's keys already. Make a fresh one.",
        "La clave nueva ya es una de las claves del sitio. Hay que hacer otra.",
    ),
    "key.since_later": Sentence(
        "The moment since which others may have had the key lies in the future. Give one that has passed.",
        "El momento desde el que otros pudieron tener la clave está en el futuro. Da uno que ya pasó.",
    ),
    "credential.before_key": Sentence(
        "Its signature is dated before its key came into use, at {moment}.",
        "La fecha de su firma es anterior al momento en que su clave empezó a usarse, {moment}.",
    ),
    "credential.after_key": Sentence(
        "It was signed after its key was retired, at {moment}.",
        "Se firmó después de que su clave se retirara, {moment}.",
    ),
    "credential.key_compromised": Sentence(
        "Others may have had its key since {moment}, and it was signed then or later. It counts again once the site has "
        "signed it again: ask the site for the new file.",
        "Otros pudieron tener su clave desde {moment}, y se firmó entonces o después. Vuelve a valer cuando el sitio lo "
        "firme otra vez: pide al sitio el archivo nuevo.",
    ),
    "status.none": Sentence(
        "It names no status list. Look at its public page, or ask the site, whether it was withdrawn.",
        "No nombra ninguna lista de estado. Mira su página pública, o pregunta al sitio, si se retiró.",
    ),
    "status.no_list": Sentence(
        "No status list about {name} was given, so that was not checked. Fetch the site's list and check again.",
        "No se dio ninguna lista sobre {name}, así que eso no se comprobó. Descarga la lista del sitio y comprueba otra "
        "vez.",
    ),
    "status.old": Sentence(
        "The list about {name} does not count at that moment. Fetch a fresh one.",
        "La lista sobre {name} no vale en ese momento. Descarga una nueva.",
    ),
    "status.not_trusted": Sentence(
        "A status list is not signed by the site, or was changed. Fetch it again.",
        "Una lista de estado no está firmada por el sitio, o se cambió. Descárgala otra vez.",
    ),
    "status.unreadable": Sentence(
        "The list about {name} cannot be read.", "No se puede leer la lista de estado sobre {name}."
    ),
    "status.too_short": Sentence(
        "The list about {name} is shorter than the standard allows.",
        "La lista sobre {name} es más corta de lo que permite la norma.",
    ),
    "status.no_such_place": Sentence(
        "The list about {name} has no such place.", "La lista sobre {name} no tiene ese lugar."
    ),
    "status.revocation": Sentence("It was withdrawn and does not count any more.", "Se retiró y ya no vale."),
    "status.suspension": Sentence(
        "It is suspended and does not count for now.", "Está suspendido y por ahora no vale."
    ),
    "record.unknown": Sentence(
        "The site has no such certificate on record.", "El sitio no tiene registrado tal certificado."
    ),
    "record.differs": Sentence(
        "The site's record holds another text under this number.",
        "El registro del sitio guarda otro texto con este número.",
    ),
    "handed.too_long": Sentence(
        "The file is longer than {most} bytes; no certificate is.",
        "El archivo pasa de {most} bytes; ningún certificado es tan largo.",
    ),
    "handed.not_text": Sentence("The file is not UTF-8 text.", "El archivo no es texto UTF-8."),
    "handed.not_json": Sentence(
        "The file is not JSON: I stopped at line {line}, column {column}. Hand in the file as the site gave it.",
        "El archivo no es JSON: me detuve en la línea {line}, columna {column}. Entrega el archivo tal como lo dio el "
        "sitio.",
    ),
    "handed.too_deep": Sentence(
        "The file is nested too deeply to be a certificate.",
        "El archivo tiene demasiados niveles para ser un certificado.",
    ),
    "handed.number": Sentence(
        "The file holds a number that JSON does not know, or one too long to read.",
        "El archivo contiene un número que JSON no conoce, o uno demasiado largo para leerlo.",
    ),
    "handed.no_object": Sentence(
        "The file holds JSON, but not one object.", "El archivo contiene JSON, pero no un solo objeto."
    ),
    "handed.twice": Sentence(
        "The name {name} stands twice in one object.",
        "El nombre {name} aparece dos veces en un mismo objeto.",
    ),
    "handed.nothing": Sentence(
        "Choose a certificate's file or paste its text.",
        "Elige el archivo de un certificado o pega su texto.",
    ),
}
