"""What stands beside a question while it is written: three instances as learners see them, the slips, the check."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from trainer.documents import DocumentError
from trainer.language.admission import Reader, slip_values
from trainer.language.drafting.languages import borrowed
from trainer.language.drafting.sketch import sketch_of, with_sketch
from trainer.language.drafting.slips import Suggested, suggested
from trainer.language.draws import Instance, NoInstance, draw
from trainer.language.own import Checked, check_text
from trainer.language.question_files import load_question
from trainer.language.questions import NumberTask, Question
from trainer.language.rendering import Shown, answer_html, show, worked
from trainer.quantities.dimensions import Language
from trainer.quantities.writing import write_quantity
from trainer.web import words
from trainer.web.drawings import Picture
from trainer.web.house import house, me
from trainer.web.pictures import draft_picture
from trainer.web.words import gettext, ngettext

INSTANCES = 3
TRIES = 20  # draws until so many differ
LABEL = "preview"
FAR = 20.0  # tolerances: a slip that lies farther off than this is not worth a word


@dataclass(frozen=True)
class GivenSlip:
    """A slip with the number that it gives in an instance."""

    id: str
    written: str
    because: str


@dataclass(frozen=True)
class Seen:
    """One instance as a learner sees it, with its drawing, the answer, the steps and the slips."""

    shown: Shown
    picture: Picture | None
    answer: str
    steps: list[str]
    slips: list[GivenSlip]


@dataclass(frozen=True)
class Offer:
    """A suggested slip with its number in words."""

    one: Suggested
    written: str
    because: str


@dataclass(frozen=True)
class Preview:
    """Everything beside a question.

    sentences: the audit in words; lent: words of the other language stand where one has none yet
    """

    checked: Checked
    seen: list[Seen]
    offers: list[Offer]
    sentences: list[str]
    lent: bool

    @property
    def holds(self) -> bool:
        """Whether nothing stands against it."""
        return not self.checked.findings


def preview(
    text: str, name: str, version: int, site_values: Mapping[str, float], photos: Collection[str]
) -> Preview:
    """What is to be shown beside a text; photos: the SHA-256 of those that the site has."""
    checked = check_text(text, name, version, house().bank, site_values, photos=photos)
    seen: list[Seen] = []
    offers: list[Offer] = []
    question = checked.question or _with_borrowed_words(text, name)
    if question is not None:
        instances = _instances(question, site_values)
        seen = [_seen(one) for one in instances]
        offers = _offers(question, instances[0], site_values) if instances else []
    return Preview(checked, seen, offers, _sentences(checked), lent=checked.question is None and bool(seen))


def _with_borrowed_words(text: str, name: str) -> Question | None:
    """The question as it would be if both languages said the same; None if more than words is missing."""
    try:
        return load_question(with_sketch(text, borrowed(sketch_of(text))), f"{name}.yaml")
    except DocumentError:
        return None


def _instances(question: Question, site_values: Mapping[str, float]) -> list[Instance]:
    """Some draws, each with other numbers where there are so many."""
    found: list[Instance] = []
    for at in range(TRIES if question.is_family else 1):
        try:
            one = draw(question, site_values, house().key_for("previews"), f"{LABEL}|{at}", me().system)
        except NoInstance:
            break
        if one.values not in [other.values for other in found]:
            found.append(one)
        if len(found) == INSTANCES:
            break
    return found


def _seen(instance: Instance) -> Seen:
    language = words.language()
    task, slips = instance.question.task, list[GivenSlip]()
    if isinstance(task, NumberTask):
        unit = task.units[instance.system]
        values = slip_values(task, Reader(instance.values, instance.system))
        slips = [
            GivenSlip(
                slip.id, write_quantity(float(values[slip.id]), unit, language),
                slip.because[language].html(instance.values, language, instance.system),
            )
            for slip in task.slips
        ]  # fmt: skip
    shown = show(instance, language)
    picture = draft_picture(shown.figure, instance.system)
    return Seen(shown, picture, answer_html(instance, language), worked(instance, language), slips)


def _offers(question: Question, instance: Instance, site_values: Mapping[str, float]) -> list[Offer]:
    task, language = question.task, words.language()
    if not isinstance(task, NumberTask):
        return []
    unit = task.units[instance.system]
    return [
        Offer(one, write_quantity(one.number, unit, language), _because(one, language))
        for one in suggested(question, instance, site_values)
    ]


def _because(one: Suggested, language: Language) -> str:
    """A suggested reason with the names in it as they stand in the text."""
    return one.because[language].replace("{{ ", "").replace(" }}", "")


def _sentences(checked: Checked) -> list[str]:
    """The audit in words."""
    found = checked.audit
    if found is None:
        return []
    said = []
    if found.proved:
        said.append(
            ngettext(
                "%(count)s draw was worked out, the only one.",
                "All %(count)s draws were worked out.",
                found.draws,
            )
            % {"count": f"{found.draws:,}"}
        )
    else:
        said.append(
            gettext("Of very many draws, %(count)s and all corners were worked out.")
            % {"count": f"{found.draws:,}"}
        )
    if found.rejected:
        of_thousand = round(found.rejected * 1000)
        said.append(
            gettext(
                "In %(count)s of 1,000 draws two numbers come too near each other, such as a slip and the right "
                "answer; these are drawn again. Other numbers or a smaller tolerance make it fewer."
            )
            % {"count": max(of_thousand, 1)}
        )
    if found.closest and found.tolerances < FAR:
        said.append(
            gettext(
                "The slip %(slip)s comes nearest to the right answer: %(many)s tolerances away at the least."
            )
            % {"slip": found.closest, "many": f"{found.tolerances:.1f}"}
        )
    return said
