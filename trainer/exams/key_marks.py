"""The mark of an answer by a key as it was kept, without the question that the key is of."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from trainer.exams.key_sheet import Key
from trainer.exams.scoring import Mark
from trainer.exams.sitting import GivenAnswer


def marks_by_keys(sheet: Mapping[str, Key], answers: Mapping[int, GivenAnswer]) -> dict[int, Mark]:
    """The mark of every slot of a key sheet that has one; what was not reached has none."""
    marks = {int(number): mark_by_key(key, answers.get(int(number))) for number, key in sheet.items()}
    return {number: mark for number, mark in marks.items() if mark is not None}


def mark_by_key(key: Key, given: GivenAnswer | None) -> Mark | None:
    """The mark of one answer; None where nothing was answered."""
    kind, text = key["kind"], given.text if given is not None else ""
    if kind == "changed":
        return "changed"
    if not text:
        return None
    if kind == "number":
        return _number(key)
    if kind == "bench":
        return _bench(key)
    if kind == "choice":
        return "unreadable" if text not in key["options"] else _right([text] == key["right"])
    return _listed(key, _read(text))


def _right(right: bool) -> Mark:
    return "right" if right else "wrong"


def _number(key: Key) -> Mark:
    read = key["read"]
    if read is None:
        return "unreadable"
    near = read["dimension"] == key["dimension"] and abs(read["value"] - key["right"]) <= key["tolerance"]
    return _right(near)


def _bench(key: Key) -> Mark | None:
    if not key["readable"]:
        return "unreadable"
    return _right(key["finished"] and key["passed"]) if key["acts"] else None


def _read(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _listed(key: Key, answer: Any) -> Mark:
    """Several, an order, or pairs: unreadable where it is no whole answer."""
    if key["kind"] == "several":
        whole = bool(answer) and _known(answer, key["options"])
        return _right(set(answer) == set(key["right"])) if whole else "unreadable"
    if key["kind"] == "order":
        if not _known(answer, key["items"]) or len(answer) != len(key["items"]):
            return "unreadable"
        return _right(all(answer.index(first) < answer.index(then) for first, then in key["before"]))
    whole = isinstance(answer, dict) and set(answer) == set(key["right"])
    if not whole or not all(isinstance(one, str) and one in key["may"] for one in answer.values()):
        return "unreadable"
    return _right(answer == key["right"])


def _known(answer: Any, ids: list[str]) -> bool:
    """Whether it is a list of different known ids."""
    if not isinstance(answer, list) or not all(isinstance(one, str) for one in answer):
        return False
    return len(set(answer)) == len(answer) and set(answer) <= set(ids)
