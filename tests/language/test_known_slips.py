"""The list of slips: every name in it leads to a mistake that a question answers."""

import pytest

from trainer.documents import DocumentError
from trainer.language.known_slips import load_known_slips, mistakes
from trainer.language.loading import content_folder, load_bank


@pytest.fixture(scope="module")
def bank():
    return load_bank()


def read(bank, told_by, skill="faults.swap_heads"):
    return load_known_slips(
        f"slips:\n  - {{skill: {skill}, slip: Made, told_by: [{told_by}]}}\n", "made.yaml", bank
    )


def wrong_with(bank, told_by, **more):
    with pytest.raises(DocumentError) as refused:
        read(bank, told_by, **more)
    return str(refused.value)


def test_the_built_in_list_has_slips_for_every_skill(bank):
    text = (content_folder() / "questions" / "slips.yaml").read_text(encoding="utf-8")
    found = load_known_slips(text, "slips.yaml", bank)
    assert {one.skill for one in found} == set(bank.skills)
    assert len({(one.skill, one.slip) for one in found}) == len(found)


def test_a_part_that_no_question_knows_is_a_fault_with_its_place(bank):
    told = wrong_with(bank, "faults.swapped_both/gone")
    assert "made.yaml:2" in told and "knows no mistake `gone`" in told and "both_bad" in told


def test_a_right_choice_is_no_mistake(bank):
    assert "knows no mistake" in wrong_with(bank, "faults.swapped_both/one_of_three")


def test_unknown_questions_and_skills_are_faults(bank):
    assert "no question `faults.gone`" in wrong_with(bank, "faults.gone/x")
    assert "no such skill" in wrong_with(bank, "", skill="faults.gone")


@pytest.mark.parametrize(
    ("question", "part"),
    [
        ("measuring.length_from_pulses", "multiplied"),
        ("faults.prove_several", "log"),
        ("lockout.verify_order", "try>off"),
        ("lockout.who_is_what", "office"),
        ("lockout.isolates_or_controls", "estop"),
    ],
)
def test_each_kind_of_question_knows_its_mistakes(bank, question, part):
    assert part in mistakes(bank.question(question))
    assert read(bank, f'"{question}/{part}"')[0].told_by == (f"{question}/{part}",)
