"""Guards of views: nobody by default, a right where one is named."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from flask import Flask, abort, g, redirect, request, url_for
from werkzeug.wrappers import Response

from trainer.access.rights import PASSWORD_ONLY, Right, may

P = ParamSpec("P")
R = TypeVar("R")
View = Callable[P, R]


class UnguardedError(RuntimeError):
    """A view that says neither whom it lets through nor that it is open to all."""


def needs(right: Right) -> Callable[[View[P, R]], View[P, R | Response]]:
    """Let through whoever is signed in and holds the right; send nobody to the door, refuse the rest."""

    def guard(view: View[P, R]) -> View[P, R | Response]:
        @wraps(view)
        def guarded(*args: P.args, **kwargs: P.kwargs) -> R | Response:
            if g.get("member") is None:
                return to_the_door()
            if not may(g.member.role, right):
                abort(403)
            if g.get("by_pin") and right in PASSWORD_ONLY:
                return to_the_door(by="password")
            return view(*args, **kwargs)

        guarded.needs = right  # type: ignore[attr-defined]
        return guarded

    return guard


def open_to_all(view: View[P, R]) -> View[P, R]:
    """Mark a view that needs no sign-in; a test lists every one of them."""
    view.needs = None  # type: ignore[attr-defined]
    return view


def refuse_unguarded(app: Flask) -> None:
    """Refuse the view of this request if it has no guard: loudly in tests, as forbidden elsewhere."""
    view = app.view_functions.get(request.endpoint or "")
    if view is None or hasattr(view, "needs"):
        return
    if app.testing:
        raise UnguardedError(f"{request.endpoint} has no guard; write @needs(…) or @open_to_all above it")
    abort(403)


def to_the_door(by: str | None = None) -> Response:
    """Send the caller to sign in, and back here after it."""
    then = request.full_path.rstrip("?") if request.method == "GET" else None
    return redirect(url_for("sign_in.door", then=then, by=by), 303)
