"""What is kept of one person's exam: with the secret and the answers it replays every instance and the score."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from trainer.benches.frame import NoTask
from trainer.exams.bench_slots import NoBench, Tasks, mark_of_bench, task_key
from trainer.exams.comparing import Comparison, Find, Scale, average_target, form_target, nearest_form
from trainer.exams.drawn import Draws, new_task
from trainer.exams.forms import Form, Pool, Shortfall, Slot, assemble_form, shortfalls
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import AreaRule, Mark, Result, Rules, rules_of, score
from trainer.exams.setting import Setting
from trainer.exams.sitting import GivenAnswer
from trainer.language.draws import Instance, NoInstance, replay
from trainer.language.grading import grade, read_answer
from trainer.quantities.dimensions import Language, System

__all__ = [
    "Find", "Paper", "Setting", "instance_of", "mark_of", "paper_document", "read_paper", "score_paper", "set_paper",
]  # fmt: skip


@dataclass(frozen=True)
class Paper:
    """A form, what it is scored by, and the site's values that each question's numbers hang on [SI].

    comparison: how hard it was expected to be beside the target; None where that was not kept yet
    cut_from: public id of the panel that set the cut; None where it is the scheme file's own
    """

    minutes: int
    exam_months: int
    system: System
    rules: Rules
    form: Form
    site: Mapping[int, Mapping[str, float]]
    comparison: Comparison | None = None
    cut_from: str | None = None

    def slot(self, number: int) -> Slot | None:
        """The slot of a number."""
        return next((slot for slot in self.form.slots if slot.number == number), None)


def set_paper(
    scheme: Scheme, pool: Pool, find: Find, secret: bytes, setting: Setting
) -> Paper | tuple[Shortfall, ...] | NoBench:
    """The paper of one attempt, or the areas that lack questions; what this site cannot draw is passed over.

    A bench is never passed over, for the scheme names it: where the sheet gives it no task there is no paper.
    """
    maker = _Maker(scheme, pool, find, secret, setting)
    barred, spent = set(setting.barred), set[str]()
    while True:
        short = shortfalls(scheme, pool, barred)
        if short:
            return short
        if shortfalls(scheme, pool, barred | spent):
            spent.clear()
        form, comparison = maker.choose(barred | spent)
        drawn = Draws(find, secret, setting).every(form)
        rest = maker.resting(form, drawn.repeated.values(), barred | spent)
        if drawn.undrawable or rest:
            barred |= drawn.undrawable
            spent |= rest
            continue
        whole = _with_tasks(Form(drawn.slots), secret, setting)
        if isinstance(whole, NoBench):
            return whole
        again = (slot.number for slot in whole.slots if slot.bench and task_key(slot) in setting.had)
        repeated = tuple(sorted((*drawn.repeated, *again)))
        return Paper(
            scheme.minutes, scheme.exam_months, setting.system, rules_of(scheme), whole, drawn.site,
            replace(comparison, repeated=repeated), setting.cut_from,
        )  # fmt: skip


@dataclass(frozen=True)
class _Maker:
    """What the choice of one attempt's questions hangs on."""

    scheme: Scheme
    pool: Pool
    find: Find
    secret: bytes
    setting: Setting

    def choose(self, barred: set[str]) -> tuple[Form, Comparison]:
        """The form: as hard as the target, and not like the forms beside it."""
        setting, scale = self.setting, Scale(self.find, self.setting.ratings)
        if setting.reference is not None:
            target = form_target(self.scheme, setting.reference, scale)
        else:
            target = average_target(self.scheme, self.pool, scale, barred)

        def assemble(label: str) -> Form:
            return assemble_form(self.scheme, self.pool, self.secret, label, seen=setting.seen, barred=barred)

        return nearest_form(assemble, setting.label, target, scale, setting.neighbours)

    def resting(self, form: Form, repeated: Iterable[str], barred: set[str]) -> set[str]:
        """Of questions that have nothing new, those that can be done without: skill and area have enough others."""
        rest: set[str] = set()
        for name in repeated:
            out = barred | rest | {name}
            skill = next(slot.skill for slot in form.slots if slot.question == name)
            slots = sum(slot.skill == skill and slot.bench is None for slot in form.slots)
            left = sum(one.id not in out for one in self.pool.by_skill.get(skill, ()))
            if left >= slots and not shortfalls(self.scheme, self.pool, out):
                rest.add(name)
        return rest


def _with_tasks(form: Form, secret: bytes, setting: Setting) -> Form | NoBench:
    """The form with each bench's task settled: one that this person did not have before, where there is one."""
    slots: list[Slot] = []
    for slot in form.slots:
        if slot.bench is None:
            slots.append(slot)
            continue
        try:
            slots.append(new_task(slot, setting, secret))
        except NoTask as none:
            return NoBench(slot.bench, none.why)
    return Form(tuple(slots))


def instance_of(paper: Paper, slot: Slot, find: Find, secret: bytes) -> Instance | None:
    """The instance of a slot, drawn again; None when its question is no longer the one that was asked."""
    question = find(slot.question, slot.fingerprint)
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

    A slot on trial is not looked at: whatever became of its question, the result stands.
    tasks: gives the task of a bench's slot, or None where it is no longer the one of then
    """
    marks: dict[int, Mark] = {}
    for slot in paper.form.scored:
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
    kept: dict[str, Any] = {} if paper.cut_from is None else {"cut_from": paper.cut_from}
    if paper.comparison is not None:
        kept["comparison"] = _comparison_document(paper.comparison)
    return kept | {
        "exam_months": paper.exam_months,
        "minutes": paper.minutes,
        "rules": {"areas": [asdict(area) for area in paper.rules.areas], "cut": paper.rules.cut},
        "slots": [_slot_document(paper, slot) for slot in paper.form.slots],
        "system": paper.system,
    }


def _slot_document(paper: Paper, slot: Slot) -> dict[str, Any]:
    """A slot with what it hangs on: a bench's fixed options, a question's values of the site.

    Only a slot on trial says so: a form without one reads as it did before there were any.
    """
    facts = asdict(slot)
    if not slot.pilot:
        del facts["pilot"]
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
        comparison=_read_comparison(document.get("comparison")),
        cut_from=document.get("cut_from"),
    )


def _comparison_document(found: Comparison) -> dict[str, Any]:
    return vars(found) | {"repeated": list(found.repeated)}


def _read_comparison(document: Mapping[str, Any] | None) -> Comparison | None:
    return None if document is None else Comparison(**{**document, "repeated": tuple(document["repeated"])})
