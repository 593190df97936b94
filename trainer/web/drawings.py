"""A figure on a page: two addresses (light and dark), its words, and the SVG that the addresses give."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from flask import Response, abort, request

from trainer.figures import describe, draw_svg
from trainer.language.rendering import FigureRequest
from trainer.quantities.dimensions import Language, System

THEMES = ("light", "dark")
# The picture is a document of its own: nothing may run or load in it, but its own marks carry style attributes.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


@dataclass(frozen=True)
class Picture:
    """What `parts.drawing` shows."""

    light: str
    dark: str
    title: str
    text: str
    caption: str


def picture(
    asked: FigureRequest, address: Callable[[str], str], language: Language, system: System
) -> Picture:
    """A figure's addresses and words; `address` gives the address for a theme."""
    said = describe(asked.name, asked.numbers, language, system)
    return Picture(address("light"), address("dark"), said.title, said.text, asked.caption)


def svg(asked: FigureRequest, language: Language, system: System) -> Response:
    """The drawing for the theme that the address names; the same address always gives the same drawing."""
    return as_picture(
        _drawn(asked.name, tuple(sorted(asked.numbers.items())), asked_theme(), language, system)
    )


def asked_theme() -> str:
    """The theme that the address names; an unknown one is not found."""
    theme = request.args.get("theme", "light")
    if theme not in THEMES:
        abort(404)
    return theme


def as_picture(drawn: str) -> Response:
    """The answer that holds a drawing."""
    response = Response(drawn, mimetype="image/svg+xml")
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Cache-Control"] = "private, max-age=3600"
    return response


@lru_cache(maxsize=256)
def _drawn(
    name: str, numbers: tuple[tuple[str, float], ...], theme: str, language: Language, system: System
) -> str:
    return draw_svg(name, dict(numbers), theme=theme, language=language, system=system)
