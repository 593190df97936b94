"""Quantities: dimensions and units, reading and writing numbers as people do. Nothing here loads pint."""

from trainer.quantities.dimensions import Dimension, Language, System
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import Reading, parse_measured, parse_quantity, read_quantity
from trainer.quantities.units import UNITS, Unit, partner, unit, usual_unit
from trainer.quantities.writing import round_shown, said_back, write_number, write_quantity

__all__ = [
    "UNITS",
    "Dimension",
    "Language",
    "Reading",
    "System",
    "Unit",
    "UnreadableQuantity",
    "parse_measured",
    "parse_quantity",
    "partner",
    "read_quantity",
    "round_shown",
    "said_back",
    "unit",
    "usual_unit",
    "write_number",
    "write_quantity",
]
