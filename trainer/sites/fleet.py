"""The vehicles that a wash meets: its own, then the invented ones of the catalogue, each named in both languages."""

from __future__ import annotations

from functools import cache

from trainer.sites.sheet import NamedBody, SiteSheet
from trainer.solver.bodies import BODIES

# The catalogue's names: English, Spanish as spoken on a US wash floor.
BODY_NAMES = {
    "small_hatch": ("small hatchback", "carro chico de cinco puertas"),
    "low_coupe": ("low coupe", "cupé bajo"),
    "sedan": ("sedan", "sedán"),
    "wagon": ("station wagon", "camioneta familiar"),
    "minivan": ("minivan", "minivan"),
    "compact_suv": ("compact SUV", "SUV compacta"),
    "suv": ("large SUV", "SUV grande"),
    "van": ("van", "van de carga"),
    "pickup": ("pickup", "troca"),
    "pickup_covered": ("pickup with a cap", "troca con camper"),
    "pickup_loaded": ("pickup with a load", "troca con carga"),
    "lifted_pickup": ("lifted pickup", "troca levantada"),
    "pickup_hitch_rack": ("pickup with a hitch rack", "troca con parrilla en el enganche"),
    "sedan_roof_box": ("sedan with a roof box", "sedán con caja en el techo"),
    "sedan_bicycle_rack": ("sedan with a bicycle rack", "sedán con portabicicletas"),
    "suv_with_hitch": ("large SUV with a ball hitch", "SUV grande con bola de enganche"),
    "suv_with_trailer": ("large SUV with a trailer", "SUV grande con remolque"),
}


@cache
def catalogue() -> tuple[NamedBody, ...]:
    """The invented bodies with their names."""
    return tuple(
        NamedBody(name, dict(zip(("en", "es"), BODY_NAMES[name], strict=True)), body)
        for name, body in BODIES.items()
    )


def fleet(sheet: SiteSheet) -> tuple[NamedBody, ...]:
    """Every vehicle that may come: the site's own first, then the catalogue's; turned away or not."""
    return (*sheet.bodies, *catalogue())


def taken(sheet: SiteSheet) -> tuple[NamedBody, ...]:
    """The vehicles that the wash takes."""
    return tuple(one for one in fleet(sheet) if one.id not in sheet.turned_away)
