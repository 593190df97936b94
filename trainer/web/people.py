"""People: where each learner stands, who is stuck and on what slip."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from flask import Blueprint, abort, render_template

from trainer.access.members import Member
from trainer.access.rights import may
from trainer.acts import learning as acts
from trainer.language.grading import grade
from trainer.learning.choosing import Stage, next_thing
from trainer.records.queries import benches, people
from trainer.records.queries import learning as queries
from trainer.records.queries.learning import ShownDrill
from trainer.web import words
from trainer.web.benches import run_line
from trainer.web.dates import moment_words
from trainer.web.exam_tries import tries_lines
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.practise import tools
from trainer.web.progress import Progress, TopicLine, next_words, plans, proven_words
from trainer.web.train import ready_for_practical
from trainer.web.words import gettext, ngettext

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trainer.learning.mastery import Standing

page = Blueprint("people", __name__)

SLIPS_SINCE = timedelta(days=30)
SLIPS_SHOWN = 2


@dataclass(frozen=True)
class SlipLine:
    """A slip that a person makes, with the reason in their own latest numbers."""

    skill: str
    because: str
    times: str


@dataclass(frozen=True)
class LearnerLine:
    """One learner on the trainer's page."""

    public_id: str
    name: str
    proven: int
    total: int
    words: str
    next: str
    slips: tuple[SlipLine, ...]


@page.get("/people")
@needs("train")
def everyone() -> str:
    """Where each learner stands, the most stuck first."""
    with reading() as db:
        members = [one for one in people.members(db, me().site_id) if one.role == "learner"]
        standings = queries.site_standings(db, me().site_id)
        read = queries.site_lessons_read(db, me().site_id)
        counts = queries.slips_since(db, me().site_id, now() - SLIPS_SINCE)
        latest = queries.latest_slips(db, me().site_id, now() - SLIPS_SINCE)
        waiting = ready_for_practical(db)
    lines = []
    for one in members:
        slips = [
            _slip(latest[key], one, count.times)
            for count in counts
            if count.person_id == one.id and (key := (one.id, count.question, count.slip)) in latest
        ]
        lines.append(
            _learner(one, standings.get(one.id, {}), read.get(one.id, set()), tuple(filter(None, slips)))
        )
    lines.sort(key=lambda line: (-len(line.slips), line.name))
    return render_template("people/everyone.html", learners=lines, waiting=waiting)


def _learner(
    one: Member, standings: Mapping[str, Standing], read: Collection[str], slips: tuple[SlipLine, ...]
) -> LearnerLine:
    language = words.language()
    topics = Progress(house().bank, house().lessons, read, standings, now()).topics(language)
    proven, total = sum(t.proven for t in topics), sum(t.total for t in topics)
    thing = next_thing(plans(house().lessons, house().bank), read, standings, Stage(), now())
    title, _ = next_words(thing, house().lessons, language)
    resting = {"rest": gettext("Everything is proven in practice."), "review": gettext("Reviews are due.")}
    next_line = resting.get(thing.kind, f"{gettext('Next')}: {title}")
    return LearnerLine(
        one.public_id, one.name, proven, total, proven_words(proven, total), next_line, slips[:SLIPS_SHOWN]
    )


def _slip(shown: ShownDrill, who: Member, times: int) -> SlipLine | None:
    instance = acts.instance_of(shown, who, tools())
    if instance is None or shown.answer is None:
        return None
    skill = house().bank.skill(shown.skill).title[words.language()]
    said = ngettext("%(num)d time in 30 days", "%(num)d times in 30 days", times) % {"num": times}
    return SlipLine(skill, grade(instance, shown.answer, words.language()).because, said)


@dataclass(frozen=True)
class DrillLine:
    """One answered drill."""

    when: str
    skill: str
    mark: str
    answer: str
    because: str


@page.get("/people/<public_id>")
@needs("train")
def person(public_id: str) -> str:
    """One learner: each skill, the latest answers and why they were wrong."""
    with reading() as db:
        who = people.member_by_public_id(db, public_id, me().site_id) or abort(404)
        standings = queries.standings(db, who.id)
        read = queries.lessons_read(db, who.id)
        drills = queries.recent_drills(db, who.id)
        runs = benches.runs_of(db, who.id)
        tries = tries_lines(db, who)
    topics: list[TopicLine] = Progress(house().bank, house().lessons, read, standings, now()).topics(
        words.language()
    )
    return render_template(
        "people/person.html",
        who=who,
        topics=topics,
        tries=tries,
        decides=may(me().role, "decide"),
        drills=[_drill(one, who) for one in drills],
        runs=[run_line(one) for one in runs if one.ended_at is not None],
    )


def _drill(shown: ShownDrill, who: Member) -> DrillLine:
    instance = acts.instance_of(shown, who, tools())
    verdict = grade(instance, shown.answer or "", words.language()) if instance is not None else None
    known = house().bank.skills.get(shown.skill)
    return DrillLine(
        when=moment_words(shown.answered_at or shown.shown_at),
        skill=known.title[words.language()] if known else shown.skill,
        mark=f"✓ {gettext('Right')}" if shown.right else f"✗ {gettext('Not yet')}",
        answer=verdict.said_back if verdict else shown.answer or "",
        because=verdict.because if verdict and not shown.right else "",
    )
