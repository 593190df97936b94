"""Washes with one fault each, planted in a clean one: the demo with its three faults mended."""

from dataclasses import replace
from functools import cache
from math import radians

from trainer.sites import demo_sheet
from trainer.sites.survey.changing import changed
from trainer.sites.survey.making import amount
from trainer.sites.survey.results import Change
from trainer.sites.survey.survey import survey

YEAR = 2026
INCH, FOOT = 0.0254, 0.3048


def put(sheet, **fields):
    """The sheet with fields set in SI; `eyes__exit__on_delay=0.1`."""
    return changed(
        sheet,
        [
            Change(name.replace("__", "."), value if isinstance(value, str) else amount(value, "1"))
            for name, value in fields.items()
        ],
    )


def takes(sheet, *bodies):
    """The same wash, which no longer turns these bodies away."""
    return replace(sheet, turned_away=tuple(one for one in sheet.turned_away if one not in bodies))


def clean_wash():
    """Plumb Lane Wash with nothing wrong, put together by hand: what the demo's three findings would have set."""
    return put(
        demo_sheet(),
        eyes__profile__low=57 * INCH,
        eyes__profile__high=63 * INCH,
        eyes__exit__on_delay=0.6,
        eyes__exit__excess_gain=30.0,
    )


CLEAN = clean_wash()

# What is planted, and the findings it must give: (kind, where).
PLANTED = {
    "hands in too early": (put(CLEAN, drive__safe_voltage=30.0), {("safe_voltage", "drive")}),
    "a dirty lens": (put(CLEAN, eyes__entry__excess_gain=8.0), {("signal_dirty", "entry")}),
    "too little for steam": (put(CLEAN, eyes__exit__excess_gain=12.0), {("signal_steam", "exit")}),
    "a weak pair": (
        put(CLEAN, eyes__exit__excess_gain=8.0, eyes__exit__reference_gain=0.5),
        {("signal_dirty", "exit")},
    ),
    "a housing for dipping": (put(CLEAN, eyes__exit__enclosure="IP67"), {("enclosure", "exit")}),
    "a long thin cable": (put(CLEAN, supply__head_current=0.45), {("supply_low", "supply")}),
    "an empty shelf": (put(CLEAN, business__spares_on_shelf=0.0), {("shelf_short", "business")}),
    "the sun": (
        put(CLEAN, eyes__profile__low=60 * INCH, eyes__profile__high=60 * INCH),
        {("sun", "profile")},
    ),
    "a neighbor's light": (
        put(CLEAN, eyes__exit__position=3 * INCH, eyes__exit__half_angle=radians(0.1)),
        {("crosstalk", "exit")},
    ),
    "a beam over low cars": (
        put(CLEAN, eyes__exit__low=50 * INCH, eyes__exit__high=50 * INCH),
        {("missed_over", "exit")},
    ),
    "a beam between the wheels": (
        put(CLEAN, eyes__exit__low=4 * INCH, eyes__exit__high=5 * INCH),
        {("beam_late", "exit")},
    ),
    "a profile eye below the rails": (
        put(CLEAN, eyes__profile__low=48 * INCH, eyes__profile__high=52 * INCH),
        {("bed_unseen", "profile")},
    ),
    "walkers": (put(CLEAN, eyes__exit__on_delay=0.1), {("walkers", "exit")}),
    "a hitch rack cut off": (
        put(takes(CLEAN, "pickup_hitch_rack"), eyes__exit__off_delay=1.0),
        {("splits", "entry")},
    ),
    "two cars in one": (put(CLEAN, eyes__exit__off_delay=4.0), {("joins", "exit")}),
    "a late nose": (put(CLEAN, eyes__exit__on_delay=0.8), {("nose_late", "exit")}),
    "walkers against noses": (
        put(CLEAN, conveyor__nose_error=5 * INCH),
        {("no_delays", "entry"), ("no_delays", "exit")},
    ),
    "holes against gaps": (
        put(takes(CLEAN, "pickup_hitch_rack"), conveyor__smallest_gap=6 * INCH),
        {("no_delays", "entry"), ("no_delays", "exit")},
    ),
    "a late roof": (put(CLEAN, eyes__profile__on_delay=0.8), {("edges_late", "profile")}),
    "a long roof": (put(CLEAN, eyes__profile__off_delay=1.2), {("blurs", "profile")}),
    "pulses too fast": (
        put(CLEAN, conveyor__pulses_per_length=40 / FOOT),
        {("pulses_lost", "conveyor")},
    ),
    "an arch too near": (
        put(CLEAN, applications__presoak__distance=FOOT),
        {("comes_on_late", "presoak")},
    ),
    "a nose left bare": (
        put(
            takes(CLEAN, "lifted_pickup"),
            conveyor__nose_error=14 * INCH,
            applications__side_wash__lead=2 * INCH,
            applications__presoak__trail=24 * INCH,
            applications__side_wash__trail=24 * INCH,
        ),
        {("nose_bare", "side_wash")},
    ),
    "a tail left bare": (
        put(CLEAN, applications__side_wash__trail=6 * INCH),
        {("tail_bare", "side_wash")},
    ),
}  # fmt: skip


def findings(sheet):
    """Every finding of a sheet."""
    return survey(sheet, YEAR).findings


@cache
def planted(fault):
    """The findings of a planted fault, surveyed once."""
    return findings(PLANTED[fault][0])


def kinds(found):
    """Kind and place of each finding."""
    return {(one.key, one.part) for one in found}
