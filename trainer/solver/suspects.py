"""In which order to check suspects one by one when exactly one of them is at fault, and what an order costs."""

from collections.abc import Sequence

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Floats,
    as_floats,
    require,
    require_above_zero,
    require_from_zero,
    shape_of,
)


def series_minutes(
    prior: Sequence[float] | Floats,
    minutes: Sequence[float] | Floats,
    order: Sequence[int],
    last_inferred: bool = False,
) -> float:
    """Expected minutes of checking suspects in this order until the faulty one is found.

    prior: likelihood of each suspect, 0 or more, not all 0; only proportions count. minutes: of each check, above 0
    order: every suspect once
    last_inferred: the last suspect is not checked, because nothing else is left
    Raises BadInput. Source: expectation, by definition.
    """
    shares, times = _checked(prior, minutes)
    if sorted(order) != list(range(shares.size)):
        raise BadInput("order", list(order), f"each suspect from 0 to {shares.size - 1} once")
    left = 1 - np.concatenate([[0.0], np.cumsum(shares[list(order)])[:-1]])
    spent = left * times[list(order)]
    return float(spent[: -1 if last_inferred else None].sum())


def series_order(prior: Sequence[float] | Floats, minutes: Sequence[float] | Floats) -> tuple[int, ...]:
    """Suspects by rising minutes over likelihood: the best order when each is checked until the fault is found.

    Inputs as series_minutes; equal ratios in the order of the list, suspects of likelihood 0 at the end. Raises
    BadInput. Source: the series rule of test sequencing; exchanging two neighbours proves it.
    """
    shares, times = _checked(prior, minutes)
    ratio = np.divide(times, shares, out=np.full(shares.size, np.inf), where=shares > 0)
    return tuple(np.argsort(ratio, kind="stable").tolist())


def best_series(
    prior: Sequence[float] | Floats, minutes: Sequence[float] | Floats, last_inferred: bool = False
) -> tuple[int, ...]:
    """The order of suspects that costs least; where the last is inferred, the series rule alone may lose.

    Inputs as series_minutes. With the last inferred, each suspect is tried as the last one behind the series order of
    the others: for a given last suspect that order is best by the same exchange. Raises BadInput.
    """
    order = series_order(prior, minutes)
    if not last_inferred:
        return order
    tried = [(*(one for one in order if one != last), last) for last in reversed(order)]
    return min(tried, key=lambda one: series_minutes(prior, minutes, one, last_inferred=True))


def _checked(prior: Sequence[float] | Floats, minutes: Sequence[float] | Floats) -> tuple[Floats, Floats]:
    shares, times = as_floats("prior", prior), as_floats("minutes", minutes)
    if shares.ndim != 1 or not shares.size:
        raise BadInput("prior", shape_of(shares), "a list of one likelihood or more")
    if times.shape != shares.shape:
        raise BadInput("minutes", shape_of(times), "a list as long as prior")
    require_from_zero("prior", shares)
    require_above_zero("minutes", times, "min")
    total = shares.sum()
    require("prior", total, np.isfinite(total) & (total > 0), "likelihoods of which one at least is above 0")
    return shares / total, times
