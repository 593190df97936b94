"""Practicals where there is no connection: the page that a browser puts aside, its worker, what has arrived."""

from __future__ import annotations

import uuid

from flask import Blueprint, current_app, render_template
from werkzeug.wrappers import Response

from trainer.records.queries.arrived import has_arrived
from trainer.web.cabinet_words import cabinet_scheme
from trainer.web.guards import needs, open_to_all
from trainer.web.house import me, reading
from trainer.web.train import REMARK, STEP, PracticalForm

page = Blueprint("without_network", __name__)

# What the page would say of whoever asks for it: it stays in the browser, so it knows nobody.
NOBODY = {
    "me": lambda: None,
    "places": list,
    "door_languages": (),
    "get_flashed_messages": list,
}


@page.get("/practicals/without-network")
@needs("train")
def shell() -> str:
    """The checklist of nobody in particular, in my language; script fills it from what the device has kept."""
    checklist = cabinet_scheme().practical
    return render_template(
        "train/without_network.html", steps=checklist.steps if checklist else (), form=PracticalForm(),
        scheme=cabinet_scheme(), prefix=STEP, remark=REMARK, marks={}, remarks={}, **NOBODY,
    )  # fmt: skip


@page.get("/practicals/worker.js")
@open_to_all
def worker() -> Response:
    """The worker of the pages under /practicals; a browser lets it reach no further."""
    response = current_app.send_static_file("practical_worker.js")
    response.headers["Service-Worker-Allowed"] = "/practicals"
    response.headers["Cache-Control"] = "no-cache"
    return response


@page.get("/practicals/arrived/<uuid:public_id>")
@needs("train")
def arrived(public_id: uuid.UUID) -> dict[str, bool]:
    """Whether a checklist that I sent is signed: the answer to it may have been lost."""
    with reading() as db:
        return {"arrived": has_arrived(db, me().id, str(public_id))}
