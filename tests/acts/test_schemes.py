"""Frozen versions and panels on both databases: what is refused, what is logged, what an exam makes of a sealed cut."""

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.acts.test_exams import (
    SECRET,
    begin,
    cast,
    check_log,
    entries,
    keys,
    make_tools,
    say,
    sitting_of,
    tools,
    who,
)
from tests.cast import MONDAY
from tests.six_kinds import six_kinds, six_scheme
from trainer.access.refusal import Refused
from trainer.acts import exams, panels, schemes
from trainer.exams.analysis import Analysis, JobTask
from trainer.exams.panel import Adoption
from trainer.exams.paper import instance_of, read_paper
from trainer.exams.scheme import Text
from trainer.exams.setting import instance_key
from trainer.exams.versions import fingerprint, scheme_text
from trainer.records.export import exported_tables
from trainer.records.queries import schemes as queries

__all__ = ["cast"]
DAY = timedelta(days=1)
WORDS = Text("words", "palabras")


@pytest.fixture
def mia(cast):
    return who(cast, cast.mia)


def rated(review_by):
    tasks = (JobTask("t", WORDS, 1, 1, 5, six_scheme().skills),)
    return six_scheme(analysis=Analysis((WORDS,), date(2026, 1, 1), review_by, WORDS, tasks))


def frozen(cast, site=None):
    with cast.database.reading() as db:
        return queries.frozen(db, site or cast.site, "six", 1)


def start(cast, member, scheme, now=MONDAY):
    given = replace(make_tools(), schemes={"six": scheme})
    return exams.start(cast.database, member=member, scheme_id="six", tools=given, now=now)


def test_a_manager_freezes_a_version_once(cast, mia):
    for _ in range(2):
        assert schemes.freeze_scheme(cast.database, by=mia, scheme=six_scheme(), now=MONDAY) is None
    kept = frozen(cast)
    assert (kept.fingerprint, kept.frozen_by) == (fingerprint(six_scheme()), "Mia Okafor")
    (entry,) = entries(cast, "scheme.frozen")
    assert (entry["by"], entry["facts"]["sha256"]) == (mia.public_id, kept.fingerprint)
    assert frozen(cast, cast.other_site) is None
    check_log(cast)


def test_only_a_manager_freezes(cast):
    for person in (cast.ana, cast.tom, cast.lee):
        done = schemes.freeze_scheme(cast.database, by=who(cast, person), scheme=six_scheme(), now=MONDAY)
        assert done == Refused(("scheme.not_manager",))
    assert frozen(cast) is None


def test_the_first_exam_freezes_what_nobody_froze(cast):
    begin(cast, who(cast, cast.ana))
    assert frozen(cast).frozen_by is None
    (entry,) = entries(cast, "scheme.frozen")
    assert entry["by"] == "system"


def test_a_text_that_changed_under_its_version_starts_no_exam(cast, mia):
    schemes.freeze_scheme(cast.database, by=mia, scheme=six_scheme(), now=MONDAY)
    ana = who(cast, cast.ana)
    for changed in (six_scheme(cut=3), six_scheme(minutes=11), six_scheme(scope=Text("all", "todo"))):
        assert start(cast, ana, changed).refused == ("scheme.changed",)
        assert schemes.freeze_scheme(cast.database, by=mia, scheme=changed, now=MONDAY) == Refused(
            ("scheme.changed",)
        )
    assert start(cast, ana, six_scheme(cut=3, version=2)).refused == ()


def test_an_exam_that_was_open_goes_on_when_the_text_changes(cast):
    ana = who(cast, cast.ana)
    exam = begin(cast, ana)
    for slot, typed in keys(cast, exam).items():
        say(cast, ana, exam, slot, typed)
    done = exams.submit(cast.database, member=ana, public_id=exam, tools=make_tools(cut=6), now=MONDAY)
    assert done.closed and json.loads(sitting_of(cast, exam).result)["cut"] == 4


def test_a_new_version_cannot_begin_on_a_stale_analysis(cast, mia):
    stale = rated(date(2026, 3, 1))
    assert schemes.freeze_scheme(cast.database, by=mia, scheme=stale, now=MONDAY) == Refused(
        ("scheme.stale",)
    )
    assert start(cast, who(cast, cast.ana), stale).refused == ("scheme.stale",)
    assert frozen(cast) is None
    good = rated(date(2026, 3, 2))
    assert schemes.freeze_scheme(cast.database, by=mia, scheme=good, now=MONDAY) is None
    # Past its day it goes on: people sit under it, and it is frozen.
    assert start(cast, who(cast, cast.ana), good, MONDAY + 30 * DAY).refused == ()


def test_a_field_that_a_scheme_leaves_out_changes_no_frozen_text():
    assert '"analysis"' not in scheme_text(six_scheme()) and '"because"' not in scheme_text(six_scheme())
    assert json.loads(scheme_text(six_scheme()))["areas"][1]["critical"] is True


def open_panel(cast, mia, definition="Knows the steps, slow at figures.", **facts):
    return panels.open_panel(
        cast.database,
        by=mia,
        scheme=six_scheme(**facts),
        definition=definition,
        tools=tools(**facts),
        now=MONDAY,
    )


def name(cast, mia, panel, person, words="Ten years on the line."):
    wanted = panels.Nomination(person, words)
    return panels.name_judge(cast.database, by=mia, public_id=panel, wanted=wanted, now=MONDAY)


def rate_all(cast, panel, person, per_cents, round_=1, now=MONDAY):
    judge = who(cast, person)
    for item, per_cent in enumerate(per_cents, 1):
        facts = {"public_id": panel, "item": item, "per_cent": per_cent, "round_": round_, "now": now}
        assert panels.rate(cast.database, by=judge, **facts) is None
    assert panels.hand_in(cast.database, by=judge, public_id=panel, now=now) is None


SAID = ([70, 80, 90, 60, 80, 70], [80, 80, 80, 70, 90, 80], [60, 90, 90, 80, 80, 80])


def rated_panel(cast, mia, **facts):
    panel = open_panel(cast, mia, **facts)
    judges = (cast.tom, cast.mia, cast.rosa)
    for judge in judges:
        assert name(cast, mia, panel, judge) is None
    for judge, said in zip(judges, SAID, strict=True):
        rate_all(cast, panel, judge, said)
    return panel


def seal(cast, mia, panel, cut=5, effective=MONDAY, reason="", now=MONDAY):
    wanted = Adoption(cut, effective, reason, used=False)
    return panels.seal(cast.database, by=mia, public_id=panel, wanted=wanted, now=now)


def panel_of(cast, panel):
    with cast.database.reading() as db:
        return queries.panel(db, cast.site, panel)


def test_a_panel_sets_the_cut_and_the_exam_keeps_it(cast, mia):
    panel = rated_panel(cast, mia)
    assert seal(cast, mia, panel) is None
    kept = panel_of(cast, panel)
    study = panels.read_study(kept.result)
    # By hand: sums 4.5, 4.8, 4.8; mean 4.7, deviations -.2 .1 .1, SD .1732, SE .1.
    assert study.sums == pytest.approx((4.5, 4.8, 4.8))
    assert (study.cut, study.sd, study.se) == pytest.approx((4.7, 0.1732, 0.1), abs=1e-4)
    assert (kept.cut, kept.sealed_by, study.pass_mark, study.band) == (5, "Mia Okafor", 5, (5, 5))
    exam = begin(cast, who(cast, cast.ana))
    paper = exams.paper_of(sitting_of(cast, exam))
    assert (paper.rules.cut, paper.cut_from) == (5, panel)
    assert paper.comparison is not None
    assert len(entries(cast, "panel.round_handed_in")) == 3
    check_log(cast)
    with cast.database.reading() as db:
        given = dict(exported_tables(db, cast.site))
        other = dict(exported_tables(db, cast.other_site))
    assert (len(given["cut_rating"]), len(given["cut_judge"]), len(given["frozen_scheme"])) == (18, 3, 1)
    assert not any(other[table] for table in ("cut_rating", "cut_judge", "cut_panel", "frozen_scheme"))


def test_a_sealed_panel_never_changes_and_every_try_is_logged(cast, mia):
    panel = rated_panel(cast, mia)
    seal(cast, mia, panel)
    before = panel_of(cast, panel)
    tries = [
        seal(cast, mia, panel, cut=4),
        panels.rate(cast.database, by=mia, public_id=panel, item=1, per_cent=10, round_=1, now=MONDAY),
        panels.next_round(cast.database, by=mia, public_id=panel, now=MONDAY),
        panels.drop(cast.database, by=mia, public_id=panel, now=MONDAY),
        panels.hand_in(cast.database, by=mia, public_id=panel, now=MONDAY),
        name(cast, mia, panel, cast.tom),
    ]
    assert all("panel.sealed" in one.reasons for one in tries)
    assert len(entries(cast, "panel.held_off")) == len(tries)
    assert panel_of(cast, panel) == before
    check_log(cast)


def test_a_cut_never_works_backwards(cast, mia):
    ana = who(cast, cast.ana)
    first = begin(cast, ana)
    exams.submit(cast.database, member=ana, public_id=first, tools=tools(), now=MONDAY)
    panel = rated_panel(cast, mia)
    assert seal(cast, mia, panel) == Refused(("panel.backwards",))
    assert seal(cast, mia, panel, effective=MONDAY - DAY) == Refused(("panel.backwards",))
    assert seal(cast, mia, panel, effective=MONDAY + 2 * DAY) is None
    second = begin(cast, ana, MONDAY + DAY)
    exams.submit(cast.database, member=ana, public_id=second, tools=tools(), now=MONDAY + DAY)
    third = begin(cast, ana, MONDAY + 3 * DAY)
    cuts = [exams.paper_of(sitting_of(cast, one)).rules.cut for one in (first, second, third)]
    assert cuts == [4, 4, 5]
    assert json.loads(sitting_of(cast, first).result)["cut"] == 4


def test_a_panel_counts_for_its_version_alone(cast, mia):
    seal(cast, mia, rated_panel(cast, mia))
    started = start(cast, who(cast, cast.ana), six_scheme(version=2))
    paper = exams.paper_of(sitting_of(cast, started.public_id))
    assert (paper.rules.cut, paper.cut_from) == (4, None)


def test_what_stands_against_sealing(cast, mia):
    panel = open_panel(cast, mia)
    assert set(seal(cast, mia, panel).reasons) == {"panel.few_judges", "panel.round_open"}
    for judge in (cast.tom, cast.mia, cast.rosa):
        name(cast, mia, panel, judge)
    rate_all(cast, panel, cast.tom, SAID[0])
    assert seal(cast, mia, panel).reasons == ("panel.round_open",)
    rate_all(cast, panel, cast.mia, SAID[1])
    rate_all(cast, panel, cast.rosa, SAID[2])
    assert seal(cast, mia, panel, cut=6).reasons == ("panel.outside_band", "panel.reason_needed")
    assert seal(cast, who(cast, cast.tom), panel).reasons == ("panel.unknown",)
    assert seal(cast, who(cast, cast.otto), panel).reasons == ("panel.unknown",)


def test_a_cut_beside_the_panels_own_needs_a_reason(cast, mia):
    panel = open_panel(cast, mia)
    for judge in (cast.tom, cast.mia, cast.rosa):
        name(cast, mia, panel, judge)
    for judge, said in zip((cast.tom, cast.mia, cast.rosa), (50, 70, 95), strict=True):
        rate_all(cast, panel, judge, [said] * 6)
    assert seal(cast, mia, panel, cut=4).reasons == ("panel.reason_needed",)
    assert seal(cast, mia, panel, cut=4, reason="The pressure of time on the floor.") is None
    assert panel_of(cast, panel).reason == "The pressure of time on the floor."
    assert "pressure" not in json.dumps(entries(cast))


def test_a_second_round_starts_anew_and_counts(cast, mia):
    panel = rated_panel(cast, mia)
    assert panels.next_round(cast.database, by=mia, public_id=panel, now=MONDAY) is None
    assert seal(cast, mia, panel).reasons == ("panel.round_open",)
    late = panels.rate(cast.database, by=mia, public_id=panel, item=1, per_cent=10, round_=1, now=MONDAY)
    assert late.reasons == ("panel.round_over",)
    for judge in (cast.tom, cast.mia, cast.rosa):
        rate_all(cast, panel, judge, [80] * 6, round_=2)
    assert seal(cast, mia, panel) is None
    study = panels.read_study(panel_of(cast, panel).result)
    assert (study.cut, study.sd, study.single) == (pytest.approx(4.8), 0, None)
    with cast.database.reading() as db:
        given = queries.ratings(db, panel_of(cast, panel).id)
    assert [sum(one.round == number for one in given) for number in (1, 2)] == [18, 18]


def test_who_may_judge_and_what_may_be_said(cast, mia):
    panel = open_panel(cast, mia)
    assert name(cast, mia, panel, cast.ana).reasons == ("panel.cannot_judge",)
    assert name(cast, mia, panel, cast.otto).reasons == ("panel.cannot_judge",)
    assert name(cast, mia, panel, cast.tom, " ").reasons == ("panel.no_qualification",)
    name(cast, mia, panel, cast.tom)
    assert name(cast, mia, panel, cast.tom).reasons == ("panel.judge_twice",)
    tom = who(cast, cast.tom)
    facts = {"public_id": panel, "round_": 1, "now": MONDAY}
    for item, per_cent, why in (
        (0, 50, "no_item"),
        (7, 50, "no_item"),
        (1, 101, "rating_range"),
        (1, -1, "rating_range"),
    ):
        done = panels.rate(cast.database, by=tom, item=item, per_cent=per_cent, **facts)
        assert done.reasons == (f"panel.{why}",)
    assert panels.rate(cast.database, by=mia, item=1, per_cent=50, **facts).reasons == ("panel.not_judge",)
    assert panels.hand_in(cast.database, by=tom, public_id=panel, now=MONDAY).reasons == (
        "panel.not_all_rated",
    )
    rate_all(cast, panel, cast.tom, SAID[0])
    assert panels.hand_in(cast.database, by=tom, public_id=panel, now=MONDAY) is None
    assert panels.rate(cast.database, by=tom, item=1, per_cent=50, **facts).reasons == ("panel.round_over",)
    assert name(cast, mia, panel, cast.rosa).reasons == ("panel.begun",)


def test_one_panel_at_a_time_and_one_that_is_dropped_sets_nothing(cast, mia):
    assert open_panel(cast, mia, definition=" ").reasons == ("panel.no_definition",)
    panel = open_panel(cast, mia)
    assert open_panel(cast, mia).reasons == ("panel.one_open",)
    assert panels.drop(cast.database, by=mia, public_id=panel, now=MONDAY) is None
    assert seal(cast, mia, panel).reasons == ("panel.dropped",)
    again = open_panel(cast, mia)
    assert panel_of(cast, again).number == 2
    assert (
        read_paper(json.loads(panel_of(cast, again).form)).form
        != read_paper(json.loads(panel_of(cast, panel).form)).form
    )


def test_a_retake_repeats_no_stem_with_its_numbers(cast):
    ana, asked = who(cast, cast.ana), []
    for attempt in range(3):
        now = MONDAY + attempt * 2 * DAY
        exam = begin(cast, ana, now)
        exams.submit(cast.database, member=ana, public_id=exam, tools=tools(), now=now)
        asked.append(exams.paper_of(sitting_of(cast, exam)))
    had = set()
    for paper in asked:
        for slot in paper.form.slots:
            instance = instance_of(paper, slot, six_kinds().find, SECRET)
            again = instance_key(instance) in had
            assert again == (slot.number in paper.comparison.repeated)
            assert not (again and instance.question.is_family)
        had |= {instance_key(instance_of(paper, slot, six_kinds().find, SECRET)) for slot in paper.form.slots}
