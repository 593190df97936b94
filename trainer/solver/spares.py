"""How many spares carry a wash through a supplier's lead time, and what an hour down costs.

Failures come singly and independently at a steady rate (Poisson); wear-out and shared causes, such as one surge
through all the heads, are outside this model.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_between,
    require_from_zero,
    require_part,
    require_whole,
    shape_of,
)

LARGEST_MEAN = 100_000.0
SLOWEST = 1e-4 / (365.25 * 86400)  # 1/s; once in 10 000 Julian years: a rate below it is a slip of units
_SPREAD, _FEW = 40.0, 60.0  # standard deviations and counts beyond which no term counts in double precision


def poisson_cdf(count: Numbers, mean: Numbers) -> Numbers:
    """Chance that at most `count` failures come where `mean` are expected.

    count: whole number from 0; mean: 0 to 100 000
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Poisson distribution; each term from its neighbour, scaled by the sum of all.
    """
    counts, means = np.broadcast_arrays(require_whole("count", count, least=0), _mean("mean", mean))
    found = np.empty(counts.shape)
    for one in np.unique(means):
        least, chances = _chances(float(one))
        here = means == one
        place = np.clip(counts[here] - least, -1, chances.size - 1).astype(np.int64)
        found[here] = np.where(place < 0, 0.0, chances[place])
    return found if found.ndim else float(found)


def _mean(name: str, mean: object) -> Floats:
    return require_between(name, mean, 0, LARGEST_MEAN, "from 0 to 100 000 failures")


def _chances(mean: float) -> tuple[int, Floats]:
    """The least count whose term counts, and the chances of at most that count, one more, and so on, up to 1.

    The terms start from 1 at the likeliest count and go down on both sides, so that none overflows and all are added
    with one sign.
    """
    top = int(mean)
    spread = _SPREAD * mean**0.5
    least, most = max(0, int(mean - spread)), int(mean + spread + _FEW)
    below = np.cumprod(np.arange(top, least, -1) / mean)[::-1] if top else np.empty(0)
    above = np.cumprod(mean / np.arange(top + 1, most + 1))
    sums = np.cumsum(np.concatenate([below, [1.0], above]))
    return least, sums / sums[-1]


def stock_for(mean: Numbers, service_level: Numbers) -> Numbers:
    """Least stock that is enough with at least this chance where `mean` failures are expected.

    mean: 0 to 100 000; service_level: from 0 to below 1
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: least s with P(demand <= s) >= level, demand Poisson.
    """
    level = require_part("service_level", service_level)
    means, levels = np.broadcast_arrays(_mean("mean", mean), level)
    found = np.zeros(means.shape)
    for one in np.unique(means):
        least, chances = _chances(float(one))
        here = means == one
        found[here] = np.where(levels[here] > 0, least + np.searchsorted(chances, levels[here]), 0.0)
    return found if found.ndim else float(found)


def spares(failures_per_year: Numbers, lead_time: Numbers, service_level: Numbers) -> Numbers:
    """Least stock that lasts through the lead time with at least this chance.

    failures_per_year: how often all the fitted pieces together fail [1/s], 0 or at least once in 10 000 years
    lead_time: from ordering a spare to having it [s], above 0
    service_level: from 0 to below 1
    At most 100 000 failures in the lead time. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: least s with P(demand in the lead time <= s) >= level, demand Poisson with mean rate times lead time.
    """
    return stock_for(_demand(failures_per_year, lead_time), service_level)


def service_reached(failures_per_year: Numbers, lead_time: Numbers, stock: Numbers) -> Numbers:
    """Chance that a stock (whole number from 0) lasts through the lead time; else as spares. Raises BadInput."""
    require_whole("stock", stock, least=0)
    return poisson_cdf(stock, _demand(failures_per_year, lead_time))


def _demand(failures_per_year: Numbers, lead_time: Numbers) -> Numbers:
    """Failures expected in the lead time."""
    rate = require_from_zero("failures_per_year", failures_per_year, "1/s")
    require("failures_per_year", rate, (rate == 0) | (rate >= SLOWEST), "0, or at least 0.0001 per year")
    time = require_above_zero("lead_time", lead_time, "s")
    with np.errstate(over="ignore"):
        mean: Numbers = rate * time
    least_bad = "low enough for at most 100 000 failures in lead_time"
    require("failures_per_year", np.broadcast_to(rate, np.shape(mean)), mean <= LARGEST_MEAN, least_bad)
    return mean


@dataclass(frozen=True)
class Pooling:
    """Stock of one drawer for all against a drawer for each, and the chance that each way lasts for everybody."""

    pooled: int
    pooled_service: float
    separate: tuple[int, ...]
    separate_service: float


def compare_pooling(means: Sequence[float] | Floats, service_level: float) -> Pooling:
    """Least stock for several places with their own demand: shared, and kept apart.

    means: failures expected at each place in the lead time, 0 to 100 000 in all
    service_level: chance that nobody runs out, from 0 to below 1
    Kept apart, the stock is the least total whose joint chance reaches the level. Raises BadInput.
    Source: a sum of Poisson demands is Poisson; adding where the joint chance gains most is exact, because the
    logarithm of a Poisson distribution function is concave.
    """
    each = as_floats("means", means)
    if each.ndim != 1 or not each.size:
        raise BadInput("means", shape_of(each), "a list of one mean or more")
    require_from_zero("means", each)
    _mean("means", each.sum())
    require_part("service_level", service_level)
    pooled, apart = int(stock_for(float(each.sum()), service_level)), _apart(each, service_level)
    reached = prod(float(poisson_cdf(s, m)) for s, m in zip(apart, each.tolist(), strict=True))
    return Pooling(pooled, float(poisson_cdf(pooled, float(each.sum()))), apart, reached)


def _apart(means: Floats, service_level: float) -> tuple[int, ...]:
    """Stocks of least total whose joint chance reaches the level; of equal gains the first place's counts."""
    chances = [_chances(mean) for mean in means.tolist()]
    places = [0] * len(chances)
    while prod(float(row[at]) for (_, row), at in zip(chances, places, strict=True)) < service_level:
        gains = [
            row[min(at + 1, row.size - 1)] / row[at] for (_, row), at in zip(chances, places, strict=True)
        ]
        places[int(np.argmax(gains))] += 1
    return tuple(
        least + at if service_level > 0 else 0 for (least, _), at in zip(chances, places, strict=True)
    )


def downtime_cost(time: Numbers, car_rate: Numbers, margin: Numbers, call_out: Numbers) -> Numbers:
    """What it costs to stand still [$].

    time: for which the line stands [s], 0 or more
    car_rate: cars that would have come [1/s], 0 or more
    margin: what is left of one car's price [$], 0 or more
    call_out: of the technician [$], 0 or more
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: common practice, no source.
    """
    require_from_zero("time", time, "s")
    require_from_zero("car_rate", car_rate, "1/s")
    require_from_zero("margin", margin, "$")
    require_from_zero("call_out", call_out, "$")
    return time * car_rate * margin + call_out


def break_even_chance(price: Numbers, saved: Numbers) -> Numbers:
    """Chance of needing a spare at which having it pays just for itself; above 1 it never pays.

    price: of the spare [$], 0 or more; saved: what it saves when it is needed [$], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: expected cost, by definition.
    """
    require_from_zero("price", price, "$")
    require_above_zero("saved", saved, "$")
    return price / saved


def spare_gain(price: Numbers, saved: Numbers, mean: Numbers) -> Numbers:
    """What one spare on the shelf is expected to save, less its price [$]; below 0 it does not pay.

    price: [$], 0 or more; saved: when it is needed [$], 0 or more
    mean: failures expected while it lies there, 0 to 100 000; it serves the first of them
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: expected cost; P(at least one failure) = 1 - exp(-mean).
    """
    require_from_zero("price", price, "$")
    require_from_zero("saved", saved, "$")
    needed: Numbers = -np.expm1(-_mean("mean", mean))
    return saved * needed - price
