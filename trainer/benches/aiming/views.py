"""The bay from above and from behind the cars: swivels as they were turned, or where the heads truly look."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from trainer.benches.aiming.light import Turned, angle, angles, wall_miss
from trainer.benches.aiming.task import AXES, Task
from trainer.benches.aiming.walk import State
from trainer.figures.given import Point
from trainer.figures.ink import HEAVY, LINE, THIN, Ink
from trainer.figures.live import Live, LivePaper, Pull
from trainer.sites.survey.reader import Reader
from trainer.solver.signal import aim_angle

_LEFT, _RIGHT, _TIP = 58.0, 302.0, 34.0
_SPAN = _RIGHT - _LEFT
_STRETCHES = (0.1, 0.25, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20, 30, 40)
_PLAN_ROOM, _SIDE_ROOM = 152.0, 236.0
_PAN, _TILT = 0, 1


@dataclass(frozen=True)
class _View:
    """A view on its paper: one axis of both heads; up: drawing units a metre along that axis."""

    task: Task
    state: State
    reader: Reader
    paper: LivePaper
    tilt: int
    up: float
    stretch: float
    base: float

    def lens(self, head: int) -> Point:
        """Where a head's lens is drawn."""
        right = (head == 1) == self.task.receiver_right
        return (_RIGHT if right else _LEFT), self.base + self.task.heights[head] * self.up * self.tilt

    def axis(self, head: int) -> int:
        """Which of AXES this view shows of a head."""
        return 2 * head + self.tilt

    def toward(self, head: int, off: float, short: float = 0.0) -> Point:
        """Where an axis that is off the line by an angle [rad] arrives, so many units before the other wall."""
        (x, y), (far_x, far_y) = self.lens(head), self.lens(1 - head)
        share = 1 - short / _SPAN
        miss = wall_miss(self.task, off) * self.up
        return x + (far_x - x) * share, y + (far_y + miss - y) * share

    def swivel(self, head: int) -> float:
        """How far a head's axis was turned since mounting [rad]."""
        return self.state.turned[self.axis(head)] * self.task.steps[head]


def view_name(tilt: int, reader: Reader) -> str:
    """What a view shows."""
    if tilt:
        return reader.say(
            "Seen from behind: tilt, up and down", "Visto desde atrás: inclinación, arriba y abajo"
        )
    return reader.say("Seen from above: pan, forward and back", "Visto desde arriba: giro, adelante y atrás")


def swivels(task: Task, state: State, tilt: int, reader: Reader) -> Live:
    """What a learner knows: the line from lens to lens, how far each head was turned; not its true axis."""
    view = _view(task, state, reader, tilt, "side" if tilt else "plan")
    _surroundings(view)
    if state.last is not None and state.last.kind == "string":
        _string(view)
    for head in (0, 1):
        if task.level == 1:
            _told(view, head)
        _cone(view, head, view.swivel(head), "pencil")
        _head(view, head, view.swivel(head))
    # Every line first: one that lay over a handle would take the finger that reaches for it.
    for head in (0, 1):
        view.paper.tied((view.lens(head), _tip(view, head)), ("", AXES[view.axis(head)]), "ink", LINE)
    for head in (0, 1):
        _handle(view, head)
    return view.paper.finish(view_name(tilt, reader), _swivel_words(view))


def truth(task: Task, state: State, tilt: int, reader: Reader) -> Live:
    """Where the heads truly look after the end."""
    view = _view(task, state, reader, tilt, "true-side" if tilt else "true-plan")
    _surroundings(view)
    fine = angles(task, state.turned)
    for head in (0, 1):
        off = angle(task, view.axis(head), fine[view.axis(head)])
        _cone(view, head, off, "beam")
        view.paper.line([view.lens(head), view.toward(head, off)], "beam", HEAVY)
        _head(view, head, view.swivel(head))
    return view.paper.finish(view_name(tilt, reader), true_words(task, state.turned, tilt, reader))


def true_words(task: Task, turned: Turned, tilt: int, reader: Reader) -> str:
    """Where both heads truly look, in words."""
    fine = angles(task, turned)

    def one(head: int, name: str) -> str:
        off = wall_miss(task, angle(task, 2 * head + tilt, fine[2 * head + tilt]))
        return f"{name}: {miss_words(off, tilt, reader)}."

    return " ".join((one(0, reader.say("Emitter", "Emisor")), one(1, reader.say("Receiver", "Receptor"))))


def miss_words(miss: float, tilt: int, reader: Reader) -> str:
    """How far something passes the other lens, and on which side."""
    far = reader.tape(abs(miss))
    if far.startswith("0\u00a0"):
        return reader.say("on the lens", "en el lente")
    ways = ((("back", "atrás"), ("forward", "adelante")), (("low", "abajo"), ("high", "arriba")))
    return f"{far} {reader.say(*ways[tilt][miss > 0])}"


def signed(steps: int, step: float, reader: Reader) -> str:
    """Steps of a swivel in degrees, with their sign."""
    text = reader.write(abs(steps) * step, "deg")
    return text if not steps else ("+" if steps > 0 else "−") + text


def _view(task: Task, state: State, reader: Reader, tilt: int, name: str) -> _View:
    scale = _SPAN / task.width
    swing = max(wall_miss(task, reach * step) for reach, step in zip(task.reach, task.steps, strict=True))
    rise = abs(task.heights[1] - task.heights[0]) * tilt
    room = _SIDE_ROOM if tilt else _PLAN_ROOM
    stretch = max(
        (one for one in _STRETCHES if one * (2 * swing + rise) * scale <= room), default=_STRETCHES[0]
    )
    up = scale * stretch
    low = min(task.heights) * up * tilt
    base = 90.0 + swing * up - low
    return _View(task, state, reader, LivePaper(460, f"aim-{name}"), tilt, up, stretch, base)


def _surroundings(view: _View) -> None:
    """Walls with their rulers, the floor where it is near, which way cars go, the scale."""
    paper, reader = view.paper, view.reader
    swing = (
        max(wall_miss(view.task, r * s) for r, s in zip(view.task.reach, view.task.steps, strict=True))
        * view.up
    )
    heights = [view.lens(head)[1] for head in (0, 1)]
    low, high = min(heights) - swing - 8, max(heights) + swing + 8
    paper.write(view_name(view.tilt, reader), (180, high + 20), bold=True)
    for x in (_LEFT, _RIGHT):
        paper.line([(x, low), (x, high)], "pencil", LINE)
    for head in (0, 1):
        _ruler(view, head, swing)
    paper.line([view.lens(0), view.lens(1)], "rule", THIN)
    if view.tilt and view.base > low:
        paper.ground(view.base, _LEFT, _RIGHT)
    if not view.tilt:
        paper.arrow((180, low + 6), (180, low + 34), "pencil")
        paper.write(reader.say("cars", "carros"), (188, low + 14), "left", ink="pencil")
    paper.across(_LEFT, _RIGHT, low - 16, reader.write(view.task.width, "ft in"), "s")
    _scale_words(view, low - 48)


def _scale_words(view: _View, at: float) -> None:
    times = view.reader.number(view.stretch)
    told = view.task.level == 1 and bool(view.state.sightings) and not view.state.over
    words = view.reader.say(
        f"To scale across; {'up and down' if view.tilt else 'forward and back'} {times}×.",
        f"A escala a lo ancho; {'arriba y abajo' if view.tilt else 'adelante y atrás'} {times}×.",
    )
    below = view.paper.lines(words, (180, at), 340, "center", ink="pencil")
    if told:
        bracket = view.reader.say(
            "[ is where the string says that a head should point.",
            "[ es adonde debe apuntar el cabezal según el hilo.",
        )
        view.paper.lines(bracket, (180, below), 340, "center")


def _ruler(view: _View, head: int, swing: float) -> None:
    """Ticks on the wall beside a lens, as far apart as a string tells from the other head."""
    x, y = view.lens(head)
    step = view.task.string_steps[1 - head]
    count = math.floor(swing / (step * view.up) + 1e-9)
    out = 1 if x > 180 else -1
    for tick in range(-count, count + 1):
        at = y + tick * step * view.up
        view.paper.line([(x, at), (x - out * 5, at)], "pencil", THIN)
        if abs(tick) == count and count * step * view.up > 34:
            text = view.reader.tape(count * step)
            view.paper.write(text, (x + out * 5, at), "left" if out > 0 else "right", ink="pencil")


def _string(view: _View) -> None:
    paper, (a, b) = view.paper, (view.lens(0), view.lens(1))
    paper.line([a, b], "ink", LINE, mark="string")
    word = view.reader.say("string", "hilo")
    paper.label(word, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), "nsew", face="words")


def _told(view: _View, head: int) -> None:
    """A bracket on the other wall: to where the last string says that the swivel must be turned."""
    seen = [one for one in view.state.sightings if one.head == head]
    if not seen:
        return
    last, step = seen[-1], view.task.string_steps[head]
    miss = last.tilt if view.tilt else last.pan
    now = last.turned[view.tilt] * view.task.steps[head]
    goal = now - float(aim_angle(miss, view.task.distance))
    x, y = view.toward(head, goal)
    half, into = step / 2 * view.up, 9 if x < 180 else -9
    points = [(x + into, y - half), (x + into / 3, y - half), (x + into / 3, y + half), (x + into, y + half)]
    view.paper.line(points, "ink", HEAVY, mark=f"told-{AXES[view.axis(head)]}")


def _cone(view: _View, head: int, off: float, ink: Ink) -> None:
    """Both edges of what a head lights or sees, at half of its best, dashed."""
    half = view.task.half_angles[head]
    for edge in (off - half, off + half):
        view.paper.line([view.lens(head), view.toward(head, edge)], ink, THIN, dash=True)


def _head(view: _View, head: int, off: float) -> None:
    """A housing turned about its lens, its name above and its swivel's position below."""
    (x, y), (far_x, far_y) = view.lens(head), view.toward(head, off)
    along = math.atan2(far_y - y, far_x - x)
    place = _turner(x, y, along)
    view.paper.area([place(0, -6), place(0, 6), place(-16, 6), place(-16, -6)], "ink")
    view.paper.circle((x, y), 2.2, fill=True)
    out = "right" if x > 180 else "left"
    name = view.reader.say("receiver", "receptor") if head else view.reader.say("emitter", "emisor")
    edge = 356 if x > 180 else 4
    view.paper.write(name, (edge, y + 21), out)
    position = signed(view.state.turned[view.axis(head)], view.task.steps[head], view.reader)
    view.paper.write(position, (edge, y - 21), out, face="numbers", bold=True)


def _turner(x: float, y: float, along: float) -> Callable[[float, float], Point]:
    cos, sin = math.cos(along), math.sin(along)
    return lambda right, up: (x + right * cos - up * sin, y + right * sin + up * cos)


def _tip(view: _View, head: int) -> Point:
    return view.toward(head, view.swivel(head), _TIP)


def _handle(view: _View, head: int) -> None:
    """The tip of a head's swivel: pulled up or down, it turns that axis."""
    axis, at = AXES[view.axis(head)], _tip(view, head)
    wall = view.toward(head, view.swivel(head))
    a_degree = wall_miss(view.task, math.radians(1)) * view.up * (1 - _TIP / _SPAN)
    with view.paper.handle(f"turn_{axis}", at, y=Pull("by", a_degree), name=axis):
        view.paper.line([at, wall], "ink", LINE)
        view.paper.circle(at, 6, "ink", fill=True)
        for way in (1, -1):
            view.paper.arrow((at[0], at[1] + 8 * way), (at[0], at[1] + 19 * way), "ink", LINE)


def _swivel_words(view: _View) -> str:
    reader = view.reader

    def one(head: int) -> str:
        return signed(view.state.turned[view.axis(head)], view.task.steps[head], reader)

    return reader.say(
        f"Emitter turned {one(0)}, receiver {one(1)} since mounting. Where they truly look is not drawn. "
        "Pull a dot up or down to turn that head.",
        f"Emisor movido {one(0)}, receptor {one(1)} desde el montaje. No se dibuja hacia dónde miran de verdad. "
        "Jala un punto hacia arriba o abajo para mover ese cabezal.",
    )
