"""Who is calling: the session in the person's own browser, the tablet's token, the language to answer in."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar, cast
from urllib.parse import urlencode

from flask import Response, current_app, g, request, session

from trainer.access.members import Member
from trainer.access.sessions import SignedIn, holds
from trainer.acts.hashing import token_hash
from trainer.acts.sign_in import Entered
from trainer.records.queries.sign_in import EnrolledTablet, caller, tablet_by_token
from trainer.web.house import house, now, reading

TABLET_COOKIE = "stringline-tablet"
LANGUAGE_COOKIE = "stringline-language"
LANGUAGES = (("en", "English"), ("es", "Español"))
PLACE = "place"  # which browser this is, for as long as it keeps its session: an exam is bound to one
FORM_TOKEN = "csrf_token"  # noqa: S105 - where Flask-WTF keeps it, not a secret itself
CODES = tuple(code for code, _ in LANGUAGES)
# Browsers keep a cookie for 400 days at most (RFC 6265bis); each sign-in on the tablet renews it.
A_YEAR = timedelta(days=400)
WRITE_SEEN_EVERY = timedelta(minutes=1)
SEEN_FOR, MOST_CALLERS = timedelta(minutes=1), 2000
V = TypeVar("V", bound=Callable[..., object])


def load_caller() -> None:
    """Find out who is calling. One statement when a session is sent, none otherwise.

    Where the act of a page asks the records about the session itself, in its own transaction, whoever was seen here
    in the last minute is taken for who they were then: `unproven` says so until the act or `prove_caller` has asked.
    """
    signed_in = None if request.endpoint == "static" else _read_session(session)
    if signed_in is None:
        g.language = asked_language()
        return
    seen = _seen(signed_in) if getattr(_view(), "proves_caller", False) else None
    if seen is None:
        _ask_the_records(signed_in)
    else:
        g.member, g.by_pin, g.language = seen, signed_in.by_pin, seen.language
        g.unproven = signed_in


def proves_caller(view: V) -> V:
    """Mark a view that asks the records about an unproven caller before it tells or changes anything."""
    view.proves_caller = True  # type: ignore[attr-defined]
    return view


def unproven() -> SignedIn | None:
    """The session that nobody has asked the records about yet."""
    return cast("SignedIn | None", g.get("unproven"))


def prove_caller() -> bool:
    """Ask the records about the caller, if nobody has; whether they are still signed in."""
    signed_in = g.pop("unproven", None)
    if signed_in is not None:
        g.pop("member")
        _ask_the_records(signed_in)
    return g.get("member") is not None


def _view() -> object:
    return current_app.view_functions.get(request.endpoint or "")


def _seen(signed_in: SignedIn) -> Member | None:
    """Who the records said this was, less than a minute ago, as far as time lets the session hold."""
    member, asked_at = _callers().get(_key(signed_in), (None, datetime.min.replace(tzinfo=UTC)))
    if member is None or not timedelta(0) <= now() - asked_at < SEEN_FOR:
        return None
    return member if holds(signed_in, member, tablet_stands=True, now=now()) else None


def _callers() -> dict[tuple[int, int, int | None], tuple[Member, datetime]]:
    found: dict[tuple[int, int, int | None], tuple[Member, datetime]] = current_app.extensions.setdefault(
        "stringline.callers", {}
    )
    return found


def _key(signed_in: SignedIn) -> tuple[int, int, int | None]:
    return signed_in.person_id, signed_in.session_number, signed_in.tablet_id


def _ask_the_records(signed_in: SignedIn) -> None:
    with house().database.glance() as connection:
        found = caller(connection, signed_in.person_id, signed_in.tablet_id)
    if found is None or not holds(signed_in, found.member, found.tablet_stands, now()):
        g.language = asked_language()
        _end(signed_in)
        return
    g.member, g.by_pin, g.language = found.member, signed_in.by_pin, found.member.language
    if len(_callers()) >= MOST_CALLERS:
        _callers().clear()
    _callers()[_key(signed_in)] = (found.member, now())
    if now() - signed_in.seen_at >= WRITE_SEEN_EVERY:
        session["seen"] = now().timestamp()


def remember(entered: Entered) -> None:
    """Open a session for the person who has just signed in; nothing of an earlier one stays.

    But whose session ran out while they were typing may send that form after all: its token stays theirs.
    """
    token = session.get(FORM_TOKEN) if session.get("was") == entered.person_id else None
    _start_over()
    session.update(
        person=entered.person_id,
        number=entered.session_number,
        started=now().timestamp(),
        seen=now().timestamp(),
        tablet=entered.tablet_id,
        pin=entered.by_pin,
    )
    if token is not None:
        session[FORM_TOKEN] = token


def renumber(session_number: int) -> None:
    """Keep this session when all others of the person were ended."""
    session["number"] = session_number


def forget() -> None:
    """Drop the session."""
    _start_over()


def _end(signed_in: SignedIn) -> None:
    """The session ran out: nobody is signed in, but the browser still knows whose form stands open."""
    token = session.get(FORM_TOKEN)
    _start_over()
    session.update({"was": signed_in.person_id, FORM_TOKEN: token} if token else {})


def _start_over() -> None:
    """Empty the session; only which browser this is stays, so that whoever signs in again goes on with their exam."""
    kept = session.get(PLACE)
    session.clear()
    if kept is not None:
        session[PLACE] = kept


def place() -> str | None:
    """Digest of this browser's token, if it ever needed one. Reads the session and changes nothing."""
    kept = session.get(PLACE)
    return token_hash(kept) if isinstance(kept, str) else None


def settled_place() -> str:
    """Digest of this browser's token; one is made where there is none yet."""
    if not isinstance(session.get(PLACE), str):
        session[PLACE] = secrets.token_urlsafe(24)
    return token_hash(session[PLACE])


def address() -> str:
    """The caller's address, as far as trusted proxies name it."""
    return request.remote_addr or "unknown"


def tablet_token() -> str | None:
    """The token that this browser keeps, if it is an enrolled tablet."""
    return request.cookies.get(TABLET_COOKIE)


def this_tablet() -> EnrolledTablet | None:
    """The enrolled tablet that this browser is. One statement when it sends a token."""
    token = tablet_token()
    if not token:
        return None
    with reading() as db:
        return tablet_by_token(db, token_hash(token))


def keep_tablet(response: Response, token: str) -> None:
    """Have the browser keep the tablet's token, out of reach of scripts."""
    _keep(response, TABLET_COOKIE, token)


def asked_language() -> str:
    """The language asked for in the address, else chosen before, else the browser's first that we have."""
    for code in (request.args.get("language"), request.cookies.get(LANGUAGE_COOKIE)):
        if code in CODES:
            return str(code)
    return request.accept_languages.best_match(CODES) or "en"


def in_language(code: str) -> str:
    """This very page in another language."""
    asked = {**request.args.to_dict(), "language": code}
    return f"{request.path}?{urlencode(asked)}"


def keep_language(response: Response) -> Response:
    """Have the browser keep a language that was asked for in the address."""
    if request.args.get("language") in CODES and request.endpoint != "static":
        _keep(response, LANGUAGE_COOKIE, request.args["language"])
    return response


def _keep(response: Response, name: str, value: str) -> None:
    response.set_cookie(
        name, value, max_age=A_YEAR, httponly=True, secure=house().config.https, samesite="Lax"
    )


def _read_session(kept: Mapping[str, Any]) -> SignedIn | None:
    if "person" not in kept:
        return None
    try:
        return SignedIn(
            person_id=kept["person"],
            session_number=kept["number"],
            started_at=datetime.fromtimestamp(kept["started"], UTC),
            seen_at=datetime.fromtimestamp(kept["seen"], UTC),
            tablet_id=kept["tablet"],
            by_pin=kept["pin"],
        )
    except (KeyError, TypeError, ValueError, OverflowError):
        current_app.logger.warning("a signed session of another shape was dropped")
        return None
