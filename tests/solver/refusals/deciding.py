"""What the functions of deciding ask of their inputs: searches for faults, spares, orders of acts."""

from tests.solver.refusals.rules import PART, Rule, above_zero, between, case, from_zero, sentence, whole
from trainer.solver import diagnosis, search_path, search_rules, spares, suspects

MEAN = between("from 0 to 100 000 failures", 0.0, 100_000.0)
DOLLARS = from_zero("$")
RATE = from_zero(
    "1/s",
    spares.SLOWEST,
    then=Rule(
        "0, or at least 0.0001 per year",
        (spares.SLOWEST * 0.99, 1e-300),
        then=None,
    ),
)
DAY, YEAR = 86_400.0, 365.25 * 86_400

CASES = [
    case(spares.poisson_cdf, count=(2, whole(0)), mean=(1.5, MEAN)),
    case(spares.stock_for, mean=(1.5, MEAN), service_level=(0.95, PART)),
    case(
        spares.spares,
        failures_per_year=(2 / YEAR, RATE),
        lead_time=(30 * DAY, above_zero("s")),
        service_level=(0.95, PART),
    ),
    case(
        spares.service_reached,
        failures_per_year=(2 / YEAR, RATE),
        lead_time=(30 * DAY, above_zero("s")),
        stock=(1, whole(0)),
    ),
    case(
        spares.downtime_cost,
        time=(3600.0, from_zero("s")),
        car_rate=(0.02, from_zero("1/s")),
        margin=(9.0, DOLLARS),
        call_out=(250.0, DOLLARS),
    ),
    case(spares.break_even_chance, price=(90.0, DOLLARS), saved=(900.0, above_zero("$"))),
    case(spares.spare_gain, price=(90.0, DOLLARS), saved=(900.0, DOLLARS), mean=(0.3, MEAN)),
    case(search_rules.information, share=(0.3, between("from 0 to 1", 0.0, 1.0))),
    case(
        search_rules.half_split_tests,
        parts=(5, whole(1, then=Rule("at most 2^53", (2.0**53 + 2,), (2.0**53,)))),
    ),
    case(search_rules.fewest_tests, arrays=False, faults=(5, whole(1)), outcomes=(3, whole(2))),
]

PRIOR, MINUTES, SAID = (0.5, 0.3, 0.2), (5.0, 2.0), ((0, 1, 1), (0, 0, 1))
TABLE = diagnosis.fault_table(PRIOR, MINUTES, SAID)
POLICY = diagnosis.best_policy(TABLE)
_ONE_ABOVE = "likelihoods of which one at least is above 0"


def _table(words, **changed):
    good = {"prior": PRIOR, "minutes": MINUTES, "outcomes": SAID}
    made = (diagnosis.fault_table, diagnosis.fault_policy)
    return [sentence(call, words, **{**good, **changed}) for call in made]


def _series(words, **changed):
    good = {"prior": PRIOR, "minutes": (1.0, 2.0, 3.0)}
    ordered = {"order": (0, 1, 2), **good, **changed}
    made = [sentence(suspects.series_minutes, words, **ordered)]
    calls = () if "order" in changed else (suspects.series_order, suspects.best_series)
    return made + [sentence(call, words, **{**good, **changed}) for call in calls]


def _pooling(words, means=(1.0, 2.0), service_level=0.9):
    return sentence(spares.compare_pooling, words, means=means, service_level=service_level)


SENTENCES = [
    *_table("prior is an array of shape [0]; it must be a list of one number or more", prior=()),
    *_table("prior is an array of shape [1, 3]; it must be a list of one number or more", prior=(PRIOR,)),
    *_table("prior is 'many'; it must be a number", prior="many"),
    *_table("prior is -1; it must be finite and 0 or more", prior=(2.0, -1.0, 0.0)),
    *_table("prior is nan; it must be finite and 0 or more", prior=(2.0, float("nan"), 0.0)),
    *_table(f"prior is inf; it must be {_ONE_ABOVE}", prior=(1e308, 1e308, 0.0)),
    *_table(f"prior is 0; it must be {_ONE_ABOVE}", prior=(0.0, 0.0, 0.0)),
    *_table("minutes is an array of shape [0]; it must be a list of one number or more", minutes=()),
    *_table("minutes is 0; it must be finite and above 0 min", minutes=(5.0, 0.0)),
    *_table("minutes is 'many'; it must be a number", minutes="many"),
    *_table(
        "minutes is a list of 65; it must be of at most 64 tests",
        minutes=(1.0,) * 65,
        outcomes=((0, 1, 1),) * 65,
    ),
    *_table(
        "outcomes is an array of shape [1, 3]; it must be "
        "2 rows (one for each of minutes) of 3 (one for each of prior)",
        outcomes=SAID[:1],
    ),
    *_table("outcomes is 'many'; it must be a number", outcomes="many"),
    *_table(
        "outcomes is 0.5; it must be whole numbers below 2^53 in size", outcomes=((0, 1, 0.5), (0, 0, 1))
    ),
    *_table(
        "outcomes is 9.0072e+15; it must be whole numbers below 2^53 in size",
        outcomes=((0, 1, 2**53), (0, 0, 1)),
    ),
    *_table("after_isolation is 2; it must be tests from 0 to 1", after_isolation=(0, 2)),
    *_table("after_isolation is -1; it must be tests from 0 to 1", after_isolation=(-1,)),
    *_table("isolation_minutes is -1; it must be finite and 0 min or more", isolation_minutes=-1.0),
    *_series("prior is an array of shape [0]; it must be a list of one likelihood or more", prior=()),
    *_series(
        "prior is an array of shape [1, 3]; it must be a list of one likelihood or more", prior=(PRIOR,)
    ),
    *_series("prior is 'many'; it must be a number", prior="many"),
    *_series("prior is -1; it must be finite and 0 or more", prior=(1.0, -1.0, 1.0)),
    *_series(f"prior is inf; it must be {_ONE_ABOVE}", prior=(1e308, 1e308, 0.0)),
    *_series(f"prior is 0; it must be {_ONE_ABOVE}", prior=(0.0, 0.0, 0.0)),
    *_series("minutes is an array of shape [2]; it must be a list as long as prior", minutes=(1.0, 2.0)),
    *_series("minutes is 0; it must be finite and above 0 min", minutes=(1.0, 0.0, 2.0)),
    *_series("minutes is 'many'; it must be a number", minutes="many"),
    *_series("order is [0, 1]; it must be each suspect from 0 to 2 once", order=(0, 1)),
    *_series("order is [0, 1, 1]; it must be each suspect from 0 to 2 once", order=(0, 1, 1)),
    _pooling("means is an array of shape [0]; it must be a list of one mean or more", means=()),
    _pooling("means is an array of shape [1, 2]; it must be a list of one mean or more", means=((1.0, 2.0),)),
    _pooling("means is 'many'; it must be a number", means="many"),
    _pooling("means is -1; it must be finite and 0 or more", means=(1.0, -1.0)),
    _pooling("means is 100001; it must be from 0 to 100 000 failures", means=(1.0, 100_000.0)),
    _pooling("service_level is 1; it must be a share from 0 to below 1", service_level=1.0),
    _pooling("service_level is 'many'; it must be a number", service_level="many"),
    sentence(search_rules.entropy, "weights is -1; it must be finite and 0 or more", weights=(1.0, -1.0)),
    sentence(
        search_rules.entropy,
        "weights is [0.0, 0.0]; it must be weights of which one at least is above 0",
        weights=(0, 0),
    ),
    sentence(search_rules.entropy, "weights is 'many'; it must be a number", weights="many"),
    sentence(
        search_rules.rule_test,
        "rule is 'luck'; it must be one of information_per_minute, half_split, cheapest_first, likeliest_first",
        table=TABLE,
        rule="luck",
        survivors=7,
    ),
    sentence(
        search_rules.rule_minutes,
        "rule is 'luck'; it must be one of information_per_minute, half_split, cheapest_first, likeliest_first",
        table=TABLE,
        rule="luck",
    ),
    sentence(search_path.best_path, "faults is 3; it must be a fault from 0 to 2", policy=POLICY, fault=3),
    sentence(
        search_path.score_path,
        "test is 2; it must be a test from 0 to 1",
        policy=POLICY,
        moves=(search_path.Move(2, 0),),
    ),
    sentence(
        search_path.score_path,
        "outcome is 4; it must be one that test 0 can still give: 0, 1",
        policy=POLICY,
        moves=(search_path.Move(0, 4),),
    ),
    sentence(
        diagnosis.best_policy,
        "prior is a list with 19 faults to tell apart; it must be of at most 18 such faults",
        table=diagnosis.fault_table([1] * 19, [1], [list(range(19))]),
    ),
    sentence(
        search_path.best_path,
        "fault is 2; it must be a fault of likelihood above 0",
        policy=diagnosis.fault_policy([1, 1, 0], [1], [[0, 1, 1]]),
        fault=2,
    ),
    sentence(POLICY.best, "faults is []; it must be at least one fault that can be there", faults=()),
    sentence(POLICY.best, "faults is -1; it must be a fault from 0 to 2", faults=(-1,)),
]
