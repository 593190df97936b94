"""Lessons: front matter, blocks, figures, the task, and faults with their line in the file."""

import pytest

from tests.language.make import SITE
from trainer.documents import DocumentError
from trainer.language.lesson_checks import check_lesson
from trainer.language.lessons import TextBlock, load_lessons, show_lesson
from trainer.language.loading import load_bank
from trainer.language.rendering import FigureRequest

PAGE = """\
---
id: measuring.length
topic: measuring
title: {title}
skills: [measuring.length_from_pulses]
minutes: 8
purpose: Turn a count into feet.
site: [pulses_per_foot]
let:
  car: 180 / pulses_per_foot
caution: {{word: notice, text: "Stay off the chain, {{{{ car }}}} of it."}}
---
Your conveyor gives {{{{ pulses_per_foot }}}}. See [pulse](term:pulse).

```figure
name: blocked_length
with: {{length: car}}
caption: Your car, {{{{ car }}}} long.
```

## {worked}
180 ÷ {{{{ shown(pulses_per_foot) }}}} = **{{{{ car }}}}**

{filler}

## {own}
- [ ] Count the pulses of one car, about {{{{ car }}}}.
"""
FILLER = "Go to it. " * 140
ENGLISH = {"title": "Length", "worked": "Worked example", "own": "On your own bay", "filler": FILLER}
SPANISH = {"title": "Largo", "worked": "Ejemplo resuelto", "own": "En tu propia bahía", "filler": FILLER}


@pytest.fixture
def folder(tmp_path):
    """A lessons folder with one lesson in both languages."""
    for language, words in (("en", ENGLISH), ("es", SPANISH)):
        (tmp_path / language).mkdir()
        (tmp_path / language / "measuring.length.md").write_text(PAGE.format(**words), encoding="utf-8")
    return tmp_path


def change(folder, language, old, new):
    path = folder / language / "measuring.length.md"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def faults_of(folder, bank=None):
    with pytest.raises(DocumentError) as refused:
        load_lessons(folder, bank)
    return refused.value.faults


def test_shows_blocks_with_the_sites_numbers(folder):
    lesson = load_lessons(folder, load_bank()).by_id["measuring.length"]
    assert check_lesson(lesson) == []
    shown = show_lesson(lesson, SITE, "en", "us")
    assert [type(block) for block in shown.blocks] == [TextBlock, FigureRequest, TextBlock]
    assert "12\u00a0pulses\u00a0per\u00a0foot" in shown.blocks[0].html
    assert shown.blocks[1].numbers == {"length": pytest.approx(15 * 0.3048)}
    assert shown.blocks[1].caption == "Your car, 15\u00a0ft long."
    assert "180 ÷ 12 = <strong>15\u00a0ft</strong>" in shown.blocks[2].html
    assert shown.task == "Count the pulses of one car, about 15\u00a0ft."
    assert not any("Count the pulses" in getattr(block, "html", "") for block in shown.blocks)
    assert (shown.caution.word, shown.minutes, shown.title) == ("notice", 8, "Length")


def test_shows_metric_and_spanish(folder):
    lesson = load_lessons(folder).by_id["measuring.length"]
    shown = show_lesson(lesson, SITE, "es", "metric")
    assert "39,37\u00a0pulsos\u00a0por\u00a0metro" in shown.blocks[0].html
    assert shown.blocks[1].numbers["length"] == pytest.approx(180 / 39.37)


def test_a_site_without_the_value_shows_a_dash(folder):
    shown = show_lesson(load_lessons(folder).by_id["measuring.length"], {}, "en", "us")
    assert "gives —" in shown.blocks[0].html


@pytest.mark.parametrize(
    ("old", "new", "line", "wrong"),
    [
        ("{{ pulses_per_foot }}. See", "{{ pulses_per_fot }}. See", 13, "no name"),
        ("length: car}", "length: cars}", 17, "no name"),
        ("length: car}", "length: car, depth: car}", 17, "no such field"),
        ("name: blocked_length", "name: blocked", 16, "no such figure"),
        ("about {{ car }}", "about {{ car : s }}", 27, "cannot be written"),
        ("minutes: 8", "minutes: 90", 6, "1 to 60"),
        ("- [ ] Count", "- Count", 13, "without a task"),
        ("car: 180 /", "car: 180 +", 10, "a number per length"),
        ("word: notice", "word: beware", 11, "no signal word"),
        ("---\nid", "id", 1, "front matter"),
    ],
)
def test_tells_faults_with_their_line(folder, old, new, line, wrong):
    change(folder, "en", old, new)
    faults = [fault for fault in faults_of(folder) if fault.place.file.endswith("en/measuring.length.md")]
    assert any(fault.place.line == line and wrong in fault.wrong for fault in faults), faults


def test_both_languages_must_agree(folder):
    change(folder, "es", "minutes: 8", "minutes: 9")
    change(folder, "es", "See [pulse]", "{{ car : in }} [pulse]")
    assert {fault.wrong for fault in faults_of(folder)} == {
        "The minutes of the two languages differ.",
        "The numbers of the two languages differ.",
    }
    (folder / "es" / "measuring.length.md").unlink()
    assert [fault.wrong for fault in faults_of(folder)] == ["This lesson is missing in this language."]


def test_unknown_skills_topics_and_terms_are_faults(folder):
    for language in ("en", "es"):
        change(folder, language, "measuring.length_from_pulses", "measuring.nothing")
        change(folder, language, "term:pulse", "term:nothing")
        change(folder, language, "topic: measuring", "topic: nothing")
    assert len(faults_of(folder, load_bank())) == 6


def test_checks_length_and_sections(folder):
    for language, words in (("en", ENGLISH), ("es", SPANISH)):
        change(folder, language, FILLER, "")
        change(folder, language, f"## {words['worked']}", "## Else")
        change(folder, language, f"## {words['own']}", "## Last")
    findings = check_lesson(load_lessons(folder).by_id["measuring.length"])
    assert len(findings) == 6
    assert any("words; a lesson has 400 to 900" in finding for finding in findings)
