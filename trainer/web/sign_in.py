"""Pages of `sign_in`: the door, PINs on the shop's tablet, signing out, one's own language, password and PIN."""

from __future__ import annotations

from flask import Blueprint, flash, g, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, PasswordField, RadioField, StringField
from wtforms.validators import DataRequired

from trainer.access.refusal import Refused
from trainer.access.sessions import local_path
from trainer.acts import accounts, sign_in
from trainer.acts.sign_in import Entered
from trainer.records.queries.sign_in import AtTheTablet, at_the_tablet
from trainer.records.queries.sign_in import secrets_of as secrets_query
from trainer.web.callers import (
    address,
    forget,
    keep_tablet,
    remember,
    renumber,
    tablet_token,
    this_tablet,
)
from trainer.web.guards import needs, open_to_all
from trainer.web.house import house, me, now, reading
from trainer.web.places import front_door
from trainer.web.refusals import reasons, refusal_page
from trainer.web.words import Later, gettext

page = Blueprint("sign_in", __name__)

EMPTY = DataRequired(Later("Fill this in."))


class DoorForm(Form):
    """What one signs in with from anywhere."""

    sign_in_name = StringField(Later("Sign-in name"), [EMPTY])
    password = PasswordField(Later("Password"), [EMPTY])


class PinForm(Form):
    """What one signs in with on the shop's tablet."""

    pin = PasswordField(Later("PIN, six digits"), [EMPTY])


class PreferencesForm(Form):
    """Language and units."""

    language = RadioField(Later("Language"), choices=[("en", "English"), ("es", "Español")])
    system = RadioField(
        Later("Units"),
        choices=[
            ("us", Later("US: feet, inches, gallons")),
            ("metric", Later("Metric: meters, centimeters, liters")),
        ],
    )


class NewSecretForm(Form):
    """A new password or PIN for oneself."""

    current = PasswordField(Later("What you sign in with now"), [EMPTY])
    new = PasswordField(Later("The new one"), [EMPTY])


@page.get("/")
@needs("learn")
def home() -> Response:
    """Send everyone to where their work begins."""
    return redirect(front_door())


@page.get("/sign-in")
@open_to_all
def door() -> str | Response:
    """The names on an enrolled tablet, else the form for name and password."""
    by_password = request.args.get("by") == "password"
    if g.get("member") is not None and not by_password:
        return redirect(_after())
    tablet = None if by_password else this_tablet()
    if tablet is not None:
        with reading() as db:
            people = at_the_tablet(db, tablet.site_id)
        return render_template("sign_in/names.html", people=people, tablet=tablet, then=_then())
    return render_template("sign_in/door.html", form=DoorForm(request.form), then=_then(), refused=())


@page.post("/sign-in")
@open_to_all
def enter() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Sign in by password."""
    form = DoorForm(request.form)
    if not form.validate():
        return render_template("sign_in/door.html", form=form, then=_then(), refused=()), 422
    entered = sign_in.sign_in_by_password(
        house().database,
        sign_in_name=str(form.sign_in_name.data),
        password=str(form.password.data),
        address=address(),
        tablet_token=tablet_token(),
        now=now(),
    )
    if isinstance(entered, Refused):
        return refusal_page("sign_in/door.html", entered, form=form, then=_then())
    return _let_in(entered)


@page.get("/sign-in/<public_id>")
@open_to_all
def pin_pad(public_id: str) -> str | Response:
    """Ask the PIN of the person who was picked on the tablet."""
    person = _at_this_tablet(public_id)
    if person is None:
        return redirect(url_for("sign_in.door", then=_then()))
    return render_template(
        "sign_in/pin.html", form=PinForm(request.form), person=person, then=_then(), refused=()
    )


@page.post("/sign-in/<public_id>")
@open_to_all
def enter_by_pin(public_id: str) -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Sign in by PIN."""
    person, form = _at_this_tablet(public_id), PinForm(request.form)
    if person is None:
        flash(reasons(Refused(("sign_in.no_tablet",)))[0])
        return redirect(url_for("sign_in.door", then=_then()), 303)
    if not form.validate():
        return render_template("sign_in/pin.html", form=form, person=person, then=_then(), refused=()), 422
    entered = sign_in.sign_in_by_pin(
        house().database,
        public_id=public_id,
        pin=str(form.pin.data),
        tablet_token=tablet_token(),
        address=address(),
        now=now(),
    )
    if isinstance(entered, Refused):
        return refusal_page("sign_in/pin.html", entered, form=form, person=person, then=_then())
    return _let_in(entered)


@page.post("/sign-out")
@needs("learn")
def out() -> Response:
    """Sign out: this browser forgets the session."""
    sign_in.sign_out(house().database, person_id=me().id, now=now())
    forget()
    flash(gettext("You are signed out."))
    return redirect(url_for("sign_in.door"), 303)


@page.get("/here")
@open_to_all
def here() -> dict[str, str | None]:
    """Who is signed in on this browser, if the server and its records answer: asked before a form is sent."""
    return {"person": g.member.public_id if g.get("member") else None}


@page.get("/preferences")
@needs("learn")
def preferences() -> str:
    """Language and units; from here to password and PIN."""
    form = PreferencesForm(language=me().language, system=me().system)
    return render_template("sign_in/preferences.html", form=form)


@page.post("/preferences")
@needs("learn")
def choose() -> Response | tuple[str, int]:
    """Keep the chosen language and units."""
    form = PreferencesForm(request.form)
    if not form.validate():
        return render_template("sign_in/preferences.html", form=form), 422
    g.language = form.language.data
    accounts.choose(
        house().database, person_id=me().id, language=form.language.data, system=form.system.data, now=now()
    )
    flash(gettext("Saved."))
    return redirect(url_for("sign_in.preferences"), 303)


@page.get("/preferences/password")
@needs("learn")
def password() -> str:
    """Ask for a new password."""
    return render_template("sign_in/password.html", form=NewSecretForm(request.form), refused=(), has=_has())


@page.post("/preferences/password")
@needs("learn")
def set_password() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Change one's password; every other session ends."""
    return _set_secret("sign_in/password.html", accounts.set_password)


@page.get("/preferences/pin")
@needs("learn")
def pin() -> str:
    """Ask for a new PIN."""
    return render_template("sign_in/own_pin.html", form=NewSecretForm(request.form), refused=(), has=_has())


@page.post("/preferences/pin")
@needs("learn")
def set_pin() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Change one's PIN; every other session ends."""
    return _set_secret("sign_in/own_pin.html", accounts.set_pin)


def _set_secret(
    template: str, act: accounts.ChangeSecret
) -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    form = NewSecretForm(request.form)
    if not form.validate():
        return render_template(template, form=form, refused=(), has=_has()), 422
    number = act(
        house().database,
        person_id=me().id,
        current=str(form.current.data),
        new=str(form.new.data),
        address=address(),
        now=now(),
    )
    if isinstance(number, Refused):
        return refusal_page(template, number, form=form, has=_has())
    renumber(number)
    flash(gettext("Saved. You stay signed in here; everywhere else you are signed out."))
    return redirect(url_for("sign_in.preferences"), 303)


def _has() -> str:
    """Which secret the person proves themself with: the password where there is one, else the PIN."""
    with reading() as db:
        mine = secrets_query(db, me().id)
    return "password" if mine is not None and mine.password_hash is not None else "pin"


def _at_this_tablet(public_id: str) -> AtTheTablet | None:
    """The person if they have a PIN and this browser is a tablet of their site; the page speaks their language."""
    tablet = this_tablet()
    if tablet is None:
        return None
    with reading() as db:
        people = at_the_tablet(db, tablet.site_id)
    person = next((one for one in people if one.public_id == public_id), None)
    if person is not None:
        g.language = person.language
    return person


def _let_in(entered: Entered) -> Response:
    """Open the session, renew the tablet's token, go on to where the person wanted to be."""
    remember(entered)
    response = make_response(redirect(_after(), 303))
    token = tablet_token()
    if entered.tablet_id is not None and token:
        keep_tablet(response, token)
    return response


def _then() -> str | None:
    return local_path(request.values.get("then"))


def _after() -> str:
    return _then() or url_for("sign_in.home")
