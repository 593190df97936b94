"""Finds every message that a page or a form may show."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from babel.messages.extract import extract_from_file
from babel.messages.pofile import read_po
from jinja2.ext import babel_extract

WEB = Path(__file__).parents[2] / "trainer" / "web"
KEYWORDS = {"_": None, "gettext": None, "ngettext": (1, 2), "Later": None}


@dataclass(frozen=True)
class Used:
    """A message, alone or as a pair for one and many, and where it is written."""

    message: tuple[str, ...]
    place: str


def used_messages() -> Iterator[Used]:
    """Every message of the templates and of the Python of the web room."""
    for path in sorted((WEB / "templates").rglob("*.html")):
        with path.open("rb") as file:
            options = {"trimmed": "false", "silent": "false", "newstyle_gettext": "true"}
            for line, _, message, _ in babel_extract(file, tuple(KEYWORDS), (), options):
                yield Used(_parts(message), f"{path.relative_to(WEB)}:{line}")
    for path in sorted(WEB.glob("*.py")):
        for line, message, _, _ in extract_from_file("python", path, KEYWORDS):
            yield Used(_parts(message), f"{path.relative_to(WEB)}:{line}")


def _parts(message: str | tuple[str | None, ...]) -> tuple[str, ...]:
    return (message,) if isinstance(message, str) else tuple(part for part in message if part)


def written_messages(language: str = "es"):
    """Every entry of the catalogue but its head."""
    with (WEB / "translations" / f"{language}.po").open("rb") as file:
        return [entry for entry in read_po(file, locale=language) if entry.id]
