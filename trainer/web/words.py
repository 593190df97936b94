"""Screens' words in English and Spanish: gettext messages read from `translations/es.po` at start."""

from __future__ import annotations

from functools import cache
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path
from typing import cast

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from flask import g, has_request_context
from markupsafe import escape

from trainer.quantities.dimensions import Language

FOLDER = Path(__file__).parent / "translations"


@cache
def catalogue(language: str) -> NullTranslations:
    """The messages of a language; English stands in the templates themselves."""
    if language == "en":
        return NullTranslations()
    with (FOLDER / f"{language}.po").open("rb") as file:
        messages = read_po(file, locale=language)
    compiled = BytesIO()
    write_mo(compiled, messages)
    compiled.seek(0)
    return GNUTranslations(compiled)


def language() -> Language:
    """The language of this request: the person's, else what they chose at the door, else the browser's."""
    return cast(Language, g.language) if has_request_context() and "language" in g else "en"


def gettext(message: str) -> str:
    """The message in the language of this request."""
    return catalogue(language()).gettext(message)


def ngettext(one: str, many: str, count: int) -> str:
    """The message for a count."""
    return catalogue(language()).ngettext(one, many, count)


class Later(str):
    """A message that is put into words when it is shown: for labels of forms. As a plain string it is English."""

    __slots__ = ()

    def __str__(self) -> str:
        return gettext(str.__str__(self))

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __html__(self) -> str:
        return str(escape(str(self)))
