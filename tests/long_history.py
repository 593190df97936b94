"""An invented long history of practice, stored as rows: many people, two years, all by one seed.

People read lessons, practise by the rules of mastery, review when it is due. Whether a review is right is drawn with
the very chance that the scheduler forecasts, times `recall`: at 1 the forecasts are true.
"""

import random
import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from fsrs import Card
from sqlalchemy import insert

from tests.cast import MONDAY
from trainer.language.lessons import Lessons
from trainer.language.loading import Bank
from trainer.language.questions import NumberTask
from trainer.learning.mastery import Answered, Standing, after, is_due
from trainer.learning.reviews import SCHEDULER
from trainer.records.database import Database
from trainer.records.log import append
from trainer.records.tables import BenchRun, Drill, LessonRead, Person

MOST_ANSWERS = 9  # on a skill before somebody goes on without having mastered it
MOST_SKILLS = 5  # in one sitting
READS_FIRST = 0.7
SLIPS = 0.5  # of wrong answers to a question that knows slips


@dataclass(frozen=True)
class Misled:
    """A slip that whoever has read a lesson makes more often at first: the chance of it."""

    lesson: str
    skill: str
    slip: str
    chance: float


@dataclass
class Life:
    """One invented person, and what they leave behind as rows."""

    number: int
    random: random.Random
    recall: float
    misled: Misled | None
    read: dict = field(default_factory=dict)
    standings: dict = field(default_factory=dict)
    mastered: set = field(default_factory=set)
    later: list = field(default_factory=list)
    drills: list = field(default_factory=list)
    log: list = field(default_factory=list)


def store(
    database: Database,
    site: int,
    bank: Bank,
    lessons: Lessons,
    *,
    people: int = 200,
    days: int = 730,
    until: datetime = MONDAY,
    seed: int = 1,
    recall: float = 1.0,
    misled: Misled | None = None,
) -> int:
    """Store the history and give how many answers it holds. People join all along; one in six has left."""
    draw = random.Random(f"{seed} at {site}")
    begin = until - timedelta(days=days)
    rows = [
        {
            "public_id": f"long-{site}-{number}", "site_id": site, "name": f"Long {number}",
            "sign_in_name": f"long.{site}.{number}", "role": "learner", "language": "en", "system": "us",
            "session_number": 1, "joined_at": begin + timedelta(days=draw.uniform(0, days * 0.8)),
        }
        for number in range(people)
    ]  # fmt: skip
    for row in rows:
        leaves = row["joined_at"] + timedelta(days=draw.uniform(5, days)) if draw.random() < 1 / 6 else None
        row["left_at"] = leaves if leaves is not None and leaves < until else None
    drills, readings, log, runs = [], [], [], []
    with database.writing() as db:
        db.execute(insert(Person), rows)
        ids = dict(db.execute(Person.__table__.select().with_only_columns(Person.public_id, Person.id)).all())
        for row in rows:
            life = Life(ids[row["public_id"]], random.Random(draw.random()), recall, misled)
            _live(life, row["joined_at"], row["left_at"] or until, bank, lessons)
            drills += life.drills
            readings += [
                {"person_id": life.number, "lesson": lesson, "read_at": at, "own_bay": ""}
                for lesson, at in life.read.items()
            ]
            log += [(at, kind, row["public_id"], facts) for at, kind, facts in life.log]
            runs += _runs(life, row["joined_at"])
        db.execute(insert(Drill), drills)
        db.execute(insert(LessonRead), readings)
        db.execute(insert(BenchRun), runs)
        for at, kind, who, facts in sorted(log, key=lambda one: one[0]):
            append(db, at=at, kind=kind, by=who, about=who, facts=facts)
    return len(drills)


def _live(life: Life, joined: datetime, until: datetime, bank: Bank, lessons: Lessons) -> None:
    """Sittings a few days apart: what is due or lost first, then skills that are open, then the next lesson."""
    at, waiting, begun = joined + timedelta(hours=9), list(lessons.by_id.values()), []
    while at < until:
        again = [one.skill for one in life.standings.values() if is_due(one, at) or _lost(life, one)]
        open_ = [one for one in begun if one not in life.standings or _is_open(life.standings[one])]
        for skill in (again or open_)[:MOST_SKILLS]:
            at = _practise(life, skill, at, until, bank)
        if not again and not open_ and waiting:
            lesson = waiting.pop(0)
            begun += [skill for skill in lesson.skills if bank.of_skill(skill)]
            if life.random.random() < READS_FIRST:
                _read(life, lesson.id, at)
            else:
                life.later.append(lesson.id)
        elif life.later:
            _read(life, life.later.pop(0), at)
        at += timedelta(days=life.random.expovariate(1 / 3), hours=1)


def _is_open(standing: Standing) -> bool:
    return standing.mastered_at is None and standing.answered < MOST_ANSWERS


def _lost(life: Life, standing: Standing) -> bool:
    return standing.mastered_at is None and standing.skill in life.mastered


def _practise(life: Life, skill: str, at: datetime, until: datetime, bank: Bank) -> datetime:
    """A few answers, until the skill is mastered and not due."""
    for _ in range(life.random.randint(1, 4)):
        if at < until:
            at = _answer(life, skill, at, bank)
        if life.standings[skill].mastered_at is not None:
            break
    return at


def _read(life: Life, lesson: str, at: datetime) -> None:
    if lesson not in life.read:
        life.read[lesson] = at
        life.log.append((at, "lesson.read", {"lesson": lesson}))


def _answer(life: Life, skill: str, at: datetime, bank: Bank) -> datetime:
    question = life.random.choice(bank.of_skill(skill))
    before = life.standings.get(skill, Standing(skill))
    alone = not (question.is_family and question.steps)
    support = "alone" if alone else before.support
    right = life.random.random() < _chance(life, before, at)
    slip = None
    if isinstance(question.task, NumberTask) and question.task.slips:
        known = [one.id for one in question.task.slips]
        misled = life.misled
        if misled and misled.skill == skill and misled.slip in known and misled.lesson in life.read:
            if life.random.random() < misled.chance:
                right, slip = False, misled.slip
        elif not right and life.random.random() < SLIPS:
            slip = life.random.choice(known)
    answered = Answered(question.kind, right, support, at, slip)
    moved = after(before, answered, hazard=bank.skill(skill).hazard)
    life.standings[skill] = moved
    if before.mastered_at is None and moved.mastered_at is not None:
        life.mastered.add(skill)
        life.log.append((at, "skill.mastered", {"skill": skill}))
    life.drills.append(
        {
            "public_id": str(uuid.UUID(int=life.random.getrandbits(128))), "person_id": life.number, "lesson": None,
            "skill": skill, "question": question.id, "version": question.version, "fingerprint": question.fingerprint,
            "sheet_version": 1, "system": "us", "support": support, "shown_at": at - timedelta(minutes=1),
            "answered_at": at, "answer": "", "verdict": "right" if right else "wrong", "right": right, "slip": slip,
        }
    )  # fmt: skip
    return at + timedelta(minutes=2)


def _chance(life: Life, before: Standing, at: datetime) -> float:
    if before.card is None:
        return 0.5
    card = Card.from_json(before.card)
    forecast = SCHEDULER.get_card_retrievability(card, at)
    # Within a day the scheduler forecasts nothing: people are then still learning.
    return forecast * life.recall if (at - card.last_review).days else 0.7


def _runs(life: Life, joined: datetime) -> list[dict]:
    """Two or three runs of one bench, better each time."""
    points = life.random.randint(20, 60)
    return [
        {
            "public_id": str(uuid.UUID(int=life.random.getrandbits(128))), "person_id": life.number, "bench": "beam",
            "version": 1, "fixed": "{}", "system": "us", "sheet_version": 1, "digest": "0" * 64, "lesson": None,
            "given_id": None, "started_at": joined + timedelta(days=run),
            "ended_at": joined + timedelta(days=run, hours=1),
            "points": min(100, points + run * life.random.randint(0, 25)), "passed": False, "failed": False,
        }
        for run in range(life.random.randint(1, 3))
    ]  # fmt: skip
