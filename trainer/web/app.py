"""The application factory: parts, guards, words, headers, blueprints."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from flask import Flask, g
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

from trainer.web import checking, words
from trainer.web.callers import LANGUAGES, in_language, keep_language, load_caller
from trainer.web.dates import day_words, moment_words
from trainer.web.errors import show_problems
from trainer.web.guards import open_to_all, refuse_unguarded
from trainer.web.headers import add_headers
from trainer.web.house import House, now
from trainer.web.observing import widen_for_pictures
from trainer.web.places import places

# Each names a module of this room that holds a blueprint `page`.
BLUEPRINTS = (
    "sign_in",
    "members",
    "learn",
    "practise",
    "benches",
    "giving",
    "examine",
    "invigilate",
    "train",
    "without_network",
    "observing",
    "people",
    "learned",
    "statistics",
    "manage",
    "schemes",
    "panels",
    "standing",
    "inspections",
    "impartiality",
    "appeals",
    "keeping",
    "author",
    "writing",
    "reviewing",
    "pictures",
    "rescoring",
    "survey",
    "placing",
    "measure",
    "checking",
    "prove",
    "publish",
    "wall",
)


def create_app(house: House, *, testing: bool = False) -> Flask:
    """The web program over one installation."""
    app = Flask("trainer.web", static_folder="static", template_folder="templates")
    app.extensions["stringline"] = house
    app.config.update(_settings(house), TESTING=testing)
    app.before_request(load_caller)
    app.before_request(lambda: refuse_unguarded(app))
    app.before_request(widen_for_pictures)  # before anything reads the form
    CSRFProtect(app)
    for name in BLUEPRINTS:
        app.register_blueprint(import_module(f"trainer.web.{name}").page)
    checking.set_up(app)
    open_to_all(app.view_functions["static"])
    app.after_request(keep_language)
    app.after_request(add_headers)
    show_problems(app)
    _set_up_templates(app)
    if house.config.proxies:
        count = house.config.proxies
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=count, x_proto=count, x_host=count)  # type: ignore[method-assign]
    return app


def _settings(house: House) -> dict[str, object]:
    https = house.config.https
    return {
        "SECRET_KEY": house.config.key_for("sessions").hex(),
        # The prefix makes browsers insist on https, this host alone and the whole path (RFC 6265bis).
        "SESSION_COOKIE_NAME": "__Host-stringline" if https else "stringline",
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SECURE": https,
        "SESSION_COOKIE_SAMESITE": "Lax",
        "SESSION_COOKIE_PATH": "/",
        "MAX_CONTENT_LENGTH": 1_000_000,
        "MAX_FORM_MEMORY_SIZE": 1_000_000,
        "WTF_CSRF_TIME_LIMIT": None,
        "PREFERRED_URL_SCHEME": "https" if https else "http",
    }


def _set_up_templates(app: Flask) -> None:
    env = app.jinja_env
    env.add_extension("jinja2.ext.i18n")
    install: Callable[..., None] = env.install_gettext_callables  # type: ignore[attr-defined]
    install(words.gettext, words.ngettext, newstyle=True)
    env.trim_blocks = env.lstrip_blocks = True
    env.globals.update(
        language=words.language,
        me=lambda: g.get("member"),
        places=places,
        printed_on=lambda: moment_words(now()),
        day_words=day_words,
        door_languages=LANGUAGES,
        in_language=in_language,
    )
