"""Real instances of a question, drawn, shown and graded as a person would meet them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trainer.figures import draw_svg
from trainer.language.admission import Reader, slip_values
from trainer.language.draws import Instance, NoInstance, draw
from trainer.language.grading import grade
from trainer.language.names import LANGUAGES, SYSTEMS
from trainer.language.questions import NumberTask, Question
from trainer.language.rendering import figure_request, right_answer, show, worked
from trainer.quantities.dimensions import Language
from trainer.quantities.writing import write_quantity
from trainer.solver.numbers import BadInput

EACH = 20  # instances in each unit system
_SECRET = bytes(range(32))  # these draws are nobody's: any fixed secret will do


def spot_checks(question: Question, site_values: Mapping[str, float]) -> list[str]:
    """What goes wrong with real instances, each sentence once; a fixed question has one instance."""
    found: dict[str, str] = {}
    for system in SYSTEMS:
        for at in range(EACH if question.is_family else 1):
            try:
                instance = draw(question, site_values, _SECRET, f"audit|{at}", system)
            except NoInstance as none:
                return [str(none)]
            if not at and system == "us":
                found.update((said, said) for said in _figure(question, instance))
            for language in LANGUAGES:
                for rule, sentence in _checked(instance, language):
                    found.setdefault(rule, sentence)
    return list(found.values())


def _checked(instance: Instance, language: Language) -> Iterator[tuple[str, str]]:
    """Each rule that is broken, with a sentence about this instance."""
    shown = show(instance, language)
    texts = [part.html for part in shown.parts]
    if len(set(texts)) < len(texts):
        yield "alike", f"Two options or lines read the same in some draws ({language})."
    worked(instance, language)
    answer = right_answer(instance, language)
    if not grade(instance, answer, language).right:
        yield (
            "answer",
            f"The right answer as it is shown ({answer}) is graded wrong: "
            "allow more with `within`, or ask for another unit.",
        )
    if isinstance(instance.question.task, NumberTask):
        yield from _slips(instance, instance.question.task, language)


def _figure(question: Question, instance: Instance) -> Iterator[str]:
    """What keeps a question's figure from being drawn; one draw is looked at, for drawing takes a while."""
    asked = figure_request(question.figure, instance.values, "en", instance.system)
    if asked is None:
        return
    try:
        draw_svg(asked.name, asked.numbers, theme="light", language="en", system=instance.system)
    except BadInput as bad:
        yield f"The figure {asked.name} cannot be drawn: {bad}."
    except (ValueError, ArithmeticError):
        yield f"The figure {asked.name} cannot be drawn with these numbers; none of its sizes may be 0."


def _slips(instance: Instance, task: NumberTask, language: Language) -> Iterator[tuple[str, str]]:
    reader = Reader(instance.values, instance.system)
    for slip, value in slip_values(task, reader).items():
        typed = write_quantity(value, task.units[instance.system], language)
        verdict = grade(instance, typed, language)
        if verdict.right:
            yield f"right {slip}", f"The slip {slip}, typed as {typed}, is graded right."
        elif verdict.slip != slip:
            yield f"coarse {slip}", f"The slip {slip}, typed as {typed}, is not recognised as itself."
