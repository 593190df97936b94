"""A wash whose own question has a wrong key, sat in exams and then mended; for tests of scoring again."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tests.acts.certified import CABINET, new_id
from tests.acts.test_exams import SECRET, no_sheet
from tests.cast import MONDAY, PASSWORD, Cast
from tests.six_kinds import NUMBER, RIGHT, SITE, six_kinds, six_scheme
from trainer.acts import exams, questions
from trainer.acts.rescoring import Rescoring, rescore
from trainer.acts.signature import Signature
from trainer.acts.touched import touched_by
from trainer.exams.paper import instance_of
from trainer.language.source import fingerprint
from trainer.records.queries import exams as queries
from trainer.records.queries import people
from trainer.records.queries.questions import KeptQuestions, own_question

NAME = "eyes.own_van"
GOOD = NUMBER.format(name="own_van", skill="length").replace("version: 1", "version: 2")
BAD = GOOD.replace("version: 2", "version: 1").replace("pulses / rate * foot", "3 * pulses / rate * foot")
REWORDED = GOOD.replace("How long is the vehicle?", "How long is the van of the bakery?")
WHY = "The key took a yard for a foot."


@dataclass
class Mended:
    """Acts on one cast, a minute each. The exam has six questions, needs all of them, and is the cabinet's."""

    cast: Cast
    now: datetime = MONDAY
    secret: bytes = SECRET

    def tick(self, **more):
        self.now += timedelta(**(more or {"minutes": 1}))
        return self.now

    def member(self, name):
        with self.cast.database.reading() as db:
            return people.member(db, getattr(self.cast, name))

    @property
    def bank(self):
        """The site's own question alone asks its skill, so that it stands on every form."""
        known = {name: one for name, one in six_kinds().by_id.items() if name != "eyes.length"}
        return replace(six_kinds(), by_id=known, older=KeptQuestions(self.cast.database))

    @property
    def scheme(self):
        return six_scheme(id=CABINET.id, version=CABINET.version, cut=6, opens_cabinet=True)

    @property
    def tools(self):
        return exams.ExamTools(
            self.bank, {CABINET.id: self.scheme}, self.secret, lambda site, version: SITE, no_sheet
        )

    def put_into_use(self, text, version=1, *, trial=False):
        """Written by Tom, read by Mia, put into use by Tom."""
        database, tom = self.cast.database, self.member("tom")
        if version == 1:
            assert questions.begin(database, member=tom, name=NAME, text=text, now=self.tick()).version == 1
        else:
            seen = self.question().newest.fingerprint
            saved = questions.save(database, member=tom, name=NAME, text=text, seen=seen, now=self.tick())
            assert saved.version == version
        steps = (("submitted", "tom"), ("reviewed", "mia"), ("published", "tom"))
        for kind, who in steps[:2] if trial else steps:
            self.take(kind, who, text, version)

    def take(self, kind, who, text, version):
        """One step of a version's life."""
        refused = questions.step(
            self.cast.database, member=self.member(who), name=NAME, version=version, kind=kind, findings=(), note="",
            now=self.tick(), checked=fingerprint(text),
        )  # fmt: skip
        assert refused == ()

    def question(self):
        with self.cast.database.reading() as db:
            return own_question(db, self.cast.site, NAME)

    def sit(self, name, times=1, **wrong):
        """An exam with everything right but what is named by question; gives its public id.

        times: what the true length of the van is multiplied by, as a wrong key would; 0 leaves it without an answer
        """
        database, member = self.cast.database, self.member(name)
        started = exams.start(
            database, member=member, scheme_id=CABINET.id, tools=self.tools, now=self.tick()
        )
        assert started.refused == ()
        paper = exams.paper_of(self.sitting(started.public_id))
        for slot in paper.form.slots:
            text = RIGHT.get(slot.question) or self._length(paper, slot, times)
            text = wrong.get(slot.question.replace(".", "_"), text)
            if text:
                receipt = exams.answer(
                    database, member=member, public_id=started.public_id, slot=slot.number, revision=1, text=text,
                    language="en", now=self.tick(),
                )  # fmt: skip
                assert receipt.accepted
        done = exams.submit(
            database, member=member, public_id=started.public_id, tools=self.tools, now=self.tick()
        )
        assert done.closed
        return started.public_id

    def _length(self, paper, slot, times):
        """Worked out by hand: pulses over pulses a foot."""
        instance = instance_of(paper, slot, self.tools.bank.find, self.secret)
        return f"{times * instance.values['pulses'] / instance.values['rate']:.3f} ft" if times else ""

    def sitting(self, exam):
        with self.cast.database.reading() as db:
            return queries.sitting(db, exam)

    def touched(self):
        with self.cast.database.reading() as db:
            one = own_question(db, self.cast.site, NAME)
            return touched_by(db, one, self.cast.site, self.tools)

    def rescore(self, by="mia", *, how="newer", public_id=None, reason=WHY, password=PASSWORD, newer=None):
        found = self.touched()
        asked = Rescoring(public_id or new_id(), NAME, how, newer or found.fingerprint, reason)
        signature = Signature(getattr(self.cast, by), password, "192.0.2.7")
        return rescore(self.cast.database, asked, signature, tools=self.tools, now=self.tick())
