"""A site's own questions as acts, on both databases: who may take which step, what is asked where, what is kept."""

from datetime import timedelta

import pytest

from tests.acts.test_exams import check_log, entries
from tests.acts.test_learning import bank, cast, member, tools
from tests.cast import MONDAY
from trainer.acts import questions as acts
from trainer.acts.learning import show_drill
from trainer.language.own import check_text, own_name
from trainer.language.source import fingerprint
from trainer.records.export import exported_tables
from trainer.records.queries import learning as drills
from trainer.records.queries import questions as queries
from trainer.sites import demo_sheet, site_values

__all__ = ["cast", "tools"]
NAME = "measuring.own_long_van"
SKILL = "measuring.length_from_pulses"
SITE = site_values(demo_sheet())
TEXT = """\
id: measuring.own_long_van
version: 1
skill: measuring.length_from_pulses
level: 1
kind: number
site: [pulses_per_foot]
draw:
  pulses: {from: 250, to: 300, step: 1}
let:
  length: {value: pulses / pulses_per_foot, unit: ft}
ask:
  en: "The van of the bakery blocks the eye for {{ pulses }} pulses at {{ pulses_per_foot }}. How long is it?"
  es: "La van de la panadería corta el ojo {{ pulses }} pulsos a {{ pulses_per_foot }}. ¿Cuánto mide?"
answer: {value: length, unit: ft, within: 1 in}
steps:
  - {en: "Divide pulses by pulses per foot.", es: "Divide los pulsos entre los pulsos por pie."}
slips:
  - id: multiplied
    value: pulses * shown(pulses_per_foot)
    because: {en: "You multiplied by {{ pulses_per_foot }}.", es: "Multiplicaste por {{ pulses_per_foot }}."}
"""
SECOND = TEXT.replace("version: 1", "version: 2").replace("bakery", "florist")


def who(cast, name):
    return member(cast, getattr(cast, name))


def begin(cast, text=TEXT, name=NAME, by="tom"):
    return acts.begin(cast.database, member=who(cast, by), name=name, text=text, now=MONDAY)


def save(cast, text, seen, by="tom"):
    return acts.save(
        cast.database, member=who(cast, by), name=NAME, text=text, seen=fingerprint(seen), now=MONDAY
    )


def step(cast, kind, by, *, version=1, text=TEXT, note="", findings=()):
    return acts.step(
        cast.database, member=who(cast, by), name=NAME, version=version, kind=kind, findings=findings, note=note,
        now=MONDAY + timedelta(hours=1), checked=fingerprint(text),
    )  # fmt: skip


def one(cast):
    with cast.database.reading() as db:
        return queries.own_question(db, cast.site, NAME)


def asked(cast, *, pilots):
    with cast.database.reading() as db:
        found = queries.bank_at(db, bank(), cast.site, pilots=pilots).find(NAME)
    return None if found is None else found.version


def in_use(cast, version=1, text=TEXT):
    assert step(cast, "submitted", "tom", version=version, text=text) == ()
    assert step(cast, "reviewed", "mia", version=version, text=text) == ()
    assert step(cast, "published", "tom", version=version, text=text) == ()


def test_the_text_holds():
    assert check_text(TEXT, NAME, 1, bank(), SITE).findings == ()
    assert own_name("measuring", "Long van!") == NAME


def test_from_draft_to_use(cast):
    assert begin(cast).version == 1
    assert asked(cast, pilots=True) is None
    assert step(cast, "submitted", "tom") == ()
    assert step(cast, "reviewed", "tom") == ("question.own_work",)
    assert step(cast, "reviewed", "mia") == ()
    assert (asked(cast, pilots=True), asked(cast, pilots=False)) == (1, None)
    assert step(cast, "published", "tom") == ()
    assert (asked(cast, pilots=True), asked(cast, pilots=False)) == (1, 1)
    assert step(cast, "retired", "tom") == ("question.say_why",)
    assert step(cast, "retired", "tom", note="The bakery has a new van.") == ()
    assert asked(cast, pilots=True) is None
    check_log(cast)
    kinds = [entry["kind"] for entry in entries(cast)]
    assert [kind for kind in kinds if kind.startswith("question.")] == [
        f"question.{kind}" for kind in ("begun", "submitted", "reviewed", "published", "retired")
    ]


def test_a_version_in_use_stays_while_the_next_is_written(cast):
    begin(cast)
    in_use(cast)
    assert save(cast, SECOND, TEXT).version == 2
    assert one(cast).life.states == {1: "live", 2: "draft"}
    assert step(cast, "submitted", "tom", version=2, text=SECOND) == ()
    assert step(cast, "reviewed", "mia", version=2, text=SECOND) == ()
    assert (asked(cast, pilots=True), asked(cast, pilots=False)) == (2, 1)
    assert step(cast, "published", "mia", version=2, text=SECOND) == ()
    assert (asked(cast, pilots=False), one(cast).life.states) == (2, {1: "replaced", 2: "live"})


def test_what_was_asked_is_found_as_it_read_then(cast):
    begin(cast)
    in_use(cast)
    save(cast, SECOND, TEXT)
    in_use(cast, 2, SECOND)
    kept = queries.KeptQuestions(cast.database)
    assert kept.get(fingerprint(TEXT)).version == 1
    assert kept.get(fingerprint(SECOND)).version == 2
    assert kept.get("no such text") is None


def test_nothing_is_lost_between_two_people(cast):
    begin(cast)
    mine = TEXT.replace("bakery", "butcher")
    theirs = TEXT.replace("bakery", "florist")
    assert save(cast, theirs, TEXT, by="mia").version == 1
    assert save(cast, mine, TEXT).refused == ("question.changed_meanwhile",)
    assert save(cast, theirs, TEXT).version == 1  # a second click changes nothing and refuses nothing
    assert one(cast).newest.text == theirs
    assert step(cast, "submitted", "tom", text=TEXT) == ("question.changed_meanwhile",)
    # Whoever saved any text of a version has written on it.
    assert step(cast, "submitted", "tom", text=theirs) == ()
    assert step(cast, "reviewed", "mia", text=theirs) == ("question.own_work",)


def test_a_finding_stops_it(cast):
    begin(cast)
    assert step(cast, "submitted", "tom", findings=["no"]) == ("question.not_proven",)


def test_given_back_it_can_be_changed(cast):
    begin(cast)
    step(cast, "submitted", "tom")
    assert step(cast, "returned", "mia") == ("question.say_why",)
    assert step(cast, "returned", "mia", note="Which van?") == ()
    assert save(cast, TEXT.replace("bakery", "florist"), TEXT).version == 1


def test_names_are_free_or_not(cast):
    begin(cast)
    assert begin(cast).refused == ("question.name_taken",)
    assert begin(cast, by="otto").refused == ("question.name_taken",)
    with cast.database.reading() as db:
        assert queries.own_question(db, cast.other_site, NAME) is None


def test_it_is_practised_at_its_own_site_alone(cast, tools):
    begin(cast)
    in_use(cast)
    names = set()
    for hour in range(12):
        public_id = show_drill(
            cast.database, member=who(cast, "ana"), skills=(SKILL,), lesson=None, sheet_version=1, tools=tools,
            now=MONDAY + timedelta(hours=hour),
        )  # fmt: skip
        with cast.database.reading() as db:
            names.add(drills.drill(db, public_id).question)
    assert NAME in names
    with cast.database.reading() as db:
        assert queries.bank_at(db, bank(), cast.other_site, pilots=True) is bank()


def test_it_goes_out_with_the_site(cast):
    begin(cast)
    step(cast, "submitted", "tom")
    with cast.database.reading() as db:
        tables = dict(exported_tables(db, cast.site))
    assert len(list(tables["own_question_text"])) == 1
    assert len(list(tables["own_question_step"])) == 1


@pytest.mark.parametrize("broken", ["version: 2", "id: measuring.own_other"])
def test_a_head_that_is_another_s_is_a_fault(broken):
    old = "version: 1" if broken.startswith("version") else f"id: {NAME}"
    [fault] = check_text(TEXT.replace(old, broken), NAME, 1, bank(), SITE).faults
    assert fault.mend.startswith("Write `")


def test_a_question_of_a_skill_that_can_hurt_needs_a_caution():
    name, skill = "lockout.own_wait", "lockout.stored_charge"
    text = TEXT.replace(NAME, name).replace(f"skill: {SKILL}", f"skill: {skill}")
    [fault] = check_text(text, name, 1, bank(), SITE).faults
    assert "can hurt somebody" in str(fault)
    caution = "caution: {word: danger, en: Local codes come first., es: Los códigos locales van primero.}"
    cautioned = f"{text}{caution}\n"
    assert check_text(cautioned, name, 1, bank(), SITE).findings == ()
