"""What is kept of one person's exam: with the secret and the answers it replays every instance and the score."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from trainer.benches.frame import NoTask
from trainer.exams.bench_slots import NoBench, Tasks, mark_of_bench, with_task
from trainer.exams.forms import Form, Pool, Shortfall, Slot, assemble_form, shortfalls
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import AreaRule, Mark, Result, Rules, rules_of, score
from trainer.exams.sitting import GivenAnswer
from trainer.language.draws import Instance, NoInstance, draw, replay
from trainer.language.grading import grade, read_answer
from trainer.language.questions import Question
from trainer.quantities.dimensions import Language, System
from trainer.sites.sheet import SiteSheet

Find = Callable[[str], Question | None]


@dataclass(frozen=True)
class Paper:
    """A form, what it is scored by, and the site's values that each question's numbers hang on [SI]."""

    minutes: int
    exam_months: int
    system: System
    rules: Rules
    form: Form
    site: Mapping[int, Mapping[str, float]]

    def slot(self, number: int) -> Slot | None:
        """The slot of a number."""
        return next((slot for slot in self.form.slots if slot.number == number), None)


@dataclass(frozen=True)
class Setting:
    """For whom a form is set: the site's values, the unit system, the attempt's label, questions met before.

    barred: questions that do not hold with this site's numbers
    sheet: the site's sheet; asked for only where a scheme has benches
    """

    values: Mapping[str, float]
    system: System
    label: str
    seen: frozenset[str] = frozenset()
    barred: frozenset[str] = frozenset()
    sheet: Callable[[], SiteSheet] = field(kw_only=True)


def set_paper(
    scheme: Scheme, pool: Pool, find: Find, secret: bytes, setting: Setting
) -> Paper | tuple[Shortfall, ...] | NoBench:
    """The paper of one attempt, or the areas that lack questions; what this site cannot draw is passed over.

    A bench is never passed over, for the scheme names it: where the sheet gives it no task there is no paper.
    """
    barred = set(setting.barred)
    while True:
        short = shortfalls(scheme, pool, barred)
        if short:
            return short
        form = assemble_form(scheme, pool, secret, setting.label, seen=setting.seen, barred=barred)
        site, undrawable = _draw_all(form, find, secret, setting)
        if not undrawable:
            whole = _with_tasks(form, secret, setting)
            if isinstance(whole, NoBench):
                return whole
            return Paper(scheme.minutes, scheme.exam_months, setting.system, rules_of(scheme), whole, site)
        barred |= undrawable


def _with_tasks(form: Form, secret: bytes, setting: Setting) -> Form | NoBench:
    """The form with each bench's task settled."""
    slots: list[Slot] = []
    for slot in form.slots:
        if slot.bench is None:
            slots.append(slot)
            continue
        try:
            slots.append(with_task(slot, setting.sheet(), secret, setting.system))
        except NoTask as none:
            return NoBench(slot.bench, none.why)
    return Form(tuple(slots))


def _draw_all(
    form: Form, find: Find, secret: bytes, setting: Setting
) -> tuple[dict[int, Mapping[str, float]], set[str]]:
    """The site's values that each question used, and the questions that give no instance here."""
    site: dict[int, Mapping[str, float]] = {}
    undrawable: set[str] = set()
    for slot in form.slots:
        if slot.bench is not None:
            continue
        question = find(slot.question)
        try:
            assert question is not None
            instance = draw(question, setting.values, secret, slot.label, setting.system)
            site[slot.number] = instance.record()["site"]
        except NoInstance:
            undrawable.add(slot.question)
    return site, undrawable


def instance_of(paper: Paper, slot: Slot, find: Find, secret: bytes) -> Instance | None:
    """The instance of a slot, drawn again; None when its question is no longer the one that was asked."""
    question = find(slot.question)
    if question is None:
        return None
    record = {
        "fingerprint": slot.fingerprint,
        "system": paper.system,
        "label": slot.label,
        "site": paper.site[slot.number],
    }
    try:
        return replay(question, record, secret)
    except NoInstance:
        return None


def score_paper(
    paper: Paper, answers: Mapping[int, GivenAnswer], find: Find, secret: bytes, tasks: Tasks
) -> Result:
    """The result from what was answered; an empty answer was not reached, a changed question is never guessed at.

    tasks: gives the task of a bench's slot, or None where it is no longer the one of then
    """
    marks: dict[int, Mark] = {}
    for slot in paper.form.slots:
        given = answers.get(slot.number)
        if slot.bench is None:
            mark = _mark(instance_of(paper, slot, find, secret), given)
        else:
            mark = mark_of_bench(slot, tasks(slot), given.text if given else "")
        if mark is not None:
            marks[slot.number] = mark
    return score(paper.rules, paper.form, marks)


def _mark(instance: Instance | None, given: GivenAnswer | None) -> Mark | None:
    if instance is None:
        return "changed"
    return mark_of(instance, given) if given is not None and given.text else None


def mark_of(instance: Instance, given: GivenAnswer) -> Mark:
    """How an answer is marked, read in the language it was typed in."""
    language: Language = "es" if given.language == "es" else "en"
    verdict = grade(instance, read_answer(instance.question, given.text), language)
    if verdict.right:
        return "right"
    return "unreadable" if verdict.kind == "unreadable" else "wrong"


def paper_document(paper: Paper) -> dict[str, Any]:
    """The paper as plain values, for JSON."""
    return {
        "exam_months": paper.exam_months,
        "minutes": paper.minutes,
        "rules": {"areas": [asdict(area) for area in paper.rules.areas], "cut": paper.rules.cut},
        "slots": [_slot_document(paper, slot) for slot in paper.form.slots],
        "system": paper.system,
    }


def _slot_document(paper: Paper, slot: Slot) -> dict[str, Any]:
    """A slot with what it hangs on: a bench's fixed options, a question's values of the site."""
    facts = asdict(slot)
    if slot.bench is None:
        del facts["fixed"]
        facts["site"] = dict(paper.site[slot.number])
    return facts


def read_paper(document: Mapping[str, Any]) -> Paper:
    """The paper of what `paper_document` gave."""
    slots = [
        Slot(**{name: value for name, value in one.items() if name != "site"}) for one in document["slots"]
    ]
    rules = document["rules"]
    return Paper(
        minutes=document["minutes"],
        exam_months=document["exam_months"],
        system=document["system"],
        rules=Rules(rules["cut"], tuple(AreaRule(**area) for area in rules["areas"])),
        form=Form(tuple(slots)),
        site={one["number"]: one["site"] for one in document["slots"] if "site" in one},
    )
