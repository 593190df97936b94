"""What 200 people learned in two years: the page, and working it out, against reading the same answers bare.

Seen on a busy machine with 62,000 answers: a page whose figures are kept takes 23 ms; working them out takes 6.4 times
as long as reading the bare rows does, the first time in a process about three times that.
"""

from time import perf_counter

from tests.benchmarks.paired import paired
from tests.cast import MONDAY
from tests.long_history import store
from trainer.learning.learned import learned
from trainer.records.queries.learned import history

ROWS = (
    "SELECT d.person_id, d.skill, d.question, d.slip, d.right, d.support, d.answered_at FROM drill d"
    " JOIN person p ON p.id = d.person_id WHERE p.site_id = ? ORDER BY d.person_id, d.skill, d.answered_at, d.id"
)


def test_two_years_of_two_hundred_people(stage):
    database, site, bank, lessons = (
        stage.cast.database,
        stage.cast.site,
        stage.house.bank,
        stage.house.lessons,
    )
    answers = store(database, site, bank, lessons)
    assert answers > 50_000

    def bare(_):
        with database.reading() as db:
            assert len(db.connection().exec_driver_sql(ROWS, (site,)).fetchall()) == answers

    def work_out(_):
        with database.reading() as db:
            past = history(db, site)
        assert learned(past, bank, lessons, MONDAY).people == 200

    visitor = stage.visitor(stage.cast.tom)

    def page(_):
        assert "200 people have answered" in visitor.get("/questions/learning").text

    start = perf_counter()
    work_out(0)
    print(f"\n{answers} answers, worked out for the first time in {perf_counter() - start:.2f} s")
    kept = paired(page, bare, rounds=5, calls=3)
    kept.say("the page with figures that are kept, against the bare rows")
    worked = paired(work_out, bare, rounds=5, calls=1)
    worked.say("working the figures out, against the bare rows")
    assert kept.ours < 0.5 and kept.ratio < 1.5
    assert worked.ratio < 15
