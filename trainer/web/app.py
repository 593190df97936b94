"""The application factory: parts, guards, words, headers, blueprints."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from flask import Flask
from flask_wtf import CSRFProtect

from trainer.web import house as house_module
from trainer.web import words
from trainer.web.house import House

# Each names a module of this room that holds a blueprint `page`.
BLUEPRINTS = ("sign_in", "learn", "practise", "examine", "train", "manage", "author", "prove")


def create_app(house: House) -> Flask:
    """The web program over one installation."""
    app = Flask("trainer.web", static_folder="static", template_folder="templates")
    app.extensions["stringline"] = house
    app.config.update(
        SECRET_KEY=house.config.secret.hex(),
        SESSION_COOKIE_NAME="stringline",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SECURE=house.config.https,
        SESSION_COOKIE_SAMESITE="Lax",
        MAX_CONTENT_LENGTH=1_000_000,
        MAX_FORM_MEMORY_SIZE=1_000_000,
        WTF_CSRF_TIME_LIMIT=None,
    )
    app.jinja_env.add_extension("jinja2.ext.i18n")
    install: Callable[..., None] = app.jinja_env.install_gettext_callables  # type: ignore[attr-defined]
    install(words.gettext, words.ngettext, newstyle=True)
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    CSRFProtect(app)
    for name in BLUEPRINTS:
        app.register_blueprint(import_module(f"trainer.web.{name}").page)
    app.jinja_env.globals["language"] = words.language
    app.jinja_env.globals["me"] = lambda: house_module.g.get("member")
    return app
