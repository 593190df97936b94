"""Sentences about versions of schemes and the panels that set a cut: log entries (`log.`) and refusals."""

from trainer.acts.sentences.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "log.scheme.frozen": Sentence(
        "The exam {scheme} was frozen in version {version}.",
        "El examen {scheme} quedó fijo en su versión {version}.",
    ),
    "log.panel.opened": Sentence(
        "Opened panel {number} on the cut of the exam {scheme}, version {version}.",
        "Abrió el panel {number} sobre el corte del examen {scheme}, versión {version}.",
    ),
    "log.panel.judge_named": Sentence("Named a judge of a panel.", "Nombró a un juez de un panel."),
    "log.panel.round_handed_in": Sentence(
        "Handed in round {round} of a panel: {items} ratings.",
        "Entregó la ronda {round} de un panel: {items} valoraciones.",
    ),
    "log.panel.round_opened": Sentence(
        "Opened round {round} of a panel.", "Abrió la ronda {round} de un panel."
    ),
    "log.panel.sealed": Sentence(
        "Sealed a panel's cut: {cut} of {items} right. The panel's mean was {mean}, standard error {se}.",
        "Selló el corte de un panel: {cut} correctas de {items}. La media del panel fue {mean}, error estándar {se}.",
    ),
    "log.panel.dropped": Sentence(
        "Dropped a panel before it was sealed.", "Dejó un panel antes de sellarlo."
    ),
    "log.panel.held_off": Sentence(
        "Tried to change a sealed panel and was refused.", "Quiso cambiar un panel sellado y se le negó."
    ),
    "scheme.not_manager": Sentence("Only a manager does this.", "Esto solo lo hace un gerente."),
    "scheme.changed": Sentence(
        "This exam's scheme was changed without a new version, so no exam starts under it. Raise the version in its file "
        "and start the program again.",
        "El esquema de este examen cambió sin versión nueva; así no empieza ningún examen. Sube la versión en su archivo "
        "y vuelve a iniciar el programa.",
    ),
    "scheme.stale": Sentence(
        "The job analysis behind this exam is past its review day, so no new version starts on it. Rate the tasks again, "
        "write the days in the file and raise the version.",
        "El análisis del trabajo detrás de este examen ya pasó su día de revisión; con él no empieza una versión nueva. "
        "Valora otra vez las tareas, escribe las fechas en el archivo y sube la versión.",
    ),
    "panel.one_open": Sentence(
        "A panel on this exam still sits. Seal or drop that one first.",
        "Todavía hay un panel abierto sobre este examen. Primero séllalo o déjalo.",
    ),
    "panel.no_form": Sentence(
        "There are too few questions at your site to rate a whole form.",
        "En tu sitio hay muy pocas preguntas para valorar un examen completo.",
    ),
    "panel.no_definition": Sentence(
        "Write down who is only just competent: what that person can and cannot do.",
        "Escribe quién es apenas competente: qué puede y qué no puede hacer esa persona.",
    ),
    "panel.no_qualification": Sentence(
        "Write down what qualifies this judge.", "Escribe qué califica a este juez."
    ),
    "panel.cannot_judge": Sentence(
        "A judge must be a trainer or a manager of this site who has not left: judges see the questions of exams.",
        "Un juez debe ser instructor o gerente de este sitio y seguir aquí: los jueces ven preguntas de exámenes.",
    ),
    "panel.judge_twice": Sentence("This person is a judge already.", "Esta persona ya es juez."),
    "panel.begun": Sentence(
        "A round was handed in already, so no judge is added now. Drop the panel and open another.",
        "Ya se entregó una ronda, así que ahora no entra otro juez. Deja este panel y abre otro.",
    ),
    "panel.unknown": Sentence("There is no such panel.", "No existe ese panel."),
    "panel.not_judge": Sentence("You are not a judge of this panel.", "No eres juez de este panel."),
    "panel.sealed": Sentence(
        "This panel is sealed and never changes. Open a new one; its cut counts from a later day on.",
        "Este panel está sellado y nunca cambia. Abre otro; su corte vale desde un día posterior.",
    ),
    "panel.dropped": Sentence("This panel was dropped. Open a new one.", "Este panel se dejó. Abre otro."),
    "panel.round_over": Sentence(
        "You have handed in this round, or it is over.", "Ya entregaste esta ronda, o ya terminó."
    ),
    "panel.no_item": Sentence("The panel has no such item.", "El panel no tiene ese punto."),
    "panel.rating_range": Sentence("Write a number from 0 to 100.", "Escribe un número de 0 a 100."),
    "panel.not_all_rated": Sentence(
        "Rate every item before you hand in.", "Valora todos los puntos antes de entregar."
    ),
    "panel.round_open": Sentence(
        "Every judge must hand in this round first.", "Primero todos los jueces deben entregar esta ronda."
    ),
    "panel.last_round": Sentence(
        "There are no more rounds. Adopt a cut, or drop the panel.",
        "Ya no hay más rondas. Adopta un corte o deja el panel.",
    ),
    "panel.few_judges": Sentence("A cut needs three judges or more.", "Un corte necesita tres jueces o más."),
    "panel.outside_band": Sentence(
        "This cut lies more than two standard errors from the panel's own.",
        "Este corte está a más de dos errores estándar del corte del panel.",
    ),
    "panel.reason_needed": Sentence(
        "Write down why you adopt another cut than the panel's own.",
        "Escribe por qué adoptas otro corte que el del panel.",
    ),
    "panel.backwards": Sentence(
        "A cut never works backwards: choose a later day, from tomorrow on where exams were sat already.",
        "Un corte nunca vale hacia atrás: escoge un día posterior, de mañana en adelante si ya hubo exámenes.",
    ),
}
