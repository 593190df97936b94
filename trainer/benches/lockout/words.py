"""What the bench says of steps: their names, and what one that is missing or late can do to a hand."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.benches.lockout.cards import cards
from trainer.benches.lockout.rules import Fault
from trainer.benches.lockout.task import Task
from trainer.benches.lockout.units import named_by, units
from trainer.sites.said import Said
from trainer.sites.sheet import EnergyKind

# The site's own procedure, the law and the trade's practice come first: ANSI Z535 signal word danger.
DANGER = Said(
    "Stored energy and moving machines kill. This is practice on paper. Only authorized persons lock out, and only "
    "qualified persons test circuits. The machine's written procedure, 29 CFR 1910.147, your local code and licensed "
    "practice come first. Passing this bench gives nobody permission.",
    "La energía almacenada y las máquinas en movimiento matan. Esto es práctica en papel. Solo personas autorizadas "
    "bloquean, y solo personas calificadas prueban circuitos. El procedimiento escrito de la máquina, 29 CFR 1910.147, "
    "tu código local y el electricista con licencia van primero. Pasar este ejercicio no le da permiso a nadie.",
)

_NAMES: Mapping[str, Said] = {
    "tester_again": Said("Prove the tester again on it", "Comprueba otra vez el probador"),
    "clear_tools": Said("For the test run: tools and parts out", "Para la prueba: saca herramienta y piezas"),
    "clear_people": Said("For the test run: everyone is clear", "Para la prueba: todos están lejos"),
    "have_written_procedure": Said("The written procedure and the manager's word",
                                   "El procedimiento escrito y la orden del gerente"),
    "verify_absent": Said("Verify that the owner is not on the site", "Verifica que el dueño no esté en el sitio"),
    "try_to_reach": Said("Try everything to reach the owner", "Intenta todo para localizar al dueño"),
    "remove": Said("Every lock off", "Todos los candados fuera"),
    "take_off": Said("Every lock off", "Todos los candados fuera"),
    "box_off": Said("Every lock off the box", "Todos los candados fuera de la caja"),
    "box_on": Said("A lock of one's own on the box", "Un candado propio en la caja"),
    "lock": Said("A lock that hangs there", "Un candado puesto ahí"),
    "hand_off": Said("The lock of the shift that leaves", "El candado del turno que sale"),
    "stop": Said("Everyone has stopped work", "Todos dejaron de trabajar"),
}  # fmt: skip
_TEST_RUN_LOCK = Said("For the test run: take your lock off", "Para la prueba: quita tu candado")


def name(task: Task, unit: str) -> Said:
    """What a step is called outside its group of cards."""
    step, key = unit.split(":")
    known = units(task).get(unit)
    if known is None and step == "lock" and key in [point.id for point in task.points]:
        at = task.point(key).at
        return Said(f"Your own lock: {at.en}", f"Tu propio candado: {at.es}")
    if known is None or step in ("tester_again", "clear_tools", "clear_people"):
        return _NAMES.get(step, Said(step, step))
    label = cards(task)[known.card].label
    if step == "take_off":
        at = task.point(key).at
        return Said(f"{_TEST_RUN_LOCK.en}: {at.en}", f"{_TEST_RUN_LOCK.es}: {at.es}")
    return label


def sentence(task: Task, fault: Fault) -> Said:
    """What was broken: which step came before which, or what is missing."""
    first, then = named_by(task, fault)
    missing = name(task, first)
    if not then:
        return Said(f"Missing: {missing.en}.", f"Falta: {missing.es}.")
    early = name(task, then)
    return Said(f"“{early.en}” came before “{missing.en}”.", f"«{early.es}» fue antes que «{missing.es}».")


_KIND_HARM: Mapping[EnergyKind, Said] = {
    "electric": Said("A live conductor: the shock goes in at one hand and out at the other.",
                     "Un conductor vivo: la descarga entra por una mano y sale por la otra."),
    "stored_charge": Said("A charged bus gives its whole charge to the hand that touches it: shock and burn.",
                          "Un bus cargado le da toda su carga a la mano que lo toca: descarga y quemadura."),
    "air": Said("Air in the line moves a cylinder by itself and takes the fingers that are in its way.",
                "El aire en la línea mueve un cilindro solo y se lleva los dedos que estorban."),
    "hydraulic": Said("Oil under pressure lets the part drop on the hand; a thin jet goes through the skin.",
                      "El aceite con presión suelta la pieza sobre la mano; un chorro fino atraviesa la piel."),
    "gravity": Said("What hangs up there comes down on the arm below it.", "Lo que está arriba cae sobre el brazo."),
    "spring": Said("A tight spring lets go and crushes the fingers at its end.",
                   "Un resorte tenso se suelta y aplasta los dedos que están en su extremo."),
    "hot_water": Said("Hot water shoots out of the open line and scalds hand and face.",
                      "Sale agua caliente de la línea abierta y quema la mano y la cara."),
    "chemical": Said("The product sprays out of the line: burned skin, and eyes that may not heal.",
                     "El producto sale a chorro de la línea: piel quemada y ojos que quizá no sanen."),
}  # fmt: skip

_HARM: Mapping[str, Said] = {
    "prepare": Said("The energy that nobody knew of is the one that gets your hand.",
                    "La energía que nadie conocía es la que te agarra la mano."),
    "notify": Said("Somebody who was not told goes to start it.", "Alguien a quien no avisaron va a arrancarla."),
    "shut_down": Said("To pull a disconnect under load makes an arc in front of your hand and face.",
                      "Abrir un desconectador con carga hace un arco frente a tu mano y tu cara."),
    "isolate": Said("The lock holds nothing: the energy still reaches the machine, and your hand.",
                    "El candado no detiene nada: la energía llega a la máquina y a tu mano."),
    "lock": Said("Anybody can switch it back on with your hand inside.",
                 "Cualquiera puede volver a conectarla con tu mano adentro."),
    "try_start": Said("The wrong disconnect goes unnoticed until the machine takes the hand.",
                      "El desconectador equivocado no se nota hasta que la máquina agarra la mano."),
    "controls_off": Said("A start command left on waits for the first power that comes back.",
                         "Una orden de arranque puesta espera a la primera corriente que vuelva."),
    "tester_live": Said("A dead tester shows zero on a live wire, and the hand believes it.",
                        "Un probador muerto marca cero en un cable vivo, y la mano le cree."),
    "tester_again": Said("The tester may have died in between: then its zeros were never true.",
                         "El probador pudo morir a la mitad: entonces sus ceros nunca fueron ciertos."),
    "work": Said("Locks come off, or people are counted, while hands are still inside.",
                 "Se quitan candados o se cuenta a la gente con manos todavía adentro."),
    "inspect_area": Said("A wrench left inside flies out at the first turn.",
                         "Una llave olvidada adentro sale volando en la primera vuelta."),
    "check_people": Said("Somebody still within reach is caught when it starts.",
                         "Alguien que sigue al alcance queda atrapado al arrancar."),
    "remove": Said("A lock still on says that somebody is inside; power there goes to their hands.",
                   "Un candado puesto dice que alguien está adentro; la energía va a sus manos."),
    "free": Said("People who still trust the locks put their hands in as it starts.",
                 "Quien todavía confía en los candados mete las manos cuando arranca."),
    "start": Said("The machine stands, and somebody in a hurry starts it without looking.",
                  "La máquina queda parada, y alguien con prisa la arranca sin mirar."),
    "box_on": Said("Whoever works without a lock of their own is still inside when the others are done.",
                   "Quien trabaja sin candado propio sigue adentro cuando los demás terminan."),
    "box_off": Said("A lock left on the box keeps everyone from knowing who is still inside.",
                    "Con un candado olvidado en la caja nadie sabe quién sigue adentro."),
    "hand_off": Said("Her key goes home with her, and her lock stays: next time it gets cut.",
                     "Su llave se va con ella y su candado se queda: a la próxima lo cortan."),
    "energize_and_test": Said("Without the run nobody knows whether the work was right.",
                              "Sin el movimiento nadie sabe si el trabajo quedó bien."),
    "have_written_procedure": Said("Then anybody cuts any lock, and one day its owner is inside.",
                                   "Entonces cualquiera corta cualquier candado, y un día el dueño está adentro."),
    "verify_absent": Said("Nobody looked: the owner may be inside the machine.",
                          "Nadie miró: el dueño puede estar dentro de la máquina."),
    "try_to_reach": Said("Only the owner knows why the lock hangs and what stands open.",
                         "Solo el dueño sabe por qué está el candado y qué quedó abierto."),
    "tell_owner": Said("He comes back and puts his hands where he thinks his lock still holds.",
                       "Regresa y mete las manos donde cree que su candado sigue puesto."),
    "stop": Said("Power comes on while somebody works.", "Llega la energía mientras alguien trabaja."),
    "clear_tools": Said("A wrench left inside flies out at the test move.",
                        "Una llave olvidada adentro sale volando con el movimiento."),
    "clear_people": Said("Somebody still within reach is caught by the test move.",
                         "Alguien que sigue al alcance queda atrapado por el movimiento."),
}  # fmt: skip
_ALSO = {"take_off": "remove", "cut": "remove", "owner_resumes": "tell_owner"}
_SLOW_HARM = Said(
    "What leaks back builds up while nobody looks. ", "Lo que se filtra se junta mientras nadie mira. "
)


def harm(task: Task, unit: str) -> Said:
    """What can happen to a hand where a step is missing or late."""
    step, key = unit.split(":")
    if step in ("release", "verify", "keep_verifying") and key in task.ids:
        hurt = _KIND_HARM[task.source(key).kind]
        slow = _SLOW_HARM if step == "keep_verifying" else Said("", "")
        return Said(slow.en + hurt.en, slow.es + hurt.es)
    return _HARM.get(_ALSO.get(step, step), _HARM["lock"])


_ADVICE: Mapping[str, Said] = {
    "verify": Said("Before any hand goes in, stand still and ask of each energy: how do I know that it is zero?",
                   "Antes de meter una mano, detente y pregunta por cada energía: ¿cómo sé que está en cero?"),
    "tester": Said("Live, dead, live: never believe a zero of a tester that did not speak just before and just after.",
                   "Vivo, muerto, vivo: no le creas el cero a un probador que no habló justo antes y justo después."),
    "try": Said("After the locks, with nobody in reach: try the start, then put the controls back to off.",
                "Después de los candados, sin nadie al alcance: intenta arrancar y regresa los controles a apagado."),
    "lock": Said("Isolate a point, hang your lock and tag on it, and only then touch what is behind it.",
                 "Aísla un punto, ponle tu candado y etiqueta, y solo entonces toca lo que hay detrás."),
    "release": Said("Lock first, then let out what is stored, then verify: in that order at every source.",
                    "Primero candado, luego libera lo almacenado, luego verifica: en ese orden en cada fuente."),
    "keep": Said("Where energy can come back, leave the drain open and somebody at the gauge until you are done.",
                 "Donde la energía puede regresar, deja abierto el desagüe y a alguien vigilando hasta terminar."),
    "prepare": Said("Begin at the desk: read the procedure, tell the people, stop the machine. Then go to the points.",
                    "Empieza en el escritorio: lee el procedimiento, avisa, para la máquina. Luego ve a los puntos."),
    "back": Said("Give back as you took: tools out, people clear, your locks off, everyone told, and then the start.",
                 "Devuelve con orden: herramienta fuera, gente lejos, tus candados fuera, aviso a todos, arranque."),
    "owner": Said("Leave a lock that is not yours alone until procedure, absence and the attempt to reach its owner "
                  "are all in writing.",
                  "No toques un candado que no es tuyo hasta tener por escrito el procedimiento, la ausencia y el "
                  "intento de localizar a su dueño."),
    "box": Said("Everybody who works hangs a lock of their own before, and takes it off with their own hand after.",
                "Cada quien que trabaja pone su propio candado antes, y lo quita con su propia mano después."),
    "hand_off": Said("Take over at the machine: your locks on, then hers off, then you verify, then you work.",
                     "Recibe en la máquina: pones tus candados, ella quita los suyos, tú verificas y luego trabajas."),
    "run": Said("For a test run: tools out, people clear, locks off, run; then the whole lockout anew.",
                "Para la prueba: herramienta fuera, gente lejos, candados fuera, mueve; luego bloquea de nuevo."),
    "estop": Said("Leave the emergency stop out of a lockout: it asks the controller and isolates nothing, "
                  "29 CFR 1910.147(b).",
                  "El paro de emergencia no es parte de un bloqueo: le pide al controlador y no aísla nada, "
                  "29 CFR 1910.147(b)."),
    "none": Said("Nothing here. Next, say the order aloud at the machine, with its written procedure in your hand.",
                 "Aquí nada. Ahora di el orden en voz alta ante la máquina, con su procedimiento en la mano."),
}  # fmt: skip
_ABOUT: Mapping[str, str] = {
    "verify": "verify", "tester_live": "tester", "tester_again": "tester", "try_start": "try", "controls_off": "try",
    "isolate": "lock", "lock": "lock", "release": "release", "keep_verifying": "keep", "prepare": "prepare",
    "notify": "prepare", "shut_down": "prepare", "box_on": "box", "box_off": "box", "hand_off": "hand_off",
    "clear_tools": "run", "clear_people": "run", "take_off": "run", "energize_and_test": "run",
    "have_written_procedure": "owner", "verify_absent": "owner", "try_to_reach": "owner", "cut": "owner",
    "tell_owner": "owner", "owner_resumes": "owner", "own_lock": "lock", "stop": "back",
}  # fmt: skip


def advice(task: Task, unit: str) -> Said:
    """The one thing to do differently where this unit was the gravest to be lost; '' where none was."""
    step = unit.split(":", maxsplit=1)[0]
    if task.variant == "shift_change" and step == "lock":
        return _ADVICE["hand_off"]
    return _ADVICE[_ABOUT.get(step, "back") if step else "none"]


def no_lock_point() -> Said:
    """What is wrong with the emergency stop as a step of a lockout."""
    return _ADVICE["estop"]
