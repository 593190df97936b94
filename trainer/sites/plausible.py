"""What each measured number may be: its unit and the range beyond which it is more likely a slip of the pen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from trainer.quantities.dimensions import Dimension
from trainer.quantities.reading import parse_quantity
from trainer.quantities.units import Unit, unit


@dataclass(frozen=True)
class Range:
    """A unit and the least and most a number may be, in SI and as written."""

    unit: Unit
    low: float
    high: float
    words: str

    @property
    def dimension(self) -> Dimension:
        """The dimension of the number."""
        return self.unit.dimension


def _range(unit_key: str, low: str, high: str) -> Range:
    return Range(unit(unit_key), parse_quantity(low)[0], parse_quantity(high)[0], f"from {low} to {high}")


# Ranges are wide: common practice, no source. They catch a wrong unit or a lost digit, not an unusual wash.
RANGES: Mapping[str, Range] = MappingProxyType(
    {
        "location.latitude": _range("deg", "-66 deg", "66 deg"),
        "location.longitude": _range("deg", "-180 deg", "180 deg"),
        "location.bearing": _range("deg", "0 deg", "360 deg"),
        "bay.width": _range("ft", "8 ft", "24 ft"),
        "bay.lane_offset": _range("in", "0 in", "24 in"),
        "bay.steam_visibility": _range("ft", "2 ft", "100 ft"),
        "conveyor.pulses": _range("pulses/ft", "1 pulses/ft", "120 pulses/ft"),
        "conveyor.speed": _range("in/s", "2 in/s", "60 in/s"),
        "conveyor.speed_tolerance": _range("%", "0 %", "20 %"),
        "conveyor.smallest_gap": _range("in", "6 in", "20 ft"),
        "conveyor.pitch": _range("ft", "15 ft", "60 ft"),
        "conveyor.scan_time": _range("ms", "0.1 ms", "500 ms"),
        "eye.low": _range("in", "2 in", "60 in"),
        "eye.high": _range("in", "2 in", "96 in"),
        "eye.position": _range("ft", "0 ft", "60 ft"),
        "eye.lens_diameter": _range("in", "0.1 in", "3 in"),
        "eye.half_angle": _range("deg", "0.2 deg", "20 deg"),
        "eye.reference_gain": _range("x", "1", "1000"),
        "eye.reference_distance": _range("ft", "3 ft", "300 ft"),
        "eye.excess_gain": _range("x", "1.1", "2000"),
        "eye.on_delay": _range("s", "0 s", "10 s"),
        "eye.off_delay": _range("s", "0 s", "20 s"),
        "eye_spacing": _range("in", "2 in", "20 ft"),
        "application.distance": _range("ft", "1 ft", "250 ft"),
        "application.lead": _range("in", "0 in", "60 in"),
        "application.trail": _range("in", "0 in", "60 in"),
        "application.flow": _range("gal/min", "0.1 gal/min", "200 gal/min"),
        "wiring.supply": _range("V", "5 V", "250 V"),
        "wiring.least": _range("V", "3 V", "250 V"),
        "wiring.head_current": _range("mA", "1 mA", "1000 mA"),
        "wiring.cable_length": _range("ft", "3 ft", "1500 ft"),
        "wiring.cable_resistance": _range("ohm/kft", "0.5 ohm/kft", "60 ohm/kft"),
        "drive.bus_voltage": _range("V", "24 V", "1000 V"),
        "drive.capacitor": _range("uF", "1 uF", "20000 uF"),
        "drive.bleed_resistor": _range("kohm", "0.1 kohm", "500 kohm"),
        "drive.safe_voltage": _range("V", "6 V", "60 V"),
        "business.cars_per_hour": _range("cars/h", "1 cars/h", "300 cars/h"),
        "business.cars_per_day": _range("cars", "1", "5000"),
        "business.days_per_year": _range("1", "1", "366"),
        "business.margin_per_car": _range("usd", "0.1 usd", "100 usd"),
        "business.callout_price": _range("usd", "0 usd", "5000 usd"),
        "business.head_price": _range("usd", "5 usd", "5000 usd"),
        "business.head_failures": _range("per_year", "0.001 per_year", "50 per_year"),
        "business.head_lead_time": _range("d", "0.1 d", "365 d"),
    }
)
