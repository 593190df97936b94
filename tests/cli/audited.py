"""A small wash in which everything that an auditor looks at has happened once, and its folder of evidence."""

from datetime import timedelta
from pathlib import Path

from sqlalchemy import delete

from tests.acts.certified import CABINET, Way, new_id
from tests.cast import MONDAY
from tests.six_kinds import RIGHT, WRONG
from tests.web.exam_house import make_exam_house
from trainer.acts import appeals, exams, standing
from trainer.acts.heads import sign_head
from trainer.acts.impartiality import ThreatWritten, write_threat
from trainer.acts.observers import Qualified, qualify
from trainer.acts.transaction import act
from trainer.cli.evidence import write_evidence
from trainer.records.queries import certifying
from trainer.records.queries import exams as exam_queries
from trainer.records.tables import ObserverQualification

DAY = timedelta(days=1)
KEY = bytes(32)  # the signing key of the exam house


class AuditedWash:
    """Acts on one house, a minute each."""

    def __init__(self, url: str, **scheme) -> None:
        self.made = make_exam_house(url, id=CABINET.id, version=CABINET.version, **scheme)
        self.cast, self.house, self.now = self.made.cast, self.made.house, MONDAY
        with self.cast.database.writing() as db:
            db.execute(delete(ObserverQualification))
        house = self.house
        self.tools = exams.ExamTools(
            house.bank, house.schemes, house.key_for("instances"), house.site_values, house.sheet
        )

    def tick(self):
        self.now += timedelta(minutes=1)
        return self.now

    def qualify(self, person, *, by):
        """Through the act, so that it is in the log; the cast's own qualifications were never written there."""
        asked = Qualified(new_id(), person, self.cast.conveyor, "Ten years on it.", MONDAY + 300 * DAY)
        assert isinstance(qualify(self.cast.database, asked, by=by, now=self.tick()), str)

    def sit(self, person, answers, *, closed=True, language="en"):
        """An exam with these answers by question; gives its public id."""
        member = self.made.member(person)
        started = exams.start(
            self.cast.database, member=member, scheme_id="six", tools=self.tools, now=self.tick()
        )
        assert started.refused == (), started
        with self.cast.database.reading() as db:
            slots = exams.paper_of(exam_queries.sitting(db, started.public_id)).form.slots
        for slot in slots:
            for revision, typed in enumerate(answers.get(slot.question, ()), start=1):
                receipt = exams.answer(
                    self.cast.database, member=member, public_id=started.public_id, slot=slot.number, revision=revision,
                    text=typed, language=language, now=self.tick(),
                )  # fmt: skip
                assert receipt.accepted, receipt
        if closed:
            exams.submit(
                self.cast.database,
                member=member,
                public_id=started.public_id,
                tools=self.tools,
                now=self.tick(),
            )
        return started.public_id

    def certify(self, person, *, observer, decider, second=None):
        """Practical and decision; gives the certificate's public id."""
        way = Way(self.cast, self.now, KEY)
        signed = way.practical(person, by=observer, note="Watched it all.")
        assert isinstance(signed, str), signed
        overlap = "Only trainer here." if second else ""
        done = way.decide(person, by=decider, reason="Ready.", overlap_reason=overlap)
        assert isinstance(done, str), done
        if second:
            issued = way.approve(done, by=second)
            assert isinstance(issued, str), issued
        self.now = way.now
        with self.cast.database.reading() as db:
            return certifying.certificates_of(db, person)[0].public_id

    def appeal(self, person, exam, *, first, then):
        """Filed, taken on by one, taken over by another, who upholds it in part."""
        database, filed = (
            self.cast.database,
            appeals.Filed(new_id(), "exam", exam, "The drawing was another bay's."),
        )
        assert (
            appeals.file_appeal(database, filed, by=person, tools=self.tools, now=self.tick())
            == filed.public_id
        )
        for handler in (first, then):
            taken = appeals.take_appeal(database, filed.public_id, by=handler, now=self.tick())
            assert taken == filed.public_id, taken
        decided = appeals.decide_appeal(
            database, filed.public_id, outcome="partly", reason="The drawing was right, the light was not.", by=then,
            now=self.tick(),
        )  # fmt: skip
        assert decided == filed.public_id, decided

    def look_at_threat(self, person, *, owner):
        """Written, looked at again, closed."""
        threat = new_id()
        for entry, treatment, closed in (
            (threat, "The bonus is paid by the year.", False),
            (new_id(), "Still so.", False),
            (new_id(), "There is no bonus any more.", True),
        ):
            written = ThreatWritten(
                entry, threat, "A bonus for every pass.", treatment, owner, (MONDAY + 90 * DAY).date(), closed
            )
            assert write_threat(self.cast.database, written, by=person, now=self.tick()) == threat

    def sign_head(self):
        with act(self.cast.database, self.tick()) as this:
            return sign_head(this, KEY)

    def export(self, folder: Path) -> Path:
        write_evidence(self.house, folder, self.cast.site, self.tick())
        return folder


def made_wash(url: str) -> AuditedWash:
    """Ana passes after a change of mind and is certified; Lee too, by way of a second approver, then withdrawn.

    Tom appeals against his fail; a threat to impartiality is written down, looked at again and closed.
    """
    wash = AuditedWash(url)
    cast = wash.cast
    wash.qualify(cast.tom, by=cast.mia)
    wash.qualify(cast.mia, by=cast.rosa)
    right = {question: (typed,) for question, typed in RIGHT.items()}
    second_thought = (WRONG["eyes.choice"], RIGHT["eyes.choice"])
    in_spanish = {**right, "eyes.choice": second_thought, "eyes.length": ("12,5 m",)}
    wash.sit(cast.ana, in_spanish, language="es")
    wash.sign_head()
    failed = wash.sit(
        cast.tom, {**right, "lockout.order": (WRONG["lockout.order"],), "eyes.length": ("16 ft 4 in",)}
    )
    wash.sit(cast.otto, {"eyes.choice": ("emitter",)})
    wash.certify(cast.ana, observer=cast.tom, decider=cast.mia)
    wash.sit(cast.lee, {**right, "eyes.length": ("200",)})
    lee = wash.certify(cast.lee, observer=cast.mia, decider=cast.mia, second=cast.rosa)
    wash.sign_head()
    asked = standing.Asked(new_id(), lee, "Opened it live.")
    assert isinstance(standing.suspend(cast.database, asked, by=cast.rosa, now=wash.tick()), str)
    assert isinstance(
        standing.withdraw(cast.database, certificate=lee, by=cast.rosa, reason="For good.", now=wash.tick()),
        str,
    )
    wash.appeal(cast.tom, failed, first=cast.lee, then=cast.rosa)
    wash.look_at_threat(cast.mia, owner=cast.rosa)
    wash.sit(cast.rosa, {"eyes.choice": ("emitter",)}, closed=False)
    wash.sign_head()
    return wash
