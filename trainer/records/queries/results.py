"""The result of an exam that is in force: that of the newest re-score, else that of the close.

Whoever reads a result joins `NEWEST` on `IS_NEWEST` and takes these columns. What the close wrote stands in `Exam`,
and only a replay and the verifier compare with that.
"""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import aliased

from trainer.records.tables import Exam, ExamRescore

NEWEST = aliased(ExamRescore, name="newest_rescore")
_any = aliased(ExamRescore)
IS_NEWEST = (
    NEWEST.id
    == select(func.max(_any.id)).where(_any.exam_id == Exam.id).correlate(Exam).scalar_subquery()
)  # fmt: skip
RIGHT = func.coalesce(NEWEST.right, Exam.right)
PASSED = func.coalesce(NEWEST.passed, Exam.passed)
RESULT = func.coalesce(NEWEST.result, Exam.result)
VALID_UNTIL = func.coalesce(NEWEST.valid_until, Exam.valid_until)
