"""An exam with a question on trial in an auditor's folder: it holds; whoever makes it count is found."""

import json
import shutil

import pytest

from tests.cli.audited import AuditedWash
from tests.on_trial import LENGTH, LOCK, put_on_trial
from tests.six_kinds import RIGHT
from trainer import verifier


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """One exam: all right that counts but the length, a number on trial wrong, one in the critical area left empty."""
    url = f"sqlite:///{tmp_path_factory.mktemp('trial') / 'wash.sqlite3'}"
    wash = AuditedWash(url, trial_places=2)
    for name in (LENGTH, LOCK):
        put_on_trial(wash.cast, name)
    right = {question: (typed,) for question, typed in RIGHT.items()}
    wash.sit(wash.cast.ana, {**right, LENGTH: ("1 in",)})
    yield wash.export(tmp_path_factory.mktemp("evidence") / "out")
    wash.cast.database.dispose()


def only(folder, table):
    [row] = json.loads((folder / "tables" / f"{table}.json").read_text("utf-8"))
    return row


def test_the_program_beside_scores_what_counts(folder):
    report = verifier.verify(folder)
    assert report.faults == []
    assert dict(report.holds)["exam.ok"] == {"exams": 1, "answers": 6, "scored": 1}
    row = only(folder, "exam")
    result = json.loads(row["result"])
    assert (row["right"], row["passed"], result["items"]) == (5, True, 6)
    assert [slot["question"] for slot in json.loads(row["form"])["slots"] if slot.get("pilot")] == [
        LENGTH,
        LOCK,
    ]
    assert len(json.loads((folder / "key-sheets.json").read_text("utf-8"))[row["public_id"]]["sheet"]) == 8


@pytest.mark.parametrize("question", [LENGTH, LOCK, "eyes.length", "lockout.order"])
def test_what_counts_cannot_be_changed_afterwards(folder, tmp_path, question):
    """The form's digest stands in the log since the start, and the result no longer follows from the form."""
    changed = shutil.copytree(folder, tmp_path / "out")
    row = only(changed, "exam")
    form = json.loads(row["form"])
    [slot] = [slot for slot in form["slots"] if slot["question"] == question]
    slot["pilot"] = not slot.get("pilot", False)
    row["form"] = json.dumps(form)
    (changed / "tables" / "exam.json").write_text(json.dumps([row]), "utf-8")
    found = [key for key, _ in verifier.verify(changed).faults]
    assert {"exam.unlogged", "exam.score"} <= set(found)
