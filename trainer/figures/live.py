"""Paper for a drawing that a person moves and that moves by itself: one inline `<svg>` in the inks of the page.

It is drawn on as any other paper, so that a car on a bench is the car of the lesson. Script finds what moves by data
attributes alone and knows no bench; without script the drawing stands still and the forms beside it do the work.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

from trainer.figures.given import Point
from trainer.figures.ink import LINE, SIZE, THIN, Ink
from trainer.figures.paper import WIDTH, Paper

REACH = 22.0  # a finger's half width: a handle answers within it
_NARROW, _WIDE = frozenset(" ijl.,:;'|!()[]fIrt"), frozenset("mwMW@%—")
_ANCHOR = {"left": "start", "center": "middle", "right": "end"}
_SPACING = 7.0


@dataclass(frozen=True)
class Live:
    """A finished drawing: clean SVG, its title and words; seconds: how long it runs, 0 where nothing moves."""

    svg: str
    title: str
    text: str
    seconds: float


@dataclass(frozen=True)
class Pull:
    """What pulling a handle along one axis changes: a field of a form, by so many drawing units a shown unit.

    per: positive where the number grows rightwards or upwards
    """

    field: str
    per: float


@dataclass
class _Marks:
    """The marks of the group that is drawn into now."""

    parts: list[str] = field(default_factory=list)


class LivePaper(Paper):
    """A sheet whose marks may roll, come and go, or be pulled. name: unique on the page.

    still: the moment [s] that is shown where nothing may move
    """

    def __init__(self, height: float, name: str, *, seconds: float = 0.0, still: float | None = None) -> None:
        super().__init__(height)
        self.name, self.seconds = name, seconds
        self.still = seconds if still is None else still
        self._marks = [_Marks()]

    def measure(self, text: str, size: float = SIZE, face: str = "words", bold: bool = False) -> float:
        """How wide a text is at most in the usual fonts: the reader's own is not known here."""
        if face == "numbers":
            return 0.61 * size * len(text)
        shares = (0.36 if one in _NARROW else 0.95 if one in _WIDE else 0.62 for one in text)
        return sum(shares) * size * (1.08 if bold else 1.0)

    def put_line(
        self, points: Sequence[Point], ink: Ink, width: float, *, dash: bool, mark: str | None
    ) -> None:
        """Put down a line through points."""
        style = _attributes(mark, **{"class": f"{ink}{' dash' if dash else ''}", "stroke-width": _n(width)})
        self._put(f'<polyline points="{_points(points)}"{style}/>')

    def put_area(
        self, points: Sequence[Point], ink: Ink, width: float, *, hatch: str, fill: bool, mark: str | None
    ) -> None:
        """Put down a closed shape."""
        kind = f"{ink}{' full' if fill else ''}"
        # A filled shape with a hatch would hide it; a hatched one takes the pattern of its ink.
        pattern = {"fill": f"url(#{self.name}-{ink})"} if hatch and not fill else {}
        style = _attributes(mark, **{"class": kind, "stroke-width": _n(width)}, **pattern)
        self._put(f'<polygon points="{_points(points)}"{style}/>')

    def put_circle(
        self, center: Point, radius: float, ink: Ink, width: float, *, fill: bool, mark: str | None
    ) -> None:
        """Put down a circle."""
        style = _attributes(mark, **{"class": f"{ink}{' full' if fill else ''}", "stroke-width": _n(width)})
        self._put(f'<circle cx="{_n(center[0])}" cy="{_n(-center[1])}" r="{_n(radius)}"{style}/>')

    def put_text(
        self, text: str, at: Point, align: str, *, size: float, face: str, ink: Ink, bold: bool
    ) -> None:
        """Put down a line of text on its base line at `at`."""
        kind = f"{ink} {face}{' bold' if bold else ''}"
        where = f'x="{_n(at[0])}" y="{_n(-at[1])}" font-size="{_n(size)}"'
        self._put(f'<text {where} class="{kind}" text-anchor="{_ANCHOR[align]}">{escape(text)}</text>')

    @contextmanager
    def rolling(self, track: Sequence[tuple[float, float, float]]) -> Iterator[None]:
        """What is drawn inside rolls along a track of (moment [s], right, up) in drawing units, straight between."""
        x, y = _along(track, self.still)
        keys = ";".join(f"{_n(t, 3)},{_n(right)},{_n(-up)}" for t, right, up in track)
        with self._group(f'data-track="{keys}" transform="translate({_n(x)} {_n(-y)})"'):
            yield

    @contextmanager
    def during(self, spans: Sequence[tuple[float, float]], *, otherwise: bool = False) -> Iterator[None]:
        """What is drawn inside is seen during the spans [s] alone; `otherwise`: outside them alone."""
        inside = any(on <= self.still <= off for on, off in spans)
        away = ' class="away"' if inside == otherwise else ""
        keys = ";".join(f"{_n(on, 3)},{_n(off, 3)}" for on, off in spans)
        with self._group(f'data-during="{keys}"{" data-otherwise" if otherwise else ""}{away}'):
            yield

    @contextmanager
    def handle(
        self, form: str, at: Point, *, x: Pull | None = None, y: Pull | None = None, name: str = ""
    ) -> Iterator[None]:
        """What is drawn inside can be pulled from `at`; the form is sent when it is let go.

        form: the kind of act whose form holds the fields; name: by which ends of lines are tied to it
        The fields' own limits and steps hold; whoever cannot pull types the number.
        """
        pulls = "".join(
            f' data-{axis}={quoteattr(pull.field)} data-per-{axis}="{_n(sign * pull.per, 6)}"'
            for axis, pull, sign in (("x", x, 1), ("y", y, -1))
            if pull is not None
        )
        where = f'data-at="{_n(at[0])},{_n(-at[1])}"'
        known = f" data-name={quoteattr(name)}" if name else ""
        with self._group(f'class="handle" data-form={quoteattr(form)} {where}{pulls}{known}'):
            self._put(f'<circle class="reach" cx="{_n(at[0])}" cy="{_n(-at[1])}" r="{_n(REACH)}"/>')
            yield

    def tied(
        self,
        points: tuple[Point, Point],
        ends: tuple[str, str],
        ink: Ink = "beam",
        width: float = LINE,
        *,
        mark: str | None = None,
    ) -> None:
        """A straight line whose ends follow the handles of these names while they are pulled; '' for a fixed end."""
        (x1, y1), (x2, y2) = points
        self._drawn(points)
        ties = "".join(f" data-end-{i}={quoteattr(one)}" for i, one in enumerate(ends, 1) if one)
        style = _attributes(mark, **{"class": ink, "stroke-width": _n(width)})
        self._put(f'<line x1="{_n(x1)}" y1="{_n(-y1)}" x2="{_n(x2)}" y2="{_n(-y2)}"{style}{ties}/>')

    @contextmanager
    def zone(
        self, values: Mapping[str, str], left: float, bottom: float, right: float, top: float
    ) -> Iterator[None]:
        """A card that is dropped on this room is played with these fields set; what is drawn inside belongs to it."""
        fields = escape("&".join(f"{name}={value}" for name, value in values.items()), {'"': "&quot;"})
        with self._group(f'class="zone" data-drop="{fields}"'):
            room = f'x="{_n(left)}" y="{_n(-top)}" width="{_n(right - left)}" height="{_n(top - bottom)}"'
            self._put(f'<rect class="room" {room}/>')
            yield

    def finish(self, title: str, text: str) -> Live:
        """The drawing as one `<svg>`, cut to what is drawn."""
        low, high = self.trim()
        assert len(self._marks) == 1
        inside = "".join(self._marks[0].parts)
        used = [ink for ink in ("ink", "pencil", "rule", "beam") if f"url(#{self.name}-{ink})" in inside]
        patterns = "".join(_pattern(f"{self.name}-{ink}", ink) for ink in used)
        box = f"0 {_n(-high)} {_n(WIDTH)} {_n(high - low)}"
        runs = (
            f' data-seconds="{_n(self.seconds, 3)}" data-still="{_n(self.still, 3)}"' if self.seconds else ""
        )
        svg = (
            f'<svg class="live" viewBox="{box}" role="img" aria-labelledby="{self.name}-title"{runs}>'
            f'<title id="{self.name}-title">{escape(title)}</title>{patterns}{inside}</svg>'
        )
        return Live(svg, title, text, self.seconds)

    def _put(self, part: str) -> None:
        self._marks[-1].parts.append(part)

    @contextmanager
    def _group(self, attributes: str) -> Iterator[None]:
        self._marks.append(_Marks())
        try:
            yield
        finally:
            inside = self._marks.pop()
            self._put(f"<g {attributes}>{''.join(inside.parts)}</g>")


def _along(track: Sequence[tuple[float, float, float]], moment: float) -> Point:
    """Where a track is at a moment; before its first and after its last key it stands."""
    before = [key for key in track if key[0] <= moment]
    after = [key for key in track if key[0] > moment]
    if not before or not after:
        _, x, y = (before or after)[-1 if before else 0]
        return x, y
    (t0, x0, y0), (t1, x1, y1) = before[-1], after[0]
    share = (moment - t0) / (t1 - t0)
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


def _attributes(mark: str | None, **others: str) -> str:
    named = {"data-mark": mark} if mark else {}
    return "".join(f" {name}={quoteattr(value)}" for name, value in {**named, **others}.items())


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{_n(x)},{_n(-y)}" for x, y in points)


def _n(value: float, places: int = 1) -> str:
    """A number as short as it can be written to so many places; never -0."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return "0" if text in {"-0", ""} else text


def _pattern(name: str, ink: str) -> str:
    size = _n(_SPACING)
    return (
        f'<pattern id="{name}" width="{size}" height="{size}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><line class="{ink}" x1="0" y1="0" x2="0" y2="{size}" '
        f'stroke-width="{_n(THIN)}"/></pattern>'
    )
