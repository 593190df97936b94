"""Tasks and plays for the tests of the lockout bench."""

from dataclasses import replace

from trainer.benches import lockout
from trainer.benches.acts import Act
from trainer.benches.lockout.cards import FIELD
from trainer.benches.lockout.orders import edges
from trainer.benches.lockout.task import VARIANTS
from trainer.benches.lockout.units import units
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet
from trainer.sites.sheet import EnergySource

SHEET = demo_sheet()
FINISH = Act("finish", {})
TAKE_BACK = Act("take_back", {})


def make(level=2, variant="plain", seed="1", system="us", sheet=SHEET, **fixed):
    asked = {"level": str(level), "variant": variant, **fixed}
    return lockout.make_task(sheet, asked, Stream(b"secret", seed), system)


def every_kind(seed="1"):
    """A task of every level and variant."""
    return [make(level, variant, seed) for level in (1, 2, 3) for variant in VARIANTS]


def card(name, task):
    """The act that lays a card, by the card's id."""
    for kind in lockout.kinds(task):
        if kind.fields and any(option.id == name for option in kind.fields[0].options):
            return Act(kind.kind, {FIELD: name})
    raise AssertionError(f"no card {name}")


def play(task, *names):
    """Acts that lay these cards and finish."""
    return [*(card(name, task) for name in names), FINISH]


def laid(task, acts):
    """The cards of acts, by id."""
    return [act.values[FIELD] for act in acts if FIELD in act.values]


def every_act(task):
    """Each act that the task's kinds allow, but the end."""
    with_fields = [kind for kind in lockout.kinds(task) if kind.fields]
    found = [Act(kind.kind, {FIELD: one.id}) for kind in with_fields for one in kind.fields[0].options]
    bare = [Act(kind.kind, {}) for kind in lockout.kinds(task) if not kind.fields and kind.kind != "finish"]
    return found + bare


def drawn_order(task, chance):
    """A right order of the units, each next one drawn of those that may come next."""
    order, left = [], set(units(task))
    while left:
        waiting = {then for first, then in edges(task) if first in left}
        order.append(chance.choice(sorted(left - waiting)))
        left.discard(order[-1])
    return order


def source(key, kind, at="Valve V1", es="Válvula V1"):
    words = {"en": key, "es": key}
    return EnergySource(
        key, kind, "arches", words, {"en": at, "es": es}, {"en": "Let it out", "es": "Libérala"}
    )


def with_sources(*sources):
    """The demo site with these energy sources alone."""
    return replace(SHEET, energy_sources=sources)


AIR_ALONE = with_sources(source("shop_air", "air"))
