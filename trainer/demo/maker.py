"""The invented wash's people and what each of them does, through the acts themselves."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.acts import (
    benches,
    certifying,
    exams,
    invigilating,
    learning,
    observers,
    practicals,
)
from trainer.acts.benches import BenchTools
from trainer.acts.enrolment import Newcomer, enrol_newcomer
from trainer.acts.exams import ExamTools
from trainer.acts.learning import PracticeTools
from trainer.acts.schemes import freeze_scheme
from trainer.benches.catalogue import benches as all_benches
from trainer.certificates.facts import CabinetPlace
from trainer.certificates.observing import LONGEST_QUALIFICATION
from trainer.config import Config
from trainer.exams.paper import instance_of
from trainer.exams.scheme import Scheme
from trainer.language.admission import Reader, slip_values
from trainer.language.draws import Instance
from trainer.language.grading import answer_text
from trainer.language.lessons import Lessons
from trainer.language.loading import Bank
from trainer.language.questions import NumberTask
from trainer.language.rendering import right_answer
from trainer.learning.choosing import LessonPlan
from trainer.quantities.writing import write_quantity
from trainer.records.database import Database
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying as certifying_queries
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import learning as learning_queries
from trainer.records.queries import people as people_queries
from trainer.sites import demo_sheet, site_values

# Demo passwords, printed at start; nobody's real secret.
PASSWORD = "plumb line and level"  # noqa: S105 - printed at start for everybody
MOST_DRILLS = 12


class SignIn(NamedTuple):
    """How to sign in to the demo as one of its people."""

    name: str
    sign_in_name: str
    password: str
    pin: str
    who: str


CAST = (
    SignIn("Ivy Marlowe", "ivy", PASSWORD, "", "administrator"),
    SignIn("Nora Quist", "nora", PASSWORD, "730418", "manager"),
    SignIn("Dale Fenner", "dale", PASSWORD, "614502", "trainer"),
    SignIn("Greta Munn", "greta", PASSWORD, "509317", "trainer, the second observer"),
    SignIn("Rico Salas", "rico", PASSWORD, "285193", "learner, first day, reads Spanish"),
    SignIn("June Abbot", "june", PASSWORD, "947206", "learner, half-way"),
    SignIn("Omar Teller", "omar", PASSWORD, "351874", "learner, ready for a decision"),
    SignIn("Pilar Voss", "pilar", PASSWORD, "862059", "learner, certified and about to lapse, metric"),
)
ROLES = {"ivy": "administrator", "nora": "manager", "dale": "trainer", "greta": "trainer"}


@dataclass(frozen=True)
class Content:
    """What is taught and asked."""

    bank: Bank
    lessons: Lessons
    schemes: Mapping[str, Scheme]

    def plans(self) -> tuple[LessonPlan, ...]:
        """The lessons in order with the skills that can be practised."""
        found = []
        for one in self.lessons.by_id.values():
            skills = tuple(skill for skill in one.skills if self.bank.of_skill(skill))
            found.append(LessonPlan(one.id, one.topic, skills, one.minutes))
        return tuple(found)


class Maker:
    """The demo's site and what its people do."""

    def __init__(self, database: Database, config: Config, content: Content, site_id: int) -> None:
        self.database, self.config, self.content, self.site_id = database, config, content, site_id
        self.scheme = next(one for one in content.schemes.values() if one.opens_cabinet)
        sheet = demo_sheet()
        values = site_values(sheet)
        secret = config.key_for("instances")
        self.practice = PracticeTools(content.bank, secret, lambda _version: values)
        self.exams = ExamTools(
            content.bank,
            content.schemes,
            secret,
            lambda _site, _version: values,
            lambda _site, _version: sheet,
        )

        self.benches = BenchTools(config.key_for("benches"), lambda _site, _version: sheet)
        self.members: dict[str, Member] = {}

    def enrol(self, one: SignIn, at: datetime) -> None:
        """Enrol a person; learners are trained by the trainer."""
        learner = one.sign_in_name not in ROLES
        who = Newcomer(
            name=one.name, sign_in_name=one.sign_in_name, role=ROLES.get(one.sign_in_name, "learner"),  # type: ignore[arg-type]
            password=one.password, pin=one.pin or None, language="es" if one.sign_in_name == "rico" else "en",
            system="metric" if one.sign_in_name == "pilar" else "us",
            trained_by=self.member("dale").public_id if learner else None,
        )  # fmt: skip
        made(one.name, enrol_newcomer(self.database, site_id=self.site_id, by=None, who=who, now=at))

    def freeze(self, at: datetime) -> None:
        """The manager has read the schemes and freezes each in its version."""
        for scheme in self.content.schemes.values():
            refused = freeze_scheme(self.database, by=self.member("nora"), scheme=scheme, now=at)
            if refused is not None:
                raise RuntimeError(f"the demo could not freeze {scheme.id}: {refused.reasons}")

    def member(self, sign_in_name: str) -> Member:
        """One of the cast; nobody's account changes while the demo is made, so each is read once."""
        if sign_in_name not in self.members:
            with self.database.reading() as db:
                self.members = {one.sign_in_name: one for one in people_queries.members(db, self.site_id)}
        return self.members[sign_in_name]

    def half_way(self, name: str, at: datetime) -> None:
        """The first half of the lessons proven, slips made again and again in the next one that asks for numbers."""
        plans = self.content.plans()
        half, skill = next(
            (place, skill)
            for place, lesson in enumerate(plans)
            if place >= len(plans) // 2
            for skill in lesson.skills
            if self.asks_for_numbers(skill)
        )
        at = self.prove(name, plans[:half], at)
        self.read(name, plans[half], at)
        for i in range(3):
            self.drill(name, (skill,), plans[half].id, at + timedelta(minutes=3 * i), slip=True)

    def asks_for_numbers(self, skill: str) -> bool:
        """Whether most questions of a skill are numbers with slips."""
        tasks = [question.task for question in self.content.bank.of_skill(skill)]
        slippery = [task for task in tasks if isinstance(task, NumberTask) and task.slips]
        return 2 * len(slippery) > len(tasks)

    def ready(self, name: str, at: datetime) -> datetime:
        """Everything proven, exam passed, practical signed."""
        at = self.prove(name, self.content.plans(), at)
        at = self.pass_exam(name, at + timedelta(days=1))
        at += timedelta(days=1)
        self.sign(name, at)
        return at

    def certified(self, name: str, at: datetime) -> str:
        """The same, and the manager has decided; gives the decision."""
        at = self.ready(name, at - timedelta(days=4)) + timedelta(days=1)
        return self.decide(name, 0, at, "Exam and practical seen.")

    def decide(self, name: str, cabinet: int, at: datetime, reason: str, *, granted: bool = True) -> str:
        """The manager grants or refuses one of the site's cabinets, counted from 0."""
        decided = certifying.Decided(
            str(uuid.uuid4()),
            self.member(name).id,
            self.cabinets()[cabinet].id,
            granted=granted,
            reason=reason,
        )
        return made("decision", certifying.decide(
            self.database, decided, scheme=self.scheme, by=self.member("nora").id,
            signing_key=self.config.signing_key, now=at,
        ))  # fmt: skip

    def cabinets(self) -> list[CabinetPlace]:
        """The site's cabinets."""
        with self.database.reading() as db:
            return certifying_queries.cabinets(db, self.site_id)

    def prove(self, name: str, plans: Iterable[LessonPlan], at: datetime) -> datetime:
        """Read each lesson and drill its skills until every one is proven; gives the moment of the last answer."""
        for lesson in plans:
            self.read(name, lesson, at)
            for skill in lesson.skills:
                for _ in range(MOST_DRILLS):
                    at += timedelta(minutes=2)
                    self.drill(name, (skill,), lesson.id, at)
                    if self.mastered(name, skill):
                        break
        return at

    def read(self, name: str, lesson: LessonPlan, at: datetime) -> None:
        """Read a lesson."""
        learning.read_lesson(self.database, member=self.member(name), lesson=lesson.id, own_bay="", now=at)

    def mastered(self, name: str, skill: str) -> bool:
        """Whether a skill is proven."""
        with self.database.reading() as db:
            standing = learning_queries.standings(db, self.member(name).id).get(skill)
        return standing is not None and standing.mastered_at is not None

    def drill(
        self, name: str, skills: tuple[str, ...], lesson: str, at: datetime, *, slip: bool = False
    ) -> None:
        """Show a drill and answer it: right, or with its first slip."""
        member = self.member(name)
        public_id = learning.show_drill(
            self.database,
            member=member,
            skills=skills,
            lesson=lesson,
            sheet_version=1,
            tools=self.practice,
            now=at,
        )
        with self.database.reading() as db:
            shown = learning_queries.drill(db, public_id)
        assert shown is not None
        instance = learning.instance_of(shown, member, self.practice)
        assert instance is not None
        answer = answer_text(right_answer(instance, "en"))
        if slip:
            answer = _slipped(instance) or answer
        learning.answer_drill(
            self.database, member=member, public_id=public_id, answer=answer, language="en", tools=self.practice,
            now=at + timedelta(minutes=1),
        )  # fmt: skip

    def work_bench(self, name: str, bench: str, at: datetime) -> None:
        """Work a bench to its end as well as it can be done."""
        member = self.member(name)
        run = made("bench", benches.start(
            self.database, member=member, bench_id=bench, asked={}, sheet_version=1, tools=self.benches, now=at,
        ))  # fmt: skip
        with self.database.reading() as db:
            kept = bench_queries.run(db, run)
        assert kept is not None
        task = benches.task_of_run(kept.facts, self.benches)
        for number, one in enumerate(all_benches()[bench].best(task).acts, 1):
            at += timedelta(minutes=1)
            benches.play(
                self.database,
                member=member,
                public_id=run,
                number=number,
                act=one,
                tools=self.benches,
                now=at,
            )

    def give_bench(self, name: str, bench: str, note: str, at: datetime) -> None:
        """The trainer gives somebody a task on a bench."""
        made("task", benches.give(
            self.database, by=self.member("dale"), person_id=self.member(name).id, bench_id=bench, asked={}, note=note,
            due_at=at + timedelta(days=7), sheet_version=1, tools=self.benches, now=at,
        ))  # fmt: skip

    def pass_exam(self, name: str, at: datetime) -> datetime:
        """Sit the exam and answer everything right; gives the moment of the last answer."""
        member, place = self.member(name), "0" * 64
        self.let_in(member, place, at)
        started = exams.start(
            self.database, member=member, scheme_id=self.scheme.id, tools=self.exams, now=at, place=place
        )
        if started.public_id is None:
            raise RuntimeError(f"the demo's exam was refused: {started.refused}")
        with self.database.reading() as db:
            sitting = exam_queries.sitting(db, started.public_id)
        assert sitting is not None
        paper = exams.paper_of(sitting)
        for slot in paper.form.slots:
            at += timedelta(minutes=1)
            instance = instance_of(paper, slot, self.content.bank.find, self.exams.secret)
            assert instance is not None
            exams.answer(
                self.database, member=member, public_id=started.public_id, slot=slot.number, revision=1,
                text=answer_text(right_answer(instance, "en")), language="en", now=at, place=place,
            )  # fmt: skip
        exams.submit(
            self.database, member=member, public_id=started.public_id, tools=self.exams, now=at, place=place
        )
        return at

    def let_in(self, member: Member, place: str, at: datetime) -> None:
        """The trainer confirms who sits the exam."""
        asked = invigilating.ask(
            self.database, member=member, scheme_id=self.scheme.id, kind="start", place=place, now=at
        )
        assert isinstance(asked, str)
        invigilating.admit(self.database, by=self.member("dale"), request=asked, attested=True, now=at)

    def qualify(self, name: str, grounds: str, at: datetime) -> None:
        """The manager says that somebody may observe on every machine."""
        with self.database.reading() as db:
            machines = certifying_queries.machines(db, self.site_id)
        for machine in machines:
            asked = observers.Qualified(
                str(uuid.uuid4()), self.member(name).id, machine.id, grounds,
                at + LONGEST_QUALIFICATION,
            )  # fmt: skip
            made("observer", observers.qualify(self.database, asked, by=self.member("nora").id, now=at))

    def sign(self, name: str, at: datetime, cabinet: int = 0) -> None:
        """The trainer signs the practical on the machine of one of the site's cabinets, counted from 0."""
        made("practical", practicals.sign_practical(
            self.database, self.observed(name, cabinet), scheme=self.scheme, by=self.member("dale").id,
            password=PASSWORD, address="demo", sample_key=self.config.key_for("second observers"), now=at,
        ))  # fmt: skip

    def observed(self, name: str, cabinet: int) -> practicals.Observed:
        """A practical in which every step was met."""
        checklist = self.scheme.practical
        assert checklist is not None
        return practicals.Observed(
            str(uuid.uuid4()), self.member(name).id, self.cabinets()[cabinet].machine_id,
            {step.id: "met" for step in checklist.steps}, "Steady hands, asked before every step that was new.",
        )  # fmt: skip


def made(what: str, done: str | Refused) -> str:
    """The id that an act gave."""
    if isinstance(done, Refused):
        raise RuntimeError(f"the demo's {what} was refused: {done.reasons}")
    return done


def _slipped(instance: Instance) -> str | None:
    """The first slip of a number question as somebody would type it."""
    task = instance.question.task
    if not isinstance(task, NumberTask) or not task.slips:
        return None
    values = slip_values(task, Reader(instance.values, instance.system))
    return write_quantity(values[task.slips[0].id], task.units[instance.system], "en")
