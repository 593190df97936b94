"""The words of printed certificates and rosters, both languages side by side."""

from trainer.exams.scheme import Text

CERTIFICATE = Text("Certificate", "Certificado")
ROSTER = Text("Cabinet roster", "Lista del tablero")
HOLDER = Text("This certificate is held by", "Este certificado es de")
MAY_OPEN = Text(
    "and permits opening this cabinet, under lockout:", "y permite abrir este tablero, con bloqueo:"
)
CABINET = Text("Cabinet", "Tablero")
MACHINE = Text("Machine", "Máquina")
SITE = Text("Site", "Sitio")
SCHEME = Text("Scheme", "Esquema")
VERSION = Text("version", "versión")
FROM = Text("Counts from", "Vale desde")
UNTIL = Text("Counts until", "Vale hasta")
DECIDED = Text("Decided by", "Lo decidió")
NUMBER = Text("Certificate number", "Número de certificado")
KEY = Text("Signed with key", "Firmado con la clave")
KEYS = Text("The site's keys", "Claves del sitio")
TAKEN = Text("Taken out of its scope", "Quitado de su alcance")
SIGNED_HEAD = Text("Signed head of the log", "Huella firmada del registro")
HEAD = Text("No. {number}: {size} entries, root {root}", "N.º {number}: {size} asientos, raíz {root}")
LOG_HEAD = Text("Head of the record log", "Última huella del registro")
STATE = Text("State when printed", "Estado al imprimir")
PRINTED = Text("Printed", "Impreso")
PAGE = Text("Page", "Página")
LOOK = Text("See its state now:", "Mira su estado actual:")
STATES = {
    "active": Text("active", "activo"),
    "not_yet": Text("does not count yet", "todavía no vale"),
    "suspended": Text("SUSPENDED: does not count now", "SUSPENDIDO: no vale ahora"),
    "reduced": Text("reduced: does not cover all of it any more", "reducido: ya no lo cubre todo"),
    "expired": Text("expired", "vencido"),
    "withdrawn": Text("WITHDRAWN: does not count", "RETIRADO: no vale"),
}
MAY = Text(
    "May open this cabinet at the moment of printing", "Pueden abrir este tablero en el momento de imprimir"
)
MAY_NOT = Text("May not open it", "No pueden abrirlo")
NAME = Text("Name", "Nombre")
WHY_NOT = Text("What is missing", "Qué falta")
NOBODY = Text("Nobody.", "Nadie.")
MORE = Text(
    "{count} more may not open it; why stands on the live page.",
    "{count} más no pueden abrirlo; la razón está en la página en línea.",
)
TODAY = Text(
    "This list counts for the moment of printing. A certificate can be withdrawn or lapse at any time after: the live "
    "page counts.",
    "Esta lista vale para el momento de imprimir. Después, un certificado se puede retirar o vencer en cualquier "
    "momento: vale la página en línea.",
)
WARNING = Text("WARNING", "ADVERTENCIA")
CAUTION = Text(
    "An open cabinet can expose you to live parts, stored energy and machines that start. Lock out, verify zero "
    "energy, then work. Local codes and licensed practice come first; this paper permits nothing that they forbid. "
    "See 29 CFR 1910.147 and 1910.333 (2015 edition read).",
    "Un tablero abierto puede exponerte a partes con voltaje, energía almacenada y máquinas que arrancan. Bloquea, "
    "verifica energía cero y después trabaja. Los códigos locales y el electricista con licencia van primero; este "
    "papel no permite nada que ellos prohíban. Ver 29 CFR 1910.147 y 1910.333 (edición de 2015 leída).",
)
