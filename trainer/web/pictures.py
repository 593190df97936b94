"""What a site's own questions show: its photos, for its own people alone, and drawings while a question is written."""

from __future__ import annotations

from base64 import b64decode
from math import isfinite
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request, url_for

from trainer.figures import FIGURES
from trainer.language.rendering import FigureRequest
from trainer.quantities.dimensions import System
from trainer.records.queries import questions as queries
from trainer.solver.numbers import BadInput
from trainer.web import words
from trainer.web.drawings import Picture, picture, svg
from trainer.web.guards import needs
from trainer.web.headers import POLICY_NAME
from trainer.web.house import me, reading

page = Blueprint("pictures", __name__)

POLICY = "default-src 'none'; sandbox"  # opened by itself, nothing runs or loads in it


@page.get("/questions/photos/<sha256>.jpg")
@needs("learn")
def photo(sha256: str) -> Response:
    """One photo of my site. It never changes, and is asked for each time: a tablet has many people."""
    with reading() as db:
        text = queries.photo_text(db, me().site_id, sha256) or abort(404)
    response = Response(b64decode(text), mimetype="image/jpeg")
    response.headers[POLICY_NAME] = POLICY
    response.headers["Cache-Control"] = "private, no-cache"
    response.set_etag(sha256)
    response.make_conditional(request)
    return response


def draft_picture(asked: FigureRequest | None, system: System) -> Picture | None:
    """A drawing of a question that nobody has saved; None where it cannot show these numbers, as the check says."""
    if asked is None:
        return None

    def address(theme: str) -> str:
        return f"{url_for('pictures.drawing', figure=asked.name, theme=theme)}&{urlencode(asked.numbers)}"

    try:
        return picture(asked, address, words.language(), system)
    except BadInput:
        return None


@page.get("/questions/drawing.svg")
@needs("review")
def drawing() -> Response:
    """A drawing of the catalogue with the numbers that the address has [SI]."""
    figure = FIGURES.get(request.args.get("figure", "")) or abort(404)
    sent = {name: text for name, text in request.args.items() if name not in ("figure", "theme")}
    if not set(figure.inputs) <= set(sent) <= {*figure.inputs, *figure.optional}:
        abort(404)
    try:
        numbers = {name: float(text) for name, text in sent.items()}
        if not all(map(isfinite, numbers.values())):
            abort(404)
        return svg(FigureRequest(figure.name, numbers), words.language(), me().system)
    except (ValueError, ArithmeticError):  # numbers that this drawing cannot show
        abort(404)
