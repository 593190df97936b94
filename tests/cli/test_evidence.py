"""Evidence for an auditor: the folder, and the program in it that checks everything alone."""

import pytest

from tests.cli.audited import made_wash
from trainer import verifier


@pytest.fixture(scope="module")
def wash(tmp_path_factory):
    made = made_wash(f"sqlite:///{tmp_path_factory.mktemp('audited') / 'wash.sqlite3'}")
    yield made
    made.cast.database.dispose()


@pytest.fixture(scope="module")
def folder(wash, tmp_path_factory):
    return wash.export(tmp_path_factory.mktemp("evidence") / "out")


def faults(folder):
    return [key for key, _ in verifier.verify(folder).faults]


def test_untouched_evidence_holds(folder):
    report = verifier.verify(folder)
    for language in ("en", "es"):
        for key, facts in (*report.faults, *report.looks, *report.holds):
            assert "{" not in verifier.say(key, facts, language)
    assert report.faults == []
    assert {key for key, _ in report.looks} == {"chain.sealed", "exam.open", "role.second"}
    holds = dict(report.holds)
    assert holds["head.ok"] == {"heads": 3}
    assert holds["certificate.ok"] == {"count": 2} and holds["status.ok"] == {"lists": 2}
    assert holds["exam.ok"]["exams"] == 4 and holds["exam.ok"]["scored"] == 3
    assert holds["exam.read"] == {"own": 2, "given": 1}
