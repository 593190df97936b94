"""What is said of a loop and of what its tests showed, with this task's numbers, in the reader's language."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.benches.fault.loop import Symptom
from trainer.benches.fault.loop_tests import TESTS, TOLD
from trainer.benches.fault.task import FaultTask
from trainer.quantities.writing import NO_BREAK
from trainer.sites.said import Said
from trainer.sites.survey.reader import Reader
from trainer.solver.switching import reads_vehicle

SYMPTOM: Mapping[Symptom, Said] = {
    "always": Said(
        "The bay is empty, and the controller says there is a vehicle.",
        "La bahía está vacía, y el controlador dice que hay un vehículo.",
    ),
    "never": Said(
        "A car stands in the beam, and the controller says there is none.",
        "Un carro está en el haz, y el controlador dice que no hay ninguno.",
    ),
    "flickers": Said(
        "The bay is empty, and the controller's input flickers.",
        "La bahía está vacía, y la entrada del controlador parpadea.",
    ),
    "long": Said(
        "Every car is measured too long, and by about the same.",
        "Todos los carros se miden demasiado largos, y más o menos por lo mismo.",
    ),
}
CONTROLLER: Mapping[Symptom, tuple[Said, Said]] = {
    "always": (Said("empty bay", "bahía vacía"), Said("VEHICLE", "VEHÍCULO")),
    "never": (Said("car in beam", "carro en el haz"), Said("NO VEHICLE", "SIN VEHÍCULO")),
    "flickers": (Said("empty bay", "bahía vacía"), Said("FLICKERS", "PARPADEA")),
    "long": (Said("every car", "cada carro"), Said("TOO LONG", "MUY LARGO")),
}
CAUTION = Said(
    "A control cabinet holds voltages that kill, also with the chain stopped. Only a qualified person tests "
    "or works in it (29 CFR 1910.333), under lockout (29 CFR 1910.147). Local codes and licensed practice "
    "come first. This exercise plays that you are that person: it gives no permission.",
    "Un tablero de control tiene voltajes que matan, también con la cadena parada. Solo una persona "
    "calificada prueba o trabaja adentro (29 CFR 1910.333), con bloqueo (29 CFR 1910.147). Los códigos "
    "locales y el electricista con licencia van primero. En este ejercicio haces de esa persona: no da "
    "ningún permiso.",
)
CAUTION_OUTSIDE = Said(
    "Stop the chain before you go between the heads, and let nobody start it. The eye's supply is locked "
    "off before a connector is opened. You stop at the cabinet door: behind it is work for a qualified "
    "person, 29 CFR 1910.333. Local codes and licensed practice come first.",
    "Para la cadena antes de entrar entre los cabezales, y que nadie la arranque. La corriente del ojo se "
    "corta con candado antes de abrir un conector. En la puerta del tablero te detienes: adentro es trabajo "
    "de persona calificada, 29 CFR 1910.333. Los códigos locales y el electricista con licencia van primero.",
)
LOCKED_OUT = Said(
    "Crew told, machine shut down, isolated at {where}, locks and tags on, stored energy released, start "
    "tried, conductors measured dead.",
    "Gente avisada, máquina parada, aislada en {where}, candados y etiquetas puestos, energía guardada "
    "liberada, arranque probado, conductores medidos sin voltaje.",
)
POWER_BACK = Said(
    "For this test: tools and people clear, door shut, locks off, power back; then locked out and verified "
    "again.",
    "Para esta prueba: herramientas y gente fuera, puerta cerrada, candados fuera, corriente puesta; "
    "después, otra vez bloqueado y comprobado.",
)


def minutes(amount: float, to: Reader) -> str:
    """So many minutes, to a tenth."""
    return f"{to.number(round(amount, 1), 4)}{NO_BREAK}min"


def sentence(task: FaultTask, test: str, key: str, to: Reader) -> str:
    """What a test showed."""
    return to.said(TOLD[test][key].sentence).format(**_numbers(task, to))


def tag(task: FaultTask, test: str, key: str, to: Reader) -> str:
    """The same in a few letters."""
    return to.said(TOLD[test][key].tag).format(**_numbers(task, to))


def locked_out(task: FaultTask, to: Reader) -> str:
    """What locking out took."""
    where = ", ".join(dict.fromkeys(to.said(one) for one in task.isolate_at))
    return to.said(LOCKED_OUT).format(where=where)


def powered_again(test: str, isolated: bool, to: Reader) -> str:
    """What has to be done first for a test that needs power on a loop that is locked out; '' where nothing has."""
    return to.said(POWER_BACK) if isolated and TESTS[test].powered and not TESTS[test].after_isolation else ""


def mode(task: FaultTask, to: Reader) -> str:
    """What the operate mode of the site sheet means at the controller."""
    on = reads_vehicle(task.operate, True)
    if task.operate == "light":
        name = Said(
            "light operate: lamp lit while light arrives", "operación por luz: lámpara prendida si llega luz"
        )
    else:
        name = Said(
            "dark operate: lamp lit while no light arrives",
            "operación por oscuridad: lámpara prendida sin luz",
        )
    means = Said(
        f"an input that is {'on' if on else 'off'} means vehicle",
        f"la entrada {'activada' if on else 'desactivada'} quiere decir vehículo",
    )
    return f"{to.said(name)}; {to.said(means)}"


def _numbers(task: FaultTask, to: Reader) -> dict[str, str]:
    read = task.readings
    return {
        "full": to.times(read.full),
        "weak": _span(read.weak, to),
        "better": _span(read.better, to),
        "volts": to.write(read.volts, "V"),
        "low": to.write(read.low, "V"),
        "least": to.write(read.least, "V"),
        "ohms": to.write(read.ohms, "ohm"),
        "short": to.write(read.short, "ohm"),
    }


def _span(ends: tuple[float, ...], to: Reader) -> str:
    return to.say(" to ", " a ").join(to.times(one) for one in ends)
