"""Forms: the blueprint met exactly, nothing twice, the same for ever, different for everyone."""

import hashlib
import hmac

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.exams.sittings import SmallPool, make_scheme
from trainer.exams.forms import Shortfall, assemble_form, shortfalls
from trainer.exams.scheme import Area, Text

SECRET = bytes(range(32))
WORDS = Text("words", "palabras")


@st.composite
def schemes(draw):
    areas = tuple(
        Area(
            id=f"area{n}",
            title=WORDS,
            skills=tuple(
                f"{draw(st.sampled_from(['plain', 'lockout']))}.s{n}_{k}"
                for k in range(draw(st.integers(1, 5)))
            ),
            items=draw(st.integers(1, 5)),
        )
        for n in range(draw(st.integers(1, 4)))
    )
    return make_scheme(areas=areas, cut=1)


@given(schemes(), st.text(max_size=20))
def test_a_form_meets_its_blueprint(scheme, label):
    pool = SmallPool(scheme, each=5)
    form = assemble_form(scheme, pool, SECRET, label)
    assert [slot.number for slot in form.slots] == list(range(1, scheme.items + 1))
    assert len({slot.question for slot in form.slots}) == scheme.items
    for area in scheme.areas:
        mine = [slot for slot in form.slots if slot.area == area.id]
        counts = [sum(slot.skill == skill for slot in mine) for skill in area.skills]
        assert len(mine) == area.items
        # Spread: no skill twice before every skill once.
        assert max(counts) - min(counts) <= 1
        hazards = {skill for skill in area.skills if skill.startswith("lockout")}
        assert len(hazards & {slot.skill for slot in mine}) == min(len(hazards), area.items)
        assert all(slot.question.startswith(slot.skill) for slot in mine)


def test_a_form_is_the_same_for_ever_and_different_for_everyone():
    scheme = make_scheme()
    pool = SmallPool(scheme, each=6)
    forms = {assemble_form(scheme, pool, SECRET, f"exam|person-{n}|exam-{n}") for n in range(40)}
    assert len(forms) == 40
    assert assemble_form(scheme, pool, SECRET, "exam|a|b") == assemble_form(scheme, pool, SECRET, "exam|a|b")
    questions = {tuple(slot.question for slot in form.slots) for form in forms}
    assert len(questions) > 30
    assert assemble_form(scheme, pool, bytes(32), "exam|a|b") != assemble_form(
        scheme, pool, SECRET, "exam|a|b"
    )


def test_the_choice_is_hmac_sha256_and_nothing_else():
    # RFC 2104 / RFC 4231 keyed hashing, worked here with the standard library alone.
    scheme = make_scheme(areas=(Area("eyes", WORDS, ("eyes.see",), 1),), cut=1)
    pool = SmallPool(scheme, each=9)

    def rank(question):
        return hmac.new(SECRET, f"me|eyes|question|{question.id}".encode(), hashlib.sha256).hexdigest()

    first = min(pool.by_skill["eyes.see"], key=rank)
    assert assemble_form(scheme, pool, SECRET, "me").slots[0].question == first.id


def test_a_slot_keeps_what_replays_it():
    scheme = make_scheme()
    for slot in assemble_form(scheme, SmallPool(scheme), SECRET, "exam|p|e").slots:
        assert slot.label == f"exam|p|e|{slot.number}|{slot.question}@{slot.version}"
        assert slot.fingerprint == "f" * 64


def test_questions_of_earlier_tries_come_last():
    scheme = make_scheme()
    pool = SmallPool(scheme, each=4)
    first = {slot.question for slot in assemble_form(scheme, pool, SECRET, "try 1").slots}
    again = {slot.question for slot in assemble_form(scheme, pool, SECRET, "try 2", seen=first).slots}
    assert not first & again


def test_barred_questions_are_left_out_and_shortfalls_named():
    scheme = make_scheme()
    pool = SmallPool(scheme, each=2)
    barred = {"lockout.verify_0", "lockout.verify_1"}
    form = assemble_form(scheme, pool, SECRET, "x", barred=barred)
    assert not barred & {slot.question for slot in form.slots}
    barred |= {"lockout.lock_0"}
    assert shortfalls(scheme, pool, barred) == (Shortfall("lockout", 2, 1),)
    with pytest.raises(ValueError, match="too few questions: lockout"):
        assemble_form(scheme, pool, SECRET, "x", barred=barred)
