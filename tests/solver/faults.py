"""Small fault tables for Hypothesis, and every policy there is for one of them."""

from itertools import product

from hypothesis import strategies as st

from trainer.solver.diagnosis import fault_table

ISOLATING = "isolate"


@st.composite
def tables(draw, most_faults=4, most_tests=4, hazards=False):
    """A table with few faults and tests; some likelihoods are 0, some faults look alike."""
    faults, tests = draw(st.integers(1, most_faults)), draw(st.integers(1, most_tests))
    prior = draw(st.lists(st.integers(0, 9), min_size=faults, max_size=faults).filter(any))
    minutes = draw(st.lists(st.integers(1, 30), min_size=tests, max_size=tests))
    row = st.lists(st.integers(-1, 1), min_size=faults, max_size=faults)
    outcomes = draw(st.lists(row, min_size=tests, max_size=tests))
    if not hazards:
        return fault_table(prior, minutes, outcomes)
    forbidden = draw(st.sets(st.integers(0, tests - 1)))
    return fault_table(prior, minutes, outcomes, forbidden, draw(st.integers(0, 20)))


def policies(table, faults=None, isolated=False):
    """Every policy that goes on while some test can tell the faults apart, as the minutes each fault then takes.

    Written without the solver's sets and costs: a policy is tried out fault by fault.
    """
    faults = [f for f, p in enumerate(table.prior) if p > 0] if faults is None else faults
    telling = [test for test, row in enumerate(table.outcomes) if len({row[f] for f in faults}) > 1]
    if not telling:
        yield dict.fromkeys(faults, 0.0)
        return
    for test in telling:
        if test not in table.after_isolation or isolated:
            row = table.outcomes[test]
            parts = [[f for f in faults if row[f] == said] for said in {row[f] for f in faults}]
            for ways in product(*(list(policies(table, part, isolated)) for part in parts)):
                yield {f: table.minutes[test] + minutes for way in ways for f, minutes in way.items()}
    if not isolated and table.after_isolation:
        for way in policies(table, faults, isolated=True):
            yield {f: table.isolation_minutes + minutes for f, minutes in way.items()}


def least_minutes(table):
    """The least expected minutes of any policy, by trying them all."""
    return min(sum(table.prior[f] * minutes for f, minutes in way.items()) for way in policies(table))
