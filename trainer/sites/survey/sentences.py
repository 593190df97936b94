"""Every sentence of a survey's findings and mends, both languages beside each key.

`{found}` and `{limit}` are the finding's own number and what it should keep to; a mend writes what to set by the
name of its field.
"""

from __future__ import annotations

from collections.abc import Mapping

from trainer.sites.said import Said

FINDINGS: Mapping[str, Said] = {
    "safe_voltage": Said(
        "The sheet lets hands into the drive at {found}. On a wet floor more than {limit} DC can hurt "
        "(IEC/EN 60204-1, 6.4.1).",
        "La hoja deja meter las manos en el variador con {found}. En piso mojado más de {limit} de CD puede "
        "lastimar (IEC/EN 60204-1, 6.4.1).",
    ),
    "signal_dirty": Said(
        "The excess gain is {found}; surroundings as dirty as these ask for {limit}. The eye goes dark "
        "without a car, and the line waits for nothing.",
        "La ganancia de exceso es {found}; un lugar tan sucio pide {limit}. La fotocelda se queda a oscuras "
        "sin carro y la línea espera sin motivo.",
    ),
    "signal_steam": Said(
        "On a steamy day an excess gain of {found} is left; it takes {limit}. The eye goes dark without a "
        "car, and the line waits for nothing.",
        "En un día de vapor queda una ganancia de exceso de {found}; hace falta {limit}. La fotocelda se "
        "queda a oscuras sin carro y la línea espera sin motivo.",
    ),
    "enclosure": Said(
        "Its code {code} promises nothing against the jets of a wash bay: water gets in.",
        "Su código {code} no promete nada contra los chorros de un lavado: le entra agua.",
    ),
    "supply_low": Said(
        "With the supply at its lowest, {found} arrive at the farthest head; it needs {limit}.",
        "Con la fuente en lo más bajo, al cabezal más lejano llegan {found}; necesita {limit}.",
    ),
    "shelf_short": Said(
        "Heads on the shelf: {found}. To last {lead_time} until the next delivery with a chance of "
        "{service_level}, keep {limit}.",
        "Cabezales en el estante: {found}. Para aguantar {lead_time} hasta la próxima entrega con una "
        "probabilidad de {service_level} hacen falta {limit}.",
    ),
    "sun": Said(
        "The sun looks into this receiver {found} minutes a year ({months}, {times}). Lit by the sun, it "
        "misses cars.",
        "El sol le da a este receptor {found} minutos al año ({months}, {times}). Con el sol encima no ve "
        "los carros.",
    ),
    "crosstalk": Said(
        "The light of “{other}” alone gives this receiver an excess gain of {found}. From {limit} up it "
        "stays lit while a car blocks its own beam.",
        "La luz de “{other}” sola le da a este receptor una ganancia de exceso de {found}. Desde {limit} "
        "sigue con luz aunque un carro corte su haz.",
    ),
    "missed": Said(
        "It does not see this vehicle, {body}, from {found} off the middle on; in this lane it may stand "
        "{limit} off.",
        "No ve este vehículo, {body}, desde {found} fuera del centro; en este carril puede ir hasta a "
        "{limit}.",
    ),
    "missed_under": Said(
        "Its beam runs below this vehicle, {body}, from {found} off the middle on; in this lane it may "
        "stand {limit} off.",
        "Su haz pasa por debajo de este vehículo, {body}, desde {found} fuera del centro; en este carril "
        "puede ir hasta a {limit}.",
    ),
    "missed_over": Said(
        "Its beam runs over this vehicle, {body}, from {found} off the middle on; in this lane it may stand "
        "{limit} off.",
        "Su haz pasa por encima de este vehículo, {body}, desde {found} fuera del centro; en este carril "
        "puede ir hasta a {limit}.",
    ),
    "beam_late": Said(
        "The beam meets the nose of this vehicle, {body}, up to {found} late. No delay can make up for "
        "that: less than {limit} is allowed.",
        "El haz encuentra la trompa de este vehículo, {body}, hasta {found} tarde. Ningún retardo lo "
        "arregla: se permite menos de {limit}.",
    ),
    "bed_unseen": Said(
        "At {found}, together with the entry eye, it finds no open bed of {limit} or more on a pickup. The "
        "top brush may go down into it.",
        "A {found}, junto con la fotocelda de entrada, no encuentra la caja abierta de {limit} o más de una "
        "troca. El cepillo de arriba puede bajar en ella.",
    ),
    "walkers": Said(
        "Somebody who walks through blocks the beam for up to {limit}, and the on-delay is {found}: people "
        "count as cars.",
        "Quien pasa caminando corta el haz hasta {limit}, y el retardo a la conexión es de {found}: cuenta "
        "gente como carros.",
    ),
    "splits": Said(
        "At the beam this vehicle, {body}, has a hole of {hole}. To bridge it takes an off-delay of "
        "{limit}, and it is {found}: one car counts as two.",
        "A la altura del haz este vehículo, {body}, tiene un hueco de {hole}. Para saltarlo hace falta un "
        "retardo a la desconexión de {limit}, y es de {found}: un carro cuenta como dos.",
    ),
    "joins": Said(
        "The off-delay is {found}, but the smallest gap, {gap}, passes in {limit}: two cars count as one.",
        "El retardo a la desconexión es de {found}, pero el hueco más corto, {gap}, pasa en {limit}: dos "
        "carros cuentan como uno.",
    ),
    "nose_late": Said(
        "A nose may be {found} past the beam when it is reported; {limit} is allowed.",
        "La trompa puede ir {found} más allá del haz cuando se avisa; se permite {limit}.",
    ),
    "never_counts": Said(
        "The on-delay is {found}, but the shortest car blocks the beam for {limit} only: it never counts.",
        "El retardo a la conexión es de {found}, pero el carro más corto corta el haz solo {limit}: nunca "
        "cuenta.",
    ),
    "edges_late": Said(
        "An edge of a roof may be {found} past the beam when it is reported; {limit} is allowed.",
        "El borde de un techo puede ir {found} más allá del haz cuando se avisa; se permite {limit}.",
    ),
    "blurs": Said(
        "Its two delays change what it takes for tall by {found}; {limit} is allowed.",
        "Sus dos retardos cambian lo que toma por alto en {found}; se permite {limit}.",
    ),
    "no_delays": Said(
        "No delays can do both: {first}, and {second}. One asks for at least {found}, the other allows "
        "{limit}.",
        "Ningún retardo puede con las dos cosas: {first}, y {second}. Una pide por lo menos {found}, la "
        "otra permite {limit}.",
    ),
    "no_delay": Said(
        "No delay can do this: {first}. It asks for at least {found}; at most {limit} can be set.",
        "Ningún retardo puede con esto: {first}. Pide por lo menos {found}; se puede poner a lo más {limit}.",
    ),
    "pulses_lost": Said(
        "Pulses come at {found} on a fast chain; the controller surely counts up to {limit}. Every lost "
        "pulse makes cars short.",
        "Los pulsos llegan a {found} con la cadena rápida; el controlador cuenta con seguridad hasta "
        "{limit}. Cada pulso perdido acorta los carros.",
    ),
    "comes_on_late": Said(
        "It should come on {found} before the nose, but when the eye reports the nose only {limit} are left.",
        "Debe prender {found} antes de la trompa, pero cuando la fotocelda avisa solo quedan {limit}.",
    ),
    "nose_bare": Said(
        "The entry eye meets the nose of this vehicle, {body}, {limit} later than a plain car's; the lead "
        "is {found}. Its nose stays bare.",
        "La fotocelda de entrada encuentra la trompa de este vehículo, {body}, {limit} más tarde que la de "
        "un carro común; el adelanto es de {found}. La trompa queda sin cubrir.",
    ),
    "tail_bare": Said(
        "The entry eye lets go of this vehicle, {body}, {limit} earlier than of a plain car; the trail is "
        "{found}. Its tail stays bare.",
        "La fotocelda de entrada suelta este vehículo, {body}, {limit} antes que un carro común; el alargue "
        "es de {found}. La cola queda sin cubrir.",
    ),
}

MENDS: Mapping[str, Said] = {
    "wait_longer": Said(
        "Wait until your meter shows {safe_voltage} or less, and write that in the sheet.",
        "Espera hasta que tu medidor marque {safe_voltage} o menos, y escríbelo en la hoja.",
    ),
    "clean_and_aim": Said(
        "Clean both lenses and aim both heads until the excess gain is {excess_gain} or more. A clean pair "
        "gives {clean} here.",
        "Limpia los dos lentes y apunta los dos cabezales hasta que la ganancia de exceso sea de "
        "{excess_gain} o más. Un par limpio da aquí {clean}.",
    ),
    "stronger_pair": Said(
        "Even clean this pair gives {clean} here, and it takes {excess_gain}. Fit one with an excess gain "
        "of {reference_gain} or more at {distance}.",
        "Aun limpio este par da aquí {clean}, y hace falta {excess_gain}. Pon uno con ganancia de exceso de "
        "{reference_gain} o más a {distance}.",
    ),
    "fit_housing": Said(
        "Fit heads with IP66, IP69 or both codes on the label, such as IP66/IP67.",
        "Pon cabezales con IP66, IP69 o los dos códigos en la etiqueta, como IP66/IP67.",
    ),
    "thicker_cable": Said(
        "Run cable of {gauge} AWG to the farthest head.",
        "Lleva cable calibre {gauge} AWG al cabezal más lejano.",
    ),
    "higher_supply": Said(
        "Feed it {voltage}, if the heads' label allows that.",
        "Aliméntalo con {voltage}, si la etiqueta de los cabezales lo permite.",
    ),
    "stock_up": Said(
        "Order heads until the shelf holds {spares_on_shelf}.",
        "Pide cabezales hasta que el estante tenga {spares_on_shelf}.",
    ),
    "look_down": Said(
        "Let the receiver look down: set it to {high} and the emitter to {low}. No sun above the horizon "
        "gets in then.",
        "Haz que el receptor mire hacia abajo: ponlo a {high} y el emisor a {low}. Así no entra ningún sol "
        "sobre el horizonte.",
    ),
    "swap_sides": Said(
        "Swap emitter and receiver: from the other side the receiver never looks at the sun.",
        "Cambia de lado emisor y receptor: desde el otro lado el receptor nunca mira al sol.",
    ),
    "close_opening": Said(
        "Close the opening behind the emitter, or hang a blind in it.",
        "Cierra la abertura detrás del emisor o cuélgale una cortina.",
    ),
    "swap_against_light": Said(
        "Swap emitter and receiver of this pair: its receiver then looks away from that light.",
        "Cambia de lado el emisor y el receptor de este par: así su receptor no mira hacia esa luz.",
    ),
    "move_along": Said(
        "Move this pair to {position} from the entry eye.",
        "Mueve este par a {position} de la fotocelda de entrada.",
    ),
    "shade": Said(
        "Turn the heads away from each other, shade the receiver, or fit a pair with another modulation.",
        "Gira los cabezales uno lejos del otro, tapa el receptor por ese lado o pon un par con otra "
        "modulación.",
    ),
    "move_heads": Said(
        "Set the lower lens to {low} and the higher one to {high}, then aim again.",
        "Pon el lente bajo a {low} y el alto a {high}, y vuelve a apuntar.",
    ),
    "say_room": Said(
        "Nothing may be moved by the sheet. Say in it where the heads may stand, and survey again.",
        "Según la hoja no se puede mover nada. Escribe en ella dónde pueden ir los cabezales y revisa otra "
        "vez.",
    ),
    "no_room": Said(
        "No heights in the room that the sheet gives do it. Find other room for the heads.",
        "Ninguna altura en el lugar que da la hoja sirve. Busca otro lugar para los cabezales.",
    ),
    "turn_away": Said(
        "Turn such vehicles away: list them in the sheet and on the sign at the entrance.",
        "No recibas esos vehículos: ponlos en la hoja y en el letrero de la entrada.",
    ),
    "set_on_delay": Said(
        "Set the on-delay to {on_delay}. From {least} to {most} does.",
        "Pon el retardo a la conexión en {on_delay}. Sirve de {least} a {most}.",
    ),
    "set_off_delay": Said(
        "Set the off-delay to {off_delay}. From {least} to below {most} does.",
        "Pon el retardo a la desconexión en {off_delay}. Sirve de {least} a menos de {most}.",
    ),
    "set_both_delays": Said(
        "Set the on-delay to {on_delay} and the off-delay to {off_delay}.",
        "Pon el retardo a la conexión en {on_delay} y a la desconexión en {off_delay}.",
    ),
    "wider_gap": Said(
        "Keep cars at least {smallest_gap} apart; then set the on-delay to {on_delay} and the off-delay to "
        "{off_delay}.",
        "Deja por lo menos {smallest_gap} entre carros; luego pon el retardo a la conexión en {on_delay} y "
        "a la desconexión en {off_delay}.",
    ),
    "allow_later": Said(
        "Let the controller put up with a nose {nose_error} past the beam and take the delay off its "
        "positions; then set the on-delay to {on_delay} and the off-delay to {off_delay}.",
        "Haz que el controlador acepte una trompa {nose_error} más allá del haz y descuente el retardo de "
        "sus posiciones; luego pon el retardo a la conexión en {on_delay} y a la desconexión en "
        "{off_delay}.",
    ),
    "slower_or_apart": Said(
        "Slow the chain or keep cars farther apart, and survey again.",
        "Baja la velocidad de la cadena o separa más los carros, y revisa otra vez.",
    ),
    "faster_scan": Said(
        "Bring the scan down to {scan_time}, or use a counting input.",
        "Baja el barrido a {scan_time}, o usa una entrada de conteo.",
    ),
    "counting_input": Said(
        "Use a counting input: it does not wait for the scan.",
        "Usa una entrada de conteo: no espera al barrido.",
    ),
    "shorter_lead": Said(
        "Set the lead to {lead}.",
        "Pon el adelanto en {lead}.",
    ),
    "longer_lead": Said(
        "Set the lead to {lead}.",
        "Pon el adelanto en {lead}.",
    ),
    "longer_trail": Said(
        "Set the trail to {trail}.",
        "Pon el alargue en {trail}.",
    ),
    "move_eye": Said(
        "Move the entry eye forward of this device, or shorten its on-delay.",
        "Mueve la fotocelda de entrada más adelante de este equipo o acorta su retardo.",
    ),
}
