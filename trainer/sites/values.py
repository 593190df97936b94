"""The site values: what lessons and questions may take from the site sheet, by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from trainer.quantities.dimensions import Dimension
from trainer.quantities.units import Unit
from trainer.sites.plausible import RANGES
from trainer.sites.sheet import Application, SiteSheet

Getter = Callable[[SiteSheet], float]


@dataclass(frozen=True)
class SiteValue:
    """One named value: how it is measured and shown, its plausible range [SI], what it means."""

    name: str
    dimension: Dimension
    unit: Unit
    low: float
    high: float
    meaning: Mapping[str, str]
    get: Getter


def _first(sheet: SiteSheet, wanted: str) -> Application:
    """The application of this id; a wash without it lends its first one."""
    return next((one for one in sheet.applications if one.id == wanted), sheet.applications[0])


def _last(sheet: SiteSheet, wanted: str) -> Application:
    return next((one for one in sheet.applications if one.id == wanted), sheet.applications[-1])


# name, row of plausible.RANGES, English, Spanish, where it stands in the sheet
_ROWS: tuple[tuple[str, str, str, str, Getter], ...] = (
    ("bay_width", "bay.width", "level distance between the two heads", "distancia a nivel entre las dos cabezas",
     lambda s: s.bay.width),
    ("lane_offset", "bay.lane_offset", "how far a car may stand off centre", "cuánto puede ir un carro descentrado",
     lambda s: s.bay.lane_offset),
    ("visibility_steam", "bay.steam_visibility", "how far you see in the steam", "hasta dónde se ve con el vapor",
     lambda s: s.bay.steam_visibility),
    ("eye_low", "eye.low", "height of the low head's lens", "altura del lente de la cabeza baja",
     lambda s: s.entry_eye.low),
    ("eye_high", "eye.high", "height of the high head's lens", "altura del lente de la cabeza alta",
     lambda s: s.entry_eye.high),
    ("lens_diameter", "eye.lens_diameter", "diameter of the lens", "diámetro del lente",
     lambda s: s.entry_eye.lens_diameter),
    ("half_angle", "eye.half_angle", "half of the emitter's cone", "mitad del cono del emisor",
     lambda s: s.entry_eye.half_angle),
    ("reference_gain", "eye.reference_gain", "excess gain at the reference distance",
     "ganancia de exceso a la distancia de referencia", lambda s: s.entry_eye.reference_gain),
    ("reference_distance", "eye.reference_distance", "distance at which the reference gain holds",
     "distancia donde vale la ganancia de referencia", lambda s: s.entry_eye.reference_distance),
    ("excess_gain", "eye.excess_gain", "excess gain measured on the bay", "ganancia de exceso medida en la bahía",
     lambda s: s.entry_eye.excess_gain),
    ("pair_spacing", "eye_spacing", "distance between neighbouring pairs", "distancia entre pares vecinos",
     lambda s: s.eye_spacing),
    ("on_delay", "eye.on_delay", "on-delay of the entry eye", "retardo a la conexión del ojo de entrada",
     lambda s: s.entry_eye.on_delay),
    ("off_delay", "eye.off_delay", "off-delay of the entry eye", "retardo a la desconexión del ojo de entrada",
     lambda s: s.entry_eye.off_delay),
    ("pulses_per_foot", "conveyor.pulses", "pulses the conveyor gives for each foot",
     "pulsos que da el transportador por cada pie", lambda s: s.conveyor.pulses),
    ("chain_speed", "conveyor.speed", "speed of the chain", "velocidad de la cadena", lambda s: s.conveyor.speed),
    ("speed_tolerance", "conveyor.speed_tolerance", "how much the chain speed varies",
     "cuánto varía la velocidad de la cadena", lambda s: s.conveyor.speed_tolerance),
    ("smallest_gap", "conveyor.smallest_gap", "smallest gap between two cars, bumper to bumper",
     "hueco más chico entre dos carros, de defensa a defensa", lambda s: s.conveyor.smallest_gap),
    ("car_pitch", "conveyor.pitch", "distance from nose to nose", "distancia de frente a frente",
     lambda s: s.conveyor.pitch),
    ("scan_time", "conveyor.scan_time", "scan time of the controller, input filter included",
     "tiempo de barrido del controlador con su filtro", lambda s: s.conveyor.scan_time),
    ("presoak_distance", "application.distance", "from the entry eye to the presoak arch",
     "del ojo de entrada al arco de prelavado", lambda s: _first(s, "presoak").distance),
    ("presoak_lead", "application.lead", "how far before the nose the presoak starts",
     "cuánto antes del frente arranca el prelavado", lambda s: _first(s, "presoak").lead),
    ("presoak_trail", "application.trail", "how far past the tail the presoak runs on",
     "cuánto sigue el prelavado después de la cola", lambda s: _first(s, "presoak").trail),
    ("presoak_flow", "application.flow", "solution the presoak arch sprays", "solución que rocía el arco de prelavado",
     lambda s: _first(s, "presoak").flow),
    ("rinse_distance", "application.distance", "from the entry eye to the rinse arch",
     "del ojo de entrada al arco de enjuague", lambda s: _last(s, "rinse").distance),
    ("rinse_lead", "application.lead", "how far before the nose the rinse starts",
     "cuánto antes del frente arranca el enjuague", lambda s: _last(s, "rinse").lead),
    ("rinse_trail", "application.trail", "how far past the tail the rinse runs on",
     "cuánto sigue el enjuague después de la cola", lambda s: _last(s, "rinse").trail),
    ("rinse_flow", "application.flow", "water the rinse arch sprays", "agua que rocía el arco de enjuague",
     lambda s: _last(s, "rinse").flow),
    ("supply_voltage", "wiring.supply", "voltage of the supply", "voltaje de la fuente", lambda s: s.wiring.supply),
    ("least_voltage", "wiring.least", "least voltage a head works with", "voltaje mínimo con que trabaja una cabeza",
     lambda s: s.wiring.least),
    ("head_current", "wiring.head_current", "current of one head", "corriente de una cabeza",
     lambda s: s.wiring.head_current),
    ("cable_length", "wiring.cable_length", "length of the cable, one way", "largo del cable, solo ida",
     lambda s: s.wiring.cable_length),
    ("cable_resistance", "wiring.cable_resistance", "resistance of one conductor", "resistencia de un conductor",
     lambda s: s.wiring.cable_resistance),
    ("bus_voltage", "drive.bus_voltage", "voltage of the drive's DC bus", "voltaje del bus de CD del variador",
     lambda s: s.drive.bus_voltage),
    ("capacitor", "drive.capacitor", "capacitor of the drive", "capacitor del variador", lambda s: s.drive.capacitor),
    ("bleed_resistor", "drive.bleed_resistor", "resistor that bleeds the capacitor",
     "resistencia que descarga el capacitor", lambda s: s.drive.bleed_resistor),
    ("safe_voltage", "drive.safe_voltage", "voltage taken as discharged", "voltaje que cuenta como descargado",
     lambda s: s.drive.safe_voltage),
    ("cars_per_hour", "business.cars_per_hour", "cars washed in an hour", "carros lavados por hora",
     lambda s: s.business.cars_per_hour),
    ("cars_per_day", "business.cars_per_day", "cars washed in a day", "carros lavados por día",
     lambda s: s.business.cars_per_day),
    ("days_per_year", "business.days_per_year", "days open in a year", "días abiertos al año",
     lambda s: s.business.days_per_year),
    ("margin_per_car", "business.margin_per_car", "what is left of one wash after its own costs",
     "lo que queda de un lavado después de sus costos", lambda s: s.business.margin_per_car),
    ("callout_price", "business.callout_price", "price of a call-out", "precio de una visita de servicio",
     lambda s: s.business.callout_price),
    ("head_price", "business.head_price", "price of one head", "precio de una cabeza", lambda s: s.business.head_price),
    ("head_failures", "business.head_failures", "heads that fail in a year", "cabezas que fallan al año",
     lambda s: s.business.head_failures),
    ("head_lead_time", "business.head_lead_time", "days until an ordered head is here",
     "días hasta que llega una cabeza pedida", lambda s: s.business.head_lead_time),
)  # fmt: skip

VALUES: Mapping[str, SiteValue] = MappingProxyType(
    {
        name: SiteValue(
            name, RANGES[row].dimension, RANGES[row].unit, RANGES[row].low, RANGES[row].high,
            MappingProxyType({"en": en, "es": es}), get,
        )
        for name, row, en, es, get in _ROWS
    }
)  # fmt: skip


def site_values(sheet: SiteSheet) -> dict[str, float]:
    """Every named value of a sheet [SI]."""
    return {name: value.get(sheet) for name, value in VALUES.items()}
