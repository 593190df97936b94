"""A site's own vehicles: what a tape gives of each, in its plausible range, made into bodies that a beam can meet."""

from __future__ import annotations

import math
from collections.abc import Mapping

from trainer.documents import Faults, Node
from trainer.sites import entries
from trainer.sites.sheet import NamedBody
from trainer.sites.values import SiteValue, ranged
from trainer.solver.bodies import BODIES, body_from_measures
from trainer.solver.measures import Measures
from trainer.solver.numbers import BadInput
from trainer.solver.vehicles import VEHICLE_CLASSES

# The ranges are wide: they catch a wrong unit or a slipped point, not an unusual vehicle.
_NEEDED = (
    ranged("length", "ft", 6, 40, "length over all", "largo total"),
    ranged("height", "in", 36, 130, "height over all", "altura total"),
    ranged("width", "in", 48, 110, "width without mirrors", "ancho sin espejos"),
    ranged("wheelbase", "in", 55, 260, "way from axle to axle", "distancia entre ejes"),
    ranged("front_overhang", "in", 10, 80, "way from the nose to the front axle",
           "distancia de la trompa al eje delantero"),
    ranged("ground_clearance", "in", 2, 30, "lowest point between the axles", "punto más bajo entre los ejes"),
    ranged("front_bumper_bottom", "in", 2, 60, "lower edge of the front bumper",
           "borde de abajo de la defensa delantera"),
    ranged("front_bumper_top", "in", 8, 70, "upper edge of the front bumper",
           "borde de arriba de la defensa delantera"),
    ranged("rear_bumper_bottom", "in", 2, 60, "lower edge of the rear bumper",
           "borde de abajo de la defensa trasera"),
    ranged("rear_bumper_top", "in", 8, 70, "upper edge of the rear bumper",
           "borde de arriba de la defensa trasera"),
    ranged("hood_height", "in", 20, 90, "height at the foot of the windshield", "altura al pie del parabrisas"),
    ranged("hood_length", "in", 2, 100, "way from the nose to the foot of the windshield",
           "distancia de la trompa al pie del parabrisas"),
)  # fmt: skip
_TOO = (
    ranged("windshield_run", "in", 1, 80, "level way of the windshield", "largo a nivel del parabrisas"),
    ranged("rear_run", "in", 1, 100, "level way of the rear window", "largo a nivel del vidrio trasero"),
    ranged("deck_length", "in", 0, 90, "length of the trunk lid, 0 for a hatch", "largo de la cajuela, 0 si no hay"),
    ranged("deck_height", "in", 20, 80, "height of the trunk lid", "altura de la cajuela"),
    ranged("bed_length", "in", 0, 140, "inside length of the bed, 0 for none",
           "largo de la caja por dentro, 0 si no hay"),
    ranged("bed_floor", "in", 12, 70, "height of the bed's floor", "altura del piso de la caja"),
    ranged("bed_rail", "in", 18, 90, "height of the bed's sides", "altura de los lados de la caja"),
    ranged("tire_radius", "in", 7, 30, "way from axle to ground", "distancia del eje al suelo"),
)  # fmt: skip
NEEDED: Mapping[str, SiteValue] = {one.name: one for one in _NEEDED}
TOO: Mapping[str, SiteValue] = {one.name: one for one in _TOO}


def own_body(node: Node, parts: Mapping[str, Node], faults: Faults) -> NamedBody | None:
    """One vehicle of the list `bodies`; None after a fault. `parts` are its fields."""
    before = len(faults)
    key = parts["id"].written if "id" in parts else ""
    if key in BODIES:
        faults.add(parts["id"], "The catalogue has a body with this id.", "Give yours another.")
    name = entries.words(parts.get("name"), faults)
    kind = entries.choice(parts.get("class"), VEHICLE_CLASSES, faults)
    given = {field: row for field, row in {**NEEDED, **TOO}.items() if field in parts}
    measures = entries.quantities(parts, given, faults)
    if len(faults) > before or set(NEEDED) - set(measures) or any(map(math.isnan, measures.values())):
        return None
    try:
        return NamedBody(key, name, body_from_measures(key, kind, Measures(**measures)))
    except BadInput as error:
        at = parts.get(error.name, node)
        faults.add(at, f"`{error.name}` does not go with the other measures.", f"It must be {error.allowed}.")
        return None
