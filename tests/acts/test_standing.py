import json
from datetime import timedelta

import pytest

from tests.acts.certified import ALL_MET, CRITICAL, YEAR, Way, new_id
from tests.cast import MONDAY, make_cast
from trainer.access.refusal import Refused
from trainer.acts import standing as acts
from trainer.certificates.permission import cabinet_permission, waiting_for
from trainer.certificates.scope import OPEN_ALONE
from trainer.records import log
from trainer.records.queries import certifying as queries
from trainer.records.queries import standing as changes
from trainer.records.tables import Certificate, CertificateChange

HOUR = timedelta(hours=1)


@pytest.fixture
def way(database_url):
    cast = make_cast(database_url)
    yield Way(cast)
    cast.database.dispose()


@pytest.fixture
def held(way):
    """Ana's certificate for the main cabinet."""
    way.exam(), way.practical(), way.decide()
    return certificate(way).public_id


def certificate(way, which=0):
    with way.cast.database.reading() as db:
        return queries.certificates_of(db, way.cast.ana)[which]


def permission(way):
    with way.cast.database.reading() as db:
        e = queries.evidence_of(db, way.cast.ana, way.cast.main_cabinet, "cabinet")
    return cabinet_permission(e, way.now)


def suspend(way, held, *, by=None, reason="An incident is looked into.", public_id=None):
    asked = acts.Asked(public_id or new_id(), held, reason)
    return acts.suspend(way.cast.database, asked, by=by or way.cast.mia, now=way.tick())


def lift(way, held, *, by=None, reason="Looked into.", which=0, suspension=None):
    open_ = certificate(way).standing(way.now).suspensions
    suspension = suspension or open_[which].public_id
    asked = acts.Asked(new_id(), held, reason)
    return acts.lift(way.cast.database, asked, suspension, by=by or way.cast.mia, now=way.tick())


def reduce(way, held, taken, *, by=None, reason="Not alone for now."):
    asked = acts.Asked(new_id(), held, reason)
    return acts.reduce(way.cast.database, asked, taken, by=by or way.cast.mia, now=way.tick())


def change(way, *, by=None, cabinet=None, machine=None, kind="machine", back=timedelta(0), public_id=None):
    now = way.tick()
    changed = acts.MachineChange(
        public_id or new_id(), machine or way.cast.conveyor, cabinet, kind, "New drive, another disconnect.", now - back
    )  # fmt: skip
    return acts.change_machine(way.cast.database, changed, by=by or way.cast.mia, now=now)


def entries(way):
    with way.cast.database.reading() as db:
        assert log.verify(db).flaws == ()
        return list(reversed(queries.log_of_site(db, way.cast.site, None, 100)))


def kinds(way):
    return [one.kind for one in entries(way)]


def test_suspended_closes_the_cabinet_and_lifted_opens_it_again(way, held):
    assert suspend(way, held) == held
    assert permission(way).missing == ("certificate.suspended",)
    assert lift(way, held, by=way.cast.rosa) == held
    assert permission(way).may_open
    assert kinds(way)[-2:] == ["certificate.suspended", "certificate.lifted"]
    said = certificate(way).changes
    assert [(one.kind, one.by, one.reason) for one in said] == [
        ("suspended", "Mia Okafor", "An incident is looked into."),
        ("lifted", "Rosa Lind", "Looked into."),
    ]
    assert said[1].lifts == said[0].public_id


def test_two_suspensions_need_two_lifts(way, held):
    suspend(way, held), suspend(way, held, by=way.cast.rosa)
    lift(way, held)
    assert permission(way).missing == ("certificate.suspended",)
    lift(way, held)
    assert permission(way).may_open


def test_what_cannot_be_suspended_and_by_whom(way, held):
    assert suspend(way, held, reason=" ") == Refused(("suspension.no_reason",))
    assert suspend(way, held, reason="x" * 2001) == Refused(("text.too_long",))
    assert suspend(way, held, by=way.cast.tom) == Refused(("decider.no_right",))
    assert suspend(way, held, by=way.cast.otto) == Refused(("site.other",))
    assert suspend(way, new_id()) == Refused(("site.other",))
    way.withdraw(held)
    assert suspend(way, held) == Refused(("certificate.not_running",))


def test_what_cannot_be_lifted_and_by_whom(way, held):
    suspend(way, held)
    assert lift(way, held, by=way.cast.tom).reasons == ("decider.no_right", "lift.overlaps")
    assert lift(way, held, by=way.cast.otto) == Refused(("site.other",))
    assert lift(way, held, suspension=new_id()) == Refused(("lift.not_suspended",))
    way.withdraw(held)
    suspension = certificate(way).standing(way.now).suspensions[0].public_id
    assert lift(way, held, suspension=suspension) == held
    assert certificate(way).state(way.now) == "withdrawn"


def test_the_same_form_twice_is_one_act(way, held):
    once = new_id()
    assert suspend(way, held, public_id=once) == held == suspend(way, held, public_id=once)
    assert kinds(way).count("certificate.suspended") == 1
    assert suspend(way, held, public_id=once, by=way.cast.rosa) == Refused(("form.used",))


def test_no_grant_goes_over_a_suspension(way, held):
    suspend(way, held)
    way.exam(valid_until=MONDAY + 2 * YEAR), way.practical()
    assert way.decide() == Refused(("decision.suspended",))
    lift(way, held)
    assert not isinstance(way.decide(), Refused)


def test_a_renewal_leaves_no_older_certificate_running_when_suspended(way, held):
    way.exam(valid_until=MONDAY + 2 * YEAR), way.practical(), way.decide()
    newer = certificate(way).public_id
    suspend(way, newer)
    assert {certificate(way, which).state(way.now) for which in (0, 1)} == {"suspended"}
    assert kinds(way).count("certificate.suspended") == 2


def test_reduced_may_no_longer_open_alone_until_seen_again(way, held):
    assert reduce(way, held, ["replace_parts"]) == held
    assert permission(way).may_open
    assert reduce(way, held, [OPEN_ALONE]) == held
    assert permission(way).missing == ("certificate.reduced",)
    assert set(certificate(way).standing(way.now).taken) == {OPEN_ALONE, "replace_parts"}
    way.exam(valid_until=MONDAY + 2 * YEAR)
    assert way.decide() == Refused(("practical.before_reduction",))
    way.practical(), way.decide()
    assert permission(way).may_open
    assert certificate(way).state(way.now) == "active"


def test_a_reduction_names_known_tasks_and_leaves_some(way, held):
    assert reduce(way, held, []) == Refused(("reduction.nothing",))
    assert reduce(way, held, ["fly"]) == Refused(("reduction.nothing",))
    assert reduce(way, held, [OPEN_ALONE], by=way.cast.tom) == Refused(("decider.no_right",))


def test_withdrawn_stands_in_the_change_and_in_the_certificate_alike(way, held):
    way.withdraw(held)
    with way.cast.database.reading() as db:
        row, said = db.query(Certificate).one(), db.query(CertificateChange).one()
        assert (row.withdrawn_at, row.withdrawn_by_id, row.withdrawn_reason) == (
            said.at,
            said.by_id,
            said.reason,
        )
        assert said.kind == "withdrawn"


def test_a_refusal_between_does_not_bring_an_old_practical_back(way, held):
    # Withdrawn, refused, granted: the refusal is the newest decision then, and the withdrawal must still be seen.
    way.withdraw(held)
    way.decide(granted=False, reason="Not before a new practical.")
    assert way.decide() == Refused(("practical.before_withdrawal",))


# Changes of the machine


@pytest.mark.parametrize("kind", ["machine", "procedure"])
def test_a_change_suspends_until_retraining_is_observed(way, held, kind):
    # 29 CFR 1910.147(c)(7)(iii) asks for retraining when the machine or the procedure changes.
    change(way, kind=kind)
    assert permission(way).missing == ("certificate.suspended", f"change.{kind}")
    assert waiting_for(permission(way).evidence, way.now) == "practical"
    assert lift(way, held) == Refused(("lift.no_retraining",))
    way.practical(marks={**ALL_MET, CRITICAL: "not_met"})
    assert lift(way, held) == Refused(("lift.no_retraining",))
    way.practical()
    assert waiting_for(permission(way).evidence, way.now) == "lift"
    assert not permission(way).may_open
    assert lift(way, held) == held
    assert permission(way).may_open
    assert kinds(way).count(f"workplace.{kind}_changed") == 1


def test_a_change_touches_its_machine_alone(way, held):
    change(way, machine=way.cast.dryer)
    assert permission(way).may_open
    assert change(way, cabinet=way.cast.dryer_cabinet) == Refused(("site.other",))
    change(way, cabinet=way.cast.main_cabinet)
    assert not permission(way).may_open


def test_a_change_in_the_past_leaves_alone_whoever_was_observed_since(way, held):
    change(way, back=timedelta(minutes=1))
    assert not permission(way).may_open
    way.practical(), way.decide()
    assert permission(way).may_open
    change(way, back=timedelta(minutes=4))
    assert permission(way).may_open


def test_nobody_is_granted_on_a_practical_from_before_the_change(way):
    way.exam(), way.practical(), change(way)
    assert way.decide() == Refused(("practical.before_change",))
    way.practical()
    assert not isinstance(way.decide(), Refused)


def test_what_waits_for_a_second_approver_is_not_approved_after_a_change(way):
    way.exam(), way.practical(by=way.cast.mia)
    waits = way.decide(overlap_reason="Tom is away.")
    change(way)
    assert way.approve(waits) == Refused(("practical.before_change",))


def test_who_cannot_write_down_a_change_and_which(way, held):
    assert change(way, by=way.cast.tom) == Refused(("decider.no_right",))
    assert change(way, by=way.cast.otto) == Refused(("site.other",))
    assert change(way, kind="weather") == Refused(("site.other",))
    assert change(way, back=-HOUR) == Refused(("change.future",))
    assert permission(way).may_open
    once = new_id()
    assert change(way, public_id=once) == once == change(way, public_id=once)
    assert change(way, public_id=once, by=way.cast.rosa) == Refused(("form.used",))
    with way.cast.database.reading() as db:
        [said] = changes.machine_changes(db, way.cast.site)
    assert (said.machine, said.cabinet, said.by) == ("Conveyor", None, "Mia Okafor")


def test_the_log_says_what_was_done_and_keeps_names_and_reasons_out(way, held):
    suspend(way, held, reason="Ana Ruiz fell."), change(way), reduce(way, held, [OPEN_ALONE])
    way.withdraw(held, reason="Ana Ruiz opened it live.")
    for one in entries(way):
        assert "Ana Ruiz" not in one.record
        assert "disconnect" not in one.record
    suspended = next(json.loads(one.record) for one in entries(way) if one.kind == "certificate.suspended")
    assert suspended["facts"]["certificate"] == held
    assert suspended["about"] == way.cast.public_id(way.cast.ana)
