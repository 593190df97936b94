"""Pages for what goes wrong: what happened, what is safe, what to do; never how the program is made inside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from flask import Flask, current_app, g, render_template
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response

from trainer.records.database import DatabaseError
from trainer.web.words import Later


@dataclass(frozen=True)
class Problem:
    """What a page of this kind says."""

    title: Later
    happened: Later
    safe: Later
    todo: Later


_NOTHING_DONE = Later("Nothing was changed.")
STALE_FORM = Problem(
    Later("This form is out of date"),
    Later("The form was opened before you last signed in, or it stood open too long."),
    Later("Nothing was saved. If you go back, your browser may still hold what you typed."),
    Later("Go back, load the page again and send the form once more."),
)
PROBLEMS: dict[int, Problem] = {
    400: Problem(
        Later("I could not read that"),
        Later("What your browser sent is not in the form that this page expects."),
        _NOTHING_DONE,
        Later("Go back, load the page again and try once more."),
    ),
    403: Problem(
        Later("This is not yours to open"),
        Later("You are signed in, but your role does not include this page."),
        _NOTHING_DONE,
        Later("If you need it for your work, ask your manager."),
    ),
    404: Problem(
        Later("There is no such page"),
        Later("The address is wrong, or what stood here is not yours to see."),
        _NOTHING_DONE,
        Later("Check the address, or start again from the front page."),
    ),
    405: Problem(
        Later("This address does not work that way"),
        Later("It takes a form that was sent, or only shows a page, and you asked for the other."),
        _NOTHING_DONE,
        Later("Start again from the front page."),
    ),
    413: Problem(
        Later("That is too large"),
        Later("You sent more than one megabyte at once."),
        Later("Nothing was saved. If you go back, your browser may still hold what you typed."),
        Later("Send less at a time."),
    ),
    422: Problem(
        Later("Something in the form does not fit"),
        Later("I read the form, but what stands in it cannot be taken."),
        Later("Nothing was saved. If you go back, your browser may still hold what you typed."),
        Later("Go back and mend it."),
    ),
    429: Problem(
        Later("Too many tries"),
        Later("Too much came from here in a short time."),
        Later("Nothing is locked."),
        Later("Wait a few minutes, then try again."),
    ),
    500: Problem(
        Later("Something broke on our side"),
        Later("The program met a fault of its own. It was written down for whoever runs it."),
        Later("What was saved before is safe. Do not count on this last step being saved."),
        Later("Go back and try once more. If it happens again, tell your administrator what you did."),
    ),
    503: Problem(
        Later("The records cannot be reached"),
        Later("The database did not answer. This is about the server, not about what you did."),
        Later("What was saved before is safe. Do not count on this last step being saved."),
        Later("Wait a moment, go back and send it again. Sending it twice does no harm."),
    ),
}


def show_problems(app: Flask) -> None:
    """Have the application answer every kind of failure with a page of its own."""
    app.register_error_handler(CSRFError, lambda _: _page(400, STALE_FORM))
    app.register_error_handler(HTTPException, _of_http)
    app.register_error_handler(DatabaseError, _of_database)
    app.register_error_handler(500, _broken(app))


def _of_http(error: HTTPException) -> Response | tuple[str, int] | HTTPException:
    code = error.code or 500
    if code < 400:
        return error
    known = code if code in PROBLEMS else (400 if code < 500 else 500)
    return _page(code, PROBLEMS[known])


def _of_database(error: DatabaseError) -> Response:
    current_app.logger.error("%s", error)
    response = current_app.make_response(_page(503, PROBLEMS[503]))
    response.headers["Retry-After"] = "5"
    return response


def _broken(app: Flask) -> Callable[[Exception], tuple[str, int]]:
    def answer(_error: Exception) -> tuple[str, int]:
        try:
            return _page(500, PROBLEMS[500])
        except Exception:
            # The page itself may be what broke; then plain words have to do.
            app.logger.exception("the page for a fault is itself at fault")
            problem = PROBLEMS[500]
            return f"{problem.title}. {problem.safe} {problem.todo}", 500

    return answer


def _page(code: int, problem: Problem) -> tuple[str, int]:
    g.setdefault("language", "en")
    return render_template("problem.html", problem=problem, code=code), code
