"""Looking at how questions do, on both databases: what is kept, what is flagged, what that keeps out, who decides."""

from datetime import timedelta

import pytest
from sqlalchemy import func, select

from tests.acts.test_exams import check_log, entries, who
from tests.acts.test_looking import BANK, NAMES, TOOLS, cast, sit
from tests.cast import MONDAY
from tests.first_answers import practise
from trainer.acts import exams
from trainer.acts import statistics as acts
from trainer.records.queries import statistics as queries
from trainer.records.tables import ExamMark, OwnQuestion, OwnQuestionText, QuestionFlag, QuestionReview

__all__ = ["cast"]
PEOPLE, DAY = 60, timedelta(days=1)
MISKEYED = "eyes.one"


def practised(cast, people=PEOPLE, miskeyed=True, first=0):
    practise(cast, BANK.by_id.values(), people=people, miskeyed=MISKEYED if miskeyed else "", first=first)


def look(cast, now=MONDAY + DAY):
    return acts.look_over_questions(cast.database, site_id=cast.site, tools=TOOLS, now=now)


def flags(cast):
    with cast.database.reading() as db:
        return queries.flags(db, cast.site)


def start(cast, now=MONDAY + DAY):
    return exams.start(cast.database, member=who(cast, cast.ana), scheme_id="six", tools=TOOLS, now=now)


def decide(cast, by, decision, note="I read it.", flag=None):
    return acts.decide(
        cast.database, member=who(cast, by), flag_id=flag or flags(cast)[0].id, decision=decision, note=note,
        now=MONDAY + DAY,
    )  # fmt: skip


def test_what_an_exam_came_to_is_kept_once(cast):
    sit(cast, cast.tom)
    sit(cast, cast.ana, {"eyes.two": "1 ft"})
    assert acts.keep_marks(cast.database, TOOLS, MONDAY) == 2
    assert acts.keep_marks(cast.database, TOOLS, MONDAY) == 0
    with cast.database.reading() as db:
        rows = db.execute(select(ExamMark.question, ExamMark.mark, ExamMark.chosen, ExamMark.scored)).all()
    assert len(rows) == 2 * len(NAMES)
    assert sorted((one.question, one.mark) for one in rows if one.mark != "right") == [("eyes.two", "wrong")]
    assert all(one.scored and (one.chosen == "right") == (one.mark == "right") for one in rows)


def test_a_first_answer_in_an_exam_counts_and_a_second_does_not(cast):
    sit(cast, cast.ana, {"eyes.two": "1 ft"})
    acts.keep_marks(cast.database, TOOLS, MONDAY)
    with cast.database.reading() as db:
        found = queries.material(db, cast.site, BANK, MONDAY + DAY)
        elsewhere = queries.material(db, cast.other_site, BANK, MONDAY + DAY)
    assert {one.question: one.right for one in found.exams} == {
        f"eyes.{name}@1": name != "two" for name in NAMES
    }
    assert all(one.focal and one.instance for one in found.exams), "Ana reads Spanish"
    assert (found.forms, found.on_forms[("six", "eyes.one")]) == ({"six": 1}, 1)
    assert [(one.right, one.items, one.cut, one.passed) for one in found.sat] == [(3, 4, 4, False)]
    assert not elsewhere.exams and not elsewhere.practice and not elsewhere.sat and not elsewhere.forms


def test_a_wrong_key_is_flagged_leaves_scored_use_and_comes_back_when_somebody_decides(cast):
    practised(cast)
    seen = {one.question: one for one in look(cast).questions}
    assert seen[MISKEYED].judgement.judged.verdict == "out"
    [flag] = flags(cast)
    assert (flag.question, flag.version, flag.answers, flag.decision) == (MISKEYED, 1, PEOPLE, None)
    assert "the_better_miss_it" in [reason.key for reason in flag.reasons]
    assert start(cast).refused == ("exam.too_few_unflagged",)
    assert decide(cast, cast.mia, "kept", note=" ") == ("flag.say_why",)
    assert decide(cast, cast.otto, "kept") == ("flag.unknown",), "of another site"
    assert decide(cast, cast.mia, "gone") == ("flag.unknown",)
    assert decide(cast, cast.mia, "kept") == ()
    assert decide(cast, cast.tom, "out") == ("flag.decided",)
    assert start(cast).public_id
    kinds = [one["kind"] for one in entries(cast)]
    assert kinds.count("question.flagged") == 1 and kinds.count("question.flag_kept") == 1
    check_log(cast)


def test_a_kept_question_is_flagged_again_only_on_twice_the_answers(cast):
    practised(cast)
    look(cast)
    decide(cast, cast.mia, "kept")
    look(cast, MONDAY + 2 * DAY)
    assert len(flags(cast)) == 1
    practised(cast, first=PEOPLE)
    look(cast, MONDAY + 3 * DAY)
    again, first = flags(cast)
    assert (again.decision, again.answers, first.decision) == (None, 2 * PEOPLE, "kept")


def test_a_question_left_out_stays_out_and_is_not_flagged_again(cast):
    practised(cast)
    look(cast)
    assert decide(cast, cast.mia, "out") == ()
    practised(cast, first=PEOPLE)
    look(cast, MONDAY + 3 * DAY)
    assert [one.decision for one in flags(cast)] == ["out"]
    with cast.database.reading() as db:
        assert queries.out_of_use(db, cast.site, BANK) == {MISKEYED}
        assert queries.out_of_use(db, cast.other_site, BANK) == set()


def test_a_newer_version_begins_anew(cast):
    with cast.database.writing() as db:
        for version in (2, 3):
            db.add(
                QuestionFlag(
                    site_id=cast.site, question=MISKEYED, version=version, raised_at=MONDAY, answers=30, reasons="[]",
                    note="",
                )
            )  # fmt: skip
    with cast.database.reading() as db:
        assert queries.out_of_use(db, cast.site, BANK) == set(), "version 1 is in use"


def test_who_wrote_a_question_does_not_decide_on_it(cast):
    with cast.database.writing() as db:
        own = OwnQuestion(name="eyes.own_one", site_id=cast.site, begun_at=MONDAY)
        db.add(own)
        db.flush()
        db.add(
            OwnQuestionText(
                question_id=own.id, version=1, text="-", fingerprint="-", person_id=cast.tom, saved_at=MONDAY
            )
        )
        flag = QuestionFlag(
            site_id=cast.site,
            question="eyes.own_one",
            version=1,
            raised_at=MONDAY,
            answers=30,
            reasons="[]",
            note="",
        )
        db.add(flag)
        db.flush()
        number = flag.id
    assert decide(cast, cast.tom, "kept", flag=number) == ("flag.own_work",)
    assert decide(cast, cast.mia, "kept", flag=number) == ()


def test_good_questions_are_left_alone(cast):
    practised(cast, miskeyed=False)
    seen = look(cast)
    assert {one.judgement.judged.verdict for one in seen.questions} == {"fine"}
    assert flags(cast) == [] and start(cast).public_id


def test_each_site_is_looked_at_once_a_day_when_there_is_something_new(cast):
    assert acts.look_where_due(cast.database, TOOLS, MONDAY + DAY) == [], "nobody has answered"
    practised(cast, people=3)
    assert acts.look_where_due(cast.database, TOOLS, MONDAY + DAY) == [cast.site]
    assert acts.look_where_due(cast.database, TOOLS, MONDAY + 1.5 * DAY) == []
    assert acts.look_where_due(cast.database, TOOLS, MONDAY + 2 * DAY) == [], "nothing new"
    sit(cast, cast.ana)
    with cast.database.reading() as db:
        assert queries.new_answers(db, cast.site, None) == 3 * len(NAMES) + 1
        assert queries.new_answers(db, cast.site, MONDAY + DAY) == 0


def test_a_look_reads_back_as_it_was_and_twice_at_one_moment_is_one(cast):
    practised(cast, people=40)
    seen = look(cast)
    assert look(cast) == seen
    with cast.database.reading() as db:
        assert queries.newest_review(db, cast.site) == seen
        assert db.scalar(select(func.count()).select_from(QuestionReview)) == 1
        assert queries.newest_review(db, cast.other_site) is None


@pytest.mark.parametrize("people", [5])
def test_few_answers_flag_nothing(cast, people):
    practised(cast, people=people)
    seen = look(cast)
    assert {one.judgement.judged.verdict for one in seen.questions} == {"too_few"}
    [scheme] = seen.schemes
    assert scheme.scores is None and scheme.model is not None and scheme.people == 0
