"""What the tables and the record log say was done, each act once, written apart from the rules under test."""

import json
from collections import Counter, defaultdict
from functools import lru_cache

from sqlalchemy import select, text

from trainer.acts.exam_replay import replay
from trainer.certificates.credential import canonical_hash, public_key_of, verify_credential
from trainer.records import heads, log
from trainer.records.queries import certifying
from trainer.records.tables import (
    Certificate,
    CertificateChange,
    Decision,
    Exam,
    ExamAnswer,
    LogEntry,
    Person,
    Practical,
    PracticalSecond,
    StatusPlace,
)
from trainer.web.examine import tools

# Entries that come with another act and are no act of anybody's own.
BESIDE = ("certificate.issued", "key.first", "scheme.frozen")
CHANGES = ("suspended", "lifted", "reduced")


class Evidence:
    """The records of one installation, looked at after each kill."""

    def __init__(self, house):
        self.house = house
        self.key = public_key_of(house.config.signing_key)
        self.replayed = set()

    def check(self, crowd):
        """Every acknowledged act stands once in the tables and once in the log; what nobody sent does not."""
        with self.house.database.snapshot() as db:
            entries = [
                json.loads(record) for record in db.scalars(select(LogEntry.record).order_by(LogEntry.seq))
            ]
            logged = [
                _act(one["kind"], one["about"], one["facts"]) for one in entries if one["kind"] not in BESIDE
            ]
            kept = list(_kept(db))
            _once(logged, "log")
            _once(kept, "tables")
            assert set(logged) == set(kept)
            _explained(set(kept), crowd)
            assert log.verify(db).flaws == ()
            certificates = self._check_certificates(db, entries)
            report = heads.verify_heads(db, {self.key})
            assert report.flaws == () and report.heads == certificates
            if self.house.database.is_sqlite:
                assert db.execute(text("PRAGMA integrity_check")).scalar() == "ok"
        closed = {key[2] for key in kept if key[0] == "closed"}
        for exam in closed - self.replayed:
            assert replay(self.house.database, public_id=exam, tools=tools(self.house)).agrees, exam
        self.replayed |= closed
        self.house.database.dispose()

    def _check_certificates(self, db, entries):
        """One certificate for each decision that grants and waits for nobody; signed, logged, in the logged state."""
        done = Decision.granted & (
            Decision.overlap_reason.is_(None) | Decision.second_approver_id.is_not(None)
        )
        wanted = sorted(db.scalars(select(Decision.id).where(done)))
        rows = db.scalars(select(Certificate).order_by(Certificate.decision_id)).all()
        assert [row.decision_id for row in rows] == wanted
        assert sorted(db.scalars(select(StatusPlace.certificate_id))) == sorted(row.id for row in rows)
        issued = [one["facts"] for one in entries if one["kind"] == "certificate.issued"]
        assert sorted((one["certificate"], one["hash"]) for one in issued) == sorted(
            (row.public_id, _signed_hash(row.credential, self.key)) for row in rows
        )
        told = _states_by_log(entries)
        for person in {row.person_id for row in rows}:
            for held in certifying.certificates_of(db, person):
                assert held.state(self.house.clock()) == told[held.public_id]
        return len(rows)


def _act(kind, about, facts):
    """How an entry of the log names its act; raises KeyError for a kind that nobody here sends."""
    room, done = kind.split(".")
    if kind == "exam.answered":
        return ("answered", about, facts["exam"], facts["slot"], facts["revision"], facts["answer"])
    if room == "exam":
        return ({"started": "started", "closed": "closed"}[done], about, facts["exam"])
    if kind in ("practical.passed", "practical.failed"):
        return ("practical", about, facts["practical"], done)
    if room == "practical":
        return ({"second_agrees": "second", "second_differs": "second"}[done], about, facts["second"])
    if room == "decision":
        return ({"granted": "granted", "refused": "refused", "waits": "waits", "approved": "approved"}[done], about,
                facts["decision"])  # fmt: skip
    return (done, about, facts["change" if done in CHANGES else "certificate"])


def _kept(db):
    """The same names from the tables."""
    people = dict(db.execute(select(Person.id, Person.public_id)).all())
    logged_exams = Exam.form != "{}"  # those that the test wrote itself have an empty form
    exams = db.execute(
        select(Exam.id, Exam.public_id, Exam.person_id, Exam.submitted_at).where(logged_exams)
    ).all()
    whose = {one.id: (people[one.person_id], one.public_id) for one in exams}
    for one in exams:
        yield ("started", *whose[one.id])
        if one.submitted_at is not None:
            yield ("closed", *whose[one.id])
    a = ExamAnswer
    for exam, *rest in db.execute(select(a.exam_id, a.slot, a.revision, a.answer)):
        yield ("answered", *whose[exam], *rest)
    for one in db.scalars(select(Practical)):
        yield ("practical", people[one.person_id], one.public_id, "passed" if one.passed else "failed")
    for one in db.scalars(select(PracticalSecond)):
        yield ("second", people[one.person_id], one.public_id)
    for one in db.scalars(select(Decision)):
        done = "refused" if not one.granted else "granted" if one.overlap_reason is None else "waits"
        yield (done, people[one.person_id], one.public_id)
        if one.second_approver_id is not None:
            yield ("approved", people[one.person_id], one.public_id)
    numbers = dict(db.execute(select(Certificate.id, Certificate.public_id)).all())
    for one in db.scalars(select(CertificateChange)):
        named = one.public_id if one.kind in CHANGES else numbers[one.certificate_id]
        yield (one.kind, people[one.person_id], named)


def _once(keys, where):
    doubled = [key for key, times in Counter(keys).items() if times > 1]
    assert not doubled, f"doubled in the {where}: {doubled}"


def _explained(kept, crowd):
    """Nothing acknowledged is missing, and each act beyond is the one that some client still waits to hear of."""
    for one in crowd.clients:
        lost = one.acknowledged - kept
        assert not lost, f"lost: {lost}"
        kept = kept - one.acknowledged
    for one in crowd.clients:
        mine = {key for key in kept if one.pending and key[: len(one.pending.key)] == one.pending.key}
        assert len(mine) <= 1, mine
        kept = kept - mine
        crowd.cut |= mine
    assert not kept, f"nobody sent: {kept}"


def _states_by_log(entries):
    """What each certificate is by the log alone."""
    opened, states = defaultdict(set), {}
    for one in entries:
        kind, facts = one["kind"], one["facts"]
        if not kind.startswith("certificate."):
            continue
        named = facts["certificate"]
        if kind == "certificate.suspended":
            opened[named].add(facts["change"])
        if kind == "certificate.lifted":
            opened[named].discard(facts["lifts"])
        if kind == "certificate.withdrawn":
            states[named] = "withdrawn"
        elif states.get(named) != "withdrawn":
            states[named] = "suspended" if opened[named] else "active"
    return states


@lru_cache(maxsize=4096)
def _signed_hash(credential, key):
    """The hash of a certificate whose signature holds; the signature of one text never changes."""
    document = json.loads(credential)
    assert verify_credential(document, {key}).good
    return canonical_hash(document)
