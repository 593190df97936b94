"""Reading schemes: the shipped ones, and every fault with its place."""

from pathlib import Path

import pytest

from trainer.documents import DocumentError
from trainer.exams.reading import load_schemes, read_scheme
from trainer.exams.scheme import BenchItem
from trainer.exams.versions import scheme_text
from trainer.language.skills import load_skills

QUESTIONS = Path(__file__).parents[2] / "questions"

SMALL = """\
id: small
version: 1
title: {en: Small, es: Chico}
scope: {en: Eyes, es: Fotoceldas}
opens_cabinet: false
minutes: 10
cut: 2
tries: {most: 2, within_days: 30, wait_hours: 4}
mastery: none
exam_months: 12
certificate_months: 12
areas:
  - {id: eyes, title: {en: Eyes, es: Fotoceldas}, skills: [eyes.see], items: 3}
"""


@pytest.fixture(scope="module")
def shipped():
    return load_schemes(QUESTIONS / "schemes")


def test_the_cabinet_scheme_asks_every_skill_that_can_hurt(shipped):
    cabinet = shipped["cabinet"]
    topics = load_skills((QUESTIONS / "skills.yaml").read_text("utf-8"), "skills.yaml")
    hazards = {skill.id for topic in topics for skill in topic.skills if skill.hazard}
    critical = [area for area in cabinet.areas if area.critical]
    assert {skill for area in critical for skill in area.skills} == hazards
    assert sum(area.items for area in critical) == len(hazards)
    assert {area.id for area in cabinet.areas} == {topic.id for topic in topics}
    assert set(cabinet.skills) == {skill.id for topic in topics for skill in topic.skills}
    assert (cabinet.items, cabinet.minutes, cabinet.cut) == (24, 40, 19)


def test_the_practical_has_the_steps_that_nothing_makes_up_for(shipped):
    practical = shipped["cabinet"].practical
    steps = {step.id: step for step in practical.steps}
    assert practical.machine_bound
    assert len(steps) == 14
    # Clauses as in 29 CFR 1910.147(d)-(e), 2015 edition; live-dead-live is common practice beyond 1910.333.
    for step in ("own_lock", "tries_start", "controls_off", "live_dead_live", "releases_stored"):
        assert steps[step].critical and steps[step].clause.startswith("29 CFR 1910.")
    assert steps["tries_start"].clause == "29 CFR 1910.147(d)(6)"


def test_every_step_says_in_both_languages_what_must_be_seen(shipped):
    for step in shipped["cabinet"].practical.steps:
        assert step.criteria.en.endswith(".") and step.criteria.es.endswith("."), step.id
        assert step.criteria.en not in (step.text.en, step.criteria.es)


def test_the_basics_open_no_cabinet(shipped):
    basics = shipped["basics"]
    assert (basics.items, basics.minutes, basics.opens_cabinet, basics.practical) == (12, 20, False, None)
    # Weights of its tasks 36 31 20 18 57 of 162; shares of 12: 2.67 2.30 1.48 1.33 4.22, worked by hand.
    assert [area.items for area in basics.areas] == [3, 2, 2, 1, 4]


def test_a_few_places_are_for_questions_on_trial(shipped):
    assert {name: scheme.trial_places for name, scheme in shipped.items()} == {"basics": 2, "cabinet": 2}
    # Two more in 20 minutes for 12 and in 40 for 24: two times 100 seconds, up to whole minutes.
    assert [scheme.minutes_with(2) - scheme.minutes for scheme in shipped.values()] == [4, 4]
    assert not any("trial" in scheme_text(scheme) for scheme in shipped.values())


def test_every_text_stands_in_both_languages(shipped):
    for scheme in shipped.values():
        texts = [scheme.title, scheme.scope, *(area.title for area in scheme.areas)]
        texts += [step.text for step in scheme.practical.steps] if scheme.practical else []
        assert all(text.en and text.es and text.en != text.es for text in texts)


def test_a_small_scheme_reads():
    scheme = read_scheme(SMALL, "small.yaml")
    assert (scheme.items, scheme.cut, scheme.tries.wait_hours) == (3, 2, 4)
    assert scheme.title.say("es") == "Chico"


@pytest.mark.parametrize(
    ("was", "now", "place", "wrong"),
    [
        ("cut: 2", "cut: 4", "small.yaml:7:6", "A form has 3 questions."),
        ("minutes: 10", "minutes: 0", "small.yaml:6:10", "out of range"),
        ("cut: 2", "cut: 2\ntrial_places: 1", "small.yaml:8:15", "At most a quarter of a form's 3 items"),
        ("cut: 2", "cut: 2\ntrial_places: -1", "small.yaml:8:15", "out of range"),
        ("minutes: 10", "minutes: ten", "small.yaml:6:10", "A whole number"),
        ("id: small", "id: Small Exam", "small.yaml:1:5", "not a name"),
        ("[eyes.see]", "[see]", "small.yaml:13:60", "not a name"),
        ("[eyes.see]", "[eyes.see, eyes.see]", "small.yaml:13:70", "stands here twice"),
        ("[eyes.see]", "[]", "small.yaml:13:59", "needs a skill"),
        ("mastery: none", "mastery: some", "small.yaml:9:10", "no such demand"),
        ("opens_cabinet: false", "opens_cabinet: true", "small.yaml:5:16", "opens no cabinet"),
        ("most: 2, ", "", "small.yaml:8:8", "`most` is missing"),
        ("items: 3", "weight: 3", "small.yaml:13:71", "no such field"),
        ("title: {en: Small, es: Chico}", "title: {en: Small}", "small.yaml:3:8", "`es` is missing"),
    ],
)
def test_a_fault_is_told_with_its_place(was, now, place, wrong):
    assert was in SMALL
    with pytest.raises(DocumentError) as told:
        read_scheme(SMALL.replace(was, now, 1), "small.yaml")
    assert any(str(fault.place) == place and wrong in str(fault) for fault in told.value.faults), told.value


DELAYS = SMALL.replace("[eyes.see], items: 3", "[eyes.see, delays.window], items: 3")


def with_benches(benches, text=DELAYS):
    return text.replace("items: 3}", f"items: 3, benches: {benches}}}")


def test_an_area_names_benches_beside_its_questions():
    (area,) = read_scheme(with_benches("[{bench: delay, level: 2}]"), "small.yaml").areas
    # The first of the bench's skills that the area has.
    assert area.benches == (BenchItem("delay", "2", "delays.window"),)
    assert (area.items, area.questions) == (3, 2)
    named = with_benches("[{bench: delay, level: 1, skill: delays.off_delay}]").replace(
        "delays.window]", "delays.window, delays.off_delay]"
    )
    assert read_scheme(named, "small.yaml").areas[0].benches[0].skill == "delays.off_delay"


def test_benches_count_within_items_that_are_shared_out_by_weight():
    weighed = with_benches("[{bench: delay, level: 3}]").replace("items: 3,", "importance: 2, frequency: 3,")
    (area,) = read_scheme("items: 5\n" + weighed, "small.yaml").areas
    assert (area.items, area.questions) == (5, 4)


@pytest.mark.parametrize(
    ("benches", "read", "wrong"),
    [
        ("[{bench: delays, level: 2}]", "delays", "There is no such bench. Write one of "),
        ("[{bench: delay, level: 4}]", "4", "A bench has no such level. Write 1, 2, 3."),
        ("[{bench: delay, level: hard}]", "hard", "A bench has no such level."),
        ("[{bench: lockout, level: 1}]", "lockout", "The area has no skill of this bench (lockout."),
        (
            "[{bench: delay, level: 1, skill: eyes.see}]",
            "eyes.see",
            "does not practise this skill of the area. Write",
        ),
        ("[{bench: delay, level: 1, skill: delays.on_delay}]", "delays.on_delay", "skill of the area"),
        (
            "[{bench: delay, level: 1}, {bench: delay, level: 2}]",
            "delay",
            "The bench delay stands here twice.",
        ),
        ("[{bench: delay}]", "", "`level` is missing"),
        ("[{bench: delay, level: 1, eye: x}]", "eye", "no such field"),
        ("delay", "delay", "list"),
    ],
)
def test_a_fault_of_a_bench_is_told_with_its_place(benches, read, wrong):
    text = with_benches(benches)
    with pytest.raises(DocumentError) as told:
        read_scheme(text, "small.yaml")
    fault = next(one for one in told.value.faults if wrong in str(one))
    assert (fault.place.file, fault.place.line) == ("small.yaml", 13)
    assert fault.mend
    assert text.splitlines()[12][fault.place.column - 1 :].startswith(read)


def test_an_area_has_no_more_benches_than_items():
    text = with_benches("[{bench: delay, level: 1}, {bench: beam, level: 1}]").replace(
        "items: 3,", "items: 1,"
    )
    text = text.replace("delays.window]", "delays.window, mounting.beam_heights]").replace("cut: 2", "cut: 1")
    with pytest.raises(DocumentError, match=r"The area has 1 items\. Benches cannot be more than that\."):
        read_scheme(text, "small.yaml")


def test_all_faults_are_told_at_once():
    spoiled = (
        SMALL.replace("cut: 2", "cut: 9")
        .replace("mastery: none", "mastery: x")
        .replace("minutes: 10", "minutes: 0")
    )
    with pytest.raises(DocumentError) as told:
        read_scheme(spoiled, "small.yaml")
    assert [fault.place.line for fault in told.value.faults] == [6, 7, 9]


def test_weights_and_numbers_do_not_mix():
    with pytest.raises(DocumentError, match="`importance` is missing"):
        read_scheme("items: 12\n" + SMALL, "small.yaml")


def test_two_files_with_one_id_are_refused(tmp_path):
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text(SMALL, "utf-8")
    with pytest.raises(DocumentError, match=r"b\.yaml:1:1: .*already a scheme small"):
        load_schemes(tmp_path)


@pytest.mark.parametrize(("items", "places"), [(4, 1), (7, 1), (8, 2)])
def test_a_quarter_of_a_form_may_be_on_trial(items, places):
    longer = SMALL.replace("items: 3", f"items: {items}")
    read = read_scheme(longer.replace("cut: 2", f"cut: 2\ntrial_places: {places}"), "small.yaml")
    assert (read.trial_places, read.items) == (places, items)
    assert read_scheme(longer, "small.yaml").trial_places == 0
    with pytest.raises(DocumentError, match=f"Write {places} or less"):
        read_scheme(longer.replace("cut: 2", f"cut: 2\ntrial_places: {places + 1}"), "small.yaml")
