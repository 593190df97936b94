"""The figures there are: what each needs, and what it shows in words; knows nothing of drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from trainer.quantities.dimensions import Dimension, Language, System
from trainer.quantities.units import partner, unit
from trainer.quantities.writing import write_quantity


@dataclass(frozen=True)
class Figure:
    """One figure: the unit in which each number is written, the module that draws it, its title and words.

    units: every input by name; `needs` names those that must be there. `words` say the same facts as the drawing,
    with `{name}` for a number; a sentence whose number is absent is left out.
    """

    name: str
    subject: str
    units: Mapping[str, str]
    needs: frozenset[str]
    title: Mapping[str, str]
    words: Mapping[str, tuple[str, ...]]

    @cached_property
    def inputs(self) -> Mapping[str, Dimension]:
        """The inputs that must be given, with their dimensions."""
        return {name: unit(key).dimension for name, key in self.units.items() if name in self.needs}

    @cached_property
    def optional(self) -> Mapping[str, Dimension]:
        """The inputs that may be given, with their dimensions."""
        return {name: unit(key).dimension for name, key in self.units.items() if name not in self.needs}


@dataclass(frozen=True)
class Description:
    """A figure in words: its title and what it shows."""

    title: str
    text: str


def describe(name: str, numbers: Mapping[str, float], language: Language, system: System) -> Description:
    """The figure in words, for those who cannot see it."""
    figure = FIGURES[name]
    written = written_numbers(figure, numbers, language, system)
    return Description(figure.title[language], " ".join(_filled(figure.words[language], written)))


def written_numbers(
    figure: Figure, numbers: Mapping[str, float], language: Language, system: System
) -> dict[str, str]:
    """Each number as this reader reads it."""
    return {
        name: write_quantity(value, partner(unit(figure.units[name]), system), language)
        for name, value in numbers.items()
    }


def _filled(sentences: tuple[str, ...], written: Mapping[str, str]) -> list[str]:
    found = []
    for sentence in sentences:
        try:
            found.append(sentence.format(**written))
        except KeyError:
            continue
    return found


def _figure(
    name: str, subject: str, inputs: str, en: tuple[str, str], es: tuple[str, str]
) -> tuple[str, Figure]:
    """A row of the table. inputs: `name unit, name unit, …`; a `?` after the name makes it optional."""
    units, needs = {}, set()
    for one in filter(None, (part.strip() for part in inputs.split(","))):
        key, _, unit_key = one.partition(" ")
        units[key.rstrip("?")] = unit_key
        if not key.endswith("?"):
            needs.add(key)
    titles = MappingProxyType({"en": en[0], "es": es[0]})
    words = MappingProxyType({"en": tuple(en[1].split("|")), "es": tuple(es[1].split("|"))})
    return name, Figure(name, subject, MappingProxyType(units), frozenset(needs), titles, words)


FIGURES: Mapping[str, Figure] = MappingProxyType(
    dict(
        (
            _figure(
                "slanted_beam", "bay", "low in, high in, span ft, at? ft, object_from? ft, object_to? ft, object_height? in",
                ("The beam across the bay", "The low head's lens is {low} above the floor, the high one {high}. They stand {span} apart.|At {at} from the low head the height is marked.|An object {object_height} high stands from {object_from} to {object_to}."),
                ("El haz a través de la bahía", "El lente de la cabeza baja está a {low} del piso, el de la alta a {high}. Están separadas {span}.|A {at} de la cabeza baja se marca la altura.|Un objeto de {object_height} de alto está de {object_from} a {object_to}."),
            ),
            _figure(
                "blocked_length", "bay", "length ft, pulses? pulses, pulses_per_length? pulses/ft",
                ("A vehicle and its pulses", "A vehicle {length} long blocks the beam from nose to tail.|The counter reads {pulses} meanwhile.|The conveyor gives {pulses_per_length}."),
                ("Un vehículo y sus pulsos", "Un vehículo de {length} corta el haz del frente a la cola.|El contador lee {pulses} mientras tanto.|El transportador da {pulses_per_length}."),
            ),
            _figure(
                "eye_parts", "beam", "lens_diameter in, span ft, half_angle deg",
                ("Emitter, effective beam, receiver", "Emitter and receiver stand {span} apart. The effective beam is a rod {lens_diameter} thick from lens to lens. The emitted cone opens {half_angle} to each side, far wider."),
                ("Emisor, haz efectivo, receptor", "Emisor y receptor están separados {span}. El haz efectivo es una barra de {lens_diameter} de lente a lente. El cono emitido se abre {half_angle} a cada lado, mucho más ancho."),
            ),
            _figure(
                "gain_over_distance", "beam", "reference_gain x, reference_distance ft, distance ft",
                ("Excess gain over distance", "The excess gain falls with the square of the distance. It is {reference_gain} at {reference_distance}; the mark stands at {distance}."),
                ("Ganancia de exceso según la distancia", "La ganancia de exceso cae con el cuadrado de la distancia. Es {reference_gain} a {reference_distance}; la marca está en {distance}."),
            ),
            _figure(
                "lens_cover", "beam", "excess_gain x",
                ("How much of the lens may be covered", "With an excess gain of {excess_gain} the hatched share of the lens may be covered before the output switches."),
                ("Cuánto del lente se puede tapar", "Con una ganancia de exceso de {excess_gain} se puede tapar la parte rayada del lente antes de que la salida cambie."),
            ),
            _figure(
                "edge_and_lens", "beam", "lens_diameter in, excess_gain x",
                ("Where an edge switches the eye", "A straight edge crosses a lens {lens_diameter} wide. With an excess gain of {excess_gain} the output switches when the edge stands at the dashed line."),
                ("Dónde un borde hace cambiar el ojo", "Un borde recto cruza un lente de {lens_diameter}. Con una ganancia de exceso de {excess_gain} la salida cambia cuando el borde llega a la línea punteada."),
            ),
            _figure(
                "fog_bay", "beam", "visibility ft, distance ft",
                ("Light left across the bay in steam", "You see {visibility} in this steam and the heads stand {distance} apart. The curve shows the share of light that is left, by the 5 % convention of visibility."),
                ("Luz que queda a través de la bahía con vapor", "En este vapor se ve hasta {visibility} y las cabezas están separadas {distance}. La curva muestra la parte de luz que queda, con la convención de visibilidad del 5 %."),
            ),
            _figure(
                "crosstalk_pairs", "beam", "spacing in, distance ft, half_angle deg, tilt? deg",
                ("Two pairs side by side", "Two pairs stand {spacing} apart and {distance} across. Each emitter's cone opens {half_angle} to each side.|One pair is tilted by {tilt}."),
                ("Dos pares lado a lado", "Dos pares están separados {spacing} y miden {distance} de lado a lado. El cono de cada emisor se abre {half_angle} a cada lado.|Un par está inclinado {tilt}."),
            ),
            _figure(
                "string_aim", "mounting", "distance ft, offset in",
                ("Aim with a string line", "A string is pulled between the heads, {distance} apart. The head points {offset} beside the far lens."),
                ("Apuntar con un hilo", "Se tira un hilo entre las cabezas, separadas {distance}. La cabeza apunta {offset} al lado del lente lejano."),
            ),
            _figure(
                "spot", "mounting", "half_angle deg, distance ft",
                ("The spot of light at the receiver", "At {distance} a cone of {half_angle} to each side makes the spot drawn here."),
                ("La mancha de luz en el receptor", "A {distance} un cono de {half_angle} a cada lado forma la mancha dibujada."),
            ),
            _figure(
                "drip_loop", "mounting", "",
                ("A drip loop below the gland", "The cable hangs below the gland and rises into it, so that water drips off at the lowest point. The gland points down."),
                ("Un lazo de goteo bajo el prensaestopas", "El cable cuelga por debajo del prensaestopas y sube hacia él, así el agua gotea en el punto más bajo. El prensaestopas mira hacia abajo."),
            ),
            _figure(
                "ip_digits", "mounting", "",
                ("The two digits of an IP code", "The first digit stands for dust, 6 is dust-tight. The second stands for water: 5 jet, 6 strong jet, 7 short dip, 8 long dip, 9 hot high-pressure jet. A 7 or 8 does not include 5 or 6."),
                ("Los dos dígitos de un código IP", "El primer dígito es para polvo, 6 es hermético. El segundo es para agua: 5 chorro, 6 chorro fuerte, 7 inmersión corta, 8 inmersión larga, 9 chorro caliente a presión. El 7 o el 8 no incluyen el 5 ni el 6."),
            ),
            _figure(
                "output_modes", "switching", "",
                ("Light operate and dark operate", "With a clear beam a light-operate output is on and a dark-operate output is off. With a blocked beam it is the other way round."),
                ("Operación por luz y por oscuridad", "Con el haz libre, la salida por luz está activada y la salida por oscuridad desactivada. Con el haz cortado es al revés."),
            ),
            _figure(
                "two_eyes_bed", "switching", "low in, high in",
                ("Two eyes over a pickup bed", "The low eye looks across at {low} and stays blocked along the bed. The high eye at {high} sees over the open bed."),
                ("Dos ojos sobre la caja de una pickup", "El ojo bajo, a {low}, sigue cortado a lo largo de la caja. El ojo alto, a {high}, ve por encima de la caja abierta."),
            ),
            *(
                _figure(
                    f"timing_{kind}", "timing", "preset s, on1? s, off1? s, on2? s, off2? s, on3? s, off3? s",
                    (en, "The upper line is the eye, the lower line the timer's output; the preset is {preset}.|The eye goes on at {on1} and off at {off1}.|Then on at {on2} and off at {off2}.|Then on at {on3} and off at {off3}."),
                    (es, "La línea de arriba es el ojo, la de abajo la salida del temporizador; el ajuste es {preset}.|El ojo se activa a {on1} y se desactiva a {off1}.|Después se activa a {on2} y se desactiva a {off2}.|Después se activa a {on3} y se desactiva a {off3}."),
                )
                for kind, en, es in (
                    ("on_delay", "On-delay over time", "Retardo a la conexión en el tiempo"),
                    ("off_delay", "Off-delay over time", "Retardo a la desconexión en el tiempo"),
                    ("pulse", "Pulse timer over time", "Temporizador de pulso en el tiempo"),
                )
            ),
            _figure(
                "walker_and_nose", "timing", "depth in, walker_speed ft/s, on_delay s, chain_speed in/s",
                ("A walker and a nose against the on-delay", "A walker {depth} deep at {walker_speed} blocks the beam for a moment. The on-delay is {on_delay}; a car's nose at {chain_speed} moves on meanwhile."),
                ("Una persona y un frente contra el retardo", "Una persona de {depth} de fondo a {walker_speed} corta el haz un momento. El retardo es {on_delay}; el frente de un carro a {chain_speed} avanza mientras tanto."),
            ),
            _figure(
                "gap_and_off_delay", "timing", "gap in, speed in/s, off_delay s",
                ("The gap between two cars against the off-delay", "Two cars leave a gap of {gap} and the chain runs at {speed}. The off-delay of {off_delay} bridges the marked part of it."),
                ("El hueco entre dos carros contra el retardo", "Dos carros dejan un hueco de {gap} y la cadena va a {speed}. El retardo a la desconexión de {off_delay} cubre la parte marcada."),
            ),
            _figure(
                "application_window", "bay", "distance ft, lead in, trail in, length ft",
                ("Where an application switches on and off", "The device stands {distance} past the eye. It starts {lead} before the nose of a vehicle {length} long and stops {trail} past its tail."),
                ("Dónde arranca y para una aplicación", "El equipo está a {distance} del ojo. Arranca {lead} antes del frente de un vehículo de {length} y para {trail} después de la cola."),
            ),
            _figure(
                "loop_blocks", "circuits", "",
                ("The sensing loop in blocks", "Supply, cable, connector, emitter, lens, air, lens, receiver, output, controller input: the signal passes them in this order."),
                ("El lazo de detección en bloques", "Fuente, cable, conector, emisor, lente, aire, lente, receptor, salida, entrada del controlador: la señal pasa en este orden."),
            ),
            _figure(
                "cable_short", "circuits", "length ft, distance ft",
                ("A short in a two-wire cable", "The cable is {length} long. The short lies {distance} from the meter, so the meter sees that length twice."),
                ("Un corto en un cable de dos hilos", "El cable mide {length}. El corto está a {distance} del medidor, así que el medidor ve ese largo dos veces."),
            ),
            _figure(
                "voltage_drop", "circuits", "supply V, drop V, length ft",
                ("Voltage along the cable", "The supply gives {supply}. Over {length} of cable, out and back, {drop} is lost."),
                ("Voltaje a lo largo del cable", "La fuente da {supply}. En {length} de cable, ida y vuelta, se pierden {drop}."),
            ),
            _figure(
                "discharge_curve", "circuits", "resistance kohm, capacitance uF, from_voltage V, to_voltage V",
                ("A capacitor discharging", "A capacitor of {capacitance} over {resistance} falls from {from_voltage} to {to_voltage}; the time it takes is marked."),
                ("Un capacitor descargándose", "Un capacitor de {capacitance} sobre {resistance} baja de {from_voltage} a {to_voltage}; se marca el tiempo que tarda."),
            ),
            _figure(
                "energy_sources", "lockout", "",
                ("Energy comes by more ways than the wire", "Electric supply, stored charge, air, hydraulic pressure, a raised load, a spring, hot water and chemicals all feed or push the machine. Each has its own point of isolation."),
                ("La energía llega por más caminos que el cable", "Alimentación eléctrica, carga almacenada, aire, presión hidráulica, una carga levantada, un resorte, agua caliente y químicos mueven o alimentan la máquina. Cada uno tiene su propio punto de aislamiento."),
            ),
            _figure(
                "lock_points", "lockout", "",
                ("What isolates and what only controls", "A disconnect, a breaker or a line valve that takes a lock isolates. A stop button, a selector switch or an emergency stop only controls."),
                ("Qué aísla y qué solo controla", "Un desconectador, un interruptor o una válvula de línea que acepta candado aísla. Un botón de paro, un selector o un paro de emergencia solo controla."),
            ),
        )
    )
)  # fmt: skip
