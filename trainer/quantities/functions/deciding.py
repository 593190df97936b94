"""Lockout orders, best tests, spares."""

from __future__ import annotations

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    DEFINITION,
    FROM_ZERO,
    POSITIVE,
    Published,
    Result,
    number,
    result,
    structure,
    word,
)
from trainer.quantities.units import unit
from trainer.solver import search_rules, spares

_FAILURES = number("failures_per_year", "per_year", "0, or 0.0001 per year or more", bare=True)
_LEAD_TIME = number("lead_time", "d", POSITIVE)
_MEAN = number("mean", "1", "from 0 to 100 000")
_LEVEL = number("service_level", "%", "from 0 to below 1")
_PRICE = number("price", "usd", FROM_ZERO)
_POISSON = "Poisson distribution (Poisson, Recherches sur la probabilité des jugements, 1837)"
_SHANNON = "Shannon, A Mathematical Theory of Communication (1948), section 6"

TABLE = (
    Published(
        "lockout_check", structured.lockout_check,
        (
            structure("sources", "1", "a list of names of energy sources"),
            structure("steps", "1", "a list of {act, source?, person?} with texts"),
            word("order", "strict", "tolerant", optional=True),
        ),
        (Result("valid", d.PLAIN, unit("1"), structure=True), Result("broken", d.PLAIN, unit("1"), structure=True)),
        "29 CFR 1910.147(d); tolerant: 29 CFR 1910.333(b)(2)",
        "Whether the steps lock out these energy sources in a right order, and every rule they break.",
    ),
    Published(
        "fault_policy", structured.fault_policy,
        (
            structure("prior", "1", "a list of likelihoods of the n faults, 0 or more, one at least above 0"),
            structure("minutes", "1", "a list of the minutes of the m tests, each above 0"),
            structure("outcomes", "1", "m rows of n whole numbers: what test j says under fault i"),
        ),
        (Result("expected_minutes", d.PLAIN, unit("1")), Result("first_test", d.PLAIN, unit("1"), structure=True)),
        "dynamic programming (Bellman 1957) over the sets of faults that may be left",
        "Least expected minutes until the fault is known or no test can tell more, and the first test, from 0.",
    ),
    Published(
        "spares", spares.spares, (_FAILURES, _LEAD_TIME, _LEVEL), (result("stock", "1"),), _POISSON,
        "Least stock that lasts through the lead time with at least this chance.",
    ),
    Published(
        "service_reached", spares.service_reached,
        (_FAILURES, _LEAD_TIME, number("stock", "1", "a whole number from 0")),
        (result("share", "%"),), _POISSON, "Chance that a stock lasts through the lead time.",
    ),
    Published(
        "poisson_cdf", spares.poisson_cdf, (number("count", "1", "a whole number from 0"), _MEAN),
        (result("share", "%"),), _POISSON, "Chance that at most so many failures come where a mean is expected.",
    ),
    Published(
        "stock_for", spares.stock_for, (_MEAN, _LEVEL), (result("stock", "1"),), _POISSON,
        "Least stock that is enough with at least this chance where a mean is expected.",
    ),
    Published(
        "downtime_cost", spares.downtime_cost,
        (number("time", "h", FROM_ZERO), number("car_rate", "cars/h", FROM_ZERO), number("margin", "usd", FROM_ZERO),
         number("call_out", "usd", FROM_ZERO)),
        (result("cost", "usd"),), "common practice, no source",
        "What it costs to stand still: the margin of the cars that do not come, and the technician's visit.",
    ),
    Published(
        "break_even_chance", spares.break_even_chance, (_PRICE, number("saved", "usd", POSITIVE)),
        (result("share", "%"),), DEFINITION,
        "Chance of needing a spare at which having it pays just for itself; above 1 it never pays.",
    ),
    Published(
        "spare_gain", spares.spare_gain, (_PRICE, number("saved", "usd", FROM_ZERO), _MEAN), (result("gain", "usd"),),
        DEFINITION, "What one spare on the shelf is expected to save, less its price.",
    ),
    Published(
        "information", search_rules.information, (number("share", "%", "from 0 to 1"),), (result("bits", "1"),),
        _SHANNON, "Bits told by a test of two outcomes when one of them has this likelihood.",
    ),
    Published(
        "half_split_tests", search_rules.half_split_tests, (number("parts", "1", "a whole number from 1 to 2^53"),),
        (result("tests", "1"),), "half-split troubleshooting",
        "Fewest tests of two outcomes that find one faulty part among equally likely ones.",
    ),
)  # fmt: skip
