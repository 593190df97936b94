"""The tests that can be made on a loop: where, in how many minutes, with what care, and what each one tells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.sites.said import Said

Care = Literal["bay", "lock_eye", "live", "cabinet"]

CARES: Mapping[Care, Said] = {
    "bay": Said("chain stopped, nobody can start it", "cadena parada, nadie la puede arrancar"),
    "lock_eye": Said(
        "chain stopped; the eye's own supply locked off", "cadena parada; la corriente del ojo con candado"
    ),
    "live": Said("live: qualified person only", "con corriente: solo persona calificada"),
    "cabinet": Said("behind the cabinet door", "detrás de la puerta del tablero"),
}


@dataclass(frozen=True)
class LoopTest:
    """One test. minutes: before what the site adds; tells: what it is for; powered: says nothing on a dead loop."""

    block: str
    label: Said
    tells: Said
    minutes: float
    care: Care = "bay"
    powered: bool = True

    @property
    def after_isolation(self) -> bool:
        """Whether it is forbidden until isolation is verified."""
        return self.care == "cabinet"


# Minutes: common practice, no source.
TESTS: Mapping[str, LoopTest] = {
    "look": LoopTest(
        "air",
        Said("Look along the beam", "Mira a lo largo del haz"),
        Said("whether something stands in it", "si hay algo metido en él"),
        1,
        powered=False,
    ),
    "signal": LoopTest(
        "receiver",
        Said("Read the receiver's signal", "Lee la señal del receptor"),
        Said("how much light arrives, if the receiver runs", "cuánta luz llega, si el receptor anda"),
        2,
    ),
    "cover": LoopTest(
        "receiver",
        Said("Cover the receiver, watch its lamp", "Tapa el receptor y mira su lámpara"),
        Said("whether it switches, and which way", "si cambia, y hacia qué lado"),
        2,
    ),
    "clean": LoopTest(
        "lens",
        Said("Clean both lenses", "Limpia los dos lentes"),
        Said("whether dirt takes the light", "si la mugre se lleva la luz"),
        4,
    ),
    "aim": LoopTest(
        "emitter",
        Said("Aim the emitter along a string", "Apunta el emisor con un hilo"),
        Said("whether the head was knocked", "si golpearon el cabezal"),
        10,
    ),
    "plug": LoopTest(
        "plug",
        Said("Open the connector and look in", "Abre el conector y mira adentro"),
        Said("whether it is wet", "si está mojado"),
        6,
        "lock_eye",
        powered=False,
    ),
    "labels": LoopTest(
        "emitter",
        Said("Read both heads' labels", "Lee las etiquetas de los cabezales"),
        Said("whether each head is in its place", "si cada cabezal está en su lugar"),
        3,
        powered=False,
    ),
    "swap": LoopTest(
        "emitter",
        Said("Swap the emitter with a good one", "Cambia el emisor por uno bueno"),
        Said("whether the trouble goes with the head", "si la falla se va con el cabezal"),
        15,
        "lock_eye",
    ),
    "settings": LoopTest(
        "output",
        Said("Check mode and delay settings", "Revisa el modo y los retardos"),
        Said("whether they are as on the site sheet", "si son los de la hoja del sitio"),
        3,
    ),
    "compare": LoopTest(
        "output",
        Said("Compare lamp and controller's word", "Compara la lámpara con el controlador"),
        Said(
            "whether the trouble lies before or behind the output",
            "si la falla está antes o después de la salida",
        ),
        2,
    ),
    "neighbor": LoopTest(
        "air",
        Said("Cover the neighbor's emitter", "Tapa el emisor del vecino"),
        Said("whether its light comes in here", "si su luz entra aquí"),
        4,
    ),
    "volts": LoopTest(
        "supply",
        Said("Measure the supply at the head", "Mide el voltaje en el cabezal"),
        Said("whether the head gets its voltage", "si al cabezal le llega su voltaje"),
        6,
        "live",
    ),
    "fuse": LoopTest(
        "control",
        Said("Check the fuse in the terminal", "Revisa el fusible del borne"),
        Said("whether it is blown", "si está quemado"),
        4,
        "cabinet",
        powered=False,
    ),
    "ohms": LoopTest(
        "cable",
        Said("Measure the loop's resistance", "Mide la resistencia del circuito"),
        Said("whether a conductor is broken, or two touch", "si un conductor está roto, o dos se tocan"),
        12,
        "cabinet",
        powered=False,
    ),
    "spare_input": LoopTest(
        "input",
        Said("Move the wire to a spare input", "Pasa el cable a otra entrada"),
        Said("whether the input is dead", "si la entrada está muerta"),
        8,
        "cabinet",
    ),
}


@dataclass(frozen=True)
class Told:
    """What a test said: a sentence of what a person sees, and a few letters of it for the drawing."""

    sentence: Said
    tag: Said


_SAME = Said("no change", "igual")
_BETTER = Said(
    "the reading goes from {weak} to {better}: more light, and still not right",
    "la señal pasa de {weak} a {better}: más luz, y todavía no está bien",
)


def _mended(nothing: Said, found: Said) -> dict[str, Told]:
    """What is said by a test that mends a fault for a moment: nothing was there, or it was, with what came of it."""

    def joined(second: Said) -> Said:
        return Said(f"{found.en}, and {second.en}.", f"{found.es}, y {second.es}.")

    return {
        "nothing": Told(nothing, _SAME),
        "cured": Told(
            joined(Said("the trouble is gone", "la falla se quita")), Said("trouble gone", "falla fuera")
        ),
        "better": Told(joined(_BETTER), Said("better", "mejor")),
        "found": Told(
            joined(Said("the trouble stays", "la falla sigue")), Said("found, stays", "hay, y sigue")
        ),
    }


def _lamp(free: Said, covered: Said, tag: Said) -> Told:
    return Told(
        Said(
            f"Lens free: the lamp is {free.en}. Lens covered: the lamp is {covered.en}.",
            f"Lente libre: la lámpara está {free.es}. Lente tapado: la lámpara está {covered.es}.",
        ),
        tag,
    )


_LIT, _OUT = Said("lit", "prendida"), Said("out", "apagada")

TOLD: Mapping[str, Mapping[str, Told]] = {
    "look": {
        "right": Told(
            Said("Nothing stands between the heads.", "No hay nada entre los cabezales."),
            Said("path clear", "libre"),
        ),
        "thing": Told(
            Said("A hose hangs in the beam.", "Una manguera cuelga en el haz."), Said("hose in it", "manguera")
        ),
    },
    "signal": {
        "dark": Told(
            Said("The receiver shows no reading at all.", "El receptor no muestra nada."),
            Said("no reading", "sin lectura"),
        ),
        "zero": Told(
            Said("The receiver runs and reads 0×: no light.", "El receptor anda y marca 0×: no hay luz."),
            Said("0×", "0×"),
        ),
        "weak": Told(
            Said(
                "The receiver reads {weak}. Set up clean and aimed, it read {full}.",
                "El receptor marca {weak}. Limpio y apuntado marcaba {full}.",
            ),
            Said("weak", "débil"),
        ),
        "full": Told(
            Said("The receiver reads {full}, as when it was set up.", "El receptor marca {full}, como al montarlo."),
            Said("full", "plena"),
        ),
    },
    "cover": {
        "out_out": _lamp(_OUT, _OUT, Said("stays out", "sigue apagada")),
        "lit_lit": _lamp(_LIT, _LIT, Said("stays lit", "sigue prendida")),
        "lit_out": _lamp(_LIT, _OUT, Said("lit, then out", "se apaga")),
        "out_lit": _lamp(_OUT, _LIT, Said("out, then lit", "se prende")),
        "flutters": Told(
            Said(
                "Lens free: the lamp flutters. Lens covered: it is steady.",
                "Lente libre: la lámpara tiembla. Lente tapado: queda fija.",
            ),
            Said("flutters", "tiembla"),
        ),
    },
    "clean": _mended(
        Said("The cloth comes away clean. Nothing changes.", "El trapo sale limpio. Nada cambia."),
        Said("The cloth comes away black", "El trapo sale negro"),
    ),
    "aim": _mended(
        Said("The head already points along the string. Nothing changes.", "El cabezal ya sigue el hilo. Nada cambia."),
        Said("The head was off the string", "El cabezal estaba fuera del hilo"),
    ),
    "plug": {
        "right": Told(
            Said("Dry inside, contacts bright, seal in place.", "Seco por dentro, contactos limpios, sello puesto."),
            Said("dry", "seco"),
        ),
        "wet": Told(
            Said("Water runs out, and the contacts are green.", "Sale agua, y los contactos están verdes."),
            Said("wet", "mojado"),
        ),
    },
    "labels": {
        "right": Told(
            Said("One label says emitter, the other receiver.", "Una etiqueta dice emisor, la otra receptor."),
            Said("labels right", "bien"),
        ),
        "wrong": Told(
            Said("Both labels say receiver.", "Las dos etiquetas dicen receptor."), Said("2 receivers", "2 receptores")
        ),
    },
    "swap": _mended(
        Said(
            "Your emitter works at the other eye. Here nothing changes.",
            "Tu emisor trabaja en el otro ojo. Aquí nada cambia.",
        ),
        Said("Your emitter fails at the other eye too", "Tu emisor tampoco trabaja en el otro ojo"),
    ),
    "settings": {
        "right": Told(
            Said("Mode and delays are as on the site sheet.", "El modo y los retardos son los de la hoja."),
            Said("as the sheet", "como la hoja"),
        ),
        "mode": Told(
            Said("The operate mode is not the sheet's.", "El modo de operación no es el de la hoja."),
            Said("wrong mode", "otro modo"),
        ),
        "delay": Told(
            Said("The off-delay is far too long.", "El retardo a la desconexión es demasiado largo."),
            Said("long delay", "retardo largo"),
        ),
    },
    "compare": {
        "agree": Told(
            Said(
                "What the lamp says is what the controller reads.",
                "Lo que dice la lámpara es lo que lee el controlador.",
            ),
            Said("agree", "coinciden"),
        ),
        "differ": Told(
            Said(
                "The lamp says one thing and the controller reads the other.",
                "La lámpara dice una cosa y el controlador lee otra.",
            ),
            Said("differ", "no coinciden"),
        ),
    },
    "neighbor": _mended(
        Said(
            "With the neighbor's emitter covered nothing changes.", "Con el emisor vecino tapado nada cambia."
        ),
        Said("The neighbor's emitter is covered", "El emisor vecino está tapado"),
    ),
    "volts": {
        "right": Told(
            Said("The meter reads {volts}. The head needs {least}.", "Marca {volts}. El cabezal necesita {least}."),
            Said("{volts}", "{volts}"),
        ),
        "low": Told(
            Said("The meter reads {low}. The head needs {least}.", "Marca {low}. El cabezal necesita {least}."),
            Said("{low}", "{low}"),
        ),
        "none": Told(
            Said("The meter reads 0 V. The head needs {least}.", "Marca 0 V. El cabezal necesita {least}."),
            Said("0 V", "0 V"),
        ),
    },
    "fuse": {
        "right": Told(Said("The fuse is whole.", "El fusible está bueno."), Said("fuse whole", "fusible bueno")),
        "blown": Told(Said("The fuse is blown.", "El fusible está quemado."), Said("fuse blown", "quemado")),
    },
    "ohms": {
        "right": Told(
            Said(
                "Bridged at the far end, the loop reads {ohms}: as it should.",
                "Puenteado en la otra punta, el circuito marca {ohms}: como debe.",
            ),
            Said("{ohms}", "{ohms}"),
        ),
        "open": Told(
            Said(
                "Bridged at the far end, the loop gives no reading: it is open.",
                "Puenteado en la otra punta, el circuito no marca nada: está abierto.",
            ),
            Said("open", "abierto"),
        ),
        "less": Told(
            Said(
                "The loop reads {short}, bridged or not. A sound one reads {ohms}.",
                "El circuito marca {short}, con o sin puente. Uno sano marca {ohms}.",
            ),
            Said("{short}", "{short}"),
        ),
    },
    "spare_input": _mended(
        Said("On the spare input nothing changes.", "En la otra entrada nada cambia."),
        Said("The wire is on the spare input", "El cable está en la otra entrada"),
    ),
}  # fmt: skip
