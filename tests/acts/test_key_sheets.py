"""The key sheet of a closed exam: kept at the close in its transaction, bound to the log, told to nobody before."""

import hashlib
import json
from datetime import timedelta

import pytest
import rfc8785
from sqlalchemy import select

from tests.acts.test_exams import END, ana, begin, cast, entries, say, tools  # noqa: F401 - fixtures by their names
from tests.cast import MONDAY
from trainer.acts import exams
from trainer.acts.key_sheets import key_sheet_digest
from trainer.records.tables import Exam, ExamKeySheet


def kept(cast, exam):  # noqa: F811
    with cast.database.reading() as db:
        asked = select(ExamKeySheet.salt, ExamKeySheet.sheet).join(Exam, Exam.id == ExamKeySheet.exam_id)
        return db.execute(asked.where(Exam.public_id == exam)).one_or_none()


def submitted(cast, member, exam):  # noqa: F811
    assert exams.submit(cast.database, member=member, public_id=exam, tools=tools(), now=MONDAY).closed


def swept(cast, member, exam):  # noqa: F811
    assert exams.close_overdue(cast.database, tools(), END + timedelta(hours=1)) == [exam]


@pytest.mark.parametrize("close", [submitted, swept])
def test_every_close_logs_the_digest_of_what_it_keeps(cast, ana, close):  # noqa: F811
    exam = begin(cast, ana)
    say(cast, ana, exam, 1, "emitter")
    assert kept(cast, exam) is None
    close(cast, ana, exam)
    salt, text = kept(cast, exam)
    said = entries(cast, "exam.closed")[0]["facts"]["key_sheet_sha256"]
    # Worked out beside the program: SHA-256 of canonical JSON (RFC 8785).
    bound = f'{{"exam":"{exam}","key_sheet":{text},"salt":"{salt}"}}'
    assert said == hashlib.sha256(bound.encode()).hexdigest()
    assert rfc8785.dumps(json.loads(text)).decode() == text


def test_a_close_that_fails_keeps_nothing(cast, ana, monkeypatch):  # noqa: F811
    exam = begin(cast, ana)

    def full(*_):
        raise OSError("no space left")

    monkeypatch.setattr(exams, "moment_text", full)
    with pytest.raises(OSError, match="no space"):
        submitted(cast, ana, exam)
    assert kept(cast, exam) is None and entries(cast, "exam.closed") == []


def test_the_log_gives_nothing_to_try_answers_against(cast, ana):  # noqa: F811
    """Neither salt nor key stands in the log, and the same sheet under another salt has another digest."""
    exam = begin(cast, ana)
    submitted(cast, ana, exam)
    salt, text = kept(cast, exam)
    sheet, log = json.loads(text), json.dumps(entries(cast))
    said = entries(cast, "exam.closed")[0]["facts"]["key_sheet_sha256"]
    assert len(bytes.fromhex(salt)) == 32 and salt not in log and '"tolerance"' not in log
    assert said not in (hashlib.sha256(text.encode()).hexdigest(), key_sheet_digest(exam, "", sheet))
    assert key_sheet_digest(exam, "0" * 64, sheet) != key_sheet_digest(exam, "1" * 64, sheet)
    assert all(slot.label not in text for slot in _slots(cast, exam)) and tools().secret.hex() not in text


def _slots(cast, exam):  # noqa: F811
    with cast.database.reading() as db:
        return exams.paper_of(exams.queries.sitting(db, exam)).form.slots
