"""The matrix of skills, lessons, questions and schemes: complete as shipped, and every gap found when one is made."""

from dataclasses import replace
from datetime import date

import pytest

from trainer.cli.coverage import coverage_findings, stale_findings
from trainer.documents import Faults
from trainer.exams.matrix import Orphan, matrix
from trainer.exams.reading import load_schemes
from trainer.language.lessons import Lessons, load_lessons
from trainer.language.loading import Bank, content_folder, load_bank

SKILL = "lockout.verify_zero"


@pytest.fixture(scope="module")
def content():
    bank = load_bank()
    return (
        bank,
        load_lessons(bank=bank),
        tuple(load_schemes(content_folder() / "questions" / "schemes").values()),
    )


def test_what_is_shipped_is_complete_both_ways(content):
    found = matrix(*content)
    assert found.complete
    assert len(found.rows) == len(content[0].skills)
    asked = [name for row in found.rows for name in (*row.families, *row.fixed)]
    assert sorted(asked) == sorted(content[0].by_id)
    assert {name for row in found.rows for name in row.lessons} == set(content[1].by_id)


def test_a_skill_without_question_or_lesson_or_exam_is_found(content):
    bank, lessons, schemes = content
    fewer = Bank({k: q for k, q in bank.by_id.items() if q.skill != SKILL}, bank.topics, bank.glossary)
    assert gaps(fewer, lessons, schemes) == ("no_question",)
    without = Lessons(
        {
            k: replace(one, skills=tuple(s for s in one.skills if s != SKILL))
            for k, one in lessons.by_id.items()
        }
    )
    assert gaps(bank, without, schemes) == ("no_lesson",)
    narrow = [replace(s, areas=tuple(without_skill(area) for area in s.areas)) for s in schemes]
    assert gaps(bank, lessons, narrow) == ("asked_nowhere",)


def without_skill(area):
    return replace(area, skills=tuple(skill for skill in area.skills if skill != SKILL))


def gaps(bank, lessons, schemes):
    found = matrix(bank, lessons, tuple(schemes))
    (row,) = (one for one in found.rows if one.gaps)
    assert row.skill == SKILL and not found.complete
    return row.gaps


def test_what_belongs_to_no_skill_is_found(content):
    bank, lessons, schemes = content
    topics = tuple(replace(one, skills=tuple(s for s in one.skills if s.id != SKILL)) for one in bank.topics)
    found = matrix(Bank(bank.by_id, topics, bank.glossary), lessons, schemes)
    kinds = {one.what for one in found.orphans}
    assert kinds == {"lesson", "question", "scheme"}
    assert all(isinstance(one, Orphan) and one.skill == SKILL for one in found.orphans)


def test_the_check_says_what_is_missing_and_how_to_mend_it(content):
    bank, lessons, _ = content
    fewer = Bank({k: q for k, q in bank.by_id.items() if q.skill != SKILL}, bank.topics, bank.glossary)
    faults = Faults()
    said = coverage_findings(content_folder(), fewer, lessons, faults, date(2027, 1, 1))
    assert said == [f"Skill {SKILL}: No question asks it. Write a family or a fixed question for it."]
    assert len(faults) == 0


def test_the_check_says_when_an_analysis_is_stale(content):
    _, _, schemes = content
    last = min(one.analysis.review_by for one in schemes)
    assert stale_findings(schemes, last) == []
    said = stale_findings(schemes, last.replace(year=last.year + 1))
    assert len(said) == len(schemes) and all("Rate its tasks again" in one for one in said)
