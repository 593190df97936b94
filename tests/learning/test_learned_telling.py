"""What is said of what was learned, by made-up figures: each side of each sentence, in both languages."""

from dataclasses import replace

import numpy as np
import pytest

from trainer.language.lessons import load_lessons
from trainer.language.loading import load_bank
from trainer.learning.learned import Forgetting, Gained, Learned, LessonsBefore, SkillTime, Slip
from trainer.learning.learned_telling import scenes, tell
from trainer.learning.teller import Teller
from trainer.statistics.forgetting import calibration
from trainer.statistics.gain import gain
from trainer.statistics.mastering import mastering
from trainer.statistics.preceding import Pair, Preceding
from trainer.statistics.simulating import Share

SKILL, LESSON = "measuring.length_from_pulses", "measuring.length"


@pytest.fixture(scope="module")
def say():
    """The notes of a section, told in a language."""
    bank = load_bank()
    lessons = load_lessons(bank=bank)

    def notes(found, key, language="en"):
        teller = Teller(language, bank, lessons, {"basics": "Sensor basics"})
        [section] = [one for one in tell(found, teller) if one.key == key]
        plain = [note.replace("\u00a0", " ") for note in section.notes]
        return plain, [
            [cell.replace("\u00a0", " ") for cell in row] for table in section.tables for row in table.rows
        ]

    notes.because = bank.question(SKILL).task.slips[0].because
    return notes


NOTHING = Learned(0, (), Forgetting(0, 0, None), (), LessonsBefore((), (), Preceding((), 0)))


def gained(by, kind="exam", of="basics"):
    first = np.linspace(0.3, 0.5, 12)
    return replace(NOTHING, gained=(Gained(kind, of, 12, gain(first, first + by)),))


def test_gain_is_more_fewer_or_perhaps_chance(say):
    wobble = 0.1 * (-1) ** np.arange(12)
    assert (
        say(gained(0.2), "gain")[0][0]
        == "Exam: Sensor basics: 12 people went from 40 to 60 right of 100: 20 (20 to 20) more."
    )
    assert say(gained(-0.2), "gain")[0][0].endswith(": 20 (20 to 20) fewer.")
    assert say(gained(wobble), "gain")[0][0].endswith("; that may be chance.")
    assert say(gained(-0.2, "bench", "beam"), "gain", "es")[0][0].endswith(": 20 (20 a 20) menos.")
    few = replace(NOTHING, gained=(Gained("bench", "gone", 6, None),))
    assert say(few, "gain")[0][0] == "Bench: gone: not enough people to say: 6 of 10 tried twice or more."
    assert say(few, "gain")[1] == []


def forecast(said, right, of=100):
    found = calibration([said] * of, [1] * right + [0] * (of - right))
    return replace(NOTHING, forgetting=Forgetting(of, 9, found))


@pytest.mark.parametrize(
    ("right", "english", "spanish", "row"),
    [
        (70, "It hopes too much, by 20.0 (", "Espera de más, por 20,0 (", "too high"),
        (90, "no more than chance", "no es más que azar", "about right"),
        (99, "It is too careful, by 9.0 (", "Es demasiado prudente, por 9,0 (", "too low"),
    ],
)
def test_a_forecast_hopes_too_much_is_right_or_too_careful(say, right, english, spanish, row):
    found = forecast(0.9, right)
    notes, rows = say(found, "forgetting")
    assert english in notes[0] and f"forecast 90.0 right of 100; {right}.0 came true" in notes[0]
    assert spanish in say(found, "forgetting", "es")[0][0]
    assert [one[-1] for one in rows] == [row]
    assert scenes(found)["calibration"].points[0].came == right / 100


def test_few_reviews_have_no_curve(say):
    found = replace(NOTHING, forgetting=Forgetting(12, 3, None))
    assert say(found, "forgetting")[0][0] == "Not enough reviews to say: 12 of 30."
    assert scenes(found) == {}


def time(*people, skill=SKILL):
    curve = mastering(*zip(*people, strict=True))
    return replace(NOTHING, mastered=(SkillTime(skill, len(people), curve, curve),))


def test_half_of_the_people_within_days_or_not_yet(say):
    days, _ = say(time(*[(day, 1) for day in range(2, 22)]), "mastery")
    assert (
        days[0]
        == "Work out a vehicle's length from pulses: half of the people master it within 11 days (6 to 16)."
    )
    one, _ = say(time(*[(0.01, 1)] * 12), "mastery")
    assert "within 1 day (1 to 1)." in one[0]
    open_, rows = say(time(*[(1.0, 1)] * 4, *[(5.0, 0)] * 16), "mastery")
    assert "half of the people have not mastered it in the time they were seen." in open_[0]
    assert rows[0][2] == "–" and rows[0][4:6] == ["–", "–"]
    _, perhaps = say(time(*[(1.0, 1)] * 8, *[(5.0, 0)] * 12), "mastery")
    assert perhaps[0][2] == "– (1 or more)"
    few = replace(NOTHING, mastered=(SkillTime(SKILL, 6, None, None),))
    assert (
        say(few, "mastery")[0][0]
        == "Work out a vehicle's length from pulses: not enough people to say: 6 of 10."
    )
    assert say(few, "mastery", "es")[0][0].endswith(": falta gente para decir: 6 de 10.")
    many = replace(NOTHING, mastered=few.mastered * 5)
    assert "Not enough people either for 2 more of 5 skills." in say(many, "mastery")[0]


def test_pairs_are_told_with_their_side_and_never_as_a_cause(say):
    def before(*pairs):
        slips = (Slip(SKILL, "multiplied", say.because),)
        return replace(NOTHING, preceding=LessonsBefore(slips, (LESSON,), Preceding(pairs, 3)))

    more = Pair(0, 0, Share(15, 20), Share(2, 20), 0.001)
    notes, rows = say(before(more), "preceding")
    assert (
        "people make this slip more often: 15 of 20, 2 of 20 without it" in notes[0] and "<p>" not in notes[0]
    )
    assert "no proof of cause" in notes[-1] and "too few people: 3" in notes[-1]
    assert rows[0][-1] == "0.001"
    assert say(before(replace(more, chance=1e-9)), "preceding", "es")[1][0][-1] == "< 0,001"
    less = replace(more, after=Share(2, 20), without=Share(15, 20))
    assert (
        "la gente comete menos este error: 2 de 20, y 15 de 20" in say(before(less), "preceding", "es")[0][0]
    )
    assert say(before(replace(more, chance=0.6)), "preceding")[0][0].startswith("No pair of the 1 that")
    assert say(before(), "preceding")[0][0].startswith("No pair can be compared yet")
