"""Pages of `members`: who is enrolled at this site, their passwords and PINs, leaving, and the shared tablets."""

from __future__ import annotations

from typing import cast

from flask import Blueprint, abort, flash, g, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, PasswordField, SelectField, StringField
from wtforms.validators import DataRequired

from trainer.access.members import Member, Role
from trainer.access.refusal import Refused
from trainer.access.rights import LOOKED_AFTER, may, may_look_after
from trainer.acts import accounts, tablets
from trainer.acts.enrolment import Newcomer, enrol_newcomer
from trainer.records.queries import people as people_queries
from trainer.records.queries import sign_in as queries
from trainer.web.callers import keep_tablet, this_tablet
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext

page = Blueprint("members", __name__)

EMPTY = DataRequired(Later("Fill this in."))
ROLES: dict[Role, Later] = {
    "learner": Later("learner"),
    "trainer": Later("trainer"),
    "manager": Later("manager"),
    "administrator": Later("administrator"),
}


class EnrolForm(Form):
    """A person to enrol."""

    name = StringField(Later("Name"), [EMPTY])
    sign_in_name = StringField(Later("Sign-in name"), [EMPTY])
    role = SelectField(Later("Role"))
    trained_by = SelectField(Later("Trained by"))
    language = SelectField(Later("Language"), choices=[("en", "English"), ("es", "Español")])
    system = SelectField(Later("Units"), choices=[("us", Later("US units")), ("metric", Later("metric"))])
    password = PasswordField(Later("First password"))
    pin = PasswordField(Later("First PIN"))

    def offer(self, members: list[Member]) -> EnrolForm:
        """Offer the roles that I may enrol, and the people who train."""
        self.role.choices = [(role, word) for role, word in ROLES.items() if role in LOOKED_AFTER[me().role]]
        self.trained_by.choices = [
            ("", Later("Nobody yet")),
            *((one.public_id, one.name) for one in members if one.role in {"trainer", "manager"}),
        ]
        return self


class GivenSecretForm(Form):
    """A new password or PIN for somebody else."""

    new = PasswordField(Later("The new one"), [EMPTY])


class TabletForm(Form):
    """The tablet in hand."""

    name = StringField(Later("Name of this tablet"), [EMPTY])


@page.get("/members")
@needs("enrol")
def everyone() -> str:
    """Who is enrolled at this site."""
    with reading() as db:
        members = people_queries.members(db, me().site_id)
    return render_template("members/everyone.html", members=members, roles=ROLES)


@page.get("/members/new")
@needs("enrol")
def newcomer() -> str:
    """Ask who is to be enrolled."""
    form = EnrolForm(language=g.language, system=me().system).offer(_members())
    return render_template("members/newcomer.html", form=form, refused=())


@page.post("/members/new")
@needs("enrol")
def enrol() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Enrol a person."""
    form = EnrolForm(request.form).offer(_members())
    if not form.validate():
        return render_template("members/newcomer.html", form=form, refused=()), 422
    done = enrol_newcomer(house().database, site_id=me().site_id, by=me().id, who=_read(form), now=now())
    if isinstance(done, Refused):
        return refusal_page("members/newcomer.html", done, form=form)
    flash(gettext("Enrolled."))
    return redirect(url_for("members.one", public_id=done), 303)


@page.get("/members/<public_id>")
@needs("enrol")
def one(public_id: str) -> str:
    """One person: what they are here, and what can be done for their account."""
    person = _person(public_id)
    return render_template(
        "members/one.html", person=person, roles=ROLES, mine=_mine(person), decides=may(me().role, "decide")
    )


@page.get("/members/<public_id>/password")
@needs("enrol")
def password(public_id: str) -> str:
    """Ask for a new password for the person."""
    return render_template(
        "members/password.html",
        form=GivenSecretForm(request.form),
        person=_looked_after(public_id),
        refused=(),
    )


@page.post("/members/<public_id>/password")
@needs("enrol")
def give_password(public_id: str) -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Give the person a new password."""
    return _give("members/password.html", public_id, accounts.give_password)


@page.get("/members/<public_id>/pin")
@needs("enrol")
def pin(public_id: str) -> str:
    """Ask for a new PIN for the person."""
    return render_template(
        "members/pin.html", form=GivenSecretForm(request.form), person=_looked_after(public_id), refused=()
    )


@page.post("/members/<public_id>/pin")
@needs("enrol")
def give_pin(public_id: str) -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Give the person a new PIN."""
    return _give("members/pin.html", public_id, accounts.give_pin)


@page.get("/members/<public_id>/leave")
@needs("enrol")
def leaving(public_id: str) -> str:
    """Ask once more before a person is written down as left."""
    return render_template("members/leaving.html", person=_looked_after(public_id), refused=())


@page.post("/members/<public_id>/leave")
@needs("enrol")
def leave(public_id: str) -> Response | tuple[str, int, dict[str, str]]:
    """Write down that the person has left."""
    person = _looked_after(public_id)
    refused = accounts.leave(house().database, by=me().id, public_id=public_id, now=now())
    if refused is not None:
        return refusal_page("members/leaving.html", refused, person=person)
    flash(gettext("Written down. Every session of theirs has ended."))
    return redirect(url_for("members.everyone"), 303)


@page.get("/tablets")
@needs("administer")
def shared_tablets() -> str:
    """The tablets that this site shares."""
    return _tablets_page(TabletForm(request.form))


@page.post("/tablets")
@needs("administer")
def enrol_tablet() -> Response | tuple[str, int]:
    """Enrol the tablet in hand."""
    form = TabletForm(request.form)
    if not form.validate():
        return _tablets_page(form), 422
    token = tablets.enrol_tablet(house().database, by=me().id, name=str(form.name.data)[:120], now=now())
    flash(gettext("This tablet is enrolled. Sign out, and it shows the names of your site."))
    response = make_response(redirect(url_for("members.shared_tablets"), 303))
    keep_tablet(response, token)
    return response


@page.post("/tablets/<int:tablet_id>/withdraw")
@needs("administer")
def withdraw_tablet(tablet_id: int) -> Response:
    """Withdraw a tablet."""
    refused = tablets.withdraw_tablet(house().database, by=me().id, tablet_id=tablet_id, now=now())
    if refused is not None:
        abort(404)
    flash(gettext("Withdrawn. PINs no longer work on it."))
    return redirect(url_for("members.shared_tablets"), 303)


def _members() -> list[Member]:
    with reading() as db:
        return people_queries.members(db, me().site_id)


def _person(public_id: str) -> Member:
    """The person if they are of my site; there is no such page otherwise."""
    with reading() as db:
        person = people_queries.member_by_public_id(db, public_id, me().site_id)
    return person if person is not None else abort(404)


def _mine(person: Member) -> bool:
    return person.left_at is None and may_look_after(me().role, person.role)


def _looked_after(public_id: str) -> Member:
    """The person if I look after their account; forbidden otherwise."""
    person = _person(public_id)
    return person if _mine(person) else abort(403)


def _read(form: EnrolForm) -> Newcomer:
    return Newcomer(
        name=str(form.name.data)[:120],
        sign_in_name=str(form.sign_in_name.data),
        role=cast(Role, form.role.data),
        password=form.password.data or None,
        pin=form.pin.data or None,
        language=form.language.data,
        system=form.system.data,
        trained_by=form.trained_by.data or None,
    )


def _give(
    template: str, public_id: str, act: accounts.GiveSecret
) -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    person, form = _looked_after(public_id), GivenSecretForm(request.form)
    if not form.validate():
        return render_template(template, form=form, person=person, refused=()), 422
    refused = act(house().database, by=me().id, public_id=public_id, new=str(form.new.data), now=now())
    if refused is not None:
        return refusal_page(template, refused, form=form, person=person)
    flash(gettext("Saved. Every session of theirs has ended."))
    return redirect(url_for("members.one", public_id=public_id), 303)


def _tablets_page(form: TabletForm) -> str:
    with reading() as db:
        shared = queries.tablets(db, me().site_id)
    return render_template("members/tablets.html", form=form, tablets=shared, this=this_tablet())
