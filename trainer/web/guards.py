"""Guards of views: nobody by default, a right where one is named."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from flask import abort, g, redirect, request, url_for
from werkzeug.wrappers import Response

from trainer.access.rights import Right, may

P = ParamSpec("P")
R = TypeVar("R")
View = Callable[P, R]


def needs(right: Right) -> Callable[[View[P, R]], View[P, R | Response]]:
    """Let through whoever is signed in and holds the right; send nobody to the door, refuse the rest."""

    def guard(view: View[P, R]) -> View[P, R | Response]:
        @wraps(view)
        def guarded(*args: P.args, **kwargs: P.kwargs) -> R | Response:
            if g.get("member") is None:
                return redirect(
                    url_for("sign_in.door", then=request.full_path if request.method == "GET" else None)
                )
            if not may(g.member.role, right):
                abort(403)
            return view(*args, **kwargs)

        guarded.needs = right  # type: ignore[attr-defined]
        return guarded

    return guard


def open_to_all(view: View[P, R]) -> View[P, R]:
    """Mark a view that needs no sign-in; a test lists every one of them."""
    view.needs = None  # type: ignore[attr-defined]
    return view
