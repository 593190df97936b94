"""A person's exams as trainers and managers see them: tries, what a fail still asks for, what tries do to a pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.access.members import Member
from trainer.acts.exams import may_start_now
from trainer.exams.retakes import inflation
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import Sitting
from trainer.records.database import Session
from trainer.records.queries import exams as queries
from trainer.web import exam_words
from trainer.web.cuts import scheme_now
from trainer.web.house import house, now
from trainer.web.words import gettext, language

BORDER = 0.10  # below the share that the cut asks for: somebody who should not pass


@dataclass(frozen=True)
class TriesLine:
    """One scheme's exams of a person.

    exams: the public id, the moment and the outcome of each; again: what a fail still asks for, empty for nothing
    model: what several tries do to a pass
    """

    title: str
    exams: tuple[tuple[str, str, str], ...]
    again: str
    model: str


def tries_lines(db: Session, who: Member) -> list[TriesLine]:
    """The schemes of which a person sat an exam. Two or three statements a scheme, one beside."""
    history = queries.history(db, who.id)
    sat = {one.scheme for one in history}
    return [_line(db, one, history, who) for one in house().schemes.values() if one.id in sat]


def _line(db: Session, scheme: Scheme, history: Sequence[Sitting], who: Member) -> TriesLine:
    scheme, _ = scheme_now(db, scheme)
    mine = [one for one in history if one.scheme == scheme.id]
    may = may_start_now(db, scheme, history, who.id, now())
    return TriesLine(
        scheme.title.say(language()),
        tuple(
            (one.public_id, exam_words.at_moment(one.started_at, who.time_zone), _how(one)) for one in mine
        ),
        exam_words.say_again(may, house().bank),
        _model(scheme),
    )


def _how(one: Sitting) -> str:
    return gettext("Still open") if one.ended_at is None else exam_words.outcome(one.passed)


def _model(scheme: Scheme) -> str:
    """Of 100 people who know a little less than the cut asks for, how many pass after one try and after all."""
    share = max(0.0, scheme.cut / scheme.items - BORDER)
    tries = scheme.tries.most
    [row] = inflation([share], scheme.items, scheme.cut, tries)
    return gettext(
        "Of 100 people who know %(share)s %% of what is asked, %(one)s pass at once and %(all)s within %(tries)s tries."
    ) % {
        "share": round(share * 100), "one": round(row.of_hundred[0]), "all": round(row.of_hundred[-1]), "tries": tries,
    }  # fmt: skip
