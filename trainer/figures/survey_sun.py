"""The calendar of a receiver: the minutes in which the sun looks into it, by month and hour of the day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.figures.given import Description, Given
from trainer.figures.ink import LINE, THIN
from trainer.quantities.writing import write_number

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0
_INITIALS = ("JFMAMJJASOND", "EFMAMJJASOND")
_MONTHS = (
    ("January", "enero"), ("February", "febrero"), ("March", "marzo"), ("April", "abril"), ("May", "mayo"),
    ("June", "junio"), ("July", "julio"), ("August", "agosto"), ("September", "septiembre"),
    ("October", "octubre"), ("November", "noviembre"), ("December", "diciembre"),
)  # fmt: skip
_ROW, _COLUMN, _LEFT = 28.0, 25.8, 46.0
_MOST_MINUTES = 999


@dataclass(frozen=True)
class SunCalendar:
    """Minutes in which the sun stands in the receiver's field of view, minutes[month][hour], 12 rows of 24."""

    minutes: tuple[tuple[float, ...], ...]

    @property
    def hours(self) -> range:
        """The hours that are drawn: from the first to the last that has the sun, one more on each side."""
        lit = [hour for row in self.minutes for hour, count in enumerate(row) if count > 0]
        return range(max(min(lit) - 1, 0), min(max(lit) + 2, 24)) if lit else range(0)

    @property
    def total(self) -> float:
        """Minutes of the whole year."""
        return sum(map(sum, self.minutes))

    @property
    def height(self) -> float:
        """A row an hour."""
        return 76 + _ROW * max(len(self.hours), 1)

    def draw(self, paper: Paper, n: Given) -> None:
        """A cell a month and hour, filled from below by its share of the fullest, its minutes written in it."""
        hours, top = self.hours, self.height - 30
        if not hours:
            paper.write(self._none(n), (WIDTH / 2, 40), bold=True)
            return
        peak = max(map(max, self.minutes))
        for month, initial in enumerate(n.say(*_INITIALS)):
            paper.write(initial, (_LEFT + (month + 0.5) * _COLUMN, top + 12), face="numbers", bold=True)
        for row, hour in enumerate(hours):
            y = top - (row + 1) * _ROW
            paper.write(f"{hour}:00", (_LEFT - 4, y + _ROW / 2), "right", face="numbers")
            for month in range(12):
                self._cell(paper, n, (month, hour), (_LEFT + month * _COLUMN, y), peak)
        foot = top - len(hours) * _ROW
        paper.write(n.say("minutes a month, by the site's clock", "minutos al mes, hora del sitio"),
                    (WIDTH / 2, foot - 14), ink="pencil")  # fmt: skip

    def _cell(
        self, paper: Paper, n: Given, at: tuple[int, int], corner: tuple[float, float], peak: float
    ) -> None:
        (month, hour), (x, y) = at, corner
        count = self.minutes[month][hour]
        if count > 0:
            rise = _ROW * count / peak
            paper.box(x, y, x + _COLUMN, y + rise, "rule", width=0, fill=True, mark=f"cell-{month}-{hour}")
        paper.box(x, y, x + _COLUMN, y + _ROW, "pencil", width=LINE if count > 0 else THIN)
        said = self._cell_said(n, count)
        paper.write(said, (x + _COLUMN / 2, y + _ROW / 2), face="numbers", bold=count > 0,
                    ink="ink" if count > 0 else "pencil")  # fmt: skip

    @staticmethod
    def _cell_said(n: Given, count: float) -> str:
        """Whole minutes, less than one as <1, very many as hours."""
        if count <= 0:
            return "·"
        if count < 1:
            return "<1"
        return write_number(round(count), n.language) if count <= _MOST_MINUTES else f"{count / 60:.0f}h"

    def _none(self, n: Given) -> str:
        return n.say("The sun never looks into this receiver.", "El sol nunca le da a este receptor.")

    def words(self, n: Given) -> Description:
        """The same in words."""
        title = n.say("When the sun looks into the receiver", "Cuándo el sol le da al receptor")
        if not self.hours:
            return Description(title, self._none(n))
        months = "; ".join(
            f"{n.say(*_MONTHS[month])} {write_number(round(sum(row), 1), n.language)}"
            for month, row in enumerate(self.minutes)
            if sum(row) > 0
        )
        total = write_number(round(self.total), n.language)
        first, last = self.hours[0], self.hours[-1] + 1
        return Description(
            title,
            n.say(
                f"Minutes of a year with the sun in the receiver's field of view: {total}, all between "
                f"{first}:00 and {last}:00 by the site's clock. By month: {months}.",
                f"Minutos al año con el sol en el campo de visión del receptor: {total}, todos entre las "
                f"{first}:00 y las {last}:00, hora del sitio. Por mes: {months}.",
            ),
        )
