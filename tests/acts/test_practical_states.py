"""The states of a practical, walked at random: signed, seen by a second, differing, looked into; each of them once."""

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from sqlalchemy import select

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, Way, new_id
from tests.cast import make_cast
from trainer.acts import observers as acts
from trainer.certificates.permission import practical_missing
from trainer.records.queries import certifying
from trainer.records.tables import Practical, PracticalLook, PracticalSecond

MARKS = st.sampled_from(["met", "not_met", "not_seen"])
TABLES = (Practical, PracticalSecond, PracticalLook)


class Practicals(RuleBasedStateMachine):
    """One person on one machine; beside the program runs a model that knows the newest practical alone."""

    def __init__(self) -> None:
        super().__init__()
        self.way = Way(make_cast("sqlite://"))
        self.way.exam()
        self.kept: dict[tuple[str, int], tuple[object, ...]] = {}
        self.first = self.second = self.counts = self.form = None
        self.practical = ""

    def teardown(self) -> None:
        self.way.cast.database.dispose()

    @rule(mark=MARKS)
    def sign(self, mark: str) -> None:
        self.form = new_id()
        self.practical = self.way.practical(public_id=self.form, marks={**ALL_MET, CRITICAL: mark})
        self.first, self.second, self.counts = mark, None, None

    @precondition(lambda self: self.form)
    @rule(mark=MARKS)
    def sign_again_with_the_same_form(self, mark: str) -> None:
        assert self.way.practical(public_id=self.form, marks={**ALL_MET, CRITICAL: mark}) == self.practical

    @rule(mark=MARKS)
    def sign_second(self, mark: str) -> None:
        done = self.way.second(marks={**ALL_MET, CRITICAL: mark})
        if done == self.practical and self.first is not None:
            assert self.second is None
            self.second = mark
        else:
            assert done.reasons in {("second.no_first",), ("second.already",), ("second.not_asked",)}

    @precondition(lambda self: self.first)
    @rule(counts=st.booleans())
    def look(self, counts: bool) -> None:
        asked = acts.LookedAt(new_id(), self.practical, counts, "Spoke to both.")
        done = acts.look(self.way.cast.database, asked, by=self.way.cast.mia, now=self.way.tick())
        if self.differs() and self.counts is None:
            assert done == self.practical
            self.counts = counts
        else:
            assert done.reasons in {("look.not_differing",), ("look.already",)}

    def differs(self) -> bool:
        return self.second is not None and (self.first == "met") is not (self.second == "met")

    @invariant()
    def what_counts_is_what_the_model_says(self) -> None:
        with self.way.cast.database.reading() as db:
            cast = self.way.cast
            evidence = certifying.evidence_of(db, cast.ana, cast.main_cabinet, CABINET.id)
        settled = not self.differs() or self.counts is True
        assert (practical_missing(evidence) == ()) is (self.first == "met" and settled)

    @invariant()
    def nothing_that_was_signed_changes(self) -> None:
        with self.way.cast.database.reading() as db:
            for table in TABLES:
                for row in db.execute(select(*table.__table__.columns)):
                    assert self.kept.setdefault((table.__tablename__, row.id), tuple(row)) == tuple(row)


TestPracticals = Practicals.TestCase
TestPracticals.settings = settings(max_examples=5, stateful_step_count=12, deadline=None)
