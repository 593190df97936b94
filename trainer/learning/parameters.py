"""Every number that steers practice, in one place, each with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Tracing:
    """Bayesian knowledge tracing (Corbett & Anderson 1995): shares from 0 to 1.

    known: chance that the skill is there before the first answer
    learn: chance that it is learned at one opportunity
    slip: chance of a wrong answer though the skill is there
    guess: chance of a right answer though it is not
    """

    known: float
    learn: float
    slip: float
    guess: float


# A new hire may have met a subject; one answer with its worked steps teaches some.
KNOWN, LEARN, SLIP = 0.3, 0.15, 0.1

# A number typed within tolerance is hardly ever luck; one of three or four options often is.
TRACING = MappingProxyType(
    {
        "number": Tracing(KNOWN, LEARN, SLIP, 0.02),
        "choice": Tracing(KNOWN, LEARN, SLIP, 0.25),
        "several": Tracing(KNOWN, LEARN, SLIP, 0.1),
        "order": Tracing(KNOWN, LEARN, SLIP, 0.05),
        "match": Tracing(KNOWN, LEARN, SLIP, 0.05),
        "truth_table": Tracing(KNOWN, LEARN, SLIP, 0.1),
    }
)

# With the steps in sight a right answer says less: it is taken as a guess this often at least.
GUESS_WITH_HELP = 0.5

# Nobody is ever beyond doubt: without a ceiling a long run of right answers rounds to 1, and no wrong answer could
# move it again.
CEILING = 0.995

# Mastery: the customary 0.95, and right answers without help in a row, so that one lucky answer never carries a
# person over. Where a mistake can hurt somebody the bar is higher; it is never averaged away.
MASTERY, RIGHT_ALONE = 0.95, 2
HAZARD_MASTERY, HAZARD_RIGHT_ALONE = 0.98, 3

# Two wrong answers in a row bring the steps back.
WRONG_BEFORE_HELP = 2

# Reviews: FSRS-6 with its published default weights; no fuzz, so that a schedule replays. 0.9 is the share still
# remembered when a review falls due. A review never waits longer than half a year.
DESIRED_RETENTION, LONGEST_INTERVAL_DAYS = 0.9, 180

# What one answer with its feedback takes, for 'how long will this be'.
MINUTES_AN_ANSWER = 1.5
