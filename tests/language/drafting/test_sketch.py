"""A question's file as fields and back: nothing that was not touched changes."""

import difflib
import re
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from trainer.documents import DocumentError
from trainer.language.drafting.sketch import NumberLine, Sketch, SlipLine, new_text, sketch_of, with_sketch
from trainer.language.loading import content_folder, load_question

FILES = sorted(
    path for path in (content_folder() / "questions").glob("*/*.yaml") if path.parent.name != "schemes"
)
COMMENTED = """\
# A walker at the arch.
id: delays.own_walker
version: 1
skill: delays.on_delay   # the skill
level: 1
kind: number
draw:
  pace: {from: 3 ft/s, to: 4 ft/s, step: 0.25 ft/s}  # as people walk
ask:
  en: >-
    A walker passes at {{ pace }}.
    How long?
  es: Alguien pasa a {{ pace }}. ¿Cuánto?
answer: {value: 2 * foot / pace, unit: s, within: 0.01 s}
slips:
  # from the floor
  - id: upside_down
    value: pace / foot * second * second
    because: {en: Other way round., es: Al revés.}
"""


@pytest.mark.parametrize("path", FILES, ids=[f"{path.parent.name}.{path.stem}" for path in FILES])
def test_every_shipped_file_goes_through_the_page_unchanged(path):
    text = path.read_text(encoding="utf-8")
    fields = sketch_of(text)
    assert with_sketch(text, fields) == text
    changed = replace(fields, level="3" if fields.level != "3" else "1")
    lines = list(difflib.ndiff(text.splitlines(), with_sketch(text, changed).splitlines()))
    assert [line[:8] for line in lines if line[0] in "+-"] == ["- level:", "+ level:"]


def test_comments_stay_beside_what_changes():
    fields = sketch_of(COMMENTED)
    longer = SlipLine(
        "chain_for_walker", "2 * foot / (45 * foot / minute)", {"en": "The chain.", "es": "La cadena."}
    )
    changed = replace(
        fields,
        ask={**fields.ask, "en": "A walker passes at {{ pace }}: how long?"},
        slips=(*fields.slips, longer),
    )
    text = with_sketch(COMMENTED, changed)
    for comment in ("# A walker at the arch.", "# the skill", "# as people walk", "# from the floor"):
        assert comment in text
    assert sketch_of(text) == changed
    assert load_question(text, "x").task.slips[1].id == "chain_for_walker"


def test_a_number_written_by_hand_stays():
    text = COMMENTED.replace("{from: 3 ft/s, to: 4 ft/s, step: 0.25 ft/s}", "{pick: [3 ft/s, 4 ft/s]}")
    fields = sketch_of(text)
    assert fields.numbers == (NumberLine("pace", by_hand=True),)
    added = replace(
        fields, numbers=(*fields.numbers, NumberLine("depth", first="12 in", last="20 in", step="1 in"))
    )
    assert "{pick: [3 ft/s, 4 ft/s]}" in with_sketch(text, added)


def test_a_question_from_nothing_is_a_file_that_loads():
    words = {
        "en": "The eye is blocked for {{ pulses }}. How long?",
        "es": "El ojo se corta {{ pulses }}. ¿Cuánto mide?",
    }
    sketch = Sketch(
        skill="measuring.length_from_pulses", ask=words,
        numbers=(
            NumberLine("pulses_per_foot", site=True),
            NumberLine("pulses", first="140", last="260", step="5"),
            NumberLine("length", value="pulses / pulses_per_foot", unit="ft"),
        ),
        value="length", unit="ft", within="1 in", steps=({"en": "Divide.", "es": "Divide."},),
    )  # fmt: skip
    question = load_question(new_text("measuring.own_long_car", sketch), "x")
    assert (question.id, question.numbers.site, question.is_family) == (
        "measuring.own_long_car", ("pulses_per_foot",), True,
    )  # fmt: skip


def test_a_text_that_is_no_yaml_is_refused_with_its_place():
    with pytest.raises(DocumentError) as refused:
        sketch_of("id: [1\nask: {")
    assert refused.value.faults[0].place.line >= 1


words = st.fixed_dictionaries({"en": st.text(max_size=60), "es": st.text(max_size=60)})
plain = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=40)


@given(plain, plain, plain)
@example("1.50", "true", "null")
@example("- one", "a: b", "#")
@example("", "", ":0")
def test_whatever_is_typed_comes_back(english, spanish, reason):
    """Texts that YAML could take for something else are quoted; lines' ends are the only thing that may be lost."""
    fields = sketch_of(COMMENTED)
    slips = (replace(fields.slips[0], because={"en": reason.strip(), "es": "b"}),)
    changed = replace(fields, ask={"en": english.strip(), "es": spanish.strip()}, slips=slips)
    assert sketch_of(with_sketch(COMMENTED, changed)) == changed


@pytest.mark.parametrize("written", ["-0e-0", "0e12", "1e3", "-.5", "2.50", "1.", "-0.0"])
def test_a_number_that_is_written_oddly_stays_a_number_when_something_else_changes(written):
    """The library that writes YAML lost its way in the first of these; a mutated file found it."""
    text = COMMENTED.replace("version: 1", f"version: {written}")
    changed = with_sketch(text, replace(sketch_of(text), source={"en": "A walk.", "es": "Un paseo."}))
    found = re.search(r"^version: (.+)$", changed, re.MULTILINE)[1]
    assert float(found) == float(written) and "A walk." in changed
