"""How each number of a site sheet is measured, in plain words; where one stands; which drawing shows the tape."""

from __future__ import annotations

from typing import NamedTuple

from trainer.sites.said import Said


class How(NamedTuple):
    """How one field is measured: the name of its site value, the drawing, what the survey uses it for, the words."""

    value: str
    sketch: str
    survey: str
    how: Said


SURVEY = {
    "sees": Said("what the beam sees of each vehicle", "lo que el haz ve de cada vehículo"),
    "light": Said("how much light is left, clean and dirty", "cuánta luz queda, limpio y sucio"),
    "aim": Said("aim, stray light and crosstalk", "puntería, luz ajena e interferencia"),
    "sun": Said("when the sun looks into a lens", "cuándo el sol mira dentro de un lente"),
    "delays": Said("delays: walkers, gaps, cars kept apart", "retardos: peatones, huecos, carros separados"),
    "counting": Said("counting pulses without losing any", "contar los pulsos sin perder ninguno"),
    "windows": Said("when each device comes on and goes off", "cuándo prende y apaga cada equipo"),
    "power": Said("voltage at the farthest head", "el voltaje en el cabezal más lejano"),
    "charge": Said("how long the drive stays dangerous", "cuánto tiempo sigue peligroso el variador"),
    "cost": Said("what an hour down costs, and spares", "lo que cuesta una hora parados, y los repuestos"),
    "lockout": Said("which energies are locked out", "qué energías se bloquean"),
    "": Said("", ""),
}  # fmt: skip

LOCATION = {
    "latitude": How("latitude", "compass", "sun", Said(
        "Open the map on your phone at the entrance and press on the spot. Copy the first number.",
        "Abre el mapa del teléfono en la entrada y oprime donde estás. Copia el primer número.")),
    "longitude": How("longitude", "compass", "sun", Said(
        "Copy the second number of the same spot. In the Americas it has a minus in front.",
        "Copia el segundo número del mismo punto. En América lleva un menos delante.")),
    "bearing": How("bay_bearing", "compass", "sun", Said(
        "Stand at the entrance and look the way the cars go. Read the phone's compass. Keep it away from steel.",
        "Párate en la entrada y mira hacia donde van los carros. Lee la brújula del teléfono, lejos del acero.")),
}  # fmt: skip

EYE = {
    "receiver_side": How("", "across", "sun", Said(
        "On which side of the car is the receiver? It is the head with the output wire to the controller.",
        "¿De qué lado del carro está el receptor? Es el cabezal con el cable de salida al controlador.")),
    "high_head": How("", "across", "sun", Said(
        "Which head stands higher? Where both are level, name the one that the sun meets last.",
        "¿Cuál cabezal está más alto? Si están a nivel, nombra al que el sol le llega al último.")),
    "low": How("eye_low", "height_low", "sees", Said(
        "Hold the tape upright from the finished floor to the middle of the lower lens.",
        "Pon la cinta derecha desde el piso terminado hasta el centro del lente bajo.")),
    "high": How("eye_high", "height_high", "sees", Said(
        "Hold the tape upright from the finished floor to the middle of the higher lens.",
        "Pon la cinta derecha desde el piso terminado hasta el centro del lente alto.")),
    "position": How("position", "along", "sees", Said(
        "Hook the tape at the entry eye's lens and run it along the conveyor to the lens of this pair, level. "
        "A pair before the entry eye has a minus.",
        "Engancha la cinta en el lente de la fotocelda de entrada y llévala a lo largo del transportador, a nivel, "
        "hasta el lente de este par. Un par antes de la entrada lleva menos.")),
    "lens_diameter": How("lens_diameter", "lens", "light", Said(
        "Measure the clear glass across its middle, without the rim. Do not touch the glass.",
        "Mide el vidrio libre por el centro, sin el aro. No toques el vidrio.")),
    "enclosure": How("", "label", "light", Said(
        "Read the IP code on the head's label.",
        "Lee el código IP en la etiqueta del cabezal.")),
    "half_angle": How("half_angle", "cone", "aim", Said(
        "Read the beam angle in the data sheet of the emitter and halve it if it gives the whole cone.",
        "Lee el ángulo del haz en la hoja de datos del emisor; si da el cono entero, pon la mitad.")),
    "reference_gain": How("reference_gain", "curve", "light", Said(
        "From the excess gain curve in the data sheet: read the gain at one distance. That distance comes next.",
        "De la curva de ganancia de exceso de la hoja de datos: lee la ganancia a una distancia. La distancia sigue.")),
    "reference_distance": How("reference_distance", "curve", "light", Said(
        "The distance in the same curve at which you read the gain.",
        "La distancia de la misma curva a la que leíste la ganancia.")),
    "excess_gain": How("excess_gain", "cover", "light", Said(
        "With clean lenses and the bay clear, read the signal on the head or its meter, over what it needs.",
        "Con los lentes limpios y la bahía libre, lee la fuerza de la señal en el cabezal o su medidor, entre lo que "
        "necesita.")),
    "on_delay": How("on_delay", "on_delay", "delays", Said(
        "Read the on-delay from the head's dial or from the controller's screen. Change nothing.",
        "Lee el retardo a la conexión en la perilla del cabezal o en la pantalla del controlador. No cambies nada.")),
    "off_delay": How("off_delay", "off_delay", "delays", Said(
        "Read the off-delay from the head's dial or from the controller's screen. Change nothing.",
        "Lee el retardo a la desconexión en la perilla del cabezal o en la pantalla. No cambies nada.")),
    "operate": How("", "label", "delays", Said(
        "Read the switch on the receiver: light operate or dark operate.",
        "Lee el interruptor del receptor: activado por luz o por oscuridad.")),
    "purpose": How("", "", "sees", Said(
        "What does this pair do? Look at what the controller does with its signal.",
        "¿Qué hace este par? Mira lo que el controlador hace con su señal.")),
    "view_half_angle": How("view_half_angle", "cone", "sun", Said(
        "Read the receiver's field of view in its data sheet and halve it. Without a data sheet, skip this.",
        "Lee el campo de visión del receptor en su hoja de datos y pon la mitad. Sin hoja de datos, sáltalo.")),
    "environment": How("", "", "light", Said(
        "How dirty are the lenses a week after they were cleaned?",
        "¿Qué tan sucios están los lentes una semana después de limpiarlos?")),
    "opening": How("", "", "sun", Said(
        "Look from the receiver at the wall behind the emitter. Is there a door, a window or the open end?",
        "Mira desde el receptor a la pared detrás del emisor. ¿Hay una puerta, una ventana o el extremo abierto?")),
    "opening.sill": How("sill", "", "sun", Said(
        "Hold the tape upright from the floor to the lower edge of the opening; 0 for a door.",
        "Pon la cinta derecha del piso al borde de abajo de la abertura; 0 si es una puerta.")),
    "opening.head": How("head", "", "sun", Said(
        "Hold the tape upright from the floor to the upper edge of the opening.",
        "Pon la cinta derecha del piso al borde de arriba de la abertura.")),
    "opening.before": How("before", "", "sun", Said(
        "From the emitter against the way of the cars to the edge of the opening; minus if it begins after it.",
        "Del emisor en contra de los carros al borde de la abertura; menos si empieza después del emisor.")),
    "opening.after": How("after", "", "sun", Said(
        "From the emitter the way the cars go to the edge of the opening; minus if it ends before the emitter.",
        "Del emisor hacia donde van los carros al borde de la abertura; menos si acaba antes del emisor.")),
    "may_stand": How("", "", "sees", Said(
        "Could the heads of this pair be moved, on their posts or along the wall?",
        "¿Se podrían mover los cabezales de este par, en sus postes o a lo largo de la pared?")),
    "may_stand.lowest": How("lowest", "", "sees", Said(
        "How low can a head go? Measure to the lowest place that keeps dry and is not hit.",
        "¿Qué tan abajo puede ir un cabezal? Mide hasta el lugar más bajo que no se moja ni se golpea.")),
    "may_stand.highest": How("highest", "", "sees", Said(
        "How high can a head go?", "¿Qué tan arriba puede ir un cabezal?")),
    "may_stand.from": How("position", "along", "sees", Said(
        "How far back along the conveyor may the pair go, from the entry eye's present place?",
        "¿Hasta dónde atrás puede ir el par, desde donde está ahora la fotocelda de entrada?")),
    "may_stand.to": How("position", "along", "sees", Said(
        "How far forward along the conveyor may the pair go, from the entry eye's present place?",
        "¿Hasta dónde adelante puede ir el par, desde donde está ahora la fotocelda de entrada?")),
}  # fmt: skip
# Fields that a sheet may leave out.
OPTIONAL = frozenset({
    "purpose", "view_half_angle", "environment", "opening", "may_stand", "nose_error", "walker_depth", "walker_speed",
    "service_level", "spares_on_shelf", "wheels",
})  # fmt: skip

BAY = {
    "width": How("bay_width", "across", "sees", Said(
        "Run the tape level across the bay, from the face of one lens to the face of the other. Two people.",
        "Lleva la cinta a nivel de lado a lado, de la cara de un lente a la del otro. Entre dos personas.")),
    "lane_offset": How("lane_offset", "offset", "sees", Said(
        "Watch ten cars. Measure from the center line to the middle of the car that stands farthest off it.",
        "Mira diez carros. Mide de la línea central al centro del carro que va más fuera de ella.")),
    "visibility_steam": How("visibility_steam", "steam", "light", Said(
        "On a steamy day walk away from a dark object until you only just see it. Measure that distance.",
        "En un día de vapor aléjate de un objeto oscuro hasta que apenas lo veas. Mide esa distancia.")),
}  # fmt: skip

CONVEYOR = {
    "speed": How("chain_speed", "stopwatch", "windows", Said(
        "Chalk two marks 20 ft apart beside the chain. Time one roller from mark to mark; divide 20 ft by the time. "
        "Stay behind the guard line.",
        "Pinta dos marcas a 20 pies junto a la cadena. Mide cuánto tarda un rodillo de una a otra; divide 20 pies "
        "entre el tiempo. Quédate detrás de la línea de seguridad.")),
    "tolerance": How("chain_tolerance", "stopwatch", "windows", Said(
        "Time it five times over a day. Half of the spread, over the middle value, is the tolerance.",
        "Mídelo cinco veces en el día. La mitad de la diferencia, entre el valor de en medio, es la tolerancia.")),
    "pulses_per_length": How("pulses_per_foot", "pulses", "counting", Said(
        "Read the pulse counter as one roller passes two marks. Divide the pulses by the distance.",
        "Lee el contador de pulsos cuando un rodillo pasa por dos marcas. Divide los pulsos entre la distancia.")),
    "smallest_gap": How("smallest_gap", "gap", "delays", Said(
        "When the line is full, measure from the tail of a car to the nose of the next. Take the shortest of ten.",
        "Con la fila llena, mide de la cola de un carro a la trompa del que sigue. Toma la más corta de diez.")),
    "pitch": How("car_pitch", "pitch", "cost", Said(
        "When the line is full, measure from nose to nose. Take the middle one of ten.",
        "Con la fila llena, mide de trompa a trompa. Toma la de en medio de diez.")),
    "nose_error": How("nose_error", "", "delays", Said(
        "How late may the nose be reported? As far as the first device can wait for it.",
        "¿Qué tan tarde se puede reportar la trompa? Tanto como el primer equipo pueda esperarla.")),
    "walker_depth": How("walker_depth", "", "delays", Said(
        "Measure the deepest person who walks here, with what they carry, from back to front.",
        "Mide a la persona de más fondo que camina aquí, con lo que carga, de la espalda al frente.")),
    "walker_speed": How("walker_speed", "", "delays", Said(
        "Time a slow walk over 20 ft and divide. The chain stands still.",
        "Mide el tiempo de un paso lento en 20 pies y divide. Con la cadena parada.")),
}  # fmt: skip

# Beside the cabinet, which stays shut.
CONTROLLER = {
    "scan_time": How("scan_time", "cabinet", "counting", Said(
        "Read the scan time on the controller's screen or in its manual. Leave the door shut.",
        "Lee el tiempo de barrido en la pantalla o en el manual del controlador. Deja la puerta cerrada.")),
    "input_filter": How("input_filter", "cabinet", "counting", Said(
        "Read the input filter in the controller's settings or manual. Leave the door shut.",
        "Lee el filtro de entrada en los ajustes o el manual del controlador. Deja la puerta cerrada.")),
}  # fmt: skip

APPLICATION = {
    "distance": How("distance", "along", "windows", Said(
        "Run the tape level along the conveyor, from the entry eye's lens to the first nozzle or bristle here.",
        "Lleva la cinta a lo largo del transportador, a nivel, del lente de entrada a la primera boquilla o cerda de "
        "este equipo.")),
    "lead": How("lead", "lead", "windows", Said(
        "How far before the nose should it come on? Measure where the nose is when it comes on now.",
        "¿Cuánto antes de la trompa debe prender? Mide dónde está la trompa cuando prende ahora.")),
    "trail": How("trail", "trail", "windows", Said(
        "How far past the tail should it stay on? Measure where the tail is when it goes off now.",
        "¿Cuánto después de la cola debe seguir? Mide dónde está la cola cuando se apaga ahora.")),
    "flow": How("flow", "bucket", "cost", Said(
        "Add the flow of all nozzles from their chart, or read the flow meter while it runs. Keep clear of the spray.",
        "Suma el caudal de todas las boquillas según su tabla, o lee el medidor mientras trabaja. Lejos del chorro.")),
    "wheels": How("", "", "windows", Said(
        "Does this device work on the wheels alone, once for each axle?",
        "¿Este equipo trabaja solo en las ruedas, una vez por eje?")),
}  # fmt: skip

SUPPLY = {
    "voltage": How("supply_voltage", "cabinet", "power", Said(
        "Read the output voltage on the supply's nameplate, in the drawings or on the screen.",
        "Lee el voltaje de salida en la placa de la fuente, en los planos o en la pantalla.")),
    "tolerance": How("supply_tolerance", "cabinet", "power", Said(
        "Read the tolerance beside the output voltage in the supply's data sheet.",
        "Lee la tolerancia junto al voltaje de salida en la hoja de datos de la fuente.")),
    "least_voltage": How("least_voltage", "label", "power", Said(
        "Read the lowest supply voltage on the head's label or in its data sheet.",
        "Lee el voltaje mínimo en la etiqueta del cabezal o en su hoja de datos.")),
    "head_current": How("head_current", "label", "power", Said(
        "Read the current that one head draws on its label or in its data sheet.",
        "Lee la corriente que toma un cabezal en su etiqueta o en su hoja de datos.")),
    "gauge": How("cable_gauge", "jacket", "power", Said(
        "Read the wire gauge that is printed on the cable's jacket, where it runs outside the cabinet.",
        "Lee el calibre impreso en el forro del cable, donde va por fuera del tablero.")),
    "length": How("cable_length", "cable", "power", Said(
        "Follow the cable from the cabinet to the farthest head and measure along it, ups and downs too.",
        "Sigue el cable del tablero al cabezal más lejano y mide a lo largo, con subidas y bajadas.")),
    "resistance_per_length": How("cable_resistance", "jacket", "power", Said(
        "Look the gauge up in a copper wire table: the resistance of one conductor, not of the loop.",
        "Busca el calibre en una tabla de alambre de cobre: la resistencia de un conductor, no de ida y vuelta.")),
}  # fmt: skip

DRIVE = {
    "capacitor": How("capacitor", "cabinet", "charge", Said(
        "Read the DC bus capacitance in the drive's manual. Do not open the drive to look.",
        "Lee la capacitancia del bus de CD en el manual del variador. No abras el variador para mirar.")),
    "bus_voltage": How("bus_voltage", "cabinet", "charge", Said(
        "Read the DC bus voltage in the manual or on the drive's screen while it runs.",
        "Lee el voltaje del bus de CD en el manual o en la pantalla del variador en marcha.")),
    "bleed_resistor": How("bleed_resistor", "cabinet", "charge", Said(
        "Read the resistor that drains the capacitor in the drive's manual.",
        "Lee en el manual del variador la resistencia que descarga el capacitor.")),
    "safe_voltage": How("safe_voltage", "cabinet", "charge", Said(
        "The limit that your lockout procedure names before anybody reaches in. Ask whoever wrote it.",
        "El límite que tu procedimiento de bloqueo pone antes de meter las manos. Pregunta a quien lo escribió.")),
}  # fmt: skip

BUSINESS = {
    "cars_per_day": How("cars_per_day", "", "cost", Said(
        "Divide the cars of a whole year by the days you were open.",
        "Divide los carros de un año entre los días que abriste.")),
    "days_per_year": How("days_per_year", "", "cost", Said(
        "Count the days you were open last year.", "Cuenta los días que abriste el año pasado.")),
    "margin_per_car": How("margin_per_car", "", "cost", Said(
        "Take the average price of a wash and subtract chemicals, water and power for one car.",
        "Toma el precio promedio de un lavado y réstale químicos, agua y luz de un carro.")),
    "call_out": How("call_out", "", "cost", Said(
        "Look at the last bill of the technician: travel and the first hour.",
        "Mira la última factura del técnico: el viaje y la primera hora.")),
    "head_price": How("head_price", "", "cost", Said(
        "Look at the last bill for a head, or ask the supplier.",
        "Mira la última factura de un cabezal o pregunta al proveedor.")),
    "solution_price": How("solution_price", "", "cost", Said(
        "The price of a gallon of concentrate, divided by how many gallons it makes.",
        "El precio de un galón de concentrado, entre los galones que rinde.")),
    "head_count": How("head_count", "", "cost", Said(
        "Count the heads with the same part number, in service at your wash.",
        "Cuenta los cabezales con el mismo número de parte que trabajan en tu lavado.")),
    "failures_per_year": How("failures_per_year", "", "cost", Said(
        "Count the heads replaced in the last years; divide by the years and by the heads in service.",
        "Cuenta los cabezales cambiados en los últimos años; divide entre los años y entre los que trabajan.")),
    "lead_time": How("lead_time", "", "cost", Said(
        "How many days passed from the last order to delivery?",
        "¿Cuántos días pasaron del último pedido a la entrega?")),
    "service_level": How("service_level", "", "cost", Said(
        "How sure do you want to be that a spare is on the shelf until the next delivery comes?",
        "¿Qué tan seguro quieres estar de que haya repuesto en el estante hasta la próxima entrega?")),
    "spares_on_shelf": How("spares_on_shelf", "", "cost", Said(
        "Count the spare heads on the shelf today.", "Cuenta hoy los cabezales de repuesto en el estante.")),
}  # fmt: skip

CHOICES = {
    "driver": Said("driver's side", "lado del conductor"),
    "passenger": Said("passenger's side", "lado del pasajero"),
    "emitter": Said("the emitter", "el emisor"),
    "receiver": Said("the receiver", "el receptor"),
    "light": Said("light operate", "activado por luz"),
    "dark": Said("dark operate", "activado por oscuridad"),
    "measure": Said("it measures the car's length", "mide el largo del carro"),
    "profile": Said("it tells tall from low", "distingue alto de bajo"),
    "presence": Said("it counts cars or sees that one is there", "cuenta carros o ve que hay uno"),
    "clean": Said("clean: no film on them", "limpios: sin película"),
    "slightly_dirty": Said("a light film", "una película ligera"),
    "moderately_dirty": Said("a film that a finger wipes through", "una película que el dedo marca"),
    "very_dirty": Said("caked: the glass is hard to see", "con costra: casi no se ve el vidrio"),
    "none": Said("no", "no"),
    "there": Said("yes", "sí"),
    "true": Said("yes", "sí"),
    "false": Said("no", "no"),
}
TITLES = {
    "purpose": Said("what the pair is for", "para qué es el par"),
    "environment": Said("how dirty the lenses get", "qué tan sucios se ponen los lentes"),
    "opening": Said("opening behind the emitter", "abertura detrás del emisor"),
    "may_stand": Said("whether the heads may be moved", "si los cabezales se pueden mover"),
    "may_stand.from": Said("farthest back that the pair may stand", "lo más atrás que puede ir el par"),
    "may_stand.to": Said("farthest forward that the pair may stand", "lo más adelante que puede ir el par"),
    "wheels": Said("whether it works on the wheels alone", "si trabaja solo en las ruedas"),
    "receiver_side": Said("side of the receiver", "lado del receptor"),
    "high_head": Said("which head stands higher", "cuál cabezal está más alto"),
    "enclosure": Said("IP code of the head", "código IP del cabezal"),
    "operate": Said("light or dark operate", "activado por luz o por oscuridad"),
    "distance": Said("from the entry eye to this device", "de la fotocelda de entrada a este equipo"),
    "lead": Said("how far before the nose it comes on", "cuánto antes de la trompa prende"),
    "trail": Said("how far past the tail it stays on", "cuánto después de la cola sigue prendido"),
    "flow": Said("flow while it is on", "caudal mientras trabaja"),
}
STANDS = {
    "outside": (Said("Outside, at the entrance", "Afuera, en la entrada"), Said(
        "Stand at the entrance of the bay, phone in hand.", "Párate en la entrada de la bahía, teléfono en mano.")),
    "eye": (Said("At the {name}", "Parada: {name}"), Said(
        "Stand at the pair, on the side of the lower head, with the conveyor stopped.",
        "Párate junto al par, del lado del cabezal bajo, con el transportador parado.")),
    "across": (Said("Across the bay", "A lo ancho de la bahía"), Said(
        "Go from one lens to the other, with the conveyor stopped and nobody driving in.",
        "Ve de un lente al otro, con el transportador parado y sin carros entrando.")),
    "conveyor": (Said("Along the conveyor", "A lo largo del transportador"), Said(
        "Walk beside the conveyor, behind the guard line.",
        "Camina junto al transportador, detrás de la línea de seguridad.")),
    "application": (Said("At the {name}", "Parada: {name}"), Said(
        "Walk on to this device, with the conveyor stopped for the tape.",
        "Sigue hasta este equipo, con el transportador parado para la cinta.")),
    "cabinet": (Said("At the cabinet, door shut", "En el tablero, con la puerta cerrada"), Said(
        "Labels, nameplates, screens and manuals only. Do not open the cabinet.",
        "Solo etiquetas, placas, pantallas y manuales. No abras el tablero.")),
    "office": (Said("In the office", "En la oficina"), Said(
        "Sit down with last year's books and bills.", "Siéntate con los libros y facturas del año pasado.")),
}  # fmt: skip
