"""Starting an exam, answering, submitting, closing what is overdue; an answer is on disk before it is acknowledged."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache, partial
from typing import Any

import rfc8785
from sqlalchemy import insert, select

from trainer.access.members import Member
from trainer.access.sessions import SignedIn, still_stands
from trainer.acts import schemes
from trainer.acts.key_sheets import keep_key_sheet
from trainer.acts.transaction import SYSTEM, Act, act, act_together
from trainer.certificates.states import months_later
from trainer.exams.bench_slots import NoBench, Tasks, bench_of, task_of_slot
from trainer.exams.forms import Slot
from trainer.exams.invigilation import Request, admission_reasons, deadline_with
from trainer.exams.key_sheet import key_sheet
from trainer.exams.paper import Paper, Setting, paper_document, read_paper, score_paper, set_paper
from trainer.exams.remedial import owed_after
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import Result, result_document
from trainer.exams.sitting import (
    HIGHEST_REVISION,
    Arrival,
    ClosedBy,
    GivenAnswer,
    MayStart,
    Receipt,
    Sitting,
    ends_at,
    is_up,
    judge_answer,
    may_start,
    place_reasons,
)
from trainer.exams.trial import with_trials
from trainer.language.loading import Bank
from trainer.records.database import Database, Session
from trainer.records.log import moment_text
from trainer.records.queries import exams as queries
from trainer.records.queries import learning, measuring, people, questions, statistics, trials
from trainer.records.queries import sitting as sittings
from trainer.records.tables import Exam, ExamAnswer, ExamRequest
from trainer.sites.said import Said
from trainer.sites.sheet import SiteSheet

# Built once: answers come often, and building a statement costs as much as running it.
_KEPT = insert(ExamAnswer.__table__)  # type: ignore[arg-type]
SheetValues = Callable[[int, int], Mapping[str, float]]
Sheet = Callable[[int, int], SiteSheet]


@dataclass(frozen=True)
class ExamTools:
    """What exams need beside the database; of a site at a sheet version: its values [SI], and the sheet itself."""

    bank: Bank
    schemes: Mapping[str, Scheme]
    secret: bytes
    sheet_values: SheetValues
    sheet: Sheet


@dataclass(frozen=True)
class Started:
    """The exam that was started, or every reason why none was; said: what the sheet lacks for a bench."""

    public_id: str | None
    refused: tuple[str, ...] = ()
    not_before: datetime | None = None
    said: Said | None = None


@dataclass(frozen=True)
class Submitted:
    """Whether the exam is closed now; if not, why not."""

    closed: bool
    refused: tuple[str, ...] = ()


def start(
    database: Database,
    *,
    member: Member,
    scheme_id: str,
    tools: ExamTools,
    now: datetime,
    place: str | None = None,
    trial: bool = True,
) -> Started:
    """Start an exam: set its paper, fix its deadline with the extra time that was granted, bind it to a place.

    place: digest of the browser; an invigilator must have confirmed the person there where the scheme asks for one
    trial: whether questions on trial may be among the others; not where the person was not told so before
    """
    scheme = tools.schemes.get(scheme_id)
    if scheme is None:
        return Started(None, ("exam.unknown_scheme",))
    with act(database, now) as this:
        history = queries.history(this.db, member.id)
        may = may_start_now(this.db, scheme, history, member.id, now)
        request = sittings.newest_request(this.db, member.id, scheme.id, "start")
        against = (
            *may.reasons,
            *admission_reasons(scheme, request, place, now),
            *schemes.version_reasons(this.db, scheme, member, now),
        )
        if against:
            return Started(None, against, may.not_before)
        sheet = people.sheet_in_force(this.db, member.site_id)
        if sheet is None:
            return Started(None, ("exam.no_sheet",))
        bank = questions.bank_at(this.db, tools.bank, member.site_id, pilots=False)
        flagged = statistics.out_of_use(this.db, member.site_id, bank)
        papers = [(one.scheme, paper_of(one)) for one in history]
        seen = frozenset(slot.question for _, paper in papers for slot in paper.form.slots)
        public_id = str(uuid.uuid4())
        setting = Setting(
            values=tools.sheet_values(member.site_id, sheet.version),
            system=member.system,
            label=f"exam|{member.public_id}|{public_id}",
            seen=seen,
            barred=measuring.kept_out(this.db, member.site_id, sheet.version, bank) | flagged,
            sheet=partial(tools.sheet, member.site_id, sheet.version),
        )
        past = schemes.Past(papers, bank.find, tools.secret)
        setting = schemes.with_past(this.db, setting, past, scheme, member)
        scheme, setting = schemes.with_panel(this.db, scheme, setting, member.site_id, now)
        paper = set_paper(scheme, bank, bank.find, tools.secret, setting)
        if isinstance(paper, NoBench):
            return Started(None, ("exam.no_bench_task",), said=paper.why)
        if not isinstance(paper, Paper):
            return Started(None, ("exam.too_few_unflagged" if flagged else "exam.too_few_questions",))
        asked = trial and scheme.trial_places
        waiting = trials.on_trial(this.db, member.site_id, member.public_id) if asked else []
        paper = with_trials(paper, scheme, waiting, tools.secret, setting)
        extra = sittings.allowance_in_force(this.db, member.id)
        allowance = extra.factor if extra else None
        row = Exam(
            public_id=public_id,
            person_id=member.id,
            scheme=scheme.id,
            scheme_version=scheme.version,
            sheet_version=sheet.version,
            form=rfc8785.dumps(paper_document(paper)).decode("utf-8"),
            system=member.system,
            started_at=now,
            deadline=deadline_with(now, paper.minutes, allowance),
            place=place,
            allowance=allowance,
        )
        this.db.add(row)
        schemes.freeze_at_first_use(this, tools.schemes[scheme_id], member)
        admitted = request if scheme.invigilated else None
        if admitted is not None:
            _use(this, admitted, row)
        _log_start(this, member, row, admitted)
        return Started(public_id)


def may_start_now(
    db: Session, scheme: Scheme, history: Sequence[Sitting], person_id: int, now: datetime
) -> MayStart:
    """Whether a person may start an exam now, with what they did in practice. One or two statements."""
    standings = learning.standings(db, person_id)
    mastered = {one.skill for one in standings.values() if one.mastered_at is not None}
    owed = owed_after(scheme, history)
    again = owed.left(learning.right_alone_since(db, person_id, owed.since)) if owed else {}
    return may_start(scheme, history, mastered, now, again)


def _use(this: Act, request: Request, row: Exam) -> None:
    """A confirmation is good for one start."""
    this.db.flush()
    used = this.db.get_one(ExamRequest, request.id)
    used.used_at, used.exam_id = this.now, row.id


def _log_start(this: Act, member: Member, row: Exam, admitted: Request | None) -> None:
    this.log(
        "exam.started",
        by=member.public_id,
        about=member.public_id,
        exam=row.public_id,
        scheme=row.scheme,
        version=row.scheme_version,
        sheet=row.sheet_version,
        deadline=moment_text(row.deadline),
        form_sha256=sha256_of(row.form),
        request=admitted.public_id if admitted else None,
    )


def answer(
    database: Database,
    *,
    member: Member,
    public_id: str,
    slot: int,
    revision: int,
    text: str,
    language: str,
    now: datetime,
    place: str | None = None,
    known: Sitting | None = None,
    session: SignedIn | None = None,
) -> Receipt:
    """Keep one revision of an answer. When this returns an acceptance, it is on disk; a repeat changes nothing.

    known: the exam as it was at any earlier moment, where the caller has it; reading it whole again is dear
    session: the session that sends it, where nobody has asked the records about it yet
    """
    arrival = Arrival(member.id, slot, revision, text, now, place)

    def work(this: Act) -> Receipt:
        earlier = known or queries.sitting(this.db, public_id)
        found = _live(this, earlier, arrival, session) if earlier else None
        return (
            Receipt(False, reasons=("exam.unknown",))
            if found is None
            else _judge(this, found, arrival, language, session)
        )

    return act_together(database, now, work)


def _live(this: Act, known: Sitting, arrival: Arrival, session: SignedIn | None) -> queries.Live | None:
    # A number that no slot or revision has is asked for as 0, which none has: it may be larger than a column holds.
    storable = 1 <= arrival.slot <= HIGHEST_REVISION and 1 <= arrival.revision <= HIGHEST_REVISION
    asked = (arrival.slot, arrival.revision) if storable else (0, 0)
    return queries.live_and_revision(this.db, known, *asked, session.tablet_id if session else None)


def _judge(
    this: Act, found: queries.Live, arrival: Arrival, language: str, session: SignedIn | None
) -> Receipt:
    sitting = found.sitting
    if session is not None and not still_stands(session, found.stands):
        return Receipt(False, reasons=("exam.signed_out",))
    slots = {one.number: one for one in paper_of(sitting).form.slots}
    asked = slots.get(arrival.slot)
    if sitting.person_id == arrival.person_id and asked is not None and asked.bench:
        return Receipt(False, reasons=("exam.bench_slot",))
    receipt = judge_answer(sitting, slots, found.kept, arrival)
    if receipt.accepted and not receipt.repeated:
        _keep(this, sitting, GivenAnswer(arrival.slot, arrival.revision, arrival.text, language))
    return receipt


def keep_revision(this: Act, sitting: Sitting, given: GivenAnswer) -> None:
    """Write one revision of an answer; whoever calls this logs it too."""
    row = {
        "exam_id": sitting.id,
        "slot": given.slot,
        "revision": given.revision,
        "answer": given.text,
        "language": given.language,
        "received_at": this.now,
    }
    this.db.connection().execute(_KEPT, row)


def _keep(this: Act, sitting: Sitting, given: GivenAnswer) -> None:
    keep_revision(this, sitting, given)
    # The text stays as typed: "4.20" and 4.2 are different evidence.
    this.log(
        "exam.answered",
        by=sitting.person_public_id,
        about=sitting.person_public_id,
        exam=sitting.public_id,
        slot=given.slot,
        revision=given.revision,
        answer=given.text,
        typed_in=given.language,
        sha256=sha256_of(given.text),
    )


def submit(
    database: Database,
    *,
    member: Member,
    public_id: str,
    tools: ExamTools,
    now: datetime,
    place: str | None = None,
) -> Submitted:
    """Close an exam and score it, in one transaction. A second press finds it closed and changes nothing."""
    with act(database, now) as this:
        sitting = queries.sitting(this.db, public_id)
        if sitting is None:
            return Submitted(False, ("exam.unknown",))
        if sitting.person_id != member.id:
            return Submitted(False, ("exam.not_yours",))
        if sitting.ended_at is not None:
            return Submitted(True)
        up = is_up(sitting, now)
        against = () if up else place_reasons(sitting, place, now)
        if against:
            return Submitted(False, against)
        _close(this, sitting, tools, "deadline" if up else "person")
        return Submitted(True)


def close_overdue(database: Database, tools: ExamTools, now: datetime) -> list[str]:
    """Close and score every exam whose time is up; gives their public ids. Several sweepers at once do no harm."""
    with database.reading() as db:
        overdue = queries.overdue(db, now)
    return [public_id for public_id in overdue if _sweep(database, public_id, tools, now)]


def _sweep(database: Database, public_id: str, tools: ExamTools, now: datetime) -> bool:
    with act(database, now) as this:
        sitting = queries.sitting(this.db, public_id)
        # Read again under the write lock: another sweeper, or the person, may have been first.
        if sitting is None or sitting.ended_at is not None or not is_up(sitting, now):
            return False
        _close(this, sitting, tools, "deadline")
        return True


def _close(this: Act, sitting: Sitting, tools: ExamTools, by: ClosedBy) -> None:
    paper = paper_of(sitting)
    answers, tasks = queries.standing_answers(this.db, sitting.id), tasks_of(sitting, tools)
    result = score_paper(paper, answers, tools.bank.find, tools.secret, tasks)
    keys = key_sheet(paper, answers, tools.bank.find, tools.secret, tasks)
    row = this.db.scalars(select(Exam).where(Exam.id == sitting.id)).one()
    row.submitted_at = min(this.now, ends_at(sitting, this.now))
    row.closed_by, row.right, row.passed = by, result.right, result.passed
    row.result = canonical_result(result)
    if result.passed:
        row.valid_until = months_later(row.submitted_at, paper.exam_months, sitting.time_zone)
    this.log(
        "exam.closed",
        by=sitting.person_public_id if by == "person" else SYSTEM,
        about=sitting.person_public_id,
        exam=sitting.public_id,
        closed_by=by,
        ended=moment_text(row.submitted_at),
        right=result.right,
        items=result.items,
        passed=result.passed,
        result_sha256=sha256_of(row.result),
        key_sheet_sha256=keep_key_sheet(this, row.id, row.public_id, keys),
    )


def paper_of(sitting: Sitting) -> Paper:
    """The paper that an exam keeps."""
    return _paper(sitting.form)


@lru_cache(maxsize=1024)
def _paper(form: str) -> Paper:
    """A paper never changes once it is set, and every answer to it asks for it."""
    return read_paper(json.loads(form))


def tasks_of(sitting: Sitting, tools: ExamTools) -> Tasks:
    """What gives the tasks of an exam's benches, or None for one that was changed."""
    place = (sitting.site_id, sitting.sheet_version)

    def task(slot: Slot) -> Any | None:
        # The version is looked at each time; the rest of a task never changes while a program runs.
        if bench_of(slot) is None:
            return None
        return _task(sitting.form, slot.number, tools.sheet, place, tools.secret)

    return task


@lru_cache(maxsize=256)
def _task(form: str, number: int, sheet: Sheet, place: tuple[int, int], secret: bytes) -> Any | None:
    """Kept in memory, for every act asks for it under the write lock."""
    paper = _paper(form)
    slot = paper.slot(number)
    return task_of_slot(slot, sheet(*place), secret, paper.system) if slot else None


def canonical_result(result: Result) -> str:
    """A result as canonical JSON (RFC 8785)."""
    return rfc8785.dumps(result_document(result)).decode("utf-8")


def sha256_of(text: str) -> str:
    """What the log keeps of a text beside it, or in its place."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
