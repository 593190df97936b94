"""How the questions of 200 people in two years hold up: the page, and the look behind it, against bare reading."""

from time import perf_counter

from tests.benchmarks.paired import paired
from tests.benchmarks.test_learning import ROWS
from tests.long_history import store


def test_two_years_of_two_hundred_people(stage):
    database, site = stage.cast.database, stage.cast.site
    answers = store(database, site, stage.house.bank, stage.house.lessons)
    visitor = stage.visitor(stage.cast.tom)
    assert visitor.send("/questions/statistics").status_code == 303
    start = perf_counter()
    [look] = stage.waiting
    look()
    print(f"\n{answers} answers, every question looked at in {perf_counter() - start:.1f} s")

    def bare(_):
        with database.reading() as db:
            assert len(db.connection().exec_driver_sql(ROWS, (site,)).fetchall()) == answers

    def page(_):
        assert "first answers." in visitor.get("/questions/statistics").text

    found = paired(page, bare, rounds=5, calls=3)
    found.say("the page of statistics against reading the bare rows of practice")
    assert found.ours < 0.5 and found.ratio < 3
