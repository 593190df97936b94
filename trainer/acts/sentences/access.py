"""Sentences about signing in and accounts: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.sign_in.by_password": Sentence("Signed in by password.", "Entró con contraseña."),
    "log.sign_in.by_pin": Sentence(
        "Signed in by PIN on shared tablet {tablet}.", "Entró con PIN en la tableta compartida {tablet}."
    ),
    "log.sign_in.out": Sentence("Signed out.", "Salió."),
    "log.sign_in.held": Sentence(
        "{tries} failed tries to sign in; further tries have to wait.",
        "{tries} intentos fallidos de entrar; los siguientes tienen que esperar.",
    ),
    "log.password.set": Sentence("Changed their own password.", "Cambió su propia contraseña."),
    "log.pin.set": Sentence("Changed their own PIN.", "Cambió su propio PIN."),
    "log.password.given": Sentence("Was given a new password.", "Recibió una contraseña nueva."),
    "log.pin.given": Sentence("Was given a new PIN.", "Recibió un PIN nuevo."),
    "log.person.left": Sentence("Left the site; every session was ended.", "Dejó el sitio; se cerraron sus sesiones."),
    "log.person.chose": Sentence(
        "Chose language {language} and units {units}.", "Eligió el idioma {language} y las unidades {units}."
    ),
    "log.tablet.enrolled": Sentence("Enrolled a shared tablet.", "Inscribió una tableta compartida."),
    "log.tablet.withdrawn": Sentence("Withdrew the tablet.", "Retiró la tableta."),
    "sign_in.wrong": Sentence(
        "This sign-in name and password do not belong together. Check both and try again. If you have "
        "forgotten the password, ask your manager or administrator for a new one.",
        "Ese nombre de usuario y esa contraseña no van juntos. Revisa los dos e intenta otra vez. Si olvidaste "
        "la contraseña, pide una nueva a tu gerente o administrador.",
    ),
    "sign_in.wrong_pin": Sentence(
        "That is not the PIN of this person. Check that you picked your own name, then try again.",
        "Ese no es el PIN de esta persona. Revisa que hayas elegido tu nombre e intenta otra vez.",
    ),
    "sign_in.wait": Sentence(
        "There were too many failed tries. Try again in {minutes} min. The account is not locked: the wait ends by "
        "itself.",
        "Hubo demasiados intentos fallidos. Intenta otra vez en {minutes} min. La cuenta no está bloqueada: la "
        "espera termina sola.",
    ),
    "sign_in.no_tablet": Sentence(
        "PINs work only on a tablet that your site has enrolled. Sign in with your password instead.",
        "El PIN solo sirve en una tableta inscrita por tu sitio. Entra con tu contraseña.",
    ),
    "secret.current_wrong": Sentence(
        "That is not what you sign in with now. Nothing was changed. Type your present password or PIN again.",
        "Eso no es con lo que entras ahora. No se cambió nada. Escribe otra vez tu contraseña o PIN actual.",
    ),
    "password.short": Sentence(
        "The password is too short. Use 10 characters or more; a few words in a row are easy to remember.",
        "La contraseña es muy corta. Usa 10 caracteres o más; unas cuantas palabras seguidas se recuerdan fácil.",
    ),
    "password.long": Sentence(
        "The password is too long. Use 200 characters or fewer.",
        "La contraseña es muy larga. Usa 200 caracteres o menos.",
    ),
    "password.own_name": Sentence(
        "The password is your own name. Choose something that others would not try first.",
        "La contraseña es tu propio nombre. Elige algo que otros no intentarían primero.",
    ),
    "password.well_known": Sentence(
        "That password is among the first that strangers try. Choose another.",
        "Esa contraseña es de las primeras que prueban los extraños. Elige otra.",
    ),
    "pin.not_six_digits": Sentence("A PIN is six digits. Type six digits, nothing else.",
                                   "Un PIN tiene seis dígitos. Escribe seis dígitos y nada más."),
    "pin.in_a_row": Sentence(
        "Digits in a row or all alike are guessed first. Choose another PIN.",
        "Los dígitos seguidos o todos iguales se adivinan primero. Elige otro PIN.",
    ),
    "pin.repeated": Sentence(
        "The same digits over again are guessed early. Choose another PIN.",
        "Los mismos dígitos repetidos se adivinan pronto. Elige otro PIN.",
    ),
    "pin.like_a_date": Sentence(
        "It starts or ends like a year of birth, which others may know. Choose another PIN.",
        "Empieza o termina como un año de nacimiento, que otros pueden saber. Elige otro PIN.",
    ),
    "sign_in_name.form": Sentence(
        "A sign-in name is 2 to 63 letters a to z, digits, dots, hyphens or underlines, with no spaces. "
        "Write it so, for example ana.ruiz.",
        "El nombre de usuario lleva de 2 a 63 letras de la a a la z, dígitos, puntos o guiones, sin espacios. "
        "Escríbelo así, por ejemplo ana.ruiz.",
    ),
    "sign_in_name.taken": Sentence(
        "Somebody already has that sign-in name. Choose another.",
        "Alguien ya tiene ese nombre de usuario. Elige otro.",
    ),
    "person.no_name": Sentence("Write the person's name.", "Escribe el nombre de la persona."),
    "person.no_secret": Sentence(
        "Without a password or a PIN the person cannot sign in. Give at least one.",
        "Sin contraseña ni PIN la persona no puede entrar. Da al menos uno.",
    ),
    "person.trainer_unknown": Sentence(
        "The person named as trainer is not at this site. Pick one from the list.",
        "La persona nombrada como instructor no es de este sitio. Elige a otra de la lista.",
    ),
    "account.not_yours": Sentence(
        "You do not look after this account. Ask the administrator.",
        "Tú no administras esta cuenta. Pide ayuda al administrador.",
    ),
    "account.left": Sentence(
        "This person has left the site. Nothing was changed.",
        "Esta persona ya dejó el sitio. No se cambió nada.",
    ),
    "account.own": Sentence(
        "You cannot mark yourself as left. Ask another administrator.",
        "No puedes anotar tu propia salida. Pídeselo a otro administrador.",
    ),
    "tablet.not_yours": Sentence(
        "There is no such tablet at your site. Nothing was changed.",
        "Tu sitio no tiene esa tableta. No se cambió nada.",
    ),
}  # fmt: skip
