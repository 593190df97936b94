"""Drawing a figure as SVG, and saying it in words; the words need no drawing library."""

from __future__ import annotations

import io
import re
import threading
from collections.abc import Mapping
from xml.sax.saxutils import escape

from trainer.figures.catalogue import FIGURES
from trainer.figures.given import Description, Given
from trainer.figures.ink import BLACK, MEASURED, SHOWN, THEMES, Theme
from trainer.figures.marks import Print, marks_of
from trainer.figures.paper import WIDTH
from trainer.figures.plot_paper import PlotPaper
from trainer.figures.scene import Scene
from trainer.quantities.dimensions import Language, System

# The drawing library keeps settings and fonts for the whole process; one drawing at a time is safe.
_ONE_AT_A_TIME = threading.Lock()


def describe(name: str, numbers: Mapping[str, float], language: Language, system: System) -> Description:
    """The figure's title and what it shows. Raises KeyError."""
    return FIGURES[name].describe(_given(name, numbers, language, system))


def draw_svg(
    name: str,
    numbers: Mapping[str, float],
    *,
    theme: str,
    language: Language,
    system: System,
) -> str:
    """The figure as one `<svg>`, the same text for the same inputs; numbers in SI, theme `light` or `dark`.

    A number that is NaN is one that the site lacks: the drawing then says so. Raises KeyError for an unknown figure
    or theme, for a missing input and for one that the figure does not take.
    """
    with _ONE_AT_A_TIME:
        given = _given(name, numbers, language, system)
        said = FIGURES[name].describe(given)
        return _svg(draw_on_paper(given, name, theme), f"{name} {theme}", said)


def draw_scene(scene: Scene, *, theme: str, language: Language, system: System) -> str:
    """The scene as one `<svg>`, the same text for the same facts. Raises KeyError for an unknown theme."""
    with _ONE_AT_A_TIME:
        paper = scene_on_paper(scene, THEMES[theme], language, system)
        return _svg(paper, f"{type(scene).__name__} {theme}", describe_scene(scene, language, system))


def describe_scene(scene: Scene, language: Language, system: System) -> Description:
    """The scene's title and what it shows."""
    return scene.words(Given.reader(language, system))


def print_scene(scene: Scene, language: Language, system: System) -> Print:
    """The scene as black marks, for a page that is printed."""
    with _ONE_AT_A_TIME:
        return marks_of(scene_on_paper(scene, BLACK, language, system))


def scene_on_paper(scene: Scene, theme: Theme, language: Language, system: System) -> PlotPaper:
    """The drawn scene, with the room that each text takes."""
    paper = PlotPaper(scene.height, theme)
    scene.draw(paper, Given.reader(language, system))
    paper.trim()
    return paper


def draw_on_paper(given: Given, name: str, theme: str) -> PlotPaper:
    """The drawn paper, with the room that each text takes."""
    if not given.complete:
        paper = PlotPaper(56, THEMES[theme])
        words = given.say("The site sheet lacks a number", "A la hoja del sitio le falta un número")
        paper.write(words, (WIDTH / 2, 36))
        words = given.say("that this drawing needs.", "que este dibujo necesita.")
        paper.write(words, (WIDTH / 2, 18))
        paper.trim()
        return paper
    paper = PlotPaper(FIGURES[name].height, THEMES[theme])
    FIGURES[name].draw(paper, given)
    paper.trim()
    return paper


def _given(name: str, numbers: Mapping[str, float], language: Language, system: System) -> Given:
    figure = FIGURES[name]
    dimensions = {**figure.inputs, **figure.optional}
    missing = set(figure.inputs) - set(numbers)
    if missing or set(numbers) - set(dimensions):
        raise KeyError(f"{name} takes {', '.join(dimensions)}; it got {', '.join(numbers)}")
    return Given(numbers, dimensions, language, system)


def _svg(paper: PlotPaper, salt: str, said: Description) -> str:
    """The paper as SVG with its title and description, in the reader's fonts, from nowhere and of no date."""
    import matplotlib as mpl  # noqa: PLC0415 - dear to import

    mpl.rcParams.update({"svg.fonttype": "none", "svg.hashsalt": salt})
    out = io.StringIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    paper.figure.savefig(out, format="svg", transparent=True, metadata=nothing)
    text = out.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.DOTALL)
    text = re.sub(r' (width|height)="([0-9.]+)pt"', r' \1="\2"', text, count=2)
    # Single-quoted families stand in double-quoted attributes.
    for face, family in MEASURED.items():
        text = text.replace(f"'{family}'", SHOWN[face])
    title = f"<title>{escape(said.title)}</title>\n <desc>{escape(said.text)}</desc>"
    return re.sub(r"<svg[^>]*", lambda opening: f'{opening[0]} role="img"', text, count=1).replace(
        ">", f">\n {title}", 1
    )
