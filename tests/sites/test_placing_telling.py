"""A search in words: what to do, why, what to know before and after; each in both languages and unit systems."""

from dataclasses import replace

import numpy as np
import pytest

from tests.sites.test_placing import judged, wash
from trainer.sites.placing.results import Found, Placement, Recommended
from trainer.sites.placing.search import recommend
from trainer.sites.placing.telling import before_moving, front_scene, tell_best, tell_found, tell_room
from trainer.sites.survey.reader import Reader

READERS = [Reader("en", "us"), Reader("es", "metric")]
SHEET, EYE = wash((4, 48, -1, 1))


def found(*front, present=None, beyond=()):
    here = present or replace(judged(10.5, 0, 2.7, low=EYE.low), placement=Placement.of(EYE))
    return Found(tuple(front), here, recommend(SHEET, front, here), beyond, 20_250)


def told(what, to=READERS[0]):
    said = tell_found(SHEET, EYE, what, to)
    texts = (said.verdict, *said.why, said.stays, *said.notes)
    return said, " ".join(texts).replace("\u00a0", " ")


def moved(**changes):
    return replace(judged(7.2, 0, 2.7), placement=replace(Placement.of(EYE), **changes), worst="pickup")


def test_a_move_is_told_with_its_reason_what_changes_and_what_stays():
    said, text = told(found(moved(low=0.1016, high=0.7112)))
    assert said.verdict == "Move it."
    assert "Beaten by none: 1 of 20,250 ways." in text
    assert "within one pulse (1 in) of the least error, 7.2 in: 1." in text
    assert "0 minutes a year" in text and "7.2 in (pickup)." in text
    lines = [
        (line.name, line.now.replace("\u00a0", " "), line.then.replace("\u00a0", " ")) for line in said.lines
    ]
    assert lines[:3] == [
        ("Low head", "6 in", "4 in"), ("High head", "30 in", "28 in"),
        ("Nose and tail error", "10.5 in", "7.2 in (pickup)"),
    ]  # fmt: skip
    assert "The rest stays: receiver: passenger side" in text
    assert "measure the excess gain" in text
    assert said.rows[0][0] == "1"
    assert len(said.rows[0]) == len(said.heads)


def test_a_pair_that_stays_needs_no_aim_no_table_of_changes_and_no_notes():
    here = replace(moved(), worst="")
    said, text = told(found(here, present=here))
    assert said.verdict == "Leave it where it stands."
    assert "as good" in text
    assert [line.changes for line in said.lines] == [False] * 3
    assert (said.notes, said.stays) == ((), "")


def test_what_could_mislead_is_said():
    _, text = told(found(moved(receiver_side="driver", position=0.1524), beyond=("suv_with_trailer",)))
    assert "Left out, because no place sees them whole: large SUV with a trailer." in text
    assert "I counted all the sky" in text
    assert "distance to every device changes" in text
    _, text = told(found(replace(moved(low=0.1), margin=0.8)))
    assert "None of them leaves enough light on a steamy day" in text


def test_where_nothing_does_the_work_the_room_or_the_fleet_must_change():
    bad = replace(moved(), error=np.inf, worst="low_coupe")
    said, text = told(found(present=bad))
    assert said.verdict == "No allowed place does this pair's work."
    assert "more room" in text
    assert (said.lines, said.rows) == ((), ())


def test_why_todays_placement_is_out_of_the_question():
    for worst, words in (("low_coupe", "fails: low coupe"), ("", "another pair's light blinds it")):
        bad = replace(moved(), error=np.inf, worst=worst)
        said, _ = told(found(moved(low=0.1), present=bad))
        assert words in [line.now for line in said.lines]


def test_the_drawing_rings_the_row_that_is_recommended():
    front = (moved(low=0.1), moved(low=0.2, high=0.9))
    one = found(*front)
    ring = Recommended(front[1], stays=False, enough_light=True, least=0.1, tolerance=0.0254, rivals=2)
    assert front_scene(EYE, replace(one, recommended=ring)).chosen == 2
    assert (
        front_scene(EYE, replace(one, recommended=replace(ring, judged=one.present, stays=True))).chosen == 0
    )
    assert front_scene(EYE, found()).chosen is None
    assert [point.error for point in front_scene(EYE, one).points] == [one.error for one in front]


@pytest.mark.parametrize(
    "what", [found(moved(low=0.1)), found(present=moved()), found(moved(), present=moved())]
)
def test_both_languages_say_all_of_it_in_their_own_words_and_units(what):
    english, spanish = (told(what, to) for to in READERS)
    for one, other in zip(
        (english[0].verdict, *english[0].why), (spanish[0].verdict, *spanish[0].why), strict=True
    ):
        assert one != other
    assert [line.name for line in english[0].lines] != [
        line.name for line in spanish[0].lines
    ] or not english[0].lines
    assert " in" not in spanish[1].replace(" inc", "")
    for said in (
        lambda to: tell_room(EYE, EYE.may_stand, to),
        before_moving,
        lambda to: tell_best(moved(), to),
    ):
        assert said(READERS[0]) != said(READERS[1])
