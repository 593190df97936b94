"""Grading an answer: right or not, of what sort it is wrong, and a reason with this person's own numbers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from trainer.language.admission import Reader
from trainer.language.draws import Instance
from trainer.language.number_grading import grade_number
from trainer.language.prose import plain_text
from trainer.language.questions import (
    ChoiceTask,
    MatchTask,
    NumberTask,
    Option,
    OrderTask,
    Question,
    SeveralTask,
    TableTask,
)
from trainer.language.rendering import Answer, Teller, holds, state_of
from trainer.language.sentences import say
from trainer.language.verdicts import Verdict, VerdictKind, unreadable
from trainer.quantities.dimensions import Language

LONGEST_ANSWER = 10_000


def grade(instance: Instance, answer: Answer, language: Language) -> Verdict:
    """The verdict on an answer; never raises for what a person can send.

    answer: number, a text as typed; choice, an option's id; several, ids; order, all ids in order; match, left id
    to right id; truth_table, row id to state id; or the text of `answer_text`. What has another form is told as
    unreadable and does not count.
    """
    tell = Teller(instance, language)
    if isinstance(answer, str):
        answer = read_answer(instance.question, answer)
    match instance.question.task:
        case NumberTask() as task:
            return grade_number(tell, task, answer if isinstance(answer, str) else "")
        case ChoiceTask() as task:
            return _choice(tell, task, answer)
        case SeveralTask() as task:
            return _several(tell, task, answer)
        case OrderTask() as task:
            return _order(tell, task, answer)
        case MatchTask() as task:
            return _match(tell, task, answer)
        case TableTask() as task:
            return _table(tell, task, answer)


def answer_text(answer: Answer) -> str:
    """The text in which an answer is kept: a typed number or a chosen id as it is, all else as JSON, keys sorted."""
    if isinstance(answer, str):
        return answer
    return json.dumps(answer, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def read_answer(question: Question, kept: str) -> Answer:
    """The answer of a kept text; what does not hold the question's form comes back as text, to be told unreadable."""
    if question.kind in ("number", "choice") or len(kept) > LONGEST_ANSWER:
        return kept
    try:
        found = json.loads(kept)
    except (ValueError, RecursionError):
        return kept
    return found if _strings(found) else kept


def _strings(found: object) -> bool:
    parts: Iterable[object] = ()
    if isinstance(found, dict):
        parts = found.values()
    elif isinstance(found, list):
        parts = found
    else:
        return False
    return all(isinstance(part, str) for part in parts)


def _choice(tell: Teller, task: ChoiceTask, answer: Answer) -> Verdict:
    chosen = next((option for option in task.options if option.id == answer), None)
    if chosen is None:
        return unreadable(say("choose_one", tell.language))
    right = holds(chosen, Reader(tell.instance.values, tell.instance.system))
    wrong_parts = () if right else (chosen.id,)
    said = plain_text(tell.html(chosen.text))
    return Verdict(right, "right" if right else "wrong", tell.html(chosen.because), said, None, wrong_parts)


def _several(tell: Teller, task: SeveralTask, answer: Answer) -> Verdict:
    chosen = _known(answer, [option.id for option in task.options])
    if not chosen:
        return unreadable(say("choose_some", tell.language))
    reader = Reader(tell.instance.values, tell.instance.system)
    wrong = [option for option in task.options if holds(option, reader) != (option.id in chosen)]
    said = plain_text("; ".join(tell.html(option.text) for option in task.options if option.id in chosen))
    if not wrong:
        reasons = [tell.html(option.because) for option in task.options if option.id in chosen]
        return Verdict(True, "right", "".join(reasons), said)
    reasons = [_one_of_several(tell, option, option.id in chosen) for option in wrong]
    hit = any(holds(option, reader) and option.id in chosen for option in task.options)
    ids = tuple(option.id for option in wrong)
    return Verdict(False, "partly" if hit else "wrong", "".join(reasons), said, None, ids)


def _one_of_several(tell: Teller, option: Option, chosen: bool) -> str:
    opening = say("chosen" if chosen else "left_out", tell.language, text=tell.html(option.text))
    return f"<p>{opening}</p>{tell.html(option.because)}"


def _known(answer: Answer, ids: Sequence[str]) -> list[str]:
    """The ids of a list answer; empty when it is no list of different known ids."""
    if not isinstance(answer, list) or not all(isinstance(one, str) for one in answer):
        return []
    return answer if len(set(answer)) == len(answer) and set(answer) <= set(ids) else []


def _order(tell: Teller, task: OrderTask, answer: Answer) -> Verdict:
    order = _known(answer, [item.id for item in task.items])
    if len(order) != len(task.items):
        return unreadable(say("order_all", tell.language))
    texts = {item.id: tell.html(item.text) for item in task.items}
    said = plain_text(" → ".join(texts[one] for one in order))
    broken = [pair for pair in task.before if order.index(pair.first) > order.index(pair.then)]
    if not broken:
        reasons = [tell.html(pair.because) for pair in task.before]
        return Verdict(True, "right", f"<p>{say('all_right', tell.language)}</p>{reasons[0]}", said)
    first = min(broken, key=lambda pair: (order.index(pair.then), order.index(pair.first)))
    opening = say("order", tell.language, first=texts[first.first], then=texts[first.then])
    reason = f"<p>{opening}</p>{tell.html(first.because)}"
    kind: VerdictKind = "partly" if len(broken) < len(task.before) else "wrong"
    return Verdict(False, kind, reason, said, None, (first.first, first.then))


def _match(tell: Teller, task: MatchTask, answer: Answer) -> Verdict:
    texts = {item.id: tell.html(item.text) for item in task.right}
    given = _complete(answer, [pair.id for pair in task.left], list(texts))
    if given is None:
        return unreadable(say("match_all", tell.language))
    lines, wrong = [], []
    for pair in task.left:
        left, right = tell.html(pair.text), texts[given[pair.id]]
        lines.append(f"{left} → {right}")
        if given[pair.id] != pair.goes:
            opening = say("matched", tell.language, left=left, right=right)
            wrong.append((pair.id, f"<p>{opening}</p>{tell.html(pair.because)}"))
    return _verdict_of_parts(tell, lines, wrong, tell.html(task.left[0].because))


def _table(tell: Teller, task: TableTask, answer: Answer) -> Verdict:
    texts = {state.id: tell.html(state.text) for state in task.states}
    given = _complete(answer, [row.id for row in task.rows], list(texts))
    if given is None:
        return unreadable(say("state_all", tell.language))
    reader = Reader(tell.instance.values, tell.instance.system)
    lines, wrong = [], []
    for row in task.rows:
        said, state = tell.html(row.text), texts[given[row.id]]
        lines.append(f"{said} → {state}")
        if given[row.id] != state_of(row, task, reader):
            opening = say("stated", tell.language, row=said, state=state)
            wrong.append((row.id, f"<p>{opening}</p>{tell.html(row.because)}"))
    return _verdict_of_parts(tell, lines, wrong, tell.html(task.rows[0].because))


def _complete(answer: Answer, keys: Sequence[str], values: Sequence[str]) -> dict[str, str] | None:
    """A mapping that gives a known value for every key and no other; else None."""
    if not isinstance(answer, dict) or set(answer) != set(keys):
        return None
    good = all(isinstance(value, str) and value in values for value in answer.values())
    return answer if good else None


def _verdict_of_parts(
    tell: Teller, lines: Sequence[str], wrong: Sequence[tuple[str, str]], because: str
) -> Verdict:
    said = plain_text("; ".join(lines))
    if not wrong:
        return Verdict(True, "right", f"<p>{say('all_right', tell.language)}</p>{because}", said)
    reasons = "".join(reason for _, reason in wrong)
    ids = tuple(one for one, _ in wrong)
    return Verdict(False, "partly" if len(wrong) < len(lines) else "wrong", reasons, said, None, ids)
