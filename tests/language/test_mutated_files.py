"""Mutated question files: whatever stands in one, it is read or refused with a place, soon and within bounds.

`pytest tests/language/test_mutated_files.py --mutants 100000` is the long run; it takes a seed by chance and names it.
The usual run reads the same files each time.
"""

import random
import re
import resource
import signal
from dataclasses import replace

import pytest

from tests.language.conftest import USUALLY
from trainer.documents import DocumentError
from trainer.language.auditing import audit
from trainer.language.drafting.sketch import sketch_of, with_sketch
from trainer.language.loading import content_folder, load_bank
from trainer.language.question_files import load_question
from trainer.sites import demo_sheet, site_values

LONGEST = 2.0  # seconds of work for one file; the clock would count what else the machine does
MOST = 200 * 2**20  # bytes that all of them together may add
SAMPLES = 50  # draws of an audit: the same code as of 20,000, in less time
SITE = site_values(demo_sheet())
WORDS = (
    "{{ x }}", "{{", "}}", "- ", ": ", "[", "]", "{", "}", "'", '"', "|", ">", "&a", "*a", "!!python/object:x y",
    "\t", "\x00", "\ud800", "\u202e", "ñ", "1e309", "-1", "0", "9" * 400, "1/0", "x ** 8 ** 8", "(" * 200, "not " * 100,
    "true", "null", "~", "---", "...", "%YAML 9", "<<: *a", "exp(exp(exp(9)))", "99999999999 ft", "ft ft", "0 in", "%",
)  # fmt: skip


class TooLongError(Exception):
    """A file held the reader up."""


def mutated(text: str, chance: random.Random) -> str:
    """The file after some random changes of its lines and characters."""
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        lines = text.split("\n")
        at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        place = chance.randrange(len(text) + 1)
        match chance.randrange(9):
            case 0:
                del lines[at]
                text = "\n".join(lines)
            case 1:
                lines[at], lines[other] = lines[other], lines[at]
                text = "\n".join(lines)
            case 2:
                lines.insert(other, lines[at])
                text = "\n".join(lines)
            case 3:
                lines[at] = " " * chance.randrange(6) + lines[at].strip()
                text = "\n".join(lines)
            case 4:
                text = text[:place] + chance.choice(WORDS) + text[place:]
            case 5:
                text = text[:place] + text[place + chance.randrange(1, 30) :]
            case 6:
                odd = chance.choice(("0", "-3", "1e12", "7.25"))
                text = re.sub(r"\d+(\.\d+)?", odd, text, count=chance.randrange(1, 4))
            case 7:
                names = sorted(set(re.findall(r"[a-z_]{3,}", text)))
                if names:
                    text = text.replace(chance.choice(names), chance.choice(names), chance.randrange(1, 3))
            case 8:
                text = text[:place] + text[place : place + 60] * chance.randrange(2, 40) + text[place:]
    return text


def read(text: str) -> str:
    """How a file fares: `refused` with places, `found` by the audit, `held`. The page of fields meets it first."""
    try:
        sketch = sketch_of(text)
        assert with_sketch(text, sketch) == text
        with_sketch(text, replace(sketch, value=f"{sketch.value} + 0", ask={"en": "How?", "es": "¿Cómo?"}))
    except DocumentError:
        pass
    try:
        question = load_question(text, "mutant.yaml")
    except DocumentError as error:
        assert error.faults
        assert all(
            fault.place.line >= 1 and fault.place.column >= 1 and str(fault).strip() for fault in error.faults
        )
        return "refused"
    return "found" if audit(question, SITE, SAMPLES).findings else "held"


def late(*_: object) -> None:
    raise TooLongError


@pytest.fixture
def alarm():
    """Stops a file after its longest time."""
    before = signal.signal(signal.SIGPROF, late)
    yield lambda on: signal.setitimer(signal.ITIMER_PROF, LONGEST if on else 0)
    signal.setitimer(signal.ITIMER_PROF, 0)
    signal.signal(signal.SIGPROF, before)


def test_no_mutated_file_breaks_the_reader(alarm, mutants, capsys):
    seed = random.randrange(2**32) if mutants else 1
    mutants, chance = mutants or USUALLY, random.Random(seed)
    files = [(content_folder() / one.file).read_text("utf-8") for one in load_bank().by_id.values()]
    fared = {"refused": 0, "found": 0, "held": 0}
    for text in files[:3]:
        read(text)  # what is loaded once is not the files' doing
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for number in range(mutants):
        text = mutated(chance.choice(files), chance)
        alarm(True)
        try:
            fared[read(text)] += 1
        except Exception as error:
            raise AssertionError(f"seed {seed}, file {number}: {error!r}\n{text}") from error
        finally:
            alarm(False)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - peak) * 1024
    with capsys.disabled():
        print(f"\n{mutants} mutated files, seed {seed}: {fared}, {grown / 2**20:.0f} MB more at the most")
    assert fared["refused"] and fared["held"], "the mutations are too mild or too wild to say anything"
    assert grown < MOST
