"""A key that changes after use, on both databases: whom it touches, who may score again, where the result counts."""

import json

import pytest
import rfc8785
from sqlalchemy import func, select

from tests.acts.certified import CABINET, Way, new_id
from tests.acts.mended import BAD, GOOD, NAME, REWORDED, WHY, Mended
from tests.acts.test_exams import SECRET, check_log, entries
from tests.acts.test_exams import cast as cast  # noqa: PLC0414 - a fixture by its name
from tests.six_kinds import SITE
from trainer.access.refusal import Refused
from trainer.acts.appeals import Filed, file_appeal
from trainer.acts.exam_replay import replay
from trainer.acts.learning import PracticeTools, answer_drill, instance_of, show_drill
from trainer.acts.rescoring import acknowledge
from trainer.certificates.permission import cabinet_permission
from trainer.records.export import exported_tables
from trainer.records.forgetting import take_out
from trainer.records.queries import certifying, learning
from trainer.records.queries import rescoring as records
from trainer.records.queries.appeals import adverse_of, appeal
from trainer.records.queries.hands import hands_on
from trainer.records.queries.keeping import leaver
from trainer.records.tables import Exam, ExamKeySheet, ExamRescore

BY_THE_BAD_KEY = 3


@pytest.fixture
def wash(cast):
    made = Mended(cast)
    made.put_into_use(BAD)
    return made


def rows(wash, table=ExamRescore):
    with wash.cast.database.reading() as db:
        return db.scalar(select(func.count()).select_from(table))


def raw(wash, exam):
    """What the close wrote."""
    with wash.cast.database.reading() as db:
        row = db.scalars(select(Exam).where(Exam.public_id == exam)).one()
        sheet = db.scalars(select(ExamKeySheet).where(ExamKeySheet.exam_id == row.id)).one()
        return row.right, row.passed, row.result, row.valid_until, sheet.salt, sheet.sheet


def stands(wash, exam):
    one = wash.sitting(exam)
    return one.right, one.passed, json.loads(one.result)["passed"]


def names(touched):
    return [one.person for one in touched]


def test_without_a_newer_version_or_with_the_same_key_nobody_is_touched(wash):
    wash.sit("ana")
    assert wash.touched().exams == () and wash.touched().same == 0
    wash.put_into_use(BAD.replace("version: 1", "version: 2"), 2)
    found = wash.touched()
    assert (found.exams, found.cannot, found.same) == ((), (), 1)
    assert wash.rescore() == Refused(("rescore.nobody",))


def test_whom_a_mended_key_touches_and_what_it_would_do(wash):
    fails = wash.sit("ana")
    passes = wash.sit("rosa", BY_THE_BAD_KEY)
    wash.sit("mia", 7)
    assert (stands(wash, fails), stands(wash, passes)) == ((5, False, False), (6, True, True))
    wash.put_into_use(GOOD, 2, trial=True)
    assert wash.touched().exams == ()  # on trial it is no key yet
    wash.take("published", "tom", GOOD, 2)
    found = wash.touched()
    told = {one.person: (one.now.result.right, one.then.result.right, one.then.lowers) for one in found.exams}
    assert told == {"Rosa Lind": (6, 5, True), "Ana Ruiz": (5, 6, False)}
    assert found.same == 1 and found.version == 2
    assert [one.given.text for one in found.exams][-1].endswith(" ft")


def test_a_fail_becomes_a_pass_at_once_and_what_the_close_wrote_stays(wash):
    exam = wash.sit("ana")
    before, ended = raw(wash, exam), wash.sitting(exam).ended_at
    wash.put_into_use(GOOD, 2)
    assert wash.rescore() == NAME
    assert stands(wash, exam) == (6, True, True)
    # A pass counts from the end of the exam: twelve months on the site's clock.
    assert wash.sitting(exam).valid_until == ended.replace(year=ended.year + 1)
    assert raw(wash, exam) == before
    assert replay(wash.cast.database, public_id=exam, tools=wash.tools).agrees
    [entry] = entries(wash.cast, "exam.rescored")
    assert (entry["by"], entry["about"]) == (
        wash.cast.public_id(wash.cast.mia),
        wash.cast.public_id(wash.cast.ana),
    )
    assert (entry["facts"]["right"], entry["facts"]["passed"], entry["facts"]["lowers"]) == (6, True, False)
    assert WHY not in json.dumps(entry) and '"tolerance"' not in json.dumps(entry)
    check_log(wash.cast)


def test_twice_is_once(wash):
    wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    form = new_id()
    assert wash.rescore(public_id=form) == NAME
    assert wash.rescore(public_id=form) == NAME  # a second press, or a lost answer
    assert wash.rescore("rosa", public_id=form) == Refused(("form.used",))
    assert wash.rescore() == Refused(("rescore.nobody",))
    assert rows(wash) == 1 and len(entries(wash.cast, "exam.rescored")) == 1


@pytest.mark.parametrize(
    ("by", "more", "why"),
    [
        ("ana", {}, "rescore.no_right"),
        ("lee", {}, "rescore.no_right"),
        ("mia", {"reason": "  "}, "rescore.say_why"),
        ("mia", {"reason": "x" * 2001}, "text.too_long"),
        ("mia", {"newer": "0" * 64}, "rescore.key_changed"),
        ("mia", {"password": "not mine"}, "signature.wrong"),
        ("mia", {"how": "right"}, "rescore.nobody"),
        ("mia", {"how": "as I like"}, "question.unknown"),
        ("otto", {}, "question.unknown"),
    ],
)
def test_who_may_and_with_what(wash, by, more, why):
    wash.sit("rosa")
    wash.put_into_use(GOOD, 2)
    assert why in wash.rescore(by, **more).reasons
    assert rows(wash) == 0 and entries(wash.cast, "exam.rescored") == []


def test_nobody_decides_their_own(wash):
    mine, other = wash.sit("mia"), wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    assert wash.rescore("mia") == NAME
    assert (stands(wash, mine)[1], stands(wash, other)[1]) == (False, True)
    assert names(wash.touched().exams) == ["Mia Okafor"]
    assert wash.rescore("mia") == Refused(("rescore.own",))
    assert wash.rescore("tom") == NAME
    assert stands(wash, mine)[1] is True


def certified(wash, exam, name="ana"):
    """Practical and decision on a passed exam; gives the certificate."""
    way = Way(wash.cast, wash.now)
    person = getattr(wash.cast, name)
    assert isinstance(way.practical(person), str)
    decided = way.decide(person)
    assert isinstance(decided, str), decided
    wash.now = way.now
    with wash.cast.database.reading() as db:
        return certifying.certificates_of(db, person)[0]


def may_open(wash, person):
    with wash.cast.database.reading() as db:
        e = certifying.evidence_of(db, person, wash.cast.main_cabinet, CABINET.id)
    return cabinet_permission(e, wash.tick()).may_open


def test_a_pass_that_the_new_key_would_not_give_stands_until_a_manager_decides(wash):
    exam = wash.sit("ana", BY_THE_BAD_KEY)
    certificate = certified(wash, exam)
    assert may_open(wash, wash.cast.ana)
    wash.put_into_use(GOOD, 2)
    [one] = wash.touched().exams
    assert [held.public_id for held in one.certificates] == [certificate.public_id]
    assert wash.rescore("rosa") == NAME
    assert stands(wash, exam) == (5, True, False)
    assert may_open(wash, wash.cast.ana)
    with wash.cast.database.reading() as db:
        [held] = records.lowered_at_site(db, wash.cast.site)
        [sat] = certifying.exams_sat(db, wash.cast.ana, CABINET.id)
    assert (held.person_id, held.public_id) == (wash.cast.ana, certificate.public_id)
    assert (sat.passed, sat.right, sat.lowers) == (True, 5, True)
    assert Way(wash.cast, wash.now).withdraw(certificate.public_id) == certificate.public_id
    wash.tick(minutes=5)
    assert not may_open(wash, wash.cast.ana)


def test_whoever_decided_may_score_again_without_undoing_the_decision(wash):
    exam = wash.sit("ana", BY_THE_BAD_KEY)
    certified(wash, exam)
    wash.put_into_use(GOOD, 2)
    assert wash.rescore("mia") == NAME
    assert may_open(wash, wash.cast.ana)


def test_a_pass_by_the_new_key_leads_to_a_certificate(wash):
    exam = wash.sit("ana")
    assert isinstance(Way(wash.cast, wash.now).decide(), Refused)
    wash.put_into_use(GOOD, 2)
    wash.rescore("rosa")
    certified(wash, exam)
    assert may_open(wash, wash.cast.ana)
    with wash.cast.database.reading() as db:
        until = leaver(db, wash.cast.ana).kept.records_end
    assert until == wash.sitting(exam).valid_until


def test_an_earlier_exam_that_becomes_a_pass_counts_before_a_later_fail(wash):
    first = wash.sit("ana")
    wash.tick(days=2)
    wash.sit("ana", BY_THE_BAD_KEY, eyes_choice="cable")
    wash.put_into_use(GOOD, 2)
    assert wash.rescore("rosa") == NAME
    with wash.cast.database.reading() as db:
        e = certifying.evidence_of(db, wash.cast.ana, wash.cast.main_cabinet, CABINET.id)
    assert (e.exam_id, e.exam_passed) == (wash.sitting(first).id, True)
    certified(wash, first)


def test_what_the_new_text_asks_otherwise_is_counted_right_for_everybody_or_left(wash):
    wrong, right, nothing = wash.sit("ana"), wash.sit("rosa", BY_THE_BAD_KEY), wash.sit("mia", 0)
    wash.put_into_use(REWORDED, 2)
    found = wash.touched()
    assert (found.exams, found.same, found.cannot_right) == ((), 0, 1)
    assert names(found.cannot) == ["Mia Okafor", "Ana Ruiz"]
    assert wash.rescore("tom") == Refused(("rescore.nobody",))
    assert wash.rescore("tom", how="right") == NAME
    assert [stands(wash, exam)[:2] for exam in (wrong, right, nothing)] == [(6, True)] * 3
    assert json.loads(wash.sitting(nothing).result)["not_reached"] == []
    assert rows(wash) == 2 and wash.touched().cannot == ()
    assert replay(wash.cast.database, public_id=nothing, tools=wash.tools).agrees


def test_a_second_correction_builds_on_the_first(wash):
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    wash.rescore()
    wash.put_into_use(BAD.replace("version: 1", "version: 3"), 3)
    [one] = wash.touched().exams
    assert (one.compared.before, one.compared.after, one.then.lowers) == ("right", "wrong", True)
    wash.rescore()
    assert stands(wash, exam) == (5, True, False)
    assert replay(wash.cast.database, public_id=exam, tools=wash.tools).agrees
    assert rows(wash) == 2


def test_a_changed_row_shows_when_it_is_worked_out_again(wash):
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    wash.rescore()
    with wash.cast.database.writing() as db:
        db.scalars(select(ExamRescore)).one().right = 4
    again = replay(wash.cast.database, public_id=exam, tools=wash.tools)
    assert again.differs == ("exam.replay_rescore",)


def test_the_person_is_told_once_and_says_that_they_have_read_it(wash):
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    wash.rescore()
    with wash.cast.database.reading() as db:
        [told] = records.rescores_of_person(db, wash.cast.ana)
    assert (told.exam, told.reason, told.seen_at, list(told.marks.values())) == (
        exam,
        WHY,
        None,
        [("wrong", "right")],
    )
    assert not acknowledge(wash.cast.database, member=wash.member("tom"), exam=exam, now=wash.tick())
    for _ in range(2):
        assert acknowledge(wash.cast.database, member=wash.member("ana"), exam=exam, now=wash.tick())
    assert len(entries(wash.cast, "exam.rescore_seen")) == 1
    check_log(wash.cast)


def test_an_appeal_after_it_rests_on_both_results_and_nobody_who_did_it_hears_it(wash):
    exam = wash.sit("ana", eyes_choice="cable")
    wash.put_into_use(GOOD, 2)
    wash.tick(days=40)  # the days to appeal begin anew with the newer result
    wash.rescore("rosa")
    assert stands(wash, exam) == (5, False, False)
    with wash.cast.database.reading() as db:
        [against] = adverse_of(db, wash.cast.ana)
        assert wash.cast.rosa in hands_on(db, wash.cast.ana)
    assert (against.public_id, against.at) == (exam, wash.now)
    filed = Filed(new_id(), "exam", exam, "The van was another.")
    done = file_appeal(wash.cast.database, filed, by=wash.cast.ana, tools=wash.tools, now=wash.tick())
    assert done == filed.public_id
    with wash.cast.database.reading() as db:
        pack = json.loads(appeal(db, done).pack)
    assert (pack["exam"]["right"], pack["exam"]["rescored"][0]["right"]) == (4, 5)
    assert pack["scored_again"] == {"passed": False, "right": 5, "differs": []}


def test_practice_is_counted_and_not_changed(wash):
    tools = PracticeTools(wash.bank, SECRET, lambda version: SITE)
    ana = wash.member("ana")
    for times in (1, 3, 7):
        public_id = show_drill(
            wash.cast.database, member=ana, skills=("eyes.length",), lesson=None, sheet_version=1, tools=tools,
            now=wash.tick(),
        )  # fmt: skip
        with wash.cast.database.reading() as db:
            drill = learning.drill(db, public_id)
        values = instance_of(drill, ana, tools).values
        answer_drill(
            wash.cast.database, member=ana, public_id=public_id, language="es", tools=tools, now=wash.tick(),
            answer=f"{times * values['pulses'] / values['rate']:.3f} ft".replace(".", ","),
        )  # fmt: skip
    wash.put_into_use(GOOD, 2)
    practice = wash.touched().practice
    assert (practice.answers, practice.touched, practice.cannot) == (3, 2, 0)


def test_it_goes_out_with_the_site_and_the_reason_goes_with_the_person(wash):
    wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    wash.rescore()
    with wash.cast.database.reading() as db:
        assert len(dict(exported_tables(db, wash.cast.site))["exam_rescore"]) == 1
        assert dict(exported_tables(db, wash.cast.other_site))["exam_rescore"] == []
    with wash.cast.database.writing() as db:
        take_out(db, wash.cast.ana)
    with wash.cast.database.reading() as db:
        row = db.scalars(select(ExamRescore)).one()
        assert (row.reason, row.marks != "", row.result != "") == ("", True, True)


def test_an_exam_that_counts_neither_way_stays_so(wash):
    exam = wash.sit("ana")
    with wash.cast.database.writing() as db:
        row = db.scalars(select(Exam).where(Exam.public_id == exam)).one()
        row.passed = None
    wash.put_into_use(GOOD, 2)
    assert wash.touched().exams == ()


def test_what_was_on_trial_in_an_exam_is_not_scored_again(wash):
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    with wash.cast.database.writing() as db:
        row = db.scalars(select(Exam).where(Exam.public_id == exam)).one()
        form = json.loads(row.form)
        next(slot for slot in form["slots"] if slot["question"] == NAME)["pilot"] = True
        row.form = rfc8785.dumps(form).decode()
    found = wash.touched()
    assert (found.exams, found.cannot, found.same) == ((), (), 0)


def test_records_that_do_not_hold_are_not_scored_again(wash):
    exam = wash.sit("ana")
    wash.put_into_use(GOOD, 2)
    with wash.cast.database.writing() as db:
        row = db.scalars(select(Exam).where(Exam.public_id == exam)).one()
        row.result = row.result.replace('"right":5', '"right":4')
    assert wash.rescore().reasons == ("rescore.unsound",)
    assert rows(wash) == 0
