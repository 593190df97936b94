"""Appeals on both databases: what is frozen, who hears them, and that they change nothing by themselves."""

import hashlib
import json
from datetime import timedelta

import pytest

from tests.acts.certified import Way, new_id
from tests.acts.test_exams import begin, make_tools, say, sitting_of, who
from tests.cast import MONDAY, make_cast
from trainer.access.refusal import Refused
from trainer.acts import appeals as acts
from trainer.acts import exams, standing
from trainer.certificates.permission import cabinet_permission
from trainer.exams.paper import read_paper
from trainer.records import log
from trainer.records.queries import appeals as queries
from trainer.records.queries import certifying
from trainer.records.queries.hands import hands_on
from trainer.records.tables import Decision, ExamRequest, Person, SiteSheetVersion

TOOLS = make_tools()


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    with cast.database.writing() as db:
        db.add(SiteSheetVersion(site_id=cast.site, version=1, text="-", saved_by_id=None, saved_at=MONDAY))
    yield Way(cast)
    cast.database.dispose()


def against(way, person=None):
    """The newest act against somebody."""
    with way.cast.database.reading() as db:
        return queries.adverse_of(db, person or way.cast.ana)[0]


def file(way, *, by=None, one=None, grounds="Question 4 shows another bay.", public_id=None):
    one = one or against(way)
    filed = acts.Filed(public_id or new_id(), one.kind, one.public_id, grounds)
    return acts.file_appeal(way.cast.database, filed, by=by or way.cast.ana, tools=TOOLS, now=way.tick())


def take(way, appeal, by):
    return acts.take_appeal(way.cast.database, appeal, by=by, now=way.tick())


def decide(way, appeal, by, outcome="upheld", reason="The drawing was wrong."):
    return acts.decide_appeal(
        way.cast.database, appeal, outcome=outcome, reason=reason, by=by, now=way.tick()
    )


def appeal_of(way, public_id):
    with way.cast.database.reading() as db:
        return queries.appeal(db, public_id)


def entries(way):
    with way.cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        return list(reversed(certifying.log_of_site(db, way.cast.site, None, 200)))


def failed_exam(way):
    """A real exam, with one answer kept, handed in and not passed."""
    ana = who(way.cast, way.cast.ana)
    exam = begin(way.cast, ana, way.now)
    say(way.cast, ana, exam, 1, "far too long", now=way.now)
    exams.submit(way.cast.database, member=ana, public_id=exam, tools=TOOLS, now=way.tick())
    return exam


def refused(way):
    way.exam(), way.practical()
    return way.decide(granted=False, reason="One more lockout first.")


def test_the_pack_of_a_failed_exam_replays_its_score(way):
    exam = failed_exam(way)
    appeal = appeal_of(way, file(way))
    pack = json.loads(appeal.pack)
    assert pack["against"] == {"kind": "exam", "id": exam, "what": "exam"}
    assert pack["exam"]["id"] == exam
    assert [(one["slot"], one["answer"]) for one in pack["exam"]["answers"]] == [(1, "far too long")]
    assert pack["scored_again"] == {"passed": False, "right": pack["exam"]["right"], "differs": []}
    assert exams.paper_of(sitting_of(way.cast, exam)) == read_paper(json.loads(pack["exam"]["form"]))
    kinds = {entry.seq: entry.kind for entry in entries(way)}
    assert [kinds[one["seq"]] for one in pack["log"]] == ["exam.started", "exam.answered", "exam.closed"]


def test_the_pack_is_frozen_and_its_hash_stands_in_the_log(way):
    refused(way)
    public_id = file(way)
    appeal = appeal_of(way, public_id)
    filed = next(json.loads(one.record)["facts"] for one in entries(way) if one.kind == "appeal.filed")
    assert filed["pack"] == appeal.pack_hash == hashlib.sha256(appeal.pack.encode()).hexdigest()
    with way.cast.database.writing() as db:
        db.query(Decision).one().reason = "Written over."
    take(way, public_id, way.cast.rosa), decide(way, public_id, way.cast.rosa), way.practical()
    after = appeal_of(way, public_id)
    assert (after.pack, after.pack_hash) == (appeal.pack, appeal.pack_hash)
    assert json.loads(after.pack)["decision"]["reason"] == "One more lockout first."


def test_the_pack_of_a_withdrawal_holds_what_the_certificate_rested_on(way):
    exam, practical, decision = way.exam(), way.practical(), way.decide()
    with way.cast.database.reading() as db:
        [held] = certifying.certificates_of(db, way.cast.ana)
    way.withdraw(held.public_id)
    pack = json.loads(appeal_of(way, file(way)).pack)
    assert (pack["exam"]["id"], pack["practicals"][0]["id"], pack["decision"]["id"]) == (
        exam,
        practical,
        decision,
    )
    assert [one["kind"] for one in pack["changes"]] == ["withdrawn"]
    assert pack["changes"][0]["reason"] == "Opened it live."
    assert pack["scored_again"] is None


def test_nothing_is_appealed_twice_late_or_by_others(way):
    refused(way)
    assert file(way, by=way.cast.tom) == Refused(("appeal.not_yours",))
    assert file(way, by=way.cast.otto) == Refused(("site.other",))
    assert file(way, grounds=" ") == Refused(("appeal.no_grounds",))
    way.now += timedelta(days=31)
    assert file(way) == Refused(("appeal.too_late",))
    way.now -= timedelta(days=31)
    once = new_id()
    assert file(way, public_id=once) == once == file(way, public_id=once)
    assert file(way) == Refused(("appeal.twice",))


def test_a_passed_exam_and_a_grant_are_nothing_to_appeal(way):
    exam, _, decision = way.exam(), way.practical(), way.decide()
    for kind, public_id in (("exam", exam), ("decision", decision), ("weather", exam)):
        filed = acts.Filed(new_id(), kind, public_id, "x")
        done = acts.file_appeal(way.cast.database, filed, by=way.cast.ana, tools=TOOLS, now=way.tick())
        assert done == Refused(("appeal.nothing_adverse",))


def test_a_manager_writes_down_the_letter_of_somebody_who_left(way):
    refused(way)
    with way.cast.database.writing() as db:
        db.get_one(Person, way.cast.ana).left_at = way.now
    appeal = appeal_of(way, file(way, by=way.cast.mia))
    assert (appeal.person, appeal.filed_by) == ("Ana Ruiz", "Mia Okafor")


def test_who_decided_observed_or_trained_does_not_hear_it(way):
    refused(way)
    appeal = file(way)
    for person, reasons in (
        (way.cast.mia, ("handler.not_independent",)),
        (way.cast.tom, ("handler.no_right", "handler.not_independent")),
        (way.cast.ana, ("handler.no_right", "handler.is_person")),
        (way.cast.otto, ("site.other",)),
    ):
        assert take(way, appeal, person) == Refused(reasons)
    assert appeal_of(way, appeal).state == "filed"
    assert take(way, appeal, way.cast.rosa) == appeal == take(way, appeal, way.cast.rosa)
    assert appeal_of(way, appeal).handler.by == "Rosa Lind"
    assert take(way, appeal, way.cast.lee) == appeal
    assert appeal_of(way, appeal).handler.by == "Lee Sand"
    assert decide(way, appeal, way.cast.rosa) == Refused(("handler.other",))


def test_an_invigilator_has_a_hand_in_the_exam(way):
    way.exam(), way.practical()
    with way.cast.database.reading() as db:
        e = certifying.evidence_of(db, way.cast.ana, way.cast.main_cabinet, "cabinet")
    with way.cast.database.writing() as db:
        db.add(
            ExamRequest(
                public_id=new_id(), person_id=way.cast.ana, scheme="cabinet", kind="start", exam_id=e.exam_id,
                place="x", asked_at=way.now, answered_by_id=way.cast.mia, admitted_at=way.now, used_at=way.now,
            )
        )  # fmt: skip
    with way.cast.database.reading() as db:
        e = certifying.evidence_of(db, way.cast.ana, way.cast.main_cabinet, "cabinet")
        assert way.cast.mia in hands_on(db, way.cast.ana)
    assert e.other_hands == {way.cast.mia}
    assert way.decide() == Refused(("overlap.no_reason",))
    waits = way.decide(overlap_reason="Nobody else could watch the exam.")
    assert not isinstance(way.approve(waits), Refused)
    with way.cast.database.reading() as db:
        e = certifying.evidence_of(db, way.cast.ana, way.cast.main_cabinet, "cabinet")
    assert e.decision_other_hands == {way.cast.mia}
    assert cabinet_permission(e, way.now).may_open


def test_whoever_gets_a_hand_in_it_meanwhile_does_not_decide(way):
    refused(way)
    appeal = file(way)
    take(way, appeal, way.cast.rosa)
    way.decide(by=way.cast.rosa)
    assert decide(way, appeal, way.cast.rosa) == Refused(("handler.not_independent",))
    assert take(way, appeal, way.cast.lee) == appeal
    assert decide(way, appeal, way.cast.lee) == appeal


def test_upheld_changes_no_certificate_by_itself(way):
    way.exam(), way.practical(), way.decide()
    with way.cast.database.reading() as db:
        [held] = certifying.certificates_of(db, way.cast.ana)
    standing.suspend(
        way.cast.database,
        standing.Asked(new_id(), held.public_id, "Rumour."),
        by=way.cast.mia,
        now=way.tick(),
    )
    appeal = file(way)
    take(way, appeal, way.cast.rosa)
    assert decide(way, appeal, way.cast.rosa) == appeal == decide(way, appeal, way.cast.rosa)
    assert decide(way, appeal, way.cast.rosa, outcome="partly") == Refused(("appeal.decided",))
    assert take(way, appeal, way.cast.lee) == Refused(("appeal.decided",))
    with way.cast.database.reading() as db:
        [held] = certifying.certificates_of(db, way.cast.ana)
    assert held.state(way.now) == "suspended"
    assert [one.kind for one in entries(way)][-3:] == ["appeal.filed", "appeal.taken", "appeal.upheld"]
    assert appeal_of(way, appeal).outcome.reason == "The drawing was wrong."


def test_an_appeal_needs_an_outcome_with_a_reason(way):
    refused(way)
    appeal = file(way)
    assert decide(way, appeal, way.cast.rosa) == Refused(("appeal.not_taken",))
    take(way, appeal, way.cast.rosa)
    assert decide(way, appeal, way.cast.rosa, outcome="maybe") == Refused(("appeal.no_outcome",))
    assert decide(way, appeal, way.cast.rosa, reason=" ") == Refused(("appeal.no_reason",))
    assert decide(way, appeal, way.cast.otto) == Refused(("site.other",))
    assert decide(way, new_id(), way.cast.rosa) == Refused(("site.other",))


def test_the_log_holds_no_name_and_no_word_of_an_appeal(way):
    refused(way)
    appeal = file(way, grounds="Ana Ruiz says it was dark.")
    take(way, appeal, way.cast.rosa), decide(way, appeal, way.cast.rosa, reason="Ana Ruiz was right.")
    for one in entries(way):
        assert "Ana Ruiz" not in one.record
        assert "dark" not in one.record
