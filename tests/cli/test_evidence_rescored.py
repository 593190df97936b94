"""Evidence of exams scored again: the verifier takes them, works each out by itself, and finds every change."""

import json

import pytest
from sqlalchemy import delete

from tests.acts.mended import BAD, GOOD, REWORDED, Mended
from tests.cli.test_evidence import add_row, change_row, copied, drop_row, faults, keep, named, remade, rows
from tests.web.exam_house import make_exam_house
from trainer import verifier
from trainer.acts.rescoring import acknowledge
from trainer.cli.evidence import write_evidence
from trainer.records.tables import ObserverQualification


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Ana's fail becomes a pass, Rosa's pass stands beside a lower result; then a text that asks something else."""
    made = make_exam_house(f"sqlite:///{tmp_path_factory.mktemp('mended') / 'wash.sqlite3'}")
    wash = Mended(made.cast)
    with made.cast.database.writing() as db:
        db.execute(delete(ObserverQualification))  # the cast's own were never written into the log
    wash.put_into_use(BAD)
    ana = wash.sit("ana")
    wash.sit("rosa", 3)
    wash.put_into_use(GOOD, 2)
    assert wash.rescore("tom") == "eyes.own_van"
    assert acknowledge(made.cast.database, member=wash.member("ana"), exam=ana, now=wash.tick())
    wash.put_into_use(REWORDED.replace("version: 2", "version: 3"), 3)
    assert wash.rescore("tom", how="right") == "eyes.own_van"
    out = tmp_path_factory.mktemp("evidence") / "out"
    write_evidence(made.house, out, made.cast.site, wash.tick())
    yield out
    made.cast.database.dispose()


def test_what_was_scored_again_holds(folder):
    report = verifier.verify(folder)
    assert report.faults == []
    assert dict(report.holds)["rescore.ok"] == {"count": 3}
    assert "rescore.lowers" not in dict(report.looks)  # Rosa's answer was counted right after all
    for language in ("en", "es"):
        for key, facts in (*report.looks, *report.holds):
            assert "{" not in verifier.say(key, facts, language)


def change_key(folder):
    """Widen the newer key, so that another answer would have been right."""
    read = rows(folder, "exam_rescore")
    keys = json.loads(read[0]["keys"])
    for key in keys.values():
        key["tolerance"] *= 1.5
    read[0]["keys"] = json.dumps(keys)
    keep(folder, "tables/exam_rescore.json", read)


def change_log(folder):
    """The log's own entry says that somebody has passed; what follows in the chain does not fit any more."""
    path = folder / "log.jsonl"
    text = path.read_text("utf-8")
    assert text.count(r"\"lowers\":true") == 1
    path.write_text(text.replace(r"\"lowers\":true", r"\"lowers\":false"), "utf-8")


def turn_result(number, **facts):
    def turn(folder):
        read = rows(folder, "exam_rescore")
        read[number]["result"] = json.dumps({**json.loads(read[number]["result"]), **facts})
        keep(folder, "tables/exam_rescore.json", read)

    return named(turn, "turn result", number, *facts)


ROSA, ANA, ROSA_AGAIN = range(3)  # the rows, in their order
TRICKS = [
    (change_row("exam_rescore", ANA, right=5), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, passed=False, valid_until=None), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ROSA, lowers=False), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, valid_until="2036-01-01T00:00:00.000000Z"), {"row.differs"}),
    (change_row("exam_rescore", ANA, valid_until=None), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, reason="None."), {"row.differs"}),
    (change_row("exam_rescore", ANA, how="right"), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, marks='{"9":["wrong","right"]}'), {"row.differs"}),
    (change_row("exam_rescore", ANA, marks="{}", keys="{}"), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, old_fingerprint="0" * 64), {"row.differs", "rescore.score"}),
    (change_row("exam_rescore", ANA, new_fingerprint="0" * 64), {"row.differs"}),
    (change_row("exam_rescore", ANA, salt="0" * 64), {"row.differs"}),
    (change_row("exam_rescore", ANA, by_id=2), {"row.differs", "rescore.self"}),
    (change_row("exam_rescore", ANA, at="2026-03-01T00:00:00.000000Z"), {"row.differs"}),
    (change_row("exam_rescore", ANA, act="another"), {"row.differs"}),
    (change_row("exam_rescore", ANA, seen_at=None), {"rescore.score"}),
    (change_row("exam_rescore", ROSA, seen_at="2026-03-03T00:00:00.000000Z"), {"rescore.score"}),
    (turn_result(ANA, right=5), {"row.differs", "rescore.score"}),
    (turn_result(ROSA, passed=True), {"row.differs", "rescore.score"}),
    (change_key, {"row.differs"}),
    (change_log, {"chain.hash", "row.differs"}),
    (drop_row("exam_rescore", ANA), {"row.lost"}),
    (add_row("exam_rescore", act="made up"), {"row.unlogged", "rescore.score"}),
]  # fmt: skip


@pytest.mark.parametrize(("trick", "told"), TRICKS)
def test_whoever_changes_what_was_scored_again_is_found_by_name(folder, tmp_path, trick, told):
    other = copied(folder, tmp_path / "out")
    trick(other)
    assert told <= set(faults(remade(other)))


def test_a_pass_that_the_newer_key_would_not_give_is_looked_at(folder, tmp_path):
    other = copied(folder, tmp_path / "out")
    drop_row("exam_rescore", ROSA_AGAIN)(other)
    report = verifier.verify(remade(other))
    assert "rescore.lowers" in dict(report.looks)
    assert {key for key, _ in report.faults} == {"row.lost"}
