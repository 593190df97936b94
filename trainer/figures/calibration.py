"""Forecasts beside what came true: a point for each level, with its interval, and the line of true forecasts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE, THIN

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0


@dataclass(frozen=True)
class CalibrationPoint:
    """Reviews of one level: mean forecast, the share that came true and its interval; shares from 0 to 1."""

    forecast: float
    came: float
    low: float
    high: float
    reviews: int


@dataclass(frozen=True)
class CalibrationCurve:
    """The points, from the least to the greatest forecast."""

    points: tuple[CalibrationPoint, ...]

    @property
    def height(self) -> float:
        """One square frame and its words."""
        return 370.0

    def draw(self, paper: Paper, n: Given) -> None:
        """A dashed line where forecasts come true; a dot a level, its interval as an upright bar."""
        frame = Frame(44, 62, WIDTH - 26, 332, 1.0, 1.0)
        up = n.say("came true, of 100 reviews", "se cumplió, de cada 100 repasos")
        frame.draw(paper, f"{n.say('forecast, of 100', 'pronóstico, de cada 100')} →", up, below=44)
        for value in (0, 25, 50, 75, 100):
            frame.level(paper, value / 100, str(value))
            x = frame.x(value / 100)
            paper.line([(x, frame.bottom), (x, frame.bottom - 4)], "ink", THIN)
            paper.write(str(value), (x, frame.bottom - 14), face="numbers", ink="pencil")
        paper.line([frame.at(0, 0), frame.at(1, 1)], "pencil", LINE, dash=True, mark="as-forecast")
        paper.write(
            n.say("as forecast", "como se pronosticó"), (frame.x(0.32), frame.y(0.17)), "left", ink="pencil"
        )
        points = [frame.at(one.forecast, one.came) for one in self.points]
        if len(points) > 1:
            paper.line(points, "beam", LINE, mark="curve")
        for number, (one, at) in enumerate(zip(self.points, points, strict=True), 1):
            paper.line(
                [(at[0], frame.y(one.low)), (at[0], frame.y(one.high))], "ink", HEAVY, mark=f"bar-{number}"
            )
            paper.circle(at, 4, fill=True, mark=f"point-{number}")

    def words(self, n: Given) -> Description:
        """The same in words."""
        title = n.say("Forecast and what came true", "Pronóstico y lo que se cumplió")
        said = "; ".join(
            n.say(
                f"forecast {_hundred(one.forecast)}, came true {_hundred(one.came)} "
                f"({_hundred(one.low)} to {_hundred(one.high)})",
                f"pronóstico {_hundred(one.forecast)}, se cumplió {_hundred(one.came)} "
                f"({_hundred(one.low)} a {_hundred(one.high)})",
            )
            for one in self.points
        )
        text = n.say(
            f"Of 100 reviews, from the least to the greatest forecast: {said}. A point above the dashed line was "
            "forecast too low, one below it too high.",
            f"De cada 100 repasos, del menor al mayor pronóstico: {said}. Un punto arriba de la línea punteada se "
            "pronosticó muy bajo; uno debajo, muy alto.",
        )
        return Description(title, text)


def _hundred(share: float) -> int:
    return round(100 * share)
