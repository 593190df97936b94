"""The expected score of exam forms against how able a person is: the target's curve, and those of newer forms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, THIN
from trainer.quantities.writing import write_number

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0


@dataclass(frozen=True)
class FormCurves:
    """Expected right answers at each place, from the least able to the most; the border stands at `border`.

    places: logit from the border, in order; target, forms: a score a place; cut, items: right answers
    """

    places: tuple[float, ...]
    target: tuple[float, ...]
    forms: tuple[tuple[float, ...], ...]
    cut: int
    items: int

    @property
    def height(self) -> float:
        """One frame and its words."""
        return 300.0

    def draw(self, paper: Paper, n: Given) -> None:
        """Thin lines for forms, a heavy one for the target, the cut as a ruled line, the border as a dashed one."""
        low = self.places[0]
        frame = Frame(40, 62, WIDTH - 20, 262, self.places[-1] - low, float(self.items))
        up, across = n.say("right answers expected", "correctas esperadas"), n.say("more able", "más capaz")
        frame.draw(paper, f"{across} →", up, below=44)
        for value in (0, self.items):
            frame.level(paper, value, write_number(value, n.language))
        paper.line(
            [(frame.left, frame.y(self.cut)), (frame.right, frame.y(self.cut))],
            "ink",
            THIN,
            dash=True,
            mark="cut",
        )
        paper.write(f"{n.say('cut', 'corte')} {self.cut}", (frame.right, frame.y(self.cut) - 9), "right")
        for number, form in enumerate(self.forms, 1):
            points = [frame.at(place - low, score) for place, score in zip(self.places, form, strict=True)]
            paper.line(points, "pencil", THIN, mark=f"form-{number}")
        points = [frame.at(place - low, score) for place, score in zip(self.places, self.target, strict=True)]
        paper.line(points, "beam", HEAVY, mark="target")
        border = frame.x(-low)
        paper.line([(border, frame.bottom), (border, frame.top)], "pencil", THIN, dash=True, mark="border")
        paper.write(n.say("only just competent", "apenas competente"), (border, frame.bottom - 12))

    def words(self, n: Given) -> Description:
        """The same in words."""
        at = self.places.index(0.0)
        target = write_number(round(self.target[at], 1), n.language)
        title = n.say("What forms are expected to give", "Qué se espera de los exámenes")
        text = n.say(
            f"A model, not data. Somebody only just competent is expected to get {target} of {self.items} right on the "
            f"target form; the cut is {self.cut}.",
            f"Un modelo, no datos. De quien es apenas competente se esperan {target} de {self.items} correctas en el "
            f"examen modelo; el corte es {self.cut}.",
        )
        if self.forms:
            scores = sorted(form[at] for form in self.forms)
            low, high = (write_number(round(one, 1), n.language) for one in (scores[0], scores[-1]))
            text += n.say(
                f" On the {len(self.forms)} newest forms it is {low} to {high}.",
                f" En los {len(self.forms)} exámenes más nuevos son de {low} a {high}.",
            )
        return Description(title, text)
