"""The walk through the site sheet: each screen, what is kept, what is warned of, what is refused, how it ends."""

import re
from functools import partial

import pytest
from sqlalchemy import select, update

from tests.acts.test_questions import NAME, TEXT
from tests.cast import MONDAY, make_person
from trainer.acts import questions as acts
from trainer.acts.measuring import keep_check
from trainer.language.auditing import Audit
from trainer.language.generator import generator
from trainer.language.source import fingerprint
from trainer.records.queries import measuring as queries
from trainer.records.queries import people
from trainer.records.tables import Drill, SheetCheck
from trainer.sites import demo_text
from trainer.web.checking import check_where_changed

MEASURE = "/sheet/measure"
WIDTH = f"{MEASURE}/bay.width"
LOW = f"{MEASURE}/eyes.entry.low"


@pytest.fixture
def tom(stage):
    return stage.visitor(stage.cast.tom)


def text(answer):
    return (
        re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text)).replace("\xa0", " ").replace("&#39;", "'")
    )


def give(visitor, address, value="", go="keep", revision=None):
    seen = re.search(r'name="revision" value="(\d+)"', visitor.get(address).text)[1]
    return visitor.send(address, value=value, go=go, revision=seen if revision is None else revision)


def draft(stage):
    with stage.cast.database.reading() as db:
        return queries.open_walk(db, stage.cast.site)


def in_force(stage):
    with stage.cast.database.reading() as db:
        return people.sheet_in_force(db, stage.cast.site)


def checked(stage):
    with stage.cast.database.reading() as db:
        return queries.sheet_check(db, stage.cast.site, 1)


def finish(visitor):
    seen = re.search(r'name="seen" value="(\w+)"', visitor.get(f"{MEASURE}/finish").text)[1]
    return visitor.send(f"{MEASURE}/finish", seen=seen)


def test_the_overview_leads_to_the_first_open_number_and_on(stage, tom):
    page = tom.get(MEASURE)
    assert 'class="act" href="/sheet/measure/location.latitude"' in page.text
    assert "Start measuring" in page.text
    answer = give(tom, f"{MEASURE}/location.latitude", "39.1")
    assert answer.location == f"{MEASURE}/location.longitude"
    assert "Go on measuring" in tom.get(MEASURE).text
    assert draft(stage)["location.latitude"].written == "39.1 deg"


def test_a_screen_says_where_what_how_far_and_what_for(tom):
    page = text(tom.get(WIDTH))
    for said in (
        "Across the bay", "Run the tape level across the bay", "Plausible from 8 ft to 25 ft",
        "In force: 12 ft", "questions use it", "In the survey of your site it decides what the beam sees",
    ):  # fmt: skip
        assert said in page
    assert re.search(r"\d+ of \d+", page)
    assert "drawing.svg" in tom.get(WIDTH).text


@pytest.mark.parametrize(
    ("typed", "language", "system", "kept", "said"),
    [
        ("11 ft 10 1/2 in", "en", "us", "11 ft 10 1/2 in", "11 ft 10 1/2 in (11.88 ft)"),
        ("11' 10 1/2\"", "en", "us", "11' 10 1/2\"", "11 ft 10 1/2 in"),
        ("3.62 m", "en", "us", "3.62 m", "3.62 m (11.88 ft)"),
        ("3,62 m", "es", "metric", "3.62 m", "3,62 m"),
        ("3,62", "es", "metric", "3.62 m", "3,62 m"),
        ("11.5", "en", "us", "11.5 ft", "11.5 ft"),
    ],
)
def test_numbers_are_read_as_people_write_them(make_stage, typed, language, system, kept, said):
    stage = make_stage()
    nina = make_person(
        stage.cast.database, stage.cast.site, "Nina Hart", "trainer", language=language, system=system
    )
    visitor = stage.visitor(nina)
    assert give(visitor, WIDTH, typed).status_code == 303
    assert draft(stage)["bay.width"].written == kept
    assert said in text(visitor.get(WIDTH))
    assert give(visitor, f"{MEASURE}/eyes.entry.low", go="skip").status_code == 303


def test_the_value_in_force_is_kept_by_one_press_and_a_skip_leaves_it(stage, tom):
    give(tom, WIDTH, go="still")
    give(tom, LOW, go="skip")
    kept = draft(stage)
    assert (kept["bay.width"].state, kept["bay.width"].written) == ("kept", "12 ft")
    assert (kept["eyes.entry.low"].state, kept["eyes.entry.low"].written) == ("skipped", "")
    page = text(tom.get(MEASURE))
    assert "still right" in page
    assert "skipped for now" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("12 in", ["I read 12 in (1 ft).", "plausible from 8 ft to 25 ft", "Did you mean 12 ft?"]),
        ("120 ft", ["plausible from 8 ft to 25 ft", "Measure it again, or check its unit."]),
        ("12 s", ["This is a time; a length is expected."]),
        ("16 ft 33 in", ["There are 12 inches in a foot"]),
        ("", ["There is no answer yet."]),
        ("wide", ["I find no number at the beginning."]),
        ("1e999", ["That is not a number."]),
        ("x" * 200, ["too long"]),
    ],
)
def test_what_cannot_stand_in_the_sheet_is_refused_with_its_mend_and_stays_typed(stage, tom, typed, said):
    answer = give(tom, WIDTH, typed)
    assert answer.status_code == 422
    for one in said:
        assert one in text(answer)
    assert f'value="{typed}"' in answer.text
    assert draft(stage) == {}


def test_a_number_far_from_the_one_in_force_is_kept_but_asked_for_twice(stage, tom):
    answer = give(tom, LOW, "18 in")
    assert answer.location == LOW
    page = text(tom.get(LOW))
    assert "Kept: 18 in. Measure twice." in page
    assert "This is 3 times the value in force: measure twice." in page
    assert "I measured twice: keep it" in page
    assert "measure twice" in text(tom.get(MEASURE))
    assert not draft(stage)["eyes.entry.low"].sure
    assert give(tom, LOW, "18 in").location != LOW
    assert draft(stage)["eyes.entry.low"].sure
    assert "Worth measuring twice" not in text(tom.get(f"{MEASURE}/finish"))


def test_a_slip_of_unit_that_can_stand_is_named(tom):
    give(tom, f"{MEASURE}/eyes.entry.high", "30 cm")
    assert "30 in would be close to it: check the unit." in text(tom.get(f"{MEASURE}/eyes.entry.high"))


def test_a_word_is_chosen_and_no_other_is_taken(stage, tom):
    assert give(tom, f"{MEASURE}/eyes.entry.receiver_side", "left").status_code == 422
    give(tom, f"{MEASURE}/eyes.entry.receiver_side", "driver")
    assert draft(stage)["eyes.entry.receiver_side"].written == "driver"


def test_the_cabinet_stays_shut(tom):
    page = text(tom.get(f"{MEASURE}/supply.voltage"))
    assert "At the cabinet, door shut" in page
    assert "Do not open the cabinet" in page
    assert "DANGER" in page


def test_before_a_tape_is_laid_the_chain_is_locked_out(tom):
    for address in (
        MEASURE,
        f"{MEASURE}/eyes.entry.receiver_side",
        WIDTH,
        f"{MEASURE}/applications.rinse.distance",
    ):
        assert "Have the conveyor stopped and locked out" in text(tom.get(address))
    assert "locked out, as your" not in text(tom.get(f"{MEASURE}/business.call_out"))


def test_a_second_phone_does_not_overwrite_what_it_has_not_seen(stage, tom):
    nina = stage.visitor(make_person(stage.cast.database, stage.cast.site, "Nina Hart", "trainer"))
    nina.get(WIDTH)
    give(tom, WIDTH, "11 ft 10 in")
    answer = give(nina, WIDTH, "11 ft 9 in", revision=0)
    assert answer.status_code == 409
    assert "Somebody else measured this meanwhile" in text(answer)
    assert "Tom Becker" in text(answer)
    assert draft(stage)["bay.width"].written == "11 ft 10 in"
    give(nina, WIDTH, "11 ft 9 in")
    assert draft(stage)["bay.width"].written == "11 ft 9 in"


def test_the_same_form_sent_twice_counts_once(stage, tom):
    for _ in range(2):
        assert give(tom, WIDTH, "11 ft 10 in", revision=0).status_code == 303
    assert draft(stage)["bay.width"].revision == 1


def test_the_end_shows_what_changes_and_saves_one_version(stage, tom):
    give(tom, WIDTH, "11 ft 10 1/2 in")
    give(tom, LOW, go="still")
    page = text(tom.get(f"{MEASURE}/finish"))
    assert "1 number changes" in page
    assert "12 ft" in page
    assert "11 ft 10 1/2 in (11.88 ft)" in page
    answer = finish(tom)
    assert answer.location == "/sheet/questions"
    saved = in_force(stage)
    assert saved.version == 2
    assert saved.text == demo_text().replace("width: 12 ft", "width: 11 ft 10 1/2 in")
    assert draft(stage) == {}
    assert "Start measuring" in tom.get(MEASURE).text
    assert "Tom Becker" in text(tom.get(WIDTH))


def test_a_finish_that_is_sent_twice_saves_once(stage, tom):
    give(tom, WIDTH, "11 ft 10 1/2 in")
    seen = re.search(r'name="seen" value="(\w+)"', tom.get(f"{MEASURE}/finish").text)[1]
    assert tom.send(f"{MEASURE}/finish", seen=seen).status_code == 303
    again = tom.send(f"{MEASURE}/finish", seen=seen)
    assert again.status_code == 422
    assert "there is nothing to save" in text(again)
    assert in_force(stage).version == 2


def test_a_sheet_that_does_not_fit_together_is_not_saved_and_leads_to_the_screen_that_mends_it(stage, tom):
    give(tom, LOW, "31 in")
    give(tom, LOW, "31 in")
    page = tom.get(f"{MEASURE}/finish")
    assert "The low eye stands above the high eye." in text(page)
    assert f'<a href="{LOW}">Height of the lower lens above the floor</a>' in page.text
    assert 'name="seen"' not in page.text
    assert in_force(stage).version == 1


def test_the_edges_of_an_opening_come_onto_the_walk_and_into_the_sheet(stage, tom):
    assert tom.get(f"{MEASURE}/eyes.entry.opening.sill").status_code == 404
    give(tom, f"{MEASURE}/eyes.entry.opening", "there")
    for edge, value in (("sill", "0 in"), ("head", "8 ft"), ("before", "2 ft"), ("after", "3 ft")):
        assert give(tom, f"{MEASURE}/eyes.entry.opening.{edge}", value).status_code == 303
    finish(tom)
    assert "opening: {sill: 0 in, head: 8 ft, before: 2 ft, after: 3 ft}" in in_force(stage).text
    give(tom, f"{MEASURE}/eyes.entry.opening", "none")
    finish(tom)
    assert in_force(stage).text == demo_text()


def test_half_an_opening_is_told_at_the_end(tom):
    give(tom, f"{MEASURE}/eyes.entry.opening", "there")
    give(tom, f"{MEASURE}/eyes.entry.opening.sill", "0 in")
    assert "The field `head` is missing." in text(tom.get(f"{MEASURE}/finish"))


def test_a_walk_is_thrown_away_after_asking(stage, tom):
    give(tom, WIDTH, "11 ft 10 in")
    assert "1 number would be lost" in text(tom.get(f"{MEASURE}/drop"))
    tom.send(f"{MEASURE}/drop")
    assert draft(stage) == {}
    assert in_force(stage).version == 1


def test_it_survives_signing_out_and_another_person_goes_on(stage, tom):
    give(tom, WIDTH, "11 ft 10 in")
    tom.send("/sign-out")
    assert "11 ft 10 in" in text(stage.visitor(stage.cast.tom).get(WIDTH))


def test_a_stop_has_a_drawing_to_scale_of_the_numbers_as_they_stand(tom):
    before = re.search(r'src="([^"]+drawing.svg[^"]+)"', tom.get(WIDTH).text)[1].replace("&amp;", "&")
    give(tom, WIDTH, "11 ft")
    after = re.search(r'src="([^"]+drawing.svg[^"]+)"', tom.get(WIDTH).text)[1].replace("&amp;", "&")
    assert before != after
    svg = tom.get(after)
    assert svg.mimetype == "image/svg+xml"
    assert "11\xa0ft" in svg.text
    assert tom.get(f"{MEASURE}/business.call_out/drawing.svg").status_code == 404


def test_spanish(make_stage):
    stage = make_stage()
    nina = make_person(
        stage.cast.database, stage.cast.site, "Nina Hart", "trainer", language="es", system="metric"
    )
    visitor = stage.visitor(nina)
    page = text(visitor.get(WIDTH))
    assert "Lleva la cinta a nivel" in page
    assert "Creíble de 2,438 m a 7,62 m" in page
    answer = text(give(visitor, WIDTH, "3,6 cm"))
    assert "¿Quisiste decir 3,6 m?" in answer
    give(visitor, LOW, "45 cm")
    assert "veces el valor vigente: mide dos veces." in text(visitor.get(LOW))


def test_the_questions_are_checked_beside_the_pages_after_a_new_sheet(stage, tom):
    assert "have not been checked" in text(tom.get("/sheet"))
    give(tom, WIDTH, "11 ft 10 1/2 in")
    finish(tom)
    assert "0 of" in text(tom.get("/sheet/questions"))
    assert "are being checked" in text(tom.get("/sheet"))
    (work,) = stage.waiting
    tom.send("/sheet/questions")
    assert stage.waiting == [work], "a check that runs is not begun again"


def test_a_check_says_which_questions_do_not_hold_and_drills_leave_them_out(stage, tom, content, monkeypatch):
    bank = content["bank"]
    failing = bank.of_skill("measuring.length_from_pulses")[0]

    def quick(question, values):
        return Audit(
            question.id, True, 1, 0.0, "", 9.0, ("No draw can be shown.",) if question is failing else ()
        )

    monkeypatch.setattr("trainer.web.checking.audit", quick)
    tom.send("/sheet/questions")
    stage.waiting.pop()()
    page = text(tom.get("/sheet/questions"))
    assert f"1 of {len(bank.by_id)} questions does not hold with these numbers" in page
    assert failing.id in page
    assert "No draw can be shown." in page
    assert "does not hold" in text(tom.get("/sheet"))
    with stage.cast.database.reading() as db:
        assert queries.kept_out(db, stage.cast.site, 1, bank) == {failing.id}


def drilled(stage):
    with stage.cast.database.reading() as db:
        return set(db.scalars(select(Drill.question)))


def test_a_drill_asks_only_what_holds_here(stage):
    plan = stage.house.lessons.by_id["measuring.length"]
    bank = stage.house.bank
    barred = {one.id for skill in plan.skills for one in bank.of_skill(skill)[:-1]}
    audits = [Audit(id_, True, 1, 0.0, "", 9.0, ("No draw.",)) for id_ in barred]
    keep_check(
        stage.cast.database, site_id=stage.cast.site, version=1, bank=bank, audits=audits, now=stage.clock()
    )
    for person in (stage.cast.ana, stage.cast.tom, stage.cast.mia):
        assert stage.visitor(person).send("/drill", lesson="measuring.length").status_code == 303
    assert drilled(stage)
    assert not drilled(stage) & barred


def test_a_skill_without_a_question_that_holds_is_asked_last(stage):
    plan = stage.house.lessons.by_id["measuring.length"]
    bank = stage.house.bank
    every = [one.id for skill in plan.skills for one in bank.of_skill(skill)]
    audits = [Audit(id_, True, 1, 0.0, "", 9.0, ("No draw.",)) for id_ in every]
    keep_check(
        stage.cast.database, site_id=stage.cast.site, version=1, bank=bank, audits=audits, now=stage.clock()
    )
    stage.visitor(stage.cast.ana).send("/drill", lesson="measuring.length")
    assert drilled(stage) <= set(every)


def test_a_check_that_breaks_off_can_be_begun_again(stage, tom, monkeypatch):
    def breaks(question, values):
        raise RuntimeError("broken")

    monkeypatch.setattr("trainer.web.checking.audit", breaks)
    tom.send("/sheet/questions")
    with pytest.raises(RuntimeError, match="broken"):
        stage.waiting.pop()()
    assert "Check the questions" in text(tom.get("/sheet/questions"))
    tom.send("/sheet/questions")
    assert len(stage.waiting) == 1


def test_a_sites_own_questions_are_checked_with_the_others(stage, tom):
    tom.send("/sheet/questions")
    stage.waiting.pop()()
    before = checked(stage).questions
    live = partial(acts.step, stage.cast.database, name=NAME, version=1, findings=(), note="", now=MONDAY)
    with stage.cast.database.reading() as db:
        tom_, mia = (people.member(db, one) for one in (stage.cast.tom, stage.cast.mia))
    acts.begin(stage.cast.database, member=tom_, name=NAME, text=TEXT, now=MONDAY)
    for kind, by in (("submitted", tom_), ("reviewed", mia), ("published", mia)):
        assert live(member=by, kind=kind, checked=fingerprint(TEXT)) == ()
        tom.send("/sheet/questions")
        stage.waiting.pop()()
        assert checked(stage).questions == before + (kind != "submitted")


def test_other_code_checks_the_questions_again_and_the_same_code_does_not(stage, tom):
    assert check_where_changed(stage.house) == [], "nobody has checked them yet"
    tom.send("/sheet/questions")
    stage.waiting.pop()()
    assert checked(stage).generator == generator()
    assert f"by generator {generator()}" in text(tom.get("/sheet/questions"))
    assert check_where_changed(stage.house) == []
    with stage.cast.database.writing() as db:
        db.execute(
            update(SheetCheck).values(
                generator="0" * 12, findings='{"a": {"fingerprint": "b", "findings": []}}'
            )
        )
    assert check_where_changed(stage.house) == [(stage.cast.site, 1)]
    assert checked(stage).generator == generator() and not checked(stage).findings


def test_another_site_sees_nothing_of_it(stage, tom):
    give(tom, WIDTH, "11 ft 10 in")
    other = stage.visitor(make_person(stage.cast.database, stage.cast.other_site, "Uma Field", "trainer"))
    assert other.get(WIDTH).status_code == 404
    assert other.get(MEASURE).status_code == 404
