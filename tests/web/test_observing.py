"""The pages of observers: who may observe, hidden marks, two who differ, agreement, pictures."""

from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image

from tests.acts.certified import ALL_MET, CABINET, CRITICAL, STEPS, new_id
from tests.cast import MONDAY, PASSWORD
from tests.web.certifying import hidden, way_on, words
from trainer.certificates.permission import practical_missing
from trainer.certificates.picture import LARGEST_UPLOAD
from trainer.records.queries import practicals as queries

NOT_MET = {**ALL_MET, CRITICAL: "not_met"}


@pytest.fixture
def way(stage):
    return way_on(stage)


def ana(way):
    return way.cast.public_id(way.cast.ana)


def qualifying(way, **more):
    page = way.by("mia").get("/observers")
    usual = {
        "person": way.cast.public_id(way.cast.tom), "machine": "conveyor", "grounds": "Nine years here.",
        "until": f"{MONDAY + timedelta(days=200):%Y-%m-%d}",
    }  # fmt: skip
    return {"form_id": hidden(page), **usual, **more}


def test_a_manager_qualifies_until_the_end_of_a_day_of_the_site(way):
    assert way.by("mia").send("/observers", **qualifying(way)).location == "/observers"
    assert "Nine years here." in words(way.by("rosa").get("/observers"))
    with way.cast.database.reading() as db:
        newest = queries.qualifications_of(db, way.cast.tom)[-1]
    # 2 March 2026 and 200 days is 18 September; Chicago's midnight after it is 5 o'clock UTC (UTC-5 in summer).
    assert newest.until.isoformat() == "2026-09-19T05:00:00+00:00"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"grounds": ""}, "Write why this person can judge the practical"),
        ({"until": "2026-03-01"}, "The day until which it counts has passed"),
        ({"until": "9999-12-31"}, "It may count for three years at the most"),
        ({"until": ""}, "Fill this in"),
    ],
)
def test_what_cannot_be_qualified_is_said(way, more, said):
    answer = way.by("mia").send("/observers", **qualifying(way, **more))
    assert answer.status_code == 422
    assert said in words(answer)


def test_an_ended_qualification_stops_the_checklist_with_a_reason(way):
    held = f"q-{way.cast.tom}-{way.cast.conveyor}"
    assert way.by("mia").send(f"/observers/{held}/end", reason="").status_code == 422
    assert way.by("mia").send(f"/observers/{held}/end", reason="Moved away.").location == "/observers"
    assert "Moved away." in words(way.by("mia").get("/observers"))
    page = way.by("tom").get(f"/practicals/new?person={ana(way)}&machine=conveyor")
    assert "Your qualification to observe on this machine was ended" in words(page)
    assert way.by("mia").get("/observers/none/end").status_code == 404


def test_the_second_observer_does_not_see_the_first_one_s_marks(way):
    practical = way.practical(marks=NOT_MET, note="Forgot the tag.")
    for page in (way.by("rosa").get(f"/practicals/{practical}"), way.by("rosa").get("/practicals")):
        assert "Forgot the tag." not in page.text
        assert "Practical not passed" not in page.text
    assert "Practical not passed" in words(way.by("tom").get(f"/practicals/{practical}"))
    checklist = way.by("rosa").get(f"/practicals/second?person={ana(way)}&machine=conveyor")
    sent = {name: hidden(checklist, name) for name in ("form_id", "person", "machine")}
    marks = {f"step-{step}": "met" for step in STEPS}
    answer = way.by("rosa").send("/practicals/second", **sent, **marks, password=PASSWORD)
    page = words(way.by("rosa").get(answer.location))
    assert "Forgot the tag." in page
    assert "The two differ on a critical step." in page


def test_who_asks_to_see_the_marks_can_no_longer_be_second(way):
    practical = way.practical(note="Calm.")
    assert way.by("rosa").send(f"/practicals/{practical}/show").location == f"/practicals/{practical}"
    assert "Calm." in words(way.by("rosa").get(f"/practicals/{practical}"))
    assert way.second().reasons == ("second.has_seen",)
    assert way.by("rosa").send(f"/practicals/{new_id()}/show").status_code == 404


def test_a_manager_looks_at_two_who_differ(way):
    way.exam()
    practical = way.practical()
    way.second(marks=NOT_MET)
    assert "waits for a manager" in words(way.by("mia").get("/practicals/agreement"))
    page = way.by("mia").get(f"/practicals/{practical}/look")
    assert "they differ" in words(page)
    form = {"form_id": hidden(page), "reason": "The tag lay on the floor."}
    refused = way.by("mia").send(f"/practicals/{practical}/look", **form)
    assert "Say whether the practical counts or not." in words(refused)
    done = way.by("mia").send(f"/practicals/{practical}/look", **form, counts="no")
    assert done.location == f"/practicals/{practical}"
    assert "The tag lay on the floor." in words(way.by("mia").get(f"/practicals/{practical}"))
    assert practical_missing(way.evidence()) == ("practical.not_counted",)
    assert way.by("mia").get(f"/practicals/{new_id()}/look").status_code == 404


def test_the_report_counts_and_warns_of_a_missing_second_observer(way):
    assert "No practical was seen by two observers yet" in words(way.by("mia").get("/practicals/agreement"))
    way.practical()
    way.second(marks=NOT_MET)
    way.practical(machine=way.cast.dryer)
    waits = words(way.by("mia").get("/practicals/agreement"))
    assert (
        f"All steps together {len(STEPS) - 1} / {len(STEPS)} {(len(STEPS) - 1) / len(STEPS):.0%} not estimable"
        in waits
    )
    assert "Waiting for a second observer" in waits
    way.stage.clock.move(days=8)
    missing = words(way.by("mia").get("/practicals/agreement"))
    assert "One practical of the sample never got its second observer" in missing
    assert CABINET.practical.steps[0].text.en in missing


def test_a_picture_shows_to_who_observes_and_decides_alone(way):
    practical, written = way.practical(), BytesIO()
    Image.new("RGB", (40, 30), "red").save(written, "PNG")
    there = f"/practicals/{practical}/picture"
    sent = {"picture": (BytesIO(written.getvalue()), "lock.exe")}
    assert way.by("tom").send(there, picture="no file").status_code == 422
    assert way.by("tom").send(there, **sent).location == f"/practicals/{practical}"
    assert f'src="{there}.jpg"' in way.by("tom").get(f"/practicals/{practical}").text
    shown = way.by("mia").get(f"{there}.jpg")
    assert (shown.mimetype, shown.data[:3]) == ("image/jpeg", b"\xff\xd8\xff")
    assert way.by("ana").get(f"{there}.jpg").status_code == 403
    assert way.by("otto").get(f"{there}.jpg").status_code == 404


def test_a_phone_s_picture_is_taken_and_one_above_its_own_limit_is_told_so(way):
    practical, written = way.practical(), BytesIO()
    Image.effect_noise((1600, 1200), 90).save(written, "PNG")
    data, there = written.getvalue(), f"/practicals/{practical}/picture"
    assert len(data) > 1_000_000, "more than any other form may be"
    too_large = way.by("tom").send(there, picture=(BytesIO(data + bytes(LARGEST_UPLOAD)), "lock.png"))
    assert too_large.status_code == 422 and "12 MB at most" in words(too_large)
    assert way.by("ana").send(
        there, picture=(BytesIO(bytes(LARGEST_UPLOAD + 50_000)), "a.png")
    ).status_code in (403, 413)
    assert way.by("tom").post("/practicals", data={"x": "x" * 1_100_000}).status_code in (405, 413)
    assert (
        way.by("tom").send(there, picture=(BytesIO(data), "lock.png")).location == f"/practicals/{practical}"
    )
