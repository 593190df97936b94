"""The words of the list beside a cabinet, both languages side by side, because both stand on it at once."""

from trainer.exams.scheme import Text

WALL = {
    "title": Text("Who may open it", "Quién puede abrirlo"),
    "warning": Text("WARNING", "ADVERTENCIA"),
    "caution": Text(
        "Live parts, stored energy, machines that start: lock out and verify zero energy first. Local codes and "
        "licensed practice come first (29 CFR 1910.147, 1910.333; 2015 edition read).",
        "Partes con voltaje, energía almacenada, máquinas que arrancan: primero bloquea y verifica energía cero. "
        "Los códigos locales y el electricista con licencia van primero (29 CFR 1910.147, 1910.333; edición de 2015 "
        "leída).",
    ),
    "stale": Text(
        "This list is old: no answer from the server. Do not go by it. Ask your manager.",
        "Esta lista es vieja: el servidor no responde. No te guíes por ella. Pregunta a tu gerente.",
    ),
    "may": Text("May open it now, under lockout", "Pueden abrirlo ahora, con bloqueo"),
    "until": Text("until", "hasta"),
    "without": Text("But not", "Pero no"),
    "nobody": Text("Nobody may open it now.", "Nadie puede abrirlo ahora."),
    "others": Text(
        "Whoever does not stand here may not open it.", "Quien no aparece aquí no puede abrirlo."
    ),
    "checked": Text("As of", "A las"),
    "no_script": Text(
        "Without script this list does not renew itself: load the page again before you go by it.",
        "Sin script esta lista no se renueva sola: carga la página otra vez antes de guiarte por ella.",
    ),
}  # fmt: skip
