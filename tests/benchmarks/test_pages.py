"""A drill page against an empty Flask view; exam answers against a bare view that commits one row."""

import sqlite3
import uuid

from flask import Flask, request

from tests.benchmarks.paired import paired
from tests.cast import MONDAY
from trainer.acts.exams import start
from trainer.acts.learning import PracticeTools, show_drill
from trainer.records.queries import people
from trainer.sites import demo_sheet, site_values
from trainer.web.examine import tools

SKILL = "measuring.length_from_pulses"


def member(stage, person):
    with stage.cast.database.reading() as db:
        return people.member(db, person)


def drill_address(stage):
    values = site_values(demo_sheet())
    practice = PracticeTools(stage.house.bank, stage.house.key_for("instances"), lambda version: values)
    drill = show_drill(
        stage.cast.database, member=member(stage, stage.cast.tom), skills=(SKILL,), lesson=None, sheet_version=1,
        tools=practice, now=MONDAY,
    )  # fmt: skip
    return f"/drills/{drill}"


def test_a_drill_page_against_an_empty_view(stage):
    address, visitor = drill_address(stage), stage.visitor(stage.cast.tom)
    empty = Flask("empty")
    empty.add_url_rule("/", view_func=lambda: "")
    bare = empty.test_client()
    assert visitor.get(address).status_code == 200
    found = paired(lambda _: visitor.get(address), lambda _: bare.get("/"), rounds=9, calls=20)
    found.say("a drill page against an empty Flask view")
    assert found.ours < 0.050


def bare_view(file):
    """A view that commits one row with the same durability as ours: WAL and synchronous=FULL."""
    db = sqlite3.connect(file, isolation_level=None, check_same_thread=False)
    for pragma in ("journal_mode=WAL", "synchronous=FULL"):
        db.execute(f"PRAGMA {pragma}")
    db.execute("CREATE TABLE answer (id INTEGER PRIMARY KEY, text TEXT)")
    app = Flask("bare")

    @app.post("/")
    def keep():
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO answer (text) VALUES (?)", (request.form["answer"],))
        db.execute("COMMIT")
        return ""

    return app.test_client(), db


def test_exam_answers_against_a_bare_view_that_commits_a_row(stage, tmp_path, monkeypatch):
    who = member(stage, stage.cast.tom)
    exam_tools = tools(stage.house)
    scheme = next(one for one in exam_tools.schemes.values() if not one.opens_cabinet)
    free = {scheme.id: scheme.__class__(**{**scheme.__dict__, "mastery": "none"})}
    started = start(
        stage.cast.database, member=who, scheme_id=scheme.id, now=MONDAY,
        tools=exam_tools.__class__(**{**exam_tools.__dict__, "schemes": free}),
    )  # fmt: skip
    assert started.public_id, started.refused
    stage.app.config["WTF_CSRF_ENABLED"] = False
    visitor = stage.visitor(stage.cast.tom)
    bare, db = bare_view(tmp_path / "bare.sqlite3")
    address, header = f"/exams/{started.public_id}/1", {"Accept": "application/json"}

    def ours(number):
        fields = {"answer": f"{number} ft", "revision": str(number + 1)}
        reply = visitor.post(address, data=fields, headers=header)
        assert reply.status_code == 200, (reply.status_code, reply.text)

    def theirs(number):
        assert bare.post("/", data={"answer": f"{uuid.uuid4()}"}).status_code == 200

    found = paired(ours, theirs, rounds=9, calls=30)
    found.say("one exam answer against a bare view that commits one row")
    rate = 1 / found.ratio
    print(f"answers per second: {rate:.2f} of the bare view's")
    db.close()
    assert rate >= 0.5
