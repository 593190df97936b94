"""The named values that questions and lessons take from a site sheet, each with its unit and plausible range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from trainer.quantities.dimensions import Dimension, Language
from trainer.quantities.units import Unit, unit

if TYPE_CHECKING:
    from trainer.sites.sheet import Application, EyePair, SiteSheet


@dataclass(frozen=True)
class SiteValue:
    """One named number of a site: `unit` is how people in the US read it; `low` to `high` [SI] is plausible."""

    name: str
    dimension: Dimension
    unit: Unit
    low: float
    high: float
    meaning: Mapping[Language, str]

    @property
    def ends(self) -> tuple[float, float]:
        """The least and the greatest plausible value [SI]."""
        return self.low, self.high


def ranged(name: str, key: str, low: float, high: float, *meaning: str) -> SiteValue:
    """A row of the table; low and high are in the row's own unit, the meaning is in English, then Spanish."""
    en, es = meaning
    one = unit(key)
    return SiteValue(name, one.dimension, one, low * one.factor, high * one.factor, {"en": en, "es": es})


# The ranges are wide: they catch a wrong unit or a slipped point, not an unusual wash.
# Common practice, no source, except where a comment says otherwise.
_PLACE_AND_BAY = (
    ranged("latitude", "deg", -66, 66, "latitude of the wash, north positive", "latitud del lavado, norte positivo"),
    ranged("longitude", "deg", -180, 180, "longitude, east positive", "longitud, este positivo"),
    ranged("bay_bearing", "deg", 0, 360, "compass bearing that a car faces on the conveyor, clockwise from north",
           "rumbo hacia donde mira un carro en el transportador, desde el norte hacia el este"),
    ranged("bay_width", "ft", 8, 25, "level distance between the two lenses, across the bay",
           "distancia a nivel entre los dos lentes, a lo ancho de la bahía"),
    ranged("lane_offset", "in", 0, 30, "how far off the center line a car may stand",
           "cuánto puede ir un carro fuera de la línea central"),
    ranged("visibility_steam", "ft", 3, 300, "how far you can see in the bay on a steamy day",
           "hasta dónde se ve en la bahía en un día de mucho vapor"),
)  # fmt: skip

_EYES = (
    ranged("eye_low", "in", 2, 60, "height of the lower lens above the floor",
           "altura del lente bajo sobre el piso"),
    ranged("eye_high", "in", 4, 120, "height of the higher lens above the floor",
           "altura del lente alto sobre el piso"),
    ranged("lens_diameter", "in", 0.1, 3, "clear diameter of the lens", "diámetro libre del lente"),
    ranged("half_angle", "deg", 0.1, 20, "half of the cone of light that the emitter sends",
           "la mitad del cono de luz que manda el emisor"),
    ranged("view_half_angle", "deg", 0.1, 45, "half of the cone from which the receiver takes light",
           "la mitad del cono desde el que el receptor recibe luz"),
    ranged("excess_gain", "x", 1, 10_000, "excess gain measured in this bay: light that arrives over light needed",
           "ganancia de exceso medida en esta bahía: luz que llega entre luz necesaria"),
    ranged("reference_gain", "x", 0.5, 10_000, "excess gain of a clean pair at the reference distance",
           "ganancia de exceso de un par limpio a la distancia de referencia"),
    ranged("reference_distance", "ft", 1, 500, "distance at which the reference gain holds",
           "distancia a la que vale la ganancia de referencia"),
    ranged("pair_spacing", "in", 2, 600, "distance along the conveyor between two pairs",
           "distancia entre dos pares a lo largo del transportador"),
    ranged("on_delay", "s", 0, 5, "how long the eye must stay blocked before the input counts it",
           "cuánto debe seguir cortado el haz para que la entrada lo cuente"),
    ranged("off_delay", "s", 0, 10, "how long the eye must stay clear before the input lets go",
           "cuánto debe seguir libre el haz para que la entrada lo suelte"),
    ranged("nose_error", "in", 0.5, 36, "how far the nose may be past the beam when the eye reports it",
           "cuánto puede pasar la trompa del haz cuando la fotocelda la reporta"),
)  # fmt: skip

_CONVEYOR = (
    ranged("chain_speed", "ft/min", 10, 200, "speed of the conveyor chain", "velocidad de la cadena"),
    ranged("chain_tolerance", "%", 0, 20, "how far the chain speed may be off, either way",
           "cuánto puede variar la velocidad de la cadena, para arriba o para abajo"),
    ranged("pulses_per_foot", "pulses/ft", 0.5, 200, "pulses the conveyor gives for each foot of travel",
           "pulsos que da el transportador por cada pie de avance"),
    ranged("smallest_gap", "in", 6, 600, "smallest gap from one car's tail to the next car's nose",
           "hueco más corto entre la cola de un carro y la trompa del que sigue"),
    ranged("car_pitch", "ft", 15, 100, "distance from nose to nose", "distancia de trompa a trompa"),
    ranged("cars_per_hour", "cars/h", 5, 400, "cars an hour when the line is full",
           "carros por hora con la fila llena"),
    ranged("scan_time", "ms", 0.1, 500, "time the controller takes for one scan",
           "tiempo que tarda el controlador en un barrido"),
    ranged("input_filter", "ms", 0, 100, "filter time of the controller's input", "tiempo de filtro de la entrada"),
)  # fmt: skip


def _application(name: str, en: str, es: str) -> tuple[SiteValue, ...]:
    return (
        ranged(f"{name}_distance", "ft", 0.5, 300, f"from the eye to the {en}", f"de la fotocelda a {es}"),
        ranged(f"{name}_lead", "in", 0, 120, f"how far before the nose the {en} comes on",
               f"cuánto antes de la trompa prende {es}"),
        ranged(f"{name}_trail", "in", 0, 120, f"how far past the tail the {en} stays on",
               f"cuánto después de la cola sigue prendido {es}"),
        ranged(f"{name}_flow", "gal/min", 0.1, 300, f"flow of the {en} while it is on",
               f"caudal de {es} mientras trabaja"),
    )  # fmt: skip


APPLICATIONS = {
    "presoak": ("presoak arch", "el arco de prelavado"),
    "side_wash": ("side wash", "el lavado lateral"),
    "rinse": ("rinse arch", "el arco de enjuague"),
}

_ELECTRICAL = (
    ranged("supply_voltage", "V", 10, 250, "voltage of the supply at the cabinet",
           "voltaje de la fuente en el tablero"),
    ranged("supply_tolerance", "%", 0, 25, "how far the supply may be off, either way",
           "cuánto puede variar la fuente, para arriba o para abajo"),
    ranged("least_voltage", "V", 4, 240, "least voltage at which the head still works",
           "voltaje mínimo con el que el cabezal todavía trabaja"),
    ranged("head_current", "mA", 1, 2000, "current that one head draws", "corriente que toma un cabezal"),
    ranged("cable_gauge", "1", 8, 28, "wire gauge (AWG) of the cable", "calibre (AWG) del cable"),
    ranged("cable_length", "ft", 3, 1500, "one-way length of the cable from cabinet to head",
           "largo del cable del tablero al cabezal, una sola vía"),
    # From 8 AWG at 20 °C to 28 AWG at 75 °C: ASTM B258 sizes.
    ranged("cable_resistance", "ohm/kft", 0.4, 90, "resistance of one conductor per length",
           "resistencia de un conductor por largo"),
    ranged("capacitor", "uF", 1, 100_000, "capacitor of the drive's DC bus", "capacitor del bus de CD del variador"),
    ranged("bus_voltage", "V", 24, 1000, "DC bus voltage of the drive while it runs",
           "voltaje del bus de CD del variador en marcha"),
    ranged("bleed_resistor", "kohm", 0.05, 10_000, "resistor that drains the capacitor",
           "resistencia que descarga el capacitor"),
    ranged("safe_voltage", "V", 1, 60, "voltage that the capacitor must fall to before anybody reaches in",
           "voltaje al que debe bajar el capacitor antes de meter las manos"),
)  # fmt: skip

_BUSINESS = (
    ranged("cars_per_day", "cars", 1, 5000, "cars on an average day", "carros en un día normal"),
    ranged("days_per_year", "1", 1, 366, "days a year that the wash is open", "días al año que abre el lavado"),
    ranged("margin_per_car", "usd", 0.1, 100, "what is left of one car's price after its own costs",
           "lo que queda del precio de un carro después de sus propios costos"),
    ranged("call_out", "usd", 0, 5000, "price of calling out a technician", "precio de una visita del técnico"),
    ranged("head_price", "usd", 5, 5000, "price of one spare head", "precio de un cabezal de repuesto"),
    ranged("solution_price", "usd/gal", 0.001, 100, "price of a gallon of solution as it is sprayed",
           "precio de un galón de solución ya mezclada"),
    ranged("head_count", "1", 1, 200, "heads of the same part number in service", "cabezales iguales en servicio"),
    ranged("failures_per_year", "per_year", 0.001, 20, "how often one head fails",
           "cuántas veces al año falla un cabezal"),
    ranged("lead_time", "d", 0.1, 365, "days from order to delivery", "días entre el pedido y la entrega"),
    ranged("service_level", "%", 50, 99.99, "chance that the shelf lasts until the next delivery",
           "probabilidad de que el estante alcance hasta la próxima entrega"),
    ranged("spares_on_shelf", "1", 0, 200, "spare heads of that part number on the shelf",
           "cabezales de ese número de parte en el estante"),
)  # fmt: skip

# Where a pair stands, from 50 ft before the entry eye to 400 ft behind it; questions use the spacing of two pairs.
POSITION = ranged("position", "in", -600, 4800, "position of a pair along the conveyor, from the entry eye forward",
                  "posición de un par a lo largo del transportador, desde la fotocelda de entrada")  # fmt: skip

# Facts of a sheet that the survey needs and no question asks for.
SURVEYED: Mapping[str, SiteValue] = {
    value.name: value
    for value in (
        ranged("walker_depth", "in", 6, 48, "depth of a person with what they carry, front to back",
               "fondo de una persona con lo que lleva, de frente a espalda"),
        ranged("walker_speed", "ft/s", 1, 10, "how fast people walk through the beam",
               "qué tan rápido cruza la gente el haz"),
        ranged("sill", "in", -12, 240, "height of the opening's lower edge above the floor",
               "altura del borde de abajo de la abertura sobre el piso"),
        ranged("head", "in", 1, 480, "height of the opening's upper edge above the floor",
               "altura del borde de arriba de la abertura sobre el piso"),
        ranged("before", "in", -1200, 1200, "how far the opening reaches before the emitter, along the conveyor",
               "cuánto llega la abertura antes del emisor, a lo largo del transportador"),
        ranged("after", "in", -1200, 1200, "how far the opening reaches after the emitter, along the conveyor",
               "cuánto llega la abertura después del emisor, a lo largo del transportador"),
        ranged("lowest", "in", 2, 120, "lowest height at which a head may stand",
               "altura más baja a la que puede ir un cabezal"),
        ranged("highest", "in", 2, 120, "highest height at which a head may stand",
               "altura más alta a la que puede ir un cabezal"),
    )
}  # fmt: skip

VALUES: Mapping[str, SiteValue] = {
    value.name: value
    for value in (
        *_PLACE_AND_BAY,
        *_EYES,
        *_CONVEYOR,
        *(value for name, (en, es) in APPLICATIONS.items() for value in _application(name, en, es)),
        *_ELECTRICAL,
        *_BUSINESS,
    )
}


def application_range(application: str, part: str) -> SiteValue:
    """The range of an application's distance, lead, trail or flow; one that has no site values borrows."""
    return VALUES.get(f"{application}_{part}") or VALUES[f"presoak_{part}"]


def site_values(sheet: SiteSheet) -> dict[str, float]:
    """Every named value that this sheet has [SI]. The measuring pair is the first; a site may lack applications."""
    first = sheet.eyes[0]
    values = {**_of_place(sheet), **_of_pair(first), **_of_conveyor(sheet), **_of_electrical(sheet)}
    if len(sheet.eyes) > 1:
        values["pair_spacing"] = abs(sheet.eyes[1].position - first.position)
    for one in sheet.applications:
        values.update(_of_application(one))
    return values


def _of_place(sheet: SiteSheet) -> dict[str, float]:
    return {
        "latitude": sheet.location.latitude,
        "longitude": sheet.location.longitude,
        "bay_bearing": sheet.location.bearing,
        "bay_width": sheet.bay.width,
        "lane_offset": sheet.bay.lane_offset,
        "visibility_steam": sheet.bay.visibility_steam,
        **{name: value for name, value in asdict(sheet.business).items() if value is not None},
    }


def _of_pair(pair: EyePair) -> dict[str, float]:
    return {
        "eye_low": pair.low,
        "eye_high": pair.high,
        "lens_diameter": pair.lens_diameter,
        "half_angle": pair.half_angle,
        "view_half_angle": pair.view_half_angle,
        "excess_gain": pair.excess_gain,
        "reference_gain": pair.reference_gain,
        "reference_distance": pair.reference_distance,
        "on_delay": pair.on_delay,
        "off_delay": pair.off_delay,
    }


def _of_conveyor(sheet: SiteSheet) -> dict[str, float]:
    return {
        "chain_speed": sheet.conveyor.speed,
        "chain_tolerance": sheet.conveyor.tolerance,
        "pulses_per_foot": sheet.conveyor.pulses_per_length,
        "smallest_gap": sheet.conveyor.smallest_gap,
        "car_pitch": sheet.conveyor.pitch,
        "cars_per_hour": sheet.conveyor.cars_per_time,
        "scan_time": sheet.conveyor.scan_time,
        "input_filter": sheet.conveyor.input_filter,
        "nose_error": sheet.conveyor.nose_error,
    }


def _of_application(one: Application) -> dict[str, float]:
    parts = {"distance": one.distance, "lead": one.lead, "trail": one.trail, "flow": one.flow}
    return {f"{one.id}_{part}": value for part, value in parts.items() if f"{one.id}_{part}" in VALUES}


def _of_electrical(sheet: SiteSheet) -> dict[str, float]:
    return {
        "supply_voltage": sheet.supply.voltage,
        "supply_tolerance": sheet.supply.tolerance,
        "least_voltage": sheet.supply.least_voltage,
        "head_current": sheet.supply.head_current,
        "cable_gauge": sheet.supply.gauge,
        "cable_length": sheet.supply.length,
        "cable_resistance": sheet.supply.resistance_per_length,
        "capacitor": sheet.drive.capacitor,
        "bus_voltage": sheet.drive.bus_voltage,
        "bleed_resistor": sheet.drive.bleed_resistor,
        "safe_voltage": sheet.drive.safe_voltage,
    }
