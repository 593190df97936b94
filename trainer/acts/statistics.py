"""Looking at how a site's questions do: marks of exams, the look itself, flags, and what people decide about them."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime, timedelta

import rfc8785
from sqlalchemy import select

from trainer.access.members import Member
from trainer.acts.exams import ExamTools, paper_of
from trainer.acts.free_text import digest, too_long
from trainer.acts.transaction import SYSTEM, Act, act
from trainer.exams.answered import slot_answers
from trainer.exams.question_review import Review, Reviewed, look, review_document
from trainer.records.database import Database
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import people, questions
from trainer.records.queries import statistics as queries
from trainer.records.queries.statistics import Flag
from trainer.records.tables import ExamMark, QuestionFlag, QuestionReview

EVERY = timedelta(hours=24)  # at most so often by itself
AGAIN = 2  # a question that was kept is flagged again only once its answers are so many times as many
DECISIONS = ("kept", "out")


def keep_marks(database: Database, tools: ExamTools, now: datetime) -> int:
    """Keep what the answers of closed exams came to, where that was not done yet; gives for how many exams."""
    with database.reading() as db:
        waiting = queries.unmarked(db)
    return sum(_mark(database, public_id, tools, now) for public_id in waiting)


def _mark(database: Database, public_id: str, tools: ExamTools, now: datetime) -> bool:
    with database.reading() as db:
        sitting = exam_queries.sitting(db, public_id)
        assert sitting is not None
        given = exam_queries.standing_answers(db, sitting.id)
    told = slot_answers(paper_of(sitting), given, tools.bank.find, tools.secret)
    with act(database, now) as this:
        if this.db.scalar(select(ExamMark.id).where(ExamMark.exam_id == sitting.id).limit(1)) is not None:
            return False  # another one was first
        this.db.add_all(ExamMark(exam_id=sitting.id, **asdict(one)) for one in told)
        return bool(told)


def look_over_questions(database: Database, *, site_id: int, tools: ExamTools, now: datetime) -> Review:
    """Look at a site's questions now, keep what was seen and flag what has to leave scored use.

    Only keeping it holds the writing lock: the look itself may take seconds.
    """
    keep_marks(database, tools, now)
    with database.reading() as db:
        bank = questions.bank_at(db, tools.bank, site_id, pilots=False)
        seen = look(
            queries.material(db, site_id, bank, now), bank, queries.on_trial(db, site_id), tools.schemes, now
        )
    text = rfc8785.dumps(review_document(seen)).decode("utf-8")
    with act(database, now) as this:
        there = this.db.scalar(
            select(QuestionReview.id).where(QuestionReview.site_id == site_id, QuestionReview.at == now)
        )
        if there is not None:
            return seen  # two looks at the same moment see the same
        this.db.add(QuestionReview(site_id=site_id, at=now, answers=seen.answers, document=text))
        earlier = queries.by_question(queries.flags(this.db, site_id))
        raised = [one for one in seen.questions if _is_new(one, earlier.get(one.question, []))]
        for one in raised:
            _raise(this, site_id, one)
        this.log(
            "questions.looked_at",
            by=SYSTEM,
            about=f"site:{site_id}",
            answers=seen.answers,
            flagged=len(raised),
        )
    return seen


def _is_new(one: Reviewed, earlier: list[Flag]) -> bool:
    """Whether a question is to be flagged: it misbehaves in scored use, and nobody has judged these answers yet."""
    if one.judgement.judged.verdict != "out" or one.on_trial:
        return False
    same = [flag for flag in earlier if flag.version == one.version]
    if not same:
        return True
    return same[0].decision == "kept" and one.judgement.figures.right.of >= AGAIN * same[0].answers


def _raise(this: Act, site_id: int, one: Reviewed) -> None:
    reasons = [asdict(reason) for reason in one.judgement.judged.reasons]
    answers = one.judgement.figures.right.of
    this.db.add(
        QuestionFlag(
            site_id=site_id, question=one.question, version=one.version, raised_at=this.now, answers=answers,
            reasons=rfc8785.dumps(reasons).decode("utf-8"), note="",
        )
    )  # fmt: skip
    this.log(
        "question.flagged", by=SYSTEM, about=f"site:{site_id}", question=one.question, version=one.version,
        answers=answers, reasons=", ".join(reason["key"] for reason in reasons),
    )  # fmt: skip


def look_where_due(database: Database, tools: ExamTools, now: datetime) -> list[int]:
    """Look at each site's questions once a day where there are new answers; gives the sites."""
    with database.reading() as db:
        last = queries.last_looks(db)
        due = [
            site_id
            for site_id, _ in people.sites(db)
            if now - last.get(site_id, now - EVERY) >= EVERY
            and queries.new_answers(db, site_id, last.get(site_id)) > 0
        ]
    for site_id in due:
        look_over_questions(database, site_id=site_id, tools=tools, now=now)
    return due


def decide(
    database: Database, *, member: Member, flag_id: int, decision: str, note: str, now: datetime
) -> tuple[str, ...]:
    """Decide on a flag: `kept` puts the question back into scored use, `out` leaves it out; gives why not, or nothing.

    Who wrote on a site's own question does not decide on it.
    """
    with act(database, now) as this:
        row = this.db.get(QuestionFlag, flag_id)
        if row is None or row.site_id != member.site_id or decision not in DECISIONS:
            return ("flag.unknown",)
        own = questions.own_question(this.db, member.site_id, row.question)
        wrote = own is not None and member.public_id in own.life.authors.get(row.version, frozenset())
        stands = {
            "flag.decided": row.decision is not None,
            "flag.own_work": wrote,
            "flag.say_why": not note.strip(),
        }
        reasons = (*(key for key, holds in stands.items() if holds), *too_long(note))
        if reasons:
            return reasons
        row.decision, row.decided_at, row.person_id, row.note = decision, now, member.id, note.strip()
        this.log(
            f"question.flag_{decision}", by=member.public_id, about=f"site:{member.site_id}",
            question=row.question, version=row.version, said=digest(row.note),
        )  # fmt: skip
        return ()
