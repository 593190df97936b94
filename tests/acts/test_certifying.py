import json
from datetime import timedelta

import pytest

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, KEY, STEPS, YEAR, Way, new_id
from tests.cast import MONDAY, make_cast
from trainer.access.refusal import Refused
from trainer.acts.sentences import SENTENCES
from trainer.certificates.credential import canonical_hash, public_key_of, verify_credential
from trainer.certificates.permission import cabinet_permission, waiting_for
from trainer.records import log
from trainer.records.queries import certifying as queries
from trainer.records.tables import LogEntry, Person


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


def evidence(way, person=None, cabinet=None):
    with way.cast.database.reading() as db:
        return queries.evidence_of(db, person or way.cast.ana, cabinet or way.cast.main_cabinet, "cabinet")


def missing(way, **where):
    return cabinet_permission(evidence(way, **where), way.now).missing


def kinds(way):
    with way.cast.database.reading() as db:
        return [entry.kind for entry in reversed(queries.log_of_site(db, way.cast.site, None, 100))]


def certificate(way):
    with way.cast.database.reading() as db:
        return queries.certificates_of(db, way.cast.ana)[0]


def test_the_whole_way_opens_one_cabinet(way):
    assert missing(way)[0] == "exam.none_valid"
    exam = way.exam()
    practical = way.practical()
    decision = way.decide()
    assert missing(way) == ()
    assert missing(way, cabinet=way.cast.dryer_cabinet)[0] == "practical.other_machine"
    held = certificate(way)
    signed = json.loads(held.credential)
    assert verify_credential(signed, {public_key_of(KEY)}).good
    assert [one.get("id") for one in signed["evidence"][:3]] == [
        f"urn:uuid:{one}" for one in (exam, practical, decision)
    ]
    assert kinds(way) == ["practical.passed", "decision.granted", "certificate.issued"]


def test_the_log_holds_the_hash_of_the_credential_and_verifies(way):
    way.exam(), way.practical(), way.decide()
    with way.cast.database.reading() as db:
        newest = queries.log_of_site(db, way.cast.site, None, 1)[0]
        assert log.verify(db).flaws == ()
    facts = json.loads(newest.record)["facts"]
    assert facts["hash"] == canonical_hash(json.loads(certificate(way).credential))


def test_the_credential_names_the_head_of_the_log_before_it(way):
    way.exam(), way.practical(), way.decide()
    with way.cast.database.reading() as db:
        issued = db.query(LogEntry).filter_by(kind="certificate.issued").one()
        before = db.get_one(LogEntry, issued.seq - 1).hash
    assert json.loads(certificate(way).credential)["evidence"][3]["narrative"] == before


def test_the_certificate_ends_no_later_than_the_exam(way):
    until = MONDAY + timedelta(days=100)
    way.exam(valid_until=until), way.practical(), way.decide()
    assert certificate(way).expires_at == until


def test_every_log_entry_has_a_sentence_and_no_name_in_it(way):
    (
        way.exam(),
        way.practical(marks={**ALL_MET, CRITICAL: "not_met"}),
        way.practical(note="Ana Ruiz did well."),
    )
    way.decide(granted=False, reason="Ana Ruiz wants another day."), way.decide()
    way.withdraw(certificate(way).public_id)
    with way.cast.database.reading() as db:
        entries = queries.log_of_site(db, way.cast.site, None, 100)
        names = [person.name.split()[0] for person in db.query(Person)]
    assert len(entries) == 6
    for entry in entries:
        assert not any(name in entry.record for name in names)
        for language in ("en", "es"):
            assert SENTENCES[f"log.{entry.kind}"].say(language, **json.loads(entry.record)["facts"])


# Practicals


def test_a_critical_step_not_met_is_signed_as_failed(way):
    way.exam(), way.practical(marks={**ALL_MET, CRITICAL: "not_met"})
    assert missing(way)[0] == "practical.failed"
    assert way.decide() == Refused(("practical.failed",))
    assert kinds(way) == ["practical.failed"]


def test_a_later_fail_on_the_same_machine_closes_the_cabinet(way):
    way.exam(), way.practical(), way.decide()
    way.practical(marks={**ALL_MET, CRITICAL: "not_met"})
    assert missing(way) == ("practical.failed",)


def test_a_step_without_a_mark_is_not_signed(way):
    assert way.practical(marks=dict.fromkeys(STEPS[1:], "met")) == Refused(("practical.unanswered",))
    assert kinds(way) == []


def test_nobody_signs_their_own(way):
    assert way.practical(person=way.cast.tom) == Refused(("observer.is_person",))


@pytest.mark.parametrize("who", ["ana", "lee"])
def test_a_learner_or_an_administrator_does_not_sign(way, who):
    person = way.cast.ana if who == "lee" else way.cast.tom
    assert way.practical(person=person, by=getattr(way.cast, who)) == Refused(("observer.no_right",))


def test_another_site_is_refused(way):
    assert way.practical(by=way.cast.otto) == Refused(("site.other",))
    assert way.practical(machine=way.cast.other_machine) == Refused(("site.other",))


def test_a_wrong_password_signs_nothing_and_is_limited(way):
    for _ in range(5):
        assert way.practical(password="guess") == Refused(("signature.wrong",))
    way.now -= timedelta(minutes=1)
    refused = way.practical()
    assert refused.reasons == ("sign_in.wait",)
    assert refused.wait_until > way.now
    assert "practical.passed" not in kinds(way)


def test_somebody_who_left_is_not_signed_for(way):
    with way.cast.database.writing() as db:
        db.get_one(Person, way.cast.ana).left_at = way.now
    assert way.practical() == Refused(("person.left",))


def test_signing_twice_is_signing_once(way):
    once = new_id()
    assert way.practical(public_id=once) == once == way.practical(public_id=once)
    assert kinds(way) == ["practical.passed"]
    assert way.practical(public_id=once, by=way.cast.mia) == Refused(("form.used",))


# Decisions


def test_the_exam_of_another_scheme_does_not_carry(way):
    way.exam(scheme="basics"), way.practical()
    assert way.decide() == Refused(("exam.other_scheme",))


def test_an_exam_lapses(way):
    way.exam(valid_until=MONDAY + timedelta(days=1)), way.practical(), way.decide()
    way.now = MONDAY + timedelta(days=1)
    assert missing(way) == ("exam.lapsed", "certificate.expired")


def test_a_failed_exam_does_not_carry_and_a_passed_one_stays(way):
    way.exam(passed=False), way.practical()
    assert way.decide() == Refused(("exam.none_valid",))
    way.exam(), way.exam(passed=False)
    assert not isinstance(way.decide(), Refused)


@pytest.mark.parametrize("who", ["ana", "tom", "lee"])
def test_only_a_manager_decides(way, who):
    way.exam(), way.practical()
    refused = way.decide(by=getattr(way.cast, who))
    assert isinstance(refused, Refused)
    assert "decider.no_right" in refused.reasons


def test_nobody_decides_on_themself(way):
    way.exam(way.cast.mia), way.practical(way.cast.mia)
    assert way.decide(way.cast.mia) == Refused(("decider.is_person",))


def test_a_manager_of_another_site_decides_nothing_here(way):
    way.exam(), way.practical()
    assert way.decide(by=way.cast.otto) == Refused(("site.other",))
    assert way.decide(cabinet=way.cast.other_cabinet) == Refused(("site.other",))


def test_a_refusal_needs_a_reason_and_can_be_mended(way):
    way.exam(), way.practical()
    assert way.decide(granted=False) == Refused(("decision.no_reason",))
    way.decide(granted=False, reason="Watch one more lockout first.")
    assert missing(way) == ("decision.refused", "certificate.none")
    way.decide()
    assert missing(way) == ()


def test_deciding_twice_is_deciding_once(way):
    way.exam(), way.practical()
    once = new_id()
    assert way.decide(public_id=once) == once == way.decide(public_id=once)
    assert kinds(way).count("certificate.issued") == 1
    assert way.decide() == Refused(("decision.already_granted",))
    assert way.decide(public_id=once, by=way.cast.rosa) == Refused(("form.used",))


# Overlap


def observed_by_the_manager(way):
    way.exam(), way.practical(by=way.cast.mia)
    return way.decide(overlap_reason="Tom is away this week.")


def test_who_observed_needs_a_reason_and_a_second_approver(way):
    way.exam(), way.practical(by=way.cast.mia)
    assert way.decide() == Refused(("overlap.no_reason",))
    decision = way.decide(overlap_reason="Tom is away this week.")
    assert missing(way) == ("second_approver.none", "certificate.none")
    assert waiting_for(evidence(way), way.now) == "second_approval"
    issued = way.approve(decision)
    assert missing(way) == ()
    assert certificate(way).public_id == issued
    assert kinds(way) == ["practical.passed", "decision.waits", "decision.approved", "certificate.issued"]


@pytest.mark.parametrize(
    ("who", "reason"),
    [
        ("mia", "second_approver.same"),
        ("tom", "second_approver.overlaps"),
        ("lee", "decider.no_right"),
        ("otto", "site.other"),
    ],
)
def test_who_cannot_be_the_second_approver(way, who, reason):
    refused = way.approve(observed_by_the_manager(way), by=getattr(way.cast, who))
    assert isinstance(refused, Refused)
    assert reason in refused.reasons
    assert "certificate.none" in missing(way)


def test_approving_twice_is_approving_once(way):
    decision = observed_by_the_manager(way)
    assert way.approve(decision) == way.approve(decision)
    assert kinds(way).count("certificate.issued") == 1


def test_evidence_that_changed_meanwhile_is_not_approved(way):
    decision = observed_by_the_manager(way)
    way.practical(marks={**ALL_MET, CRITICAL: "not_met"})
    assert way.approve(decision) == Refused(("decision.older_evidence", "practical.failed"))


def test_a_newer_refusal_takes_the_place_of_what_waits(way):
    decision = observed_by_the_manager(way)
    way.decide(granted=False, reason="Not while Tom is away.", by=way.cast.rosa)
    assert way.approve(decision, by=way.cast.rosa).reasons == ("decision.not_waiting",)
    assert missing(way) == ("decision.refused", "certificate.none")


# Withdrawal and renewal


def test_withdrawn_is_final_and_needs_a_new_practical(way):
    way.exam(), way.practical(), way.decide()
    first = certificate(way).public_id
    assert way.withdraw(first) == first == way.withdraw(first)
    assert kinds(way).count("certificate.withdrawn") == 1
    assert missing(way) == ("certificate.withdrawn",)
    assert way.decide() == Refused(("practical.before_withdrawal",))
    way.practical(), way.decide()
    assert missing(way) == ()
    with way.cast.database.reading() as db:
        assert queries.certificate(db, first).state(way.now) == "withdrawn"


def test_withdrawing_needs_a_reason_a_manager_and_the_site(way):
    way.exam(), way.practical(), way.decide()
    held = certificate(way).public_id
    assert way.withdraw(held, reason="") == Refused(("withdrawal.no_reason",))
    assert way.withdraw(held, by=way.cast.tom) == Refused(("decider.no_right",))
    assert way.withdraw(held, by=way.cast.otto) == Refused(("site.other",))
    assert way.withdraw(new_id()) == Refused(("site.other",))
    assert missing(way) == ()


def test_a_renewal_leaves_no_second_certificate_behind_when_withdrawn(way):
    way.exam(), way.practical(), way.decide()
    first = certificate(way).public_id
    way.exam(valid_until=MONDAY + 2 * YEAR), way.practical(), way.decide()
    second = certificate(way).public_id
    assert second != first
    way.withdraw(second)
    with way.cast.database.reading() as db:
        states = {one.public_id: one.state(way.now) for one in queries.certificates_of(db, way.cast.ana)}
    assert states == {first: "withdrawn", second: "withdrawn"}


def test_an_old_practical_carries_no_renewal(way):
    way.practical()
    way.now += timedelta(days=31 * CABINET.certificate_months)
    way.exam()
    assert way.decide() == Refused(("practical.too_old",))


def test_everything_stands_or_falls_together(way):
    way.exam(), way.practical()
    with pytest.raises(ValueError, match="32"):
        _decide_with_a_broken_key(way)
    assert kinds(way) == ["practical.passed"]
    assert missing(way) == ("decision.none", "certificate.none")


def _decide_with_a_broken_key(way):
    from trainer.acts.certifying import Decided, decide  # noqa: PLC0415

    decided = Decided(new_id(), way.cast.ana, way.cast.main_cabinet, granted=True)
    decide(way.cast.database, decided, scheme=CABINET, by=way.cast.mia, signing_key=b"short", now=way.tick())
