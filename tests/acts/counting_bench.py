"""A small bench for tests of what keeps benches: count up to a drawn number, then say that it is reached."""

from dataclasses import dataclass
from types import SimpleNamespace

from trainer.benches import catalogue
from trainer.benches.acts import Act, ActKind, Amount, Option, Pick
from trainer.benches.frame import Best, Card, Debrief, NoTask, Part, Score, Shown
from trainer.sites.said import Said

ID = "counting"
LEVEL = Pick("level", Said("Level", "Nivel"), tuple(Option(one, Said(one, one)) for one in ("1", "2", "3")))
START = Pick(
    "start",
    Said("Start", "Inicio"),
    (Option("low", Said("Low", "Bajo")), Option("none", Said("None", "Nada"))),
)
ADD = ActKind(
    "add", Said("Add", "Suma"), (Amount("much", Said("How much", "Cuánto"), "in", 0.0254, 0.254, 0.0254),)
)
DONE = ActKind("done", Said("Done", "Listo"))
FORBIDDEN = Said("Touch nothing that moves.", "No toques nada que se mueva.")
TOUCH = ActKind("touch", Said("Touch", "Toca"))


@dataclass(frozen=True)
class Counting:
    """goal: inches to be reached."""

    goal: int
    system: str


def inches(acts):
    return sum(round(act.number("much") / 0.0254) for act in acts if act.kind == "add")


def make_task(sheet, fixed, stream, system):
    if fixed.get("start") == "none":
        raise NoTask(Said("The sheet has no number to count to.", "La hoja no tiene hasta dónde contar."))
    return Counting(3 + stream.below("goal", 7), system)


def score(task, acts):
    off = abs(task.goal - inches(acts))
    failed = FORBIDDEN if any(act.kind == "touch" for act in acts) else None
    return Score((Part(Said("Count", "Cuenta"), max(0, 100 - 10 * off), 100, Said("", "")),), -off, failed)


def best(task):
    acts = (*(Act("add", {"much": 0.0254}) for _ in range(task.goal)), Act("done", {}))
    return Best(acts, score(task, acts))


def refusal(limit, acts, act):
    if act.kind == "add" and inches([*acts, act]) > limit:
        return Said("That is past any number.", "Eso pasa de todo número.")
    return None


def counting(version=1, limit=100):
    """The bench, a module-like object; nobody counts past its limit."""
    return SimpleNamespace(
        CARD=Card(ID, version, Said("Counting", "Contar"), Said("Count.", "Cuenta."), 1, ()),
        options=lambda sheet: (LEVEL, START),
        make_task=make_task,
        score=score,
        best=best,
        kinds=lambda task: (ADD, TOUCH, DONE),
        refusal=lambda task, acts, act: refusal(limit, acts, act),
        is_over=lambda task, acts: bool(acts) and acts[-1].kind == "done",
        show=lambda task, acts, reader: Shown((), (), (), ()),
        debrief=lambda task, acts, reader: Debrief((), "", ""),
    )


def only_counting(monkeypatch, version=1):
    """Make it the only bench there is."""
    bench = counting(version)
    monkeypatch.setattr(catalogue, "benches", lambda: {ID: bench})


def add(much=1):
    """Count on by so many inches."""
    return Act("add", {"much": 0.0254 + (much - 1) * 0.0254})


def done():
    """Say that it is reached."""
    return Act("done", {})


def touch():
    """What nobody may do."""
    return Act("touch", {})
