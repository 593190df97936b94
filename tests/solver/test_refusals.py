"""Every function of the solver says what is wrong with an input: which one, what it was, what it must be."""

import importlib
import pkgutil

import numpy as np
import pytest

import trainer.solver
from tests.solver.refusals import acts, deciding, electric, light, scenes, seeing, sky, travel
from tests.solver.refusals.rules import asks_numbers, results
from trainer.solver.numbers import BadInput

TABLES = (acts, deciding, electric, light, scenes, seeing, sky, travel)
CASES = [one for table in TABLES for one in table.CASES]
SENTENCES = [one for table in TABLES for one in table.SENTENCES]
ARRAYS = [one for one in CASES if one.arrays and one.number_inputs]


def name_of(case):
    return f"{case.call.__module__.rpartition('.')[2]}.{case.call.__name__}"


def refusal(call, inputs):
    with pytest.raises(BadInput) as refused:
        call(**inputs)
    return refused.value


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_refuses_in_whole_sentences_and_lets_the_edges_pass(case):
    case.call(**case.good)
    for name, (_, rule) in case.inputs.items():
        for value, said, allowed in rule.refusals():
            refused = refusal(case.call, {**case.good, name: value})
            assert str(refused) == f"{name} is {said}; it must be {allowed}"
            assert (refused.name, refused.allowed) == (name, allowed)
        for value in rule.edges():
            case.call(**{**case.good, name: value})


@pytest.mark.parametrize("case", ARRAYS, ids=name_of)
def test_broadcasts_over_every_input_and_finds_the_one_bad_element(case):
    scalar = results(case.call(**case.good))
    assert all(isinstance(value, float | bool | np.bool_) and np.isfinite(value) for value in scalar)
    for name in case.number_inputs:
        good, rule = case.inputs[name]
        many = results(case.call(**{**case.good, name: np.full((3, 2), good)}))
        for one, all_of_them in zip(scalar, many, strict=True):
            assert all_of_them.shape == (3, 2)
            assert all_of_them == pytest.approx(np.full((3, 2), one))
        bad = [(value, said, allowed) for value, said, allowed in rule.refusals() if isinstance(value, float)]
        for value, said, allowed in bad:
            refused = refusal(case.call, {**case.good, name: np.array([good, value, good])})
            assert str(refused) == f"{name} is {said}; it must be {allowed}"


@pytest.mark.filterwarnings("ignore:overflow")
@pytest.mark.parametrize("one", SENTENCES, ids=name_of)
def test_refuses_structured_inputs_in_whole_sentences(one):
    assert str(refusal(one.call, one.inputs)) == one.sentence


# Functions of numbers that refuse nothing, and why.
REFUSE_NOTHING = {
    "works on what another function has checked": (
        "almanac.overhead_at aperture.open_share beam.union crossing.clip_sideways detection.joined "
        "measures.across measures.both_sides measures.box measures.wheels_at "
        "outline.front outline.hull outline.is_convex procedures.orders search_path.posterior_of "
        "search_rules.act_minutes sun_caps.closeness sun_caps.common_spans sun_caps.events"
    ),
    "belongs to the checks themselves": "numbers.alike numbers.require_between numbers.require_whole numbers.shape_of",
}


def test_every_function_of_numbers_stands_in_a_table():
    told = {(one.call.__module__, one.call.__qualname__) for one in (*CASES, *SENTENCES)}
    missing = []
    for module in pkgutil.iter_modules(trainer.solver.__path__):
        loaded = importlib.import_module(f"trainer.solver.{module.name}")
        for name, call in vars(loaded).items():
            own = callable(call) and getattr(call, "__module__", "") == loaded.__name__
            if (
                own
                and not name.startswith("_")
                and asks_numbers(call)
                and (loaded.__name__, name) not in told
            ):
                missing.append(f"{module.name}.{name}")
    assert sorted(set(missing) - set(" ".join(REFUSE_NOTHING.values()).split())) == []
